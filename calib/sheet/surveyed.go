package sheet

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/survey"
	"example.org/wring/uncertainty/unit"
)

// Survey turns the sheet into a survey of l by m with g. Readings without a
// unit are in the unit the gauge is read in, positions in millimetres. Places
// without a name are the cells of the grid row by row, else they are numbered.
// It refuses, with a [*LineError] that names the line, what does not fit the
// method, the lot or the gauge; whether the gauge is fit today is not its to
// say.
func (s *SurveySheet) Survey(m survey.Method, l survey.Lot, g calib.Gauge) (survey.Survey, error) {
	out := survey.Survey{Lot: l.ID, Method: m.Name, Revision: m.Revision, Gauge: g.ID, Override: strings.TrimSpace(s.Override.Text), Remarks: s.Remarks.Text}
	for _, part := range []func(*survey.Survey, calib.Gauge) error{s.names, s.room, s.grid, s.aims, s.places, s.press} {
		if err := part(&out, g); err != nil {
			return survey.Survey{}, err
		}
	}
	return out, s.lined(out, out.Sound(m, l, g))
}

// lined puts the line of a place behind what is wrong with it.
func (s *SurveySheet) lined(out survey.Survey, err error) error {
	var bad *survey.PlaceError
	if err == nil || !errors.As(err, &bad) {
		return err
	}
	for i := len(out.Places) - 1; i >= 0 && bad.Place != ""; i-- {
		if out.Places[i].Name == bad.Place && len(s.Places[i].Readings) > 0 {
			return &LineError{Name: s.Name, Line: s.Places[i].Readings[0].line, Err: err}
		}
	}
	return &LineError{Name: s.Name, Err: err}
}

func (s *SurveySheet) names(out *survey.Survey, g calib.Gauge) (err error) {
	for _, n := range []struct {
		what string
		at   Field
		want string
	}{{"lot", s.Lot, out.Lot}, {"gauge", s.Gauge, g.ID}, {"method", s.Method, out.Method}} {
		if n.at.Given() && n.at.Text != n.want {
			return s.refuse(plain(n.at), "%s %q: another one than is surveyed with or by; want %s", n.what, clip(n.at.Text), n.want)
		}
	}
	switch {
	case !s.Date.Given():
		return s.refuse(Field{}, "date: nothing given; write year-month-day, as 2026-03-02")
	case !s.Person.Given():
		return s.refuse(Field{}, "person: nothing given; want who took the readings")
	}
	if out.Date, err = calib.ParseDate(s.Date.Text); err != nil {
		return plain(s.Date).fault(s.Name, err)
	}
	out.Person = s.Person.Text
	return nil
}

func (s *SurveySheet) quantity(v Field, d unit.Dimension, fallback string) (unit.Quantity, error) {
	if !v.Given() {
		return unit.Quantity{}, nil
	}
	in, _ := unit.Lookup(fallback, d)
	q, err := unit.Parse(v.Text, d, in)
	if err != nil {
		return q, v.fault(s.Name, err)
	}
	return q, nil
}

func (s *SurveySheet) room(out *survey.Survey, _ calib.Gauge) (err error) {
	if out.Conditions.Gauge, err = s.quantity(s.Temperature, unit.Temperature, "°C"); err != nil {
		return err
	}
	if out.Conditions.Humidity, err = s.quantity(s.Humidity, unit.Percent, "%"); err != nil {
		return err
	}
	if out.Conditions.Pressure, err = s.quantity(s.AirPressure, unit.Pressure, ""); err != nil {
		return err
	}
	for _, c := range []struct {
		at Field
		q  unit.Quantity
	}{{s.Temperature, out.Conditions.Gauge}, {s.Humidity, out.Conditions.Humidity}} {
		if b := boundsOf(c.q.Unit().Dimension()); b != nil && !b.hold(c.q) {
			return s.refuse(c.at, "%q: beyond what a room has; want %s", clip(c.at.Text), b.want)
		}
	}
	return nil
}

// grid reads "3x5".
func (s *SurveySheet) grid(out *survey.Survey, _ calib.Gauge) error {
	if !s.Grid.Given() {
		return nil
	}
	g, err := ParseGrid(s.Grid.Text)
	if err != nil {
		return plain(s.Grid).fault(s.Name, err)
	}
	out.Grid = &g
	return nil
}

// ParseGrid reads columns across and rows along, as 3x5.
func ParseGrid(text string) (survey.Grid, error) {
	a, b, ok := strings.Cut(strings.ReplaceAll(text, "×", "x"), "x")
	columns, errC := strconv.ParseUint(strings.TrimSpace(a), 10, 8)
	rows, errR := strconv.ParseUint(strings.TrimSpace(b), 10, 8)
	if !ok || errC != nil || errR != nil || columns < 1 || columns > 26 || rows < 1 || rows > 99 {
		return survey.Grid{}, fmt.Errorf("grid %q: want columns across x rows along, as 3x5, at most 26x99", clip(text))
	}
	return survey.Grid{Columns: int(columns), Rows: int(rows)}, nil
}

