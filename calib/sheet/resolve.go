package sheet

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func (s *CheckSheet) refuse(at Field, format string, args ...any) error {
	return at.fault(s.Name, fmt.Errorf(format, args...))
}

// Check turns the sheet into a check of g by p. Lengths without a unit are in
// the unit the gauge is read in, temperatures in °C. Date and person must be
// given; a stage that is not is as found. A block that names no standard
// belongs to the sheet's only one; where the sheet names several its standard
// stays empty for [CheckSheet.Assign].
//
// It refuses, with a [*LineError], a sheet for another gauge or plan, a point
// that the plan lacks, stands twice or has no reading, a zero that the plan
// does not take, and text that is not what it should be. It does not judge what
// the plan's gates judge: a zero or a point that is missing is theirs.
func (s *CheckSheet) Check(g calib.Gauge, p calib.Plan) (calib.Check, error) {
	c := calib.Check{Gauge: g.ID, Plan: p.Name, Revision: p.Revision, Site: s.Site.Text, Condition: s.Condition.Text, Remarks: s.Remarks.Text}
	for _, part := range []func(*calib.Check, calib.Gauge, calib.Plan) error{
		s.identities, s.stage, s.purpose, s.conditions, s.zero, s.points, s.parts, s.skipped,
	} {
		if err := part(&c, g, p); err != nil {
			return calib.Check{}, err
		}
	}
	return c, nil
}

func (s *CheckSheet) identities(c *calib.Check, g calib.Gauge, p calib.Plan) (err error) {
	switch {
	case s.Gauge.Given() && s.Gauge.Text != g.ID:
		return s.refuse(plain(s.Gauge), "gauge %q: another gauge than the one being checked; want %s", clip(s.Gauge.Text), g.ID)
	case s.Plan.Given() && s.Plan.Text != p.Name:
		return s.refuse(plain(s.Plan), "plan %q: another plan than the one being followed; want %s", clip(s.Plan.Text), p.Name)
	case !s.Date.Given():
		return s.refuse(Field{}, "date: nothing given; write year-month-day, as 2026-03-02")
	case !s.Person.Given():
		return s.refuse(Field{}, "person: nothing given; want who performed the check")
	}
	if c.Date, err = calib.ParseDate(s.Date.Text); err != nil {
		return plain(s.Date).fault(s.Name, err)
	}
	if s.Received.Given() {
		if c.Received, err = calib.ParseDate(s.Received.Text); err != nil {
			return plain(s.Received).fault(s.Name, err)
		}
		if c.Received.After(c.Date) {
			return s.refuse(plain(s.Received), "received %s: after the check of %s; want a day on or before it", c.Received, c.Date)
		}
	}
	c.Person = s.Person.Text
	named := map[string]bool{}
	for _, v := range s.Standards {
		if named[v.Text] {
			return s.refuse(v, "%q: named twice; want each standard once", clip(v.Text))
		}
		named[v.Text] = true
		c.Standards = append(c.Standards, v.Text)
	}
	return nil
}

// plain keeps a field's line but not its words, for messages that say them.
func plain(f Field) Field { f.where = ""; return f }

func (s *CheckSheet) stage(c *calib.Check, _ calib.Gauge, _ calib.Plan) error {
	switch strings.ReplaceAll(s.Stage.Text, "-", " ") {
	case "", string(calib.AsFound):
		c.Stage = calib.AsFound
	case string(calib.AsLeft):
		c.Stage = calib.AsLeft
	default:
		return s.refuse(plain(s.Stage), "stage %q: want as found or as left", clip(s.Stage.Text))
	}
	return nil
}

func (s *CheckSheet) purpose(c *calib.Check, _ calib.Gauge, _ calib.Plan) error {
	switch p := calib.Purpose(s.Purpose.Text); p {
	case "", calib.FullCheck: // the same, and written down in one way
	case calib.IntermediateCheck:
		c.Purpose = p
	default:
		return s.refuse(plain(s.Purpose), "purpose %q: want full or intermediate", clip(s.Purpose.Text))
	}
	return nil
}

