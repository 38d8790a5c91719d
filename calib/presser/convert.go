package presser

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// A foot is what a force bears on: mm² with its lines, whose sensitivity is
// the relative one, so that a pressure p has C·p.
type foot struct {
	area     float64 // mm²; 0 where the gauge's record has none
	diameter *seen   // as measured or on record; of a round foot of the area on record
	lines    []ledger.Line
}

// errNoFoot is what is said of a pressure without a foot.
func errNoFoot(g calib.Gauge) error {
	return &ledger.SizeError{Kind: calib.FootSize, Found: g.ID + " has neither a foot diameter nor a foot area recorded",
		Want: "amend the gauge, or measure the diameter with the check"}
}

// footOf works out the foot's area: from its diameter as measured with the
// check, or from the gauge's record. The plan's size of it takes the place of
// the record's uncertainty.
func (b *bench) footOf(c calib.FootCheck) (foot, error) {
	g := b.basis.Gauge
	switch {
	case len(c.Diameter) > 0:
		return b.measuredFoot(c)
	case !g.FootDiameter.IsZero():
		line, err := b.footLine(g.FootDiameter, "diameter of the foot")
		if err != nil {
			return foot{}, err
		}
		return roundFoot(seen{dimension: unit.Length, value: g.FootDiameter.Inner(), lines: []ledger.Line{line}})
	case !g.FootArea.IsZero():
		line, err := b.footLine(g.FootArea, "area of the foot")
		return flatFoot(g.FootArea.Inner().Float(), line), err
	}
	return foot{}, nil
}

// footLine sizes what the record says of a foot.
func (b *bench) footLine(q unit.Quantity, name string) (ledger.Line, error) {
	if c, ok := b.sizedBy(calib.FootSize); ok {
		return plannedFoot(c, name, q.Inner().Float(), q.Unit().Dimension())
	}
	g := b.basis.Gauge
	l := ledger.Line{Kind: calib.FootSize, Name: name, Unit: innerOf(q), C: 1}
	if g.FootExpanded.IsZero() {
		return l, &ledger.SizeError{Kind: calib.FootSize, Found: "no uncertainty is known of the foot's " + q.String(), Want: "amend the gauge with it, or give the plan a size"}
	}
	l.Source, l.What = "the gauge's record, U "+g.FootExpanded.String()+", k = 2", uncertainty.Expanded(g.FootExpanded.Inner().Float(), 2)
	return l, nil
}

// plannedFoot is the plan's size of a foot's diameter or area, whose value is
// in the inner unit of dimension d.
func plannedFoot(c calib.Contribution, name string, value float64, d unit.Dimension) (ledger.Line, error) {
	got := dimensionOf(c)
	l := ledger.Line{Kind: calib.FootSize, Name: cmp.Or(c.Name, name), Source: ledger.SourceOf(c), Unit: unit.Inner(got).Symbol(), C: 1, What: ledger.Sized(c, 0)}
	switch got {
	case unit.Percent:
		l.C = value / 100
	case d:
	default:
		return l, &ledger.SizeError{Kind: c.Kind, Found: "is a " + string(got), Want: "want a " + string(d) + ", as the foot is known by, or per cent"}
	}
	return l, nil
}

// measuredFoot reads the diameter off an instrument, corrected for its error.
func (b *bench) measuredFoot(c calib.FootCheck) (foot, error) {
	on, err := b.used("foot: diameter", c.DiameterBy, calib.LengthGauge)
	if err != nil {
		return foot{}, err
	}
	alone := *b
	alone.terms.Contributions, alone.groups = nil, nil // what the plan sizes is the balance's
	d, err := alone.see("foot: diameter", on, c.Diameter)
	if err != nil {
		return foot{}, err
	}
	for i := range d.lines {
		d.lines[i].Kind, d.lines[i].Name = calib.FootSize, "foot: "+d.lines[i].Name
	}
	if c, ok := b.sizedBy(calib.FootSize); ok { // beside the readings: a foot that is not quite round
		l, err := plannedFoot(c, "form of the foot", d.value.Float(), unit.Length)
		if err != nil {
			return foot{}, err
		}
		d.lines = append(d.lines, l)
	}
	return roundFoot(d)
}

