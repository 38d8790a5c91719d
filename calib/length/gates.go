package length

import (
	"cmp"
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

// A StopError carries every finding that stops a check.
type StopError = calib.StopError

// Findings looks at every gate and returns what was not met, in a fixed order.
// Findings that the plan ignores are left out.
func Findings(c calib.Check, b calib.Basis) []calib.Finding {
	g := gatekeeper{check: c, basis: b}
	g.status()
	for _, s := range b.Standards {
		g.standard(s)
	}
	g.found = append(g.found, b.Surroundings(c)...)
	g.expansion()
	g.zero()
	g.missingPoints()
	for i, p := range c.Points {
		g.point(i+1, p)
	}
	return g.found
}

// zero holds the readings of the zero to their number and to the gauge's low
// end.
func (g *gatekeeper) zero() {
	plan := g.basis.Plan
	if plan.Zero == calib.ZeroNone {
		return
	}
	switch n := len(g.check.Zero); {
	case n == 0:
		g.find(calib.GateReadings, 0, "the zero was not read; the plan wants it taken first")
	case plan.Zero == calib.ZeroSubtracted && n < plan.Minimum:
		g.find(calib.GateReadings, 0, "%d of the %d readings of the zero that the plan wants", n, plan.Minimum)
	}
	g.believe(0, "zero", g.check.Zero, g.basis.Gauge.Low, unit.Exact{})
	g.spread(0, g.check.Zero)
}

// expansion names a check away from 20 °C in which the blocks or the gauge
// have no coefficient, so that nothing could be corrected.
func (g *gatekeeper) expansion() {
	at := g.check.Conditions
	if theta(at.Gauge).IsZero() && theta(at.BlocksAt()).IsZero() {
		return
	}
	if g.basis.Gauge.Material.Coefficient.IsZero() {
		g.find(calib.GateExpansion, 0, "%s at %s has no coefficient of expansion; amend it with its material", g.basis.Gauge.ID, at.Gauge)
	}
	for _, s := range g.basis.Standards {
		if s.Standard.Kind.OfLength() && s.Standard.Material.Coefficient.IsZero() {
			g.find(calib.GateExpansion, 0, "%s at %s has no coefficient of expansion; enter it with its material", s.Standard.ID, at.BlocksAt())
		}
	}
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

func (g *gatekeeper) status() {
	if why := g.basis.OutOfUse(); why != "" {
		g.find(calib.GateStatus, 0, "%s", why)
	}
}

func (g *gatekeeper) standard(s calib.StandardOnDay) {
	cert := s.Certificate
	if why := s.OutOfDate(g.check.Date); why != "" {
		g.find(calib.GateStandardDate, 0, "%s", why)
	}
	if cert.Number == "" {
		return
	}
	if s.Standard.Kind == calib.Thermometer {
		g.thermometer(s)
	}
	if s.Standard.Kind.OfLength() && len(cert.Values) > 0 && !anyCalibrated(cert.Values) {
		g.find(calib.GateNoValues, 0, "%s: certificate %s states a grade and no values", s.Standard.ID, cert.Number)
	}
}

// thermometer holds the temperatures that were read to the range in which the
// thermometer was calibrated, where its certificate has values.
func (g *gatekeeper) thermometer(s calib.StandardOnDay) {
	values := s.Certificate.Values
	if len(values) < 2 {
		return
	}
	low, high := values[0].Nominal, values[0].Nominal
	for _, v := range values {
		if v.Nominal.Inner().Cmp(low.Inner()) < 0 {
			low = v.Nominal
		}
		if v.Nominal.Inner().Cmp(high.Inner()) > 0 {
			high = v.Nominal
		}
	}
	for _, t := range []unit.Quantity{g.check.Conditions.Gauge, g.check.Conditions.Blocks} {
		if !t.IsZero() && (t.Inner().Cmp(low.Inner()) < 0 || t.Inner().Cmp(high.Inner()) > 0) {
			g.find(calib.GateStandardRange, 0, "%s was read at %s; its certificate %s holds from %s to %s", s.Standard.ID, t, s.Certificate.Number, low, high)
		}
	}
}

func anyCalibrated(values []calib.Value) bool {
	for _, v := range values {
		if v.Calibrated() {
			return true
		}
	}
	return false
}

func outside(t, low, high unit.Quantity) bool {
	return (!low.IsZero() && t.Inner().Cmp(low.Inner()) < 0) || (!high.IsZero() && t.Inner().Cmp(high.Inner()) > 0)
}

func (g *gatekeeper) missingPoints() {
	for _, want := range g.basis.Plan.Points {
		taken := false
		for _, p := range g.check.Points {
			taken = taken || p.Nominal.Same(want)
		}
		if f, counts := g.basis.Missing(g.check, calib.LengthPart, "point", want); !taken && counts {
			g.found = append(g.found, f)
		}
	}
}

func (g *gatekeeper) point(n int, p calib.Point) {
	gauge, plan := g.basis.Gauge, g.basis.Plan
	if outside(p.Nominal, gauge.Low, gauge.High) {
		g.find(calib.GateRange, n, "%s; %s reads from %s to %s", p.Nominal, gauge.ID, gauge.Low, gauge.High)
	}
	if len(p.Readings) < plan.Minimum {
		g.find(calib.GateReadings, n, "%d of the %d readings that the plan wants", len(p.Readings), plan.Minimum)
	}
	zero := unit.Exact{}
	if plan.Zero == calib.ZeroSubtracted && len(g.check.Zero) > 0 {
		zero = mean(g.check.Zero).Sub(gauge.Low.Inner())
	}
	g.believe(n, "reading", p.Readings, p.Nominal, zero)
	g.spread(n, p.Readings)
}

// believe names each reading that is off by more than can be believed, less
// the zero that is subtracted from it.
func (g *gatekeeper) believe(point int, what string, readings []calib.Reading, on unit.Quantity, zero unit.Exact) {
	most := g.believable()
	u := most.Unit()
	for i, r := range readings {
		off := r.Indication.Inner().Sub(zero).Sub(on.Inner())
		if off.Abs().Cmp(most.Inner()) > 0 {
			g.find(calib.GateBelievable, point, "%s %d: %s on %s is off by %s, more than the believable ±%s",
				what, i+1, r.Indication, on, signed(unit.Of(u.From(off), u)), most)
		}
	}
}

// wide is the probability with which readings of the pooled spread are called
// too wide by chance (house rule).
const wide = 0.01

// spread names readings that scatter more than the plan's pooled s lets them:
// F = s²/s_p² against its quantile (NIST/SEMATECH e-Handbook, 2.2: repeatability
// of a check standard; from memory).
func (g *gatekeeper) spread(point int, readings []calib.Reading) {
	pooled, dof := g.pooled()
	n := float64(len(readings))
	if pooled == 0 || n < 2 {
		return
	}
	s, err := stat.StdDev(indications(readings))
	if err != nil {
		return
	}
	if p, err := stat.FSurvival(s*s/(pooled*pooled), n-1, dof); err == nil && p < wide {
		g.find(calib.GateSpread, point, "%d readings with s = %.3g µm; the plan's pooled s is %.3g µm", len(readings), s*1000, pooled*1000)
	}
}

// pooled is the plan's pooled s in mm with its degrees of freedom, 0 where it
// has none.
func (g *gatekeeper) pooled() (s, dof float64) {
	for _, c := range g.basis.Plan.Contributions {
		if c.Kind == calib.Repeatability && !c.PooledS.IsZero() {
			return c.PooledS.Inner().Float(), cmp.Or(c.PooledDoF, manyDoF)
		}
	}
	return 0, 0
}

// manyDoF stands for infinite degrees of freedom where a quantile wants a number.
const manyDoF = 1e6

// signed writes a quantity with its sign, all of its digits.
func signed(q unit.Quantity) string {
	if q.Value().Sign() > 0 {
		return "+" + q.String()
	}
	return q.String()
}

// believable is the plan's figure, or the gauge's whole range where the plan
// has none: further off than that no reading can be (house rule).
func (g *gatekeeper) believable() unit.Quantity {
	if q := g.basis.Plan.Believable; !q.IsZero() {
		return q
	}
	u := g.basis.Gauge.ReadIn()
	return unit.Of(u.From(g.basis.Gauge.High.Inner().Sub(g.basis.Gauge.Low.Inner())), u)
}