func (s *CheckSheet) conditions(c *calib.Check, _ calib.Gauge, _ calib.Plan) (err error) {
	for _, t := range []struct {
		from Field
		to   *unit.Quantity
		d    unit.Dimension
		in   string
	}{
		{s.Temperature, &c.Conditions.Gauge, unit.Temperature, "°C"},
		{s.BlockTemperature, &c.Conditions.Blocks, unit.Temperature, "°C"},
		{s.Humidity, &c.Conditions.Humidity, unit.Percent, "%"},
		{s.Pressure, &c.Conditions.Pressure, unit.Pressure, ""}, // hPa or kPa: it must be written
	} {
		fallback, _ := unit.Lookup(t.in, t.d)
		if *t.to, err = s.quantity(t.from, t.d, fallback); err != nil {
			return err
		}
		if b := boundsOf(t.d); b != nil && !t.to.IsZero() && !b.hold(*t.to) {
			return s.refuse(t.from, "%q: beyond what a toolroom has; want %s", clip(t.from.Text), b.want)
		}
	}
	if s.BlockTemperature.Given() && !s.Temperature.Given() {
		return s.refuse(plain(s.BlockTemperature), "block temperature: given without the gauge's; want both, or the gauge's alone where they are one")
	}
	return nil
}

// bounds are what a condition can be: beyond them a figure is a slip of the
// keyboard or of the unit (house rule).
type bounds struct {
	low, high int64 // in the inner unit
	want      string
}

func boundsOf(d unit.Dimension) *bounds {
	switch d {
	case unit.Temperature:
		return &bounds{-40, 60, "-40 °C to 60 °C"}
	case unit.Percent:
		return &bounds{0, 100, "0 % to 100 %"}
	default:
		return nil
	}
}

func (b bounds) hold(q unit.Quantity) bool {
	return q.Inner().Cmp(unit.Whole(b.low)) >= 0 && q.Inner().Cmp(unit.Whole(b.high)) <= 0
}

func (s *CheckSheet) quantity(v Field, d unit.Dimension, fallback unit.Unit) (unit.Quantity, error) {
	if !v.Given() {
		return unit.Quantity{}, nil
	}
	q, err := unit.Parse(v.Text, d, fallback)
	if err != nil {
		return q, v.fault(s.Name, err)
	}
	return q, nil
}

func (s *CheckSheet) zero(c *calib.Check, g calib.Gauge, p calib.Plan) (err error) {
	if len(s.Zero) > 0 && p.Zero == calib.ZeroNone {
		return s.refuse(Field{line: s.Zero[0].line, where: "zero"}, "%d readings; plan %s takes no zero", len(s.Zero), p.Name)
	}
	c.Zero, err = s.readings(s.Zero, g)
	return err
}

func (s *CheckSheet) readings(list []Field, g calib.Gauge) ([]calib.Reading, error) {
	var out []calib.Reading
	for _, v := range list {
		q, err := s.quantity(v, unit.Length, g.ReadIn())
		if err != nil {
			return nil, err
		}
		out = append(out, calib.Reading{Indication: q, Comment: v.Comment})
	}
	return out, nil
}

func (s *CheckSheet) points(c *calib.Check, g calib.Gauge, p calib.Plan) error {
	for i, row := range s.Points {
		at, err := s.quantity(row.At, unit.Length, g.ReadIn())
		if err != nil {
			return err
		}
		if j := slices.IndexFunc(c.Points, func(q calib.Point) bool { return q.Nominal.Same(at) }); j >= 0 {
			return s.refuse(s.point(i), "%s for the second time, first on line %d; want each point once", at, s.Points[j].At.line)
		}
		if !slices.ContainsFunc(p.Points, at.Same) {
			return s.refuse(s.point(i), "%s: no point of plan %s; the nearest %s", at, p.Name, nearest(at, p.Points))
		}
		if len(row.Readings) == 0 {
			return s.refuse(s.point(i), "no reading at %s; want the readings, or leave the point out", at)
		}
		point := calib.Point{Nominal: at}
		if point.Readings, err = s.readings(row.Readings, g); err != nil {
			return err
		}
		if row.Comment.Given() {
			point.Readings[0].Comment = row.Comment.Text
		}
		if point.Blocks, err = s.blocks(row.Blocks, c.Standards, g); err != nil {
			return err
		}
		c.Points = append(c.Points, point)
	}
	return nil
}

