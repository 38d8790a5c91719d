package presser

import (
	"fmt"
	"math"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// loadResult works out the errors of a gauge under known loads, on the way up
// and down, its hysteresis and whether it comes back to zero.
func loadResult(c calib.Check, basis calib.Basis) (*calib.PartResult, error) {
	b, err := newBench(calib.LoadPart, c, basis)
	if err != nil {
		return nil, err
	}
	plan := basis.Plan.Load
	var figures, after []figure
	heaviest := 0.0
	for _, p := range c.Load.Points {
		on, err := b.applied(p)
		if err != nil {
			return nil, err
		}
		heaviest = math.Max(heaviest, on.handled)
		one, more, err := b.loadFigures(p, on, plan)
		if err != nil {
			return nil, fmt.Errorf("load %s: %w", p.Load, err)
		}
		figures, after = append(figures, one...), append(after, more...)
	}
	if len(c.Load.Return) > 0 && len(c.Load.Zero) > 0 {
		zero, err := b.zeroReturn(plan)
		if err != nil {
			return nil, fmt.Errorf("zero return: %w", err)
		}
		after = append(after, zero)
	}
	out, err := b.conclude(append(figures, after...))
	if err != nil {
		return nil, err
	}
	out.Heaviest = heaviest
	out.Notes = append(out.Notes, b.offZero()...)
	return out, nil
}

// offZero says of a gauge that did not stand on its zero before the first load,
// by more than half a step, that its errors carry what it showed: what a gauge
// indicates is judged, and a zero that could have been set is not taken off.
func (b *bench) offZero() []string {
	zero, g := b.check.Load.Zero, b.basis.Gauge
	if len(zero) == 0 {
		return nil
	}
	shown := mean(zero)
	if shown.Abs().Cmp(g.Resolution.Inner().Quo(unit.Whole(2))) <= 0 {
		return nil
	}
	u := zero[0].Indication.Unit()
	return []string{fmt.Sprintf("the zero before the first load was %s %s: the errors are those of what was indicated, and it is not taken off", u.From(shown).Shortest(), u.Symbol())}
}

// Names of the errors on the two ways.
const (
	errorUp   = "error, up"
	errorDown = "error, down"
)

// loadFigures are the errors at one load, and what its directions and its
// readings differ by.
func (b *bench) loadFigures(p calib.LoadPoint, on applied, plan *calib.LoadPlan) (errs, more []figure, err error) {
	var ways []seen
	for _, way := range []struct {
		name     string
		readings []calib.Reading
	}{{errorUp, p.Up}, {errorDown, p.Down}} {
		if len(way.readings) == 0 {
			continue
		}
		s, err := b.indicated(way.readings)
		if err != nil {
			return nil, nil, err
		}
		ways = append(ways, s)
		one, err := b.errorOf(s, on)
		if err != nil {
			return nil, nil, err
		}
		errs = append(errs, one.named(way.name, p.Load).within(b.limit(plan.Limit.Error, plan.Limit.Of, on.value)))
	}
	symbol := b.basis.Gauge.Kind.Dimension()
	if len(ways) == 2 {
		apart := less(ways[1], ways[0], "down", "up", 1)
		apart.Unit = unit.Inner(symbol).Symbol()
		more = append(more, apart.named("hysteresis", p.Load).within(b.limit(plan.Limit.Hysteresis, plan.Limit.Of, on.value)))
	}
	if len(p.Up) > 1 && !plan.Limit.Repeatability.IsZero() {
		spread := b.spreadOf([]calib.PressPoint{{Forward: p.Up}}, stepOfGauge(b.basis.Gauge), 1)
		spread.Unit = unit.Inner(symbol).Symbol()
		_, high := b.limit(plan.Limit.Repeatability, plan.Limit.Of, on.value)
		more = append(more, spread.named("repeatability", p.Load).within(nil, high))
	}
	return errs, more, nil
}

// limit returns the ends ± of a limit at a load, none where it is not given.
func (b *bench) limit(q unit.Quantity, of calib.Share, load unit.Exact) (low, high *unit.Exact) {
	if q.IsZero() || q.Unit().Dimension() != unit.Percent {
		return around(q)
	}
	e := q.Inner().Mul(of.Whole(b.basis.Gauge, load)).Quo(unit.Whole(100))
	n := e.Neg()
	return &n, &e
}

// indicated is a mean indication of the gauge itself.
func (b *bench) indicated(readings []calib.Reading) (seen, error) {
	g := b.basis.Gauge
	d := g.Kind.Dimension()
	repeated, err := b.repeatability(indications(readings), unit.Inner(d).Symbol())
	if err != nil {
		return seen{}, err
	}
	own := []ledger.Line{repeated, b.resolution(calib.Resolution, "resolution of the reading", stepOfGauge(g)),
		b.resolution(calib.ZeroResolution, "resolution of the zero", stepOfGauge(g))}
	return seen{dimension: d, value: mean(readings), own: own, lines: own}, nil
}

// errorOf is an indication less what was applied.
func (b *bench) errorOf(s seen, on applied) (figure, error) {
	out := figure{lines: append(slices.Clone(s.lines), on.lines...)}
	out.Unit, out.Applied, out.Indicated = unit.Inner(s.dimension).Symbol(), on.value, s.value
	out.Value = s.value.Sub(on.value)
	if on.standard != nil {
		other := s.value.Sub(*on.standard)
		out.standard = &other
	}
	more, err := b.added(on.value.Float(), func(d unit.Dimension) (float64, bool) {
		switch d {
		case s.dimension:
			return 1, true
		case unit.Mass:
			return on.perKilogram, on.perKilogram > 0
		}
		return 0, false
	})
	out.lines = append(out.lines, more...)
	return out, err
}

// zeroReturn is the zero after the last load less that before the first.
func (b *bench) zeroReturn(plan *calib.LoadPlan) (figure, error) {
	c := b.check.Load
	g := b.basis.Gauge
	sides := make([]seen, 2)
	for i, readings := range [][]calib.Reading{c.Return, c.Zero} {
		sides[i] = seen{dimension: g.Kind.Dimension(), value: mean(readings), own: []ledger.Line{b.resolution(calib.Resolution, "resolution of the reading", stepOfGauge(g))}}
	}
	out := less(sides[0], sides[1], "after", "before", 1)
	out.Unit = unit.Inner(g.Kind.Dimension()).Symbol()
	of := calib.OfFullScale
	if plan.Limit.Of == calib.OfSpan {
		of = calib.OfSpan
	}
	return out.named("zero return", unit.Quantity{}).within(b.limit(plan.Limit.ZeroReturn, of, unit.Exact{})), nil
}

// An applied load is what weights did to a gauge, in the inner unit of the
// gauge's dimension. Its lines have their sensitivity to the error.
type applied struct {
	value       unit.Exact
	standard    *unit.Exact // value with standard gravity; nil where gravity does not enter
	lines       []ledger.Line
	perKilogram float64 // of the gauge's unit, on one kilogram
	handled     float64 // mass that a person lifts, kg
}

// nearLoad is how far, relative, weights may be from the plan's load (house
// rule: nominal loads in N are made of whole weights in g).
func nearLoad() unit.Exact { return unit.Ratio(5, 100) }

// applied works out a load of a check.
func (b *bench) applied(p calib.LoadPoint) (applied, error) {
	place := "load " + p.Load.String()
	loads, err := b.weights(place, p.Weights)
	if err != nil {
		return applied{}, err
	}
	var out applied
	switch b.basis.Gauge.Kind.Dimension() {
	case unit.Mass:
		out, err = b.asMass(loads)
	case unit.Force:
		out, err = b.asForce(loads)
	case unit.Pressure:
		out, err = b.asPressure(loads)
	default:
		return out, &PlaceError{place, b.basis.Gauge.ID + " is read in a length", "want a scale, a force gauge or a pressure gauge"}
	}
	if err != nil {
		return out, fmt.Errorf("%s: %w", place, err)
	}
	if off := out.value.Sub(p.Load.Inner()).Abs(); off.Cmp(nearLoad().Mul(p.Load.Inner().Abs())) > 0 {
		u := p.Load.Unit()
		return out, &PlaceError{place, fmt.Sprintf("the weights make %s %s", u.From(out.value).Text(3), u.Symbol()), "want the load within 5 %"}
	}
	for _, l := range loads {
		out.handled += l.mass.Float()
	}
	return out, nil
}

// A load is the weights of one certificate: their errors are one laboratory's
// and add linearly (JCGM 100:2008, 5.2.2, note 1), as those of one class do.
type load struct {
	from        calib.StandardOnDay
	mass        unit.Exact // conventional, kg
	calibrated  float64    // standard uncertainty, kg
	dof         float64    // of it; +Inf where exact
	class       float64    // half-width of those known by their class, kg
	density, hw float64    // kg/m³, and its half-width
}

// airMass is what a scale indicates less of these loads for each kg/m³ that the
// air is denser than 1.2: adjusted with weights of the conventional density, it
// indicates (ρ_a − 1.2)·(1/ρ − 1/8000) less of a load of another density.
func (l load) airMass() float64 {
	return l.mass.Float() * (1/l.density - 1/conventionalDensity)
}

// densityLine is that of the density of the weights, in the unit of a load that
// they make: ∂L/∂ρ = L·(ρ_a − 1.2)/ρ². An air that was taken as 1.2 kg/m³ is not
// known to be: with the first-order term gone its product with the air's own
// uncertainty remains (JCGM 100:2008, 5.1.2 note), and both stand in one line,
// (ρ_a − 1.2)² + u²(ρ_a) in the place of (ρ_a − 1.2)².
func (l load) densityLine(made float64, air calib.Environ) []ledger.Line {
	off := math.Hypot(air.Value-conventionalAir, air.Standard)
	if l.hw == 0 || off == 0 {
		return nil
	}
	return []ledger.Line{{Kind: calib.AirBuoyancy, Name: "density of the weights " + l.from.Standard.ID, Source: "its record, or 8000 kg/m³ taken",
		Unit: "kg/m³", C: -made * off / (l.density * l.density), What: uncertainty.Rectangular(l.hw)}}
}

// asMass is the load on a scale: conventional masses, which it indicates.
func (b *bench) asMass(loads []load) (applied, error) {
	out := applied{perKilogram: 1}
	for _, l := range loads {
		out.value = out.value.Add(l.mass)
		out.lines = append(out.lines, l.lines(-1)...)
	}
	if _, sized := b.sizedBy(calib.AirBuoyancy); sized {
		return out, nil
	}
	a, err := AirOf(b.check.Conditions, b.basis.House)
	if err != nil {
		return out, err
	}
	b.air = &a
	c := 0.0
	for _, l := range loads {
		c += l.airMass()
		out.lines = append(out.lines, l.densityLine(l.mass.Float(), a)...)
	}
	if c != 0 { // in air of 1.2 kg/m³ nothing is taken off, whatever the density
		out.value = out.value.Sub(unit.Decimal(c * (a.Value - conventionalAir)))
		out.lines = append(out.lines, ledger.Line{Kind: calib.AirBuoyancy, Name: "density of the air", Source: a.Source, Unit: "kg/m³", C: c, What: spreadOf(a)})
	}
	return out, nil
}

// asForce is what the weights pull or press with.
func (b *bench) asForce(loads []load) (applied, error) {
	g, air, err := b.site()
	if err != nil {
		return applied{}, err
	}
	var out applied
	sum, byAir := 0.0, 0.0
	for _, l := range loads {
		force := Weight(l.mass.Float(), l.density, air.Value, g.Value)
		sum += force
		byAir += force / (l.density - air.Value)
		out.perKilogram = force / l.mass.Float()
		out.lines = append(out.lines, l.lines(-out.perKilogram)...)
		out.lines = append(out.lines, l.densityLine(force, air)...)
	}
	out.value = unit.Decimal(sum)
	out.standard = b.underStandardGravity(out.value, true)
	out.lines = append(out.lines, ledger.Line{Kind: calib.LocalGravity, Name: "gravity", Source: g.Source, Unit: "m/s²", C: -sum / g.Value, What: spreadOf(g)})
	if _, sized := b.sizedBy(calib.AirBuoyancy); !sized {
		out.lines = append(out.lines, ledger.Line{Kind: calib.AirBuoyancy, Name: "density of the air", Source: air.Source, Unit: "kg/m³", C: byAir, What: spreadOf(air)})
	}
	return out, nil
}
