package sheet

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A PressSheet is what a sheet says of a foot or of a measuring force: what an
// instrument indicated at each opening, on the way forward and back.
type PressSheet struct {
	Instrument, DiameterBy Field
	Diameter               []Field // of the foot, as read
	Points                 []PressRow
}

// A PressRow is one opening. Forward is lowering a foot or driving a spindle
// in, Back is lifting it or letting it out.
type PressRow struct {
	At            Field
	Forward, Back []Field
}

// A LoadSheet is what a sheet says of a gauge under loads.
type LoadSheet struct {
	Tester       Field
	Zero, Return []Field
	Points       []LoadRow
}

// A LoadRow is one load. Each of its weights is a mass, or a standard's
// identity, a colon and a mass; stars after it are its mark.
type LoadRow struct {
	Load     Field
	Weights  []Field
	Up, Down []Field
}

// readPress reads [foot] or [force]; nil where it is not there.
func readPress(f *form, forward, back string) *PressSheet {
	if f.table == nil {
		return nil
	}
	s := &PressSheet{Instrument: f.field("instrument")}
	if forward == "lowering" {
		s.Diameter, s.DiameterBy = f.fields("diameter", "reading"), f.field("diameter_by")
	}
	for _, t := range f.subs("point", "a point") {
		s.Points = append(s.Points, PressRow{At: t.need("at"), Forward: t.fields(forward, forward), Back: t.fields(back, back)})
		t.close()
	}
	if len(s.Points) == 0 {
		f.refuse(f.missing("point"), "nothing given; want the readings at each opening")
	}
	f.close()
	return s
}

func readLoad(f *form) *LoadSheet {
	if f.table == nil {
		return nil
	}
	s := &LoadSheet{Tester: f.field("tester"), Zero: f.fields("zero", "reading"), Return: f.fields("return", "reading")}
	for _, t := range f.subs("point", "a load") {
		s.Points = append(s.Points, LoadRow{Load: t.need("load"), Weights: t.fields("weights", "weight"), Up: t.fields("up", "up"), Down: t.fields("down", "down")})
		t.close()
	}
	if len(s.Points) == 0 {
		f.refuse(f.missing("point"), "nothing given; want the readings at each load")
	}
	f.close()
	return s
}

// parts reads what was observed beside length.
func (s *CheckSheet) parts(c *calib.Check, g calib.Gauge, p calib.Plan) error {
	for _, part := range []struct {
		name  calib.Part
		given bool
		want  bool
	}{{calib.FootPart, s.Foot != nil, p.Foot != nil}, {calib.ForcePart, s.Force != nil, p.Force != nil}, {calib.LoadPart, s.Load != nil, p.Load != nil}} {
		if part.given && !part.want {
			return s.refuse(Field{}, "%s: no part of plan %s; want it left out", part.name, p.Name)
		}
	}
	if s.Foot != nil {
		if err := s.foot(c, g, *p.Foot); err != nil {
			return err
		}
	}
	if s.Force != nil {
		points, err := s.presses(s.Force.Points, p.Force.Points, p.Name, p.Force.Unit, g)
		if err != nil {
			return err
		}
		c.Force = &calib.ForceCheck{Instrument: s.Force.Instrument.Text, Points: points}
	}
	if s.Load != nil {
		return s.load(c, g, p)
	}
	return nil
}

func (s *CheckSheet) foot(c *calib.Check, g calib.Gauge, p calib.FootPlan) error {
	points, err := s.presses(s.Foot.Points, p.Openings, c.Plan, p.Unit, g)
	if err != nil {
		return err
	}
	c.Foot = &calib.FootCheck{Instrument: s.Foot.Instrument.Text, Points: points, DiameterBy: s.Foot.DiameterBy.Text}
	if s.Foot.DiameterBy.Given() && len(s.Foot.Diameter) == 0 {
		return s.refuse(s.Foot.DiameterBy, "%q read no diameter; want diameter = [...], or the key left out", clip(s.Foot.DiameterBy.Text))
	}
	c.Foot.Diameter, err = s.indications(s.Foot.Diameter, []unit.Dimension{unit.Length}, g.ReadIn())
	for i, r := range c.Foot.Diameter {
		if err == nil && r.Indication.Inner().Sign() <= 0 {
			err = s.refuse(s.Foot.Diameter[i], "%q: not above 0; want the diameter of a foot", clip(s.Foot.Diameter[i].Text))
		}
	}
	return err
}