// point is the place of a point as a whole.
func (s *CheckSheet) point(i int) Field {
	return Field{line: s.Points[i].At.line, where: fmt.Sprintf("point %d", i+1)}
}

// nearest names the points on both sides of a size.
func nearest(at unit.Quantity, points []unit.Quantity) string {
	i, _ := slices.BinarySearchFunc(points, at, func(a, b unit.Quantity) int { return a.Inner().Cmp(b.Inner()) })
	switch {
	case len(points) == 0:
		return "is none"
	case i == 0:
		return "is " + points[0].String()
	case i == len(points):
		return "is " + points[i-1].String()
	}
	return "are " + points[i-1].String() + " and " + points[i].String()
}

// mostBlocks is how many blocks a point may have, as [calib.Point] says.
const mostBlocks = 12

// blocks reads "1.005" or "GB-1:1.005".
func (s *CheckSheet) blocks(list []Field, standards []string, g calib.Gauge) ([]calib.BlockUse, error) {
	if len(list) > mostBlocks {
		return nil, s.refuse(list[mostBlocks], "%d blocks in one stack; want at most %d", len(list), mostBlocks)
	}
	var out []calib.BlockUse
	for _, v := range list {
		use := calib.BlockUse{}
		if len(standards) == 1 {
			use.Standard = standards[0]
		}
		text := v
		if id, size, found := strings.Cut(v.Text, ":"); found {
			use.Standard, text.Text = strings.TrimSpace(id), size
			if !slices.Contains(standards, use.Standard) {
				return nil, s.refuse(v, "%q: %s is no standard of this sheet; want it under standards", clip(v.Text), use.Standard)
			}
		}
		var err error
		if use.Nominal, err = s.quantity(text, unit.Length, g.ReadIn()); err != nil {
			return nil, err
		}
		if use.Nominal.Inner().Sign() <= 0 {
			return nil, s.refuse(v, "%q: not above 0; want the nominal length of a block", clip(v.Text))
		}
		out = append(out, use)
	}
	return out, nil
}

// Assign gives each block of c, which came from this sheet, the standard that
// holds it: a block that names its standard must be in it, one that names none
// in exactly one of those on the bench. A block is used once in a stack. The
// same holds for weights, and an instrument or a tester that the sheet does not
// name is the only one of its kind.
func (s *CheckSheet) Assign(c *calib.Check, on []calib.StandardOnDay) error {
	for i := range c.Points {
		blocks := c.Points[i].Blocks
		for j := range blocks {
			var at Field
			if i < len(s.Points) && j < len(s.Points[i].Blocks) {
				at = s.Points[i].Blocks[j]
			}
			if err := s.assign(&blocks[j], on, at); err != nil {
				return err
			}
			same := func(b calib.BlockUse) bool {
				return b.Standard == blocks[j].Standard && b.Nominal.Same(blocks[j].Nominal)
			}
			if slices.ContainsFunc(blocks[:j], same) {
				return s.refuse(at, "%s of %s for the second time; a block is wrung once", blocks[j].Nominal, blocks[j].Standard)
			}
		}
	}
	return s.assignParts(c, on)
}

func (s *CheckSheet) assign(b *calib.BlockUse, on []calib.StandardOnDay, at Field) error {
	var holds, sets []string
	for _, set := range on {
		if !set.Standard.Kind.OfLength() || b.Standard != "" && b.Standard != set.Standard.ID {
			continue
		}
		sets = append(sets, set.Standard.ID)
		if _, ok := set.Certificate.Find(b.Nominal.Inner()); ok {
			holds = append(holds, set.Standard.ID)
		}
	}
	switch {
	case len(sets) == 0 && b.Standard != "":
		return s.refuse(at, "%s of %s: no standard of length; want a block set", b.Nominal, b.Standard)
	case len(sets) == 0:
		return s.refuse(at, "%s: no block set is named; want one under standards", b.Nominal)
	case len(holds) == 0:
		return s.refuse(at, "%s: no block of %s; want one that its certificate lists", b.Nominal, strings.Join(sets, " or "))
	case len(holds) > 1:
		return s.refuse(at, "%s: in %s; write which, as %s:%s", b.Nominal, strings.Join(holds, " and "), holds[0], b.Nominal.Number())
	}
	b.Standard = holds[0]
	return nil
}