// roundFoot takes the area from a diameter: A = π·d²/4, so that a pressure has
// the sensitivity −2·p/d.
func roundFoot(d seen) (foot, error) {
	mm := d.value.Float()
	if !(mm > 0) {
		return foot{}, &PlaceError{"foot: diameter", d.value.Text(3) + " mm", "want a size above 0"}
	}
	f := foot{area: CircleArea(mm), diameter: &d, lines: slices.Clone(d.lines)}
	for i := range f.lines {
		f.lines[i].C *= -2 / mm
	}
	return f, nil
}

// flatFoot is a foot that is known by its area. Its diameter is that of a round
// foot of that area, d = 2·√(A/π), so that ∂d/∂A = d/(2·A).
func flatFoot(area float64, line ledger.Line) foot {
	mm := 2 * math.Sqrt(area/math.Pi)
	across := line
	across.C *= mm / (2 * area)
	line.C /= -area
	return foot{area: area, lines: []ledger.Line{line}, diameter: &seen{dimension: unit.Length, value: unit.Decimal(mm), lines: []ledger.Line{across}}}
}

// newtons returns how many N one inner unit of a dimension is on a foot.
func (b *bench) newtons(d unit.Dimension, f foot) (float64, error) {
	switch d {
	case unit.Force:
		return 1, nil
	case unit.Mass:
		g, air, err := b.site()
		return perKilogram(g.Value, air.Value), err
	case unit.Pressure:
		if !(f.area > 0) {
			return 0, errNoFoot(b.basis.Gauge)
		}
		return f.area / kilopascals, nil
	}
	return 0, fmt.Errorf("a %s is no force; want a force, a mass or a pressure", d)
}

// rate is how many inner units of a dimension one of another is on a foot:
// exactly 1, and without gravity, where both are the same.
func (b *bench) rate(from, to unit.Dimension, f foot) (float64, error) {
	if from == to {
		return 1, nil
	}
	n, err := b.newtons(from, f)
	if err != nil {
		return 0, err
	}
	per, err := b.newtons(to, f)
	return n / per, err
}

// as turns what an instrument indicated into a figure of another dimension,
// with the lines that this costs.
func (b *bench) as(to unit.Dimension, s seen, f foot) (figure, error) {
	rate, err := b.rate(s.dimension, to, f)
	if err != nil {
		return figure{}, err
	}
	out := figure{lines: slices.Clone(s.lines)}
	out.Unit, out.Value = unit.Inner(to).Symbol(), s.value
	if s.dimension != to {
		out.Value = s.value.Mul(unit.Decimal(rate))
	}
	for i := range out.lines {
		out.lines[i].C *= rate
	}
	value := out.Value.Float()
	if s.dimension != to && (s.dimension == unit.Mass || to == unit.Mass) {
		out.lines = append(out.lines, b.siteLines(value, s.dimension == unit.Mass)...)
		out.standard = b.underStandardGravity(out.Value, s.dimension == unit.Mass)
	}
	if to == unit.Pressure {
		for _, l := range f.lines {
			l.C *= value
			out.lines = append(out.lines, l)
		}
	}
	more, err := b.added(value, func(d unit.Dimension) (float64, bool) {
		per, err := b.rate(d, to, f)
		return per, err == nil
	})
	out.lines = append(out.lines, more...)
	return out, err
}

// siteLines are those of gravity and air for a value that is proportional to
// what a kilogram weighs, or inversely so.
func (b *bench) siteLines(value float64, proportional bool) []ledger.Line {
	sign := 1.0
	if !proportional {
		sign = -1
	}
	return []ledger.Line{
		{Kind: calib.LocalGravity, Name: "gravity", Source: b.gravity.Source, Unit: "m/s²", C: sign * value / b.gravity.Value, What: spreadOf(*b.gravity)},
		{Kind: calib.AirBuoyancy, Name: "density of the air", Source: b.air.Source, Unit: "kg/m³",
			C: -sign * value / (conventionalDensity - b.air.Value), What: spreadOf(*b.air)},
	}
}

// underStandardGravity is what a value would be, had standard gravity been
// taken for that of the place.
func (b *bench) underStandardGravity(value unit.Exact, proportional bool) *unit.Exact {
	share := unit.Decimal(StandardGravity / b.gravity.Value)
	if !proportional {
		share = unit.Whole(1).Quo(share)
	}
	out := value.Mul(share)
	return &out
}