// indications reads what an instrument indicated.
func (s *CheckSheet) indications(list []Field, d []unit.Dimension, fallback unit.Unit) ([]calib.Reading, error) {
	var out []calib.Reading
	for _, v := range list {
		q, err := unit.ParseAny(v.Text, d, fallback)
		if err != nil {
			return nil, v.fault(s.Name, err)
		}
		out = append(out, calib.Reading{Indication: q, Comment: v.Comment})
	}
	return out, nil
}

// presses reads the rows of openings; bare readings are in the plan's unit.
func (s *CheckSheet) presses(rows []PressRow, planned []unit.Quantity, plan, symbol string, g calib.Gauge) ([]calib.PressPoint, error) {
	fallback := unit.Unit{}
	for _, d := range weighed() {
		if u, ok := unit.Lookup(symbol, d); ok {
			fallback = u
		}
	}
	var out []calib.PressPoint
	for _, row := range rows {
		at, err := s.quantity(row.At, unit.Length, g.ReadIn())
		if err != nil {
			return nil, err
		}
		switch {
		case slices.ContainsFunc(out, func(p calib.PressPoint) bool { return p.At.Same(at) }):
			return nil, s.refuse(row.At, "%s for the second time; want each place once", at)
		case !slices.ContainsFunc(planned, at.Same):
			return nil, s.refuse(row.At, "%s: no place of plan %s; the nearest %s", at, plan, nearest(at, planned))
		}
		p := calib.PressPoint{At: at}
		if p.Forward, err = s.indications(row.Forward, weighed(), fallback); err != nil {
			return nil, err
		}
		if p.Back, err = s.indications(row.Back, weighed(), fallback); err != nil {
			return nil, err
		}
		if len(p.Forward)+len(p.Back) == 0 {
			return nil, s.refuse(row.At, "no reading at %s; want the readings, or leave the opening out", at)
		}
		out = append(out, p)
	}
	return out, nil
}

func (s *CheckSheet) load(c *calib.Check, g calib.Gauge, p calib.Plan) (err error) {
	own := []unit.Dimension{g.Kind.Dimension()}
	c.Load = &calib.LoadCheck{Tester: s.Load.Tester.Text}
	if c.Load.Zero, err = s.indications(s.Load.Zero, own, g.ReadIn()); err != nil {
		return err
	}
	if c.Load.Return, err = s.indications(s.Load.Return, own, g.ReadIn()); err != nil {
		return err
	}
	for _, row := range s.Load.Points {
		at, err := s.quantity(row.Load, own[0], g.ReadIn())
		if err != nil {
			return err
		}
		switch {
		case slices.ContainsFunc(c.Load.Points, func(q calib.LoadPoint) bool { return q.Load.Same(at) }):
			return s.refuse(row.Load, "%s for the second time; want each load once", at)
		case !slices.ContainsFunc(p.Load.Loads, at.Same):
			return s.refuse(row.Load, "%s: no load of plan %s; the nearest %s", at, p.Name, nearest(at, p.Load.Loads))
		}
		q := calib.LoadPoint{Load: at}
		if q.Weights, err = s.weights(row, c.Standards); err != nil {
			return err
		}
		if q.Up, err = s.indications(row.Up, own, g.ReadIn()); err != nil {
			return err
		}
		if q.Down, err = s.indications(row.Down, own, g.ReadIn()); err != nil {
			return err
		}
		c.Load.Points = append(c.Load.Points, q)
	}
	return nil
}

// mostWeights is how many a load may have, as [calib.LoadPoint] says.
const mostWeights = 40

// weights reads "2 kg", "WS-1:2 kg" or "200 g*".
func (s *CheckSheet) weights(row LoadRow, standards []string) ([]calib.WeightUse, error) {
	if len(row.Weights) > mostWeights {
		return nil, s.refuse(row.Weights[mostWeights], "%d weights in one load; want at most %d", len(row.Weights), mostWeights)
	}
	var out []calib.WeightUse
	for _, v := range row.Weights {
		use, text := calib.WeightUse{}, v
		if id, mass, found := strings.Cut(v.Text, ":"); found {
			use.Standard, text.Text = strings.TrimSpace(id), mass
			if !slices.Contains(standards, use.Standard) {
				return nil, s.refuse(v, "%q: %s is no standard of this sheet; want it under standards", clip(v.Text), clip(use.Standard))
			}
		}
		bare := strings.TrimRight(text.Text, "* ")
		use.Mark = strings.ReplaceAll(text.Text[len(bare):], " ", "")
		text.Text = bare
		var err error
		if use.Nominal, err = s.quantity(text, unit.Mass, unit.Unit{}); err != nil {
			return nil, err
		}
		if use.Nominal.Inner().Sign() <= 0 {
			return nil, s.refuse(v, "%q: not above 0; want the nominal mass of a weight", clip(v.Text))
		}
		out = append(out, use)
	}
	return out, nil
}

