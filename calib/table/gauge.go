package table

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/limits"
	"example.org/wring/uncertainty/unit"
)

// A GaugeLine is one line of a table of gauges.
type GaugeLine struct {
	Gauge   calib.Gauge
	Status  calib.StatusChange // without a status where the line says none
	Earlier calib.EarlierCheck // without a date where the line says none
}

// ID is the identity that stands in the line of a gauge or a standard.
func (r Record) ID() string { return r.text(kindOf(r.file.Kind).Columns[0].Name) }

func kindOf(name string) Kind {
	for _, k := range kinds {
		if k.Name == name {
			return k
		}
	}
	return Kind{}
}

// Gauge reads a line over what is known of the gauge: an empty cell leaves a
// field as it is. A new gauge of length is read in the house's unit unless the
// line says another.
func (r Record) Gauge(known calib.Gauge, houseUnit string) (GaugeLine, error) {
	g := known
	g.ID = r.ID()
	if err := word(r, "kind", calib.Kinds(), &g.Kind); err != nil {
		return GaugeLine{}, r.fault(err)
	}
	if g.Unit == "" && g.Kind.Dimension() == unit.Length {
		g.Unit = houseUnit
	}
	for column, field := range map[string]*string{"description": &g.Description, "maker": &g.Maker, "type": &g.Type, "serial": &g.Serial,
		"software": &g.Software, "unit": &g.Unit, "plan": &g.Plan, "seal": &g.Seal, "place": &g.Place, "owner": &g.Owner} {
		r.line(column, field)
	}
	out := GaugeLine{}
	err := first(r.months("interval", &g.IntervalMonths), r.uses("interval_uses", &g.IntervalUses), r.months("intermediate", &g.IntermediateMonths), r.truth("due_agreed", &g.DueAgreed),
		r.gaugeSizes(&g), r.material(&g.Material), r.status(g.ID, &out.Status), r.earlier(g.ID, &out.Earlier))
	out.Gauge = g
	return out, r.fault(err)
}

func (r Record) gaugeSizes(g *calib.Gauge) error {
	u, d := g.ReadIn(), g.Kind.Dimension()
	switch {
	case g.Kind == "":
		return errors.New("kind: nothing given; want one of " + names(calib.Kinds(), func(k calib.Kind) string { return string(k) }))
	case u.IsZero():
		return fmt.Errorf("unit: %q: want one of %s", clip(g.Unit), strings.Join(unit.Symbols(d), ", "))
	}
	if err := r.spread(d, u, g); err != nil {
		return err
	}
	area := unit.Quantity{}
	if err := first(r.quantity("low", d, u, &g.Low), r.quantity("high", d, u, &g.High), r.quantity("resolution", d, u, &g.Resolution),
		r.quantity("flatness", unit.Length, unit.Unit{}, &g.Flatness), r.quantity("parallelism", unit.Length, unit.Unit{}, &g.Parallelism),
		r.quantity("foot_diameter", unit.Length, u, &g.FootDiameter), r.quantity("foot_area", unit.Area, unit.Unit{}, &area)); err != nil {
		return err
	}
	foot, fallback := unit.Length, u
	if !area.IsZero() {
		g.FootArea = area
	}
	if !g.FootArea.IsZero() {
		foot, fallback = unit.Area, unit.Unit{}
	}
	return r.quantity("foot_expanded", foot, fallback, &g.FootExpanded)
}

// spread reads a range out of one cell.
func (r Record) spread(d unit.Dimension, u unit.Unit, g *calib.Gauge) error {
	list := r.cells["range"]
	if len(list) == 0 {
		return nil
	}
	parts := regexp.MustCompile(`^([+-]?[0-9][0-9.,]*?)\s*(?:\.\.\.?|…|–|—|-|to)\s*([+-]?[0-9][0-9.,]*)\s*([^0-9]*)$`).FindStringSubmatch(list[0].text)
	if parts == nil {
		return fmt.Errorf("range: %q: not a range; want its low and high end, as 0..25", clip(list[0].text))
	}
	if list[0].unit != "" && parts[3] == "" {
		parts[3] = list[0].unit
	}
	var errs [2]error
	g.Low, errs[0] = unit.Parse(strings.TrimSpace(r.decimal(parts[1])+" "+parts[3]), d, u)
	g.High, errs[1] = unit.Parse(strings.TrimSpace(r.decimal(parts[2])+" "+parts[3]), d, u)
	if err := first(errs[:]...); err != nil {
		return fmt.Errorf("range: %w", err)
	}
	return nil
}

func (r Record) status(id string, into *calib.StatusChange) (err error) {
	*into = calib.StatusChange{Gauge: id, Reason: r.text("status_reason")}
	if err := word(r, "status", calib.Statuses(), &into.Status); err != nil {
		return err
	}
	into.Date, err = r.date("status_since")
	return err
}

func (r Record) earlier(id string, into *calib.EarlierCheck) (err error) {
	*into = calib.EarlierCheck{Gauge: id, Certificate: r.text("last_certificate")}
	if into.Date, err = r.date("last_check"); err != nil {
		return err
	}
	return word(r, "last_verdict", calib.EarlierVerdicts(), &into.Verdict)
}

// GaugeRow is the inverse of [Record.Gauge]: a line in the order of the
// columns of gauges.
func GaugeRow(l GaugeLine) []string {
	g := l.Gauge
	material, expansion, half := materialCells(g.Material)
	u := g.ReadIn()
	return []string{g.ID, string(g.Kind), g.Description, g.Maker, g.Type, g.Serial, g.Software, "", bare(g.Low, u), bare(g.High, u), bare(g.Resolution, u), g.Unit,
		g.Plan, whole(g.IntervalMonths), whole(g.IntervalUses), whole(g.IntermediateMonths), yes(g.DueAgreed), material, expansion, half, g.Flatness.String(), g.Parallelism.String(),
		g.FootDiameter.String(), g.FootArea.String(), g.FootExpanded.String(), g.Seal, g.Place, g.Owner,
		string(l.Status.Status), l.Status.Date.String(), l.Status.Reason, l.Earlier.Date.String(), string(l.Earlier.Verdict), l.Earlier.Certificate}
}

// Heading lists the columns of a table that can be read, in order.
func Heading(kind string) (out []string) {
	for _, c := range kindOf(kind).Columns {
		out = append(out, c.Name)
	}
	return out
}

// bare is a quantity as a number alone where it is in the unit that the line
// names, so that a spreadsheet can count with it.
func bare(q unit.Quantity, u unit.Unit) string {
	if !q.IsZero() && q.Unit().Symbol() == u.Symbol() {
		return q.Number()
	}
	return q.String()
}

func materialCells(m calib.Material) (name, expansion, half string) {
	if known, ok := limits.Material(m.Name); ok && known.Coefficient.Same(m.Coefficient) && known.HalfWidth.Same(m.HalfWidth) {
		return m.Name, "", ""
	}
	return "", m.Coefficient.String(), m.HalfWidth.String()
}

func whole(n int) string {
	if n == 0 {
		return ""
	}
	return fmt.Sprint(n)
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return ""
}
