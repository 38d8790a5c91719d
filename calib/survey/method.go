package survey

import (
	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A Mark says how a figure of a method came here.
type Mark string

// The marks. What was not read wants a look at one's own copy.
const (
	Read           Mark = "read"
	Memory         Mark = "memory"
	CommonPractice Mark = "common practice"
	Own            Mark = "own"
)

// Marks lists them in the order they are offered.
func Marks() []Mark { return []Mark{Read, Memory, CommonPractice, Own} }

// A Report says which figure of the places is the lot's thickness.
type Report string

// What is reported: the mean of the places, or their median.
const (
	ReportMean   Report = "mean"
	ReportMedian Report = "median"
)

// Reports lists them in the order they are offered.
func Reports() []Report { return []Report{ReportMean, ReportMedian} }

// A Method says how the thickness of a soft sheet is taken. It is never edited:
// a change is a new revision, and a survey names the one it followed.
type Method struct {
	Name     string `json:"name" validate:"required,identity"`
	Revision int    `json:"revision" validate:"min=1"`
	Title    string `json:"title" validate:"required,max=120,line"`
	Material string `json:"material,omitempty" validate:"max=120,line"` // what it is for
	Source   string `json:"source" validate:"required,max=300,line"`    // document, edition and clause
	Mark     Mark   `json:"mark" validate:"required"`
	Note     string `json:"note,omitempty" validate:"max=400,line"`

	Foot Foot `json:"foot,omitzero"`

	// Pressure is what the foot presses with: a pressure, or the force or the
	// mass of the load where the document states that.
	Pressure calib.Band `json:"pressure,omitzero"`

	// Nominal is the pressure to which thicknesses are referred, in the
	// dimension of Pressure; not given: the middle of the band.
	Nominal unit.Quantity `json:"nominal,omitzero"`

	Dwell  Dwell  `json:"dwell,omitzero"`
	Places Places `json:"places"`
	Report Report `json:"report" validate:"required,oneof=mean median"`

	// Resolution is the coarsest step that the gauge may have, Accuracy the
	// largest error that it may have at the sizes of the lot, either side of 0.
	// Not given: not judged.
	Resolution unit.Quantity `json:"resolution,omitzero"`
	Accuracy   unit.Quantity `json:"accuracy,omitzero"`

	// Contributions add lines to the budget that hold for all places alike.
	Contributions []calib.Contribution `json:"contributions,omitempty" validate:"max=20,dive"`
}

// A Foot is what bears on the sheet.
type Foot struct {
	Shape string `json:"shape,omitempty" validate:"max=80,line"` // "flat, round"

	// Diameter or Area bound its size; both open: not judged.
	Diameter calib.Band `json:"diameter,omitzero"`
	Area     calib.Band `json:"area,omitzero"`
}

// IsZero reports whether the method leaves the foot open.
func (f Foot) IsZero() bool { return f.Shape == "" && f.Diameter.IsZero() && f.Area.IsZero() }

// A Dwell is how long the foot rests before the gauge is read.
type Dwell struct {
	Seconds   float64 `json:"seconds,omitempty" validate:"gte=0,lte=3600"`   // s; 0: not fixed
	Tolerance float64 `json:"tolerance,omitempty" validate:"gte=0,lte=3600"` // s, either side; 0: not stated
	Origin    string  `json:"origin,omitempty" validate:"max=300,line"`
}

// IsZero reports whether the method fixes no dwell.
func (d Dwell) IsZero() bool { return d.Seconds == 0 }

// Places says where and how often a lot is read.
type Places struct {
	// Least is how many places are too few less one.
	Least int `json:"least" validate:"min=1,max=500"`

	// ByWidth, ascending, takes the place of Least for a lot whose width is
	// known: each row holds up to and including its width.
	ByWidth []WidthRow `json:"by_width,omitempty" validate:"max=10,dive"`

	// Readings is how many are taken at each place.
	Readings int `json:"readings" validate:"min=1,max=20"`

	// EdgeFree is how far from an edge a place must lie; not given: anywhere.
	EdgeFree unit.Quantity `json:"edge_free,omitzero"`

	Layout string `json:"layout,omitempty" validate:"max=200,line"` // in words
	Origin string `json:"origin,omitempty" validate:"max=300,line"`
}

// A WidthRow is one line of a table of numbers of places.
type WidthRow struct {
	UpTo  unit.Quantity `json:"up_to,omitzero"` // not given: any width beyond the rows before
	Least int           `json:"least" validate:"min=1,max=500"`
}

// LeastFor returns how many places a lot of that width wants.
func (p Places) LeastFor(width unit.Quantity) int {
	if width.IsZero() {
		return p.Least
	}
	for _, r := range p.ByWidth {
		if r.UpTo.IsZero() || width.Inner().Cmp(r.UpTo.Inner()) <= 0 {
			return r.Least
		}
	}
	return p.Least
}

// Sound checks what a method's fields say together.
func (m Method) Sound() error {
	refuse := func(field, value, want string) error {
		return &calib.FieldError{Field: field, Value: value, Want: want}
	}
	d := m.pressDimension()
	for _, b := range []struct {
		name string
		calib.Band
	}{{"foot diameter", m.Foot.Diameter}, {"foot area", m.Foot.Area}, {"pressure", m.Pressure}} {
		if err := ordered(b.name, b.Low, b.High); err != nil {
			return err
		}
	}
	switch {
	case !m.Foot.Diameter.IsZero() && !m.Foot.Area.IsZero():
		return refuse("foot area", m.Foot.Area.Low.String(), "a diameter or an area, not both")
	case !m.Pressure.IsZero() && !isPress(d):
		return refuse("pressure", m.Pressure.Low.String(), "a pressure, a force or a mass")
	case !m.Pressure.Low.IsZero() && !m.Pressure.High.IsZero() && m.Pressure.High.Unit().Dimension() != d:
		return refuse("pressure", m.Pressure.High.String(), "both ends in units of one kind")
	case !m.Nominal.IsZero() && m.Nominal.Unit().Dimension() != d:
		return refuse("nominal", m.Nominal.String(), "a "+string(d)+", as the band")
	case !m.Nominal.IsZero() && m.Nominal.Inner().Sign() <= 0:
		return refuse("nominal", m.Nominal.String(), "a size above 0")
	case m.Dwell.Tolerance > m.Dwell.Seconds:
		return refuse("dwell", "", "a tolerance no longer than the dwell")
	}
	return nil
}

func isPress(d unit.Dimension) bool {
	return d == unit.Pressure || d == unit.Force || d == unit.Mass
}

// pressDimension is that of the pressure band.
func (m Method) pressDimension() unit.Dimension {
	if !m.Pressure.Low.IsZero() {
		return m.Pressure.Low.Unit().Dimension()
	}
	return m.Pressure.High.Unit().Dimension()
}

// nominal is the pressure, force or mass to which thicknesses are referred, in
// its inner unit; it reports false where the method has none.
func (m Method) nominal() (float64, bool) {
	switch {
	case !m.Nominal.IsZero():
		return m.Nominal.Inner().Float(), true
	case m.Pressure.Low.IsZero() || m.Pressure.High.IsZero():
		return 0, false
	}
	mid := m.Pressure.Low.Inner().Add(m.Pressure.High.Inner()).Quo(unit.Whole(2))
	return mid.Float(), mid.Sign() > 0
}

// ordered refuses a lower limit above the upper one.
func ordered(field string, low, high unit.Quantity) error {
	if !low.IsZero() && !high.IsZero() && low.Inner().Cmp(high.Inner()) > 0 {
		return &calib.FieldError{Field: field, Value: low.String() + " to " + high.String(), Want: "a lower limit that is not above the upper one"}
	}
	return nil
}