// assignParts names the instruments and the sets that the sheet left out, each
// the only one of its kind on the bench.
func (s *CheckSheet) assignParts(c *calib.Check, on []calib.StandardOnDay) error {
	instruments := []calib.StandardKind{calib.Balance, calib.ForceGauge}
	for _, part := range []struct {
		into  *string
		at    Field
		what  string
		kinds []calib.StandardKind
	}{
		{instrumentOf(c.Foot != nil, func() *string { return &c.Foot.Instrument }), Field{where: "foot: instrument"}, "a balance or a force gauge", instruments},
		{instrumentOf(c.Force != nil, func() *string { return &c.Force.Instrument }), Field{where: "force: instrument"}, "a balance or a force gauge", instruments},
		{instrumentOf(c.Foot != nil && len(c.Foot.Diameter) > 0, func() *string { return &c.Foot.DiameterBy }), Field{where: "foot: diameter by"}, "a length gauge", []calib.StandardKind{calib.LengthGauge}},
		{instrumentOf(c.Load != nil && dimensionOfLoads(c) == unit.Pressure, func() *string { return &c.Load.Tester }), Field{where: "load: tester"}, "a dead-weight pressure tester", []calib.StandardKind{calib.PressureTester}},
	} {
		if part.into == nil || *part.into != "" {
			continue
		}
		id, err := only(on, part.what, part.kinds)
		if err != nil {
			return part.at.fault(s.Name, err)
		}
		*part.into = id
	}
	if c.Load == nil {
		return nil
	}
	for i := range c.Load.Points {
		for j := range c.Load.Points[i].Weights {
			var at Field
			if s.Load != nil && i < len(s.Load.Points) && j < len(s.Load.Points[i].Weights) {
				at = s.Load.Points[i].Weights[j]
			}
			if err := s.assignWeight(&c.Load.Points[i].Weights[j], on, at); err != nil {
				return err
			}
		}
	}
	return nil
}

func instrumentOf(there bool, field func() *string) *string {
	if !there {
		return nil
	}
	return field()
}

func dimensionOfLoads(c *calib.Check) unit.Dimension {
	for _, p := range c.Load.Points {
		return p.Load.Unit().Dimension()
	}
	return ""
}

// only returns the one standard on the bench that is of these kinds.
func only(on []calib.StandardOnDay, what string, kinds []calib.StandardKind) (string, error) {
	var ids []string
	for _, s := range on {
		if slices.Contains(kinds, s.Standard.Kind) {
			ids = append(ids, s.Standard.ID)
		}
	}
	switch len(ids) {
	case 0:
		return "", fmt.Errorf("none is named; want %s under standards", what)
	case 1:
		return ids[0], nil
	}
	return "", fmt.Errorf("%s are named; want which", strings.Join(ids, " and "))
}

// assignWeight names the set that holds a weight.
func (s *CheckSheet) assignWeight(w *calib.WeightUse, on []calib.StandardOnDay, at Field) error {
	var holds, sets []string
	for _, set := range on {
		if set.Standard.Kind != calib.WeightSet || w.Standard != "" && w.Standard != set.Standard.ID {
			continue
		}
		sets = append(sets, set.Standard.ID)
		if _, ok := set.Certificate.Weight(w.Nominal.Inner(), w.Mark); ok {
			holds = append(holds, set.Standard.ID)
		}
	}
	text := w.Nominal.String() + w.Mark
	switch {
	case len(sets) == 0 && w.Standard != "":
		return s.refuse(at, "%s of %s: no weight set; want one", text, w.Standard)
	case len(sets) == 0:
		return s.refuse(at, "%s: no weight set is named; want one under standards", text)
	case len(holds) == 0:
		return s.refuse(at, "%s: no weight of %s, or more than one; want one that its certificate lists, two alike with their mark, as 200 g*", text, strings.Join(sets, " or "))
	case len(holds) > 1:
		return s.refuse(at, "%s: in %s; write which, as %s:%s", text, strings.Join(holds, " and "), holds[0], text)
	}
	w.Standard = holds[0]
	return nil
}
