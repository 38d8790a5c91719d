package survey

import (
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A Survey is what was observed of a lot, and nothing that was computed.
type Survey struct {
	Lot      string     `json:"lot" validate:"required,identity"`
	Method   string     `json:"method" validate:"required,identity"`
	Revision int        `json:"revision" validate:"min=1"` // of the method
	Gauge    string     `json:"gauge" validate:"required,identity"`
	Date     calib.Date `json:"date"`
	Person   string     `json:"person" validate:"required,max=80,line"`

	Conditions calib.Conditions `json:"conditions,omitzero"` // of the room

	// Zero holds the readings on the bare anvil; none: not read, and not
	// subtracted.
	Zero []calib.Reading `json:"zero,omitempty" validate:"max=50,dive"`

	// Grid says that the places are the cells of an even grid over the lot;
	// none: they have positions, or nothing is known of where they lie.
	Grid   *Grid   `json:"grid,omitempty"`
	Places []Place `json:"places" validate:"min=1,max=500,dive"`

	// Compression is the same spot read at several pressures; Stated takes its
	// place. Neither: the effect of pressure is not known.
	Compression []Press       `json:"compression,omitempty" validate:"max=50,dive"`
	Stated      *StatedEffect `json:"stated,omitempty"`

	// Share of the lot and Confidence are those of the statistical tolerance
	// interval, each above 0 and below 1; 0: 0.95.
	Share      float64 `json:"share,omitempty" validate:"gte=0,lt=1"`      // without unit
	Confidence float64 `json:"confidence,omitempty" validate:"gte=0,lt=1"` // without unit

	// Wanted is the expanded uncertainty of the mean that is wanted: how many
	// places that takes is worked out.
	Wanted unit.Quantity `json:"wanted,omitzero"`

	// Override is why a gauge was used that is not fit for it today; empty where
	// it must be.
	Override string `json:"override,omitempty" validate:"max=400,line"`

	Remarks string `json:"remarks,omitempty" validate:"max=400,line"`
}

// A Grid parts a lot evenly: columns across, rows along.
type Grid struct {
	Columns int `json:"columns" validate:"min=1,max=26"`
	Rows    int `json:"rows" validate:"min=1,max=99"`
}

// Cell returns the name of a cell, 0-based: A1 is the first column's first.
func (g Grid) Cell(column, row int) string { return fmt.Sprintf("%c%d", 'A'+rune(column), row+1) }

// Find returns the column and the row of a cell by its name, 0-based.
func (g Grid) Find(name string) (column, row int, ok bool) {
	for c := range g.Columns {
		for r := range g.Rows {
			if g.Cell(c, r) == name {
				return c, r, true
			}
		}
	}
	return 0, 0, false
}

// A Place is one spot of the lot. Across is its distance from the left edge,
// Along that from the beginning; not given where a grid's cell or nothing says
// where it is.
type Place struct {
	Name     string          `json:"name" validate:"required,max=20,line"`
	Across   unit.Quantity   `json:"across,omitzero"`
	Along    unit.Quantity   `json:"along,omitzero"`
	Readings []calib.Reading `json:"readings" validate:"min=1,max=20,dive"`
	Comment  string          `json:"comment,omitempty" validate:"max=200,line"`

	// Undwelt numbers the readings, from 1, before which the method's dwell was
	// not counted down; none where it was, or nobody says.
	Undwelt []int `json:"undwelt,omitempty" validate:"max=20,dive,min=1,max=20"`
}

// A Press is one step of a compression run.
type Press struct {
	Pressure unit.Quantity `json:"pressure"`
	Reading  unit.Quantity `json:"reading"`
}

// A StatedEffect is the effect of pressure as somebody states it: by how much
// the thickness changes where the pressure changes by For about the method's.
type StatedEffect struct {
	Change   unit.Quantity `json:"change"` // of thickness, with its sign
	For      unit.Quantity `json:"for"`    // a difference, in the dimension of the method's band
	Expanded unit.Quantity `json:"expanded"`
	K        float64       `json:"k" validate:"gt=0,lte=10"` // coverage factor of Expanded
	Source   string        `json:"source" validate:"required,max=200,line"`
}

// A PlaceError names a place of a survey that cannot be worked with.
type PlaceError struct {
	Place string // as named; empty for the survey as a whole
	Found string
	Want  string
}

func (e *PlaceError) Error() string {
	if e.Place == "" {
		return e.Found + "; " + e.Want
	}
	return "place " + e.Place + ": " + e.Found + "; " + e.Want
}

// Sound holds a survey to its method, its lot and its gauge: enough places,
// none twice, each within the lot, and every reading in the gauge's own unit.
// The first fault is returned as a [*PlaceError].
func (s Survey) Sound(m Method, l Lot, g calib.Gauge) error {
	if n, least := len(s.Places), m.Places.LeastFor(l.Width); n < least {
		return &PlaceError{"", fmt.Sprintf("%d places", n), fmt.Sprintf("method %s wants at least %d", m.Name, least)}
	}
	if (s.Share != 0 && !(s.Share > 0)) || (s.Confidence != 0 && !(s.Confidence > 0)) {
		return &PlaceError{"", "a share or a confidence that is no number", "want one above 0 and below 1"}
	}
	for i, p := range s.Places {
		if err := s.placeSound(i, m, l); err != nil {
			return err
		}
		for j, r := range p.Readings {
			if err := inGaugeUnit(r.Indication, g); err != nil {
				return &PlaceError{p.Name, fmt.Sprintf("reading %d: %s", j+1, err.Found), err.Want}
			}
		}
	}
	for _, r := range s.Zero {
		if err := inGaugeUnit(r.Indication, g); err != nil {
			return &PlaceError{"", "zero: " + err.Found, err.Want}
		}
	}
	return s.pressSound(m, g)
}

func (s Survey) placeSound(i int, m Method, l Lot) error {
	p := s.Places[i]
	refuse := func(want, format string, args ...any) error {
		return &PlaceError{p.Name, fmt.Sprintf(format, args...), want}
	}
	for _, q := range s.Places[:i] {
		same := !p.Across.IsZero() && p.Across.Same(q.Across) && p.Along.Same(q.Along)
		if q.Name == p.Name || same {
			return refuse("want each place once; several readings of one place stand together", "read twice, first as place %s", q.Name)
		}
	}
	if len(p.Readings) < m.Places.Readings {
		return refuse(fmt.Sprintf("method %s wants %d", m.Name, m.Places.Readings), "%d readings", len(p.Readings))
	}
	if s.Grid != nil {
		if _, _, ok := s.Grid.Find(p.Name); !ok {
			return refuse(fmt.Sprintf("want a cell from A1 to %s", s.Grid.Cell(s.Grid.Columns-1, s.Grid.Rows-1)), "no cell of the grid")
		}
		return nil
	}
	for _, side := range []struct {
		name     string
		at, size unit.Quantity
	}{{"across", p.Across, l.Width}, {"along", p.Along, l.Length}} {
		switch {
		case side.at.IsZero():
		case side.size.IsZero():
			return refuse("want the lot's size, or no position", "%s %s, and the lot's size in that direction is not known", side.name, side.at)
		case side.at.Inner().Sign() < 0 || side.at.Inner().Cmp(side.size.Inner()) > 0:
			return refuse("want a place within the lot, 0 to "+side.size.String(), "%s %s lies outside the lot", side.name, side.at)
		}
	}
	return nil
}

// inGaugeUnit refuses a reading in another unit than the gauge has.
func inGaugeUnit(q unit.Quantity, g calib.Gauge) *PlaceError {
	if q.Unit().Symbol() == g.Unit {
		return nil
	}
	return &PlaceError{"", fmt.Sprintf("%s on a gauge that is read in %s", q, g.Unit), "want every reading in " + g.Unit}
}

// pressSound looks at what a survey says of the effect of pressure.
func (s Survey) pressSound(m Method, g calib.Gauge) error {
	if len(s.Compression) > 0 && s.Stated != nil {
		return &PlaceError{"", "a compression run and a stated effect of pressure", "want one or the other"}
	}
	for i, p := range s.Compression {
		where := fmt.Sprintf("compression %d: ", i+1)
		if p.Pressure.Inner().Sign() <= 0 {
			return &PlaceError{"", where + p.Pressure.String(), "want a pressure above 0"}
		}
		if p.Pressure.Unit().Dimension() != s.Compression[0].Pressure.Unit().Dimension() {
			return &PlaceError{"", where + p.Pressure.String() + " beside " + s.Compression[0].Pressure.String(), "want all steps in units of one kind"}
		}
		if err := inGaugeUnit(p.Reading, g); err != nil {
			return &PlaceError{"", where + err.Found, err.Want}
		}
	}
	switch e := s.Stated; {
	case e == nil:
	case e.For.IsZero() || e.For.Inner().Sign() <= 0:
		return &PlaceError{"", fmt.Sprintf("stated effect of pressure for %q", e.For), "want a difference of pressure above 0"}
	case e.For.Unit().Dimension() != m.pressDimension():
		return &PlaceError{"", "stated effect of pressure for " + e.For.String(), "want it in the method's own kind of unit"}
	case !(e.K > 0) || e.Expanded.Inner().Sign() < 0:
		return &PlaceError{"", "stated effect of pressure without an uncertainty", "want expanded, 0 or more, with k"}
	}
	return nil
}

// where returns a place's position as shares of the lot's width and length;
// nil where it is not known.
func (s Survey) where(i int, l Lot) (x, y *float64) {
	p := s.Places[i]
	if s.Grid != nil {
		c, r, ok := s.Grid.Find(p.Name)
		if !ok {
			return nil, nil
		}
		u, v := (float64(c)+0.5)/float64(s.Grid.Columns), (float64(r)+0.5)/float64(s.Grid.Rows)
		return &u, &v
	}
	share := func(at, size unit.Quantity) *float64 {
		if at.IsZero() || size.IsZero() {
			return nil
		}
		f := at.Inner().Quo(size.Inner()).Float()
		return &f
	}
	return share(p.Across, l.Width), share(p.Along, l.Length)
}
