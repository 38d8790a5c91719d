package presser

import (
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// Findings looks at the gates of the parts that are judged by force and
// returns what was not met, in a fixed order. Findings that the plan ignores
// are left out. What cannot be looked at at all is an error.
func Findings(c calib.Check, b calib.Basis) ([]calib.Finding, error) {
	g := &gatekeeper{check: c, basis: b}
	if why := b.OutOfUse(); why != "" {
		g.find(calib.GateStatus, 0, "%s", why)
	}
	for _, s := range b.Standards {
		if why := s.OutOfDate(c.Date); why != "" {
			g.find(calib.GateStandardDate, 0, "%s", why)
		}
	}
	g.found = append(g.found, b.Surroundings(c)...)
	if c.Foot != nil && b.Plan.Foot != nil {
		plan := b.Plan.Foot
		g.missing(calib.FootPart, "opening", plan.Openings, presses(c.Foot.Points))
		g.presses(calib.FootPart, "lowering", "lifting", true, plan.PartTerms, c.Foot.Points, c.Foot.Instrument)
	}
	if c.Force != nil && b.Plan.Force != nil {
		plan := b.Plan.Force
		g.missing(calib.ForcePart, "place", plan.Points, presses(c.Force.Points))
		g.presses(calib.ForcePart, "in", "out", plan.Return, plan.PartTerms, c.Force.Points, c.Force.Instrument)
	}
	if c.Load != nil && b.Plan.Load != nil {
		if err := g.loads(*b.Plan.Load, *c.Load); err != nil {
			return nil, err
		}
	}
	return g.found, nil
}

// gatekeeper collects findings.
type gatekeeper struct {
	check calib.Check
	basis calib.Basis
	found []calib.Finding
}

func (g *gatekeeper) find(gate calib.Gate, point int, format string, args ...any) {
	if a := g.basis.Plan.ActionOf(gate); a != calib.Ignore {
		g.found = append(g.found, calib.Finding{Gate: gate, Point: point, Text: fmt.Sprintf(format, args...), Action: a})
	}
}

func presses(points []calib.PressPoint) []unit.Quantity {
	var out []unit.Quantity
	for _, p := range points {
		out = append(out, p.At)
	}
	return out
}

// missing names what the plan wants and the check did not take.
func (g *gatekeeper) missing(part calib.Part, what string, want, taken []unit.Quantity) {
	for _, w := range want {
		found := false
		for _, t := range taken {
			found = found || t.Same(w)
		}
		if f, counts := g.basis.Missing(g.check, part, what, w); !found && counts {
			g.found = append(g.found, f)
		}
	}
}

// presses looks at openings: within the gauge's range, enough readings in each
// direction, within the instrument's certificate.
func (g *gatekeeper) presses(part calib.Part, forward, back string, returns bool, terms calib.PartTerms, points []calib.PressPoint, instrument string) {
	gauge := g.basis.Gauge
	on, known := g.basis.Find(instrument)
	for i, p := range points {
		if p.At.Inner().Cmp(gauge.Low.Inner()) < 0 || p.At.Inner().Cmp(gauge.High.Inner()) > 0 {
			g.find(calib.GateRange, i+1, "opening %s; %s reads from %s to %s", p.At, gauge.ID, gauge.Low, gauge.High)
		}
		g.enough(i+1, p.At, forward, p.Forward, terms)
		if returns || len(p.Back) > 0 {
			g.enough(i+1, p.At, back, p.Back, terms)
		}
		for _, list := range [][]calib.Reading{p.Forward, p.Back} {
			for _, r := range list {
				if known && r.Indication.Unit().Dimension() == on.Standard.Kind.Dimension() {
					if why := beyond(on, r.Indication); why != "" {
						g.find(calib.GateStandardRange, i+1, "%s", why)
					}
				}
			}
		}
		g.believe(part, i+1, p.At, forward, p.Forward)
		g.believe(part, i+1, p.At, back, p.Back)
	}
}

// believe names each reading that is taken for a slip.
func (g *gatekeeper) believe(part calib.Part, point int, at unit.Quantity, way string, readings []calib.Reading) {
	for i, r := range readings {
		if why := Unbelievable(part, at, r.Indication, g.check, g.basis); why != "" {
			g.find(calib.GateBelievable, point, "%s %d: %s", way, i+1, why)
		}
	}
}

func (g *gatekeeper) enough(point int, at unit.Quantity, way string, readings []calib.Reading, terms calib.PartTerms) {
	if len(readings) < terms.Minimum {
		g.find(calib.GateReadings, point, "%s, %s: %d of the %d readings that the plan wants", at, way, len(readings), terms.Minimum)
	}
}

// loads looks at loads before and after they were hung: none beyond the gauge's
// range, weights with values where the plan wants them, both directions and
// the zero where the plan asks for what they say.
func (g *gatekeeper) loads(plan calib.LoadPlan, c calib.LoadCheck) error {
	gauge := g.basis.Gauge
	b, err := newBench(calib.LoadPart, g.check, g.basis)
	if err != nil {
		return err
	}
	var taken []unit.Quantity
	for i, p := range c.Points {
		taken = append(taken, p.Load)
		on, err := b.applied(p)
		if err != nil {
			return err
		}
		switch most := gauge.High.Inner(); {
		case p.Load.Inner().Cmp(most) > 0:
			g.find(calib.GateRange, i+1, "a load of %s; %s bears %s to %s, so it must not be put on", p.Load, gauge.ID, gauge.Low, gauge.High)
		case on.value.Cmp(most.Add(most.Mul(overLoad()))) > 0:
			u := p.Load.Unit()
			g.find(calib.GateRange, i+1, "the weights for %s make %s %s; %s bears %s to %s, so they must not be put on",
				p.Load, u.From(on.value).Text(3), u.Symbol(), gauge.ID, gauge.Low, gauge.High)
		}
		g.enough(i+1, p.Load, "up", p.Up, plan.PartTerms)
		if plan.Down {
			g.enough(i+1, p.Load, "down", p.Down, plan.PartTerms)
		}
		g.certified(i+1, plan, p.Weights)
		g.believe(calib.LoadPart, i+1, p.Load, "up", p.Up)
		g.believe(calib.LoadPart, i+1, p.Load, "down", p.Down)
	}
	g.missing(calib.LoadPart, "load", plan.Loads, taken)
	g.believe(calib.LoadPart, 0, unit.Quantity{}, "zero", c.Zero)
	g.believe(calib.LoadPart, 0, unit.Quantity{}, "zero, after the last load", c.Return)
	if !plan.Limit.ZeroReturn.IsZero() && (len(c.Zero) == 0 || len(c.Return) == 0) {
		g.find(calib.GateReadings, 0, "the zero was not read before the first load and after the last; the plan limits its return")
	}
	return nil
}

// overLoad is how far, relative, whole weights may go beyond the end of a range
// (house rule: what a gauge of the trade surely bears).
func overLoad() unit.Exact { return unit.Ratio(1, 100) }

// certified names weights that are known by their class alone where the plan
// wants values.
func (g *gatekeeper) certified(point int, plan calib.LoadPlan, uses []calib.WeightUse) {
	if !plan.Certified {
		return
	}
	for _, w := range uses {
		s, _ := g.basis.Find(w.Standard)
		if v, ok := s.Certificate.Weight(w.Nominal.Inner(), w.Mark); ok && !v.Calibrated() {
			g.find(calib.GateNoValues, point, "weight %s of %s is known by its class; the plan wants a value with its uncertainty", weightText(w), w.Standard)
		}
	}
}