func (s *SurveySheet) aims(out *survey.Survey, g calib.Gauge) (err error) {
	if out.Wanted, err = s.quantity(s.Wanted, unit.Length, g.Unit); err != nil {
		return err
	}
	if !out.Wanted.IsZero() && out.Wanted.Inner().Sign() <= 0 {
		return s.refuse(s.Wanted, "%q: not above 0; want an expanded uncertainty", clip(s.Wanted.Text))
	}
	for _, v := range []struct {
		at Field
		to *float64
	}{{s.Share, &out.Share}, {s.Confidence, &out.Confidence}} {
		if !v.at.Given() {
			continue
		}
		n, err := bareNumber(v.at.Text)
		if err != nil {
			return v.at.fault(s.Name, err)
		}
		if *v.to = n.Float(); !(*v.to > 0 && *v.to < 1) {
			return s.refuse(v.at, "%q: want a share above 0 and below 1, as 0.95", clip(v.at.Text))
		}
	}
	return nil
}

func (s *SurveySheet) readings(list []Field, g calib.Gauge) ([]calib.Reading, error) {
	var out []calib.Reading
	for _, v := range list {
		q, err := s.quantity(v, unit.Length, g.Unit)
		if err != nil {
			return nil, err
		}
		out = append(out, calib.Reading{Indication: q})
	}
	return out, nil
}

// mostReadings and mostSpots are what a survey may have, as [survey.Survey]
// says.
const (
	mostReadings = 20
	mostSpots    = 500
)

func (s *SurveySheet) places(out *survey.Survey, g calib.Gauge) (err error) {
	if out.Zero, err = s.readings(s.Zero, g); err != nil {
		return err
	}
	if len(s.Places) > mostSpots {
		return s.refuse(Field{}, "%d places; want at most %d", len(s.Places), mostSpots)
	}
	for i, row := range s.Places {
		at := Field{where: fmt.Sprintf("place %d", i+1)}
		switch {
		case len(row.Readings) == 0:
			return s.refuse(at, "no reading; want the readings there, or leave the place out")
		case len(row.Readings) > mostReadings:
			return s.refuse(row.Readings[mostReadings], "%d readings at one place; want at most %d", len(row.Readings), mostReadings)
		}
		p := survey.Place{Name: s.nameOf(i, out.Grid), Comment: row.Comment.Text, Undwelt: row.Undwelt}
		if p.Readings, err = s.readings(row.Readings, g); err != nil {
			return err
		}
		if out.Grid != nil && (row.Across.Given() || row.Along.Given()) {
			return s.refuse(Field{line: row.Readings[0].line, where: at.where}, "a position beside a grid; want one or the other")
		}
		if p.Across, err = s.quantity(row.Across, unit.Length, "mm"); err != nil {
			return err
		}
		if p.Along, err = s.quantity(row.Along, unit.Length, "mm"); err != nil {
			return err
		}
		out.Places = append(out.Places, p)
	}
	return nil
}

// nameOf is a place's name: as written, else the grid's cell, else its number.
func (s *SurveySheet) nameOf(i int, g *survey.Grid) string {
	switch at := strings.TrimSpace(s.Places[i].At.Text); {
	case at != "" && g != nil:
		return strings.ToUpper(at)
	case at != "":
		return at
	case g != nil:
		return g.Cell(i%g.Columns, i/g.Columns)
	}
	return strconv.Itoa(i + 1)
}

func (s *SurveySheet) press(out *survey.Survey, g calib.Gauge) error {
	dims := []unit.Dimension{unit.Pressure, unit.Force, unit.Mass}
	for _, step := range s.Compression {
		p, err := unit.ParseAny(step.Pressure.Text, dims, unit.Unit{})
		if err != nil {
			return step.Pressure.fault(s.Name, err)
		}
		r, err := s.quantity(step.Reading, unit.Length, g.Unit)
		if err != nil {
			return err
		}
		out.Compression = append(out.Compression, survey.Press{Pressure: p, Reading: r})
	}
	if s.Stated == nil {
		return nil
	}
	e := survey.StatedEffect{Source: s.Stated.Source.Text}
	var err error
	if e.Change, err = s.quantity(s.Stated.Change, unit.Length, ""); err != nil {
		return err
	}
	if e.Expanded, err = s.quantity(s.Stated.Expanded, unit.Length, ""); err != nil {
		return err
	}
	if e.For, err = unit.ParseAny(s.Stated.For.Text, dims, unit.Unit{}); err != nil {
		return s.Stated.For.fault(s.Name, err)
	}
	k, err := bareNumber(s.Stated.K.Text)
	if err != nil {
		return s.Stated.K.fault(s.Name, err)
	}
	e.K = k.Float()
	out.Stated = &e
	return nil
}
