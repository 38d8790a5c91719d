package agreement

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

const (
	coverage   = 2    // k of both expanded uncertainties, ISO 13528:2022, 9.6 (clause from memory)
	confidence = 0.95 // of the interval of the mean difference, as k = 2 stands for

	// alike is by how much of itself a pressure, a foot or a dwell may differ
	// and still be the same (house rule: the bands of the usual methods are of
	// that width).
	alike = 0.05
)

// A Basis is how the gauges of both sides stood on the day, where they are in
// this registry.
type Basis struct{ A, B calib.Standing }

// Evaluate compares. It refuses what [Comparison.Sound] does, and a gauge that
// is not there. The same comparison and basis give the same result, bit for
// bit.
func Evaluate(c Comparison, on Basis) (Result, error) {
	if err := c.Sound(); err != nil {
		return Result{}, err
	}
	for _, g := range []struct {
		id string
		on calib.Standing
	}{{c.A.Gauge, on.A}, {c.B.Gauge, on.B}} {
		if why := g.on.Refused(); why != "" {
			return Result{}, fmt.Errorf("gauge %s: %s", g.id, why)
		}
	}
	r := Result{Unit: unit.Inner(c.Specimens[0].A.Size.Unit().Dimension()).Symbol(), Agree: true}
	r.method(c)
	var off []float64
	for _, s := range c.Specimens {
		x := s.result()
		off = append(off, x.Difference)
		r.Specimens = append(r.Specimens, x)
		r.Worst = math.Max(r.Worst, math.Abs(x.En))
	}
	r.Agree = r.Worst <= 1
	if err := r.interval(off, c.rounding()); err != nil {
		return Result{}, err
	}
	r.suspects(c)
	r.read(c)
	marks := on.A.Marks(c.A.Gauge, c.Date)
	if c.B.Gauge != c.A.Gauge {
		marks = append(marks, on.B.Marks(c.B.Gauge, c.Date)...)
	}
	r.Findings = append(marks, r.Findings...)
	return r, nil
}

func (s Specimen) result() SpecimenResult {
	d := s.A.Size.Inner().Sub(s.B.Size.Inner()).Float()
	ua, ub := coverage*s.own(s.A), coverage*s.own(s.B)
	return SpecimenResult{Name: s.Name, Difference: d, Expanded: math.Hypot(ua, ub), En: math.Copysign(uncertainty.Agreement(d, ua, 0, ub), d)}
}

// own is the standard uncertainty of one side without what both share, whose
// covariance takes it out of the difference twice (JCGM 100:2008, 5.2.2 and
// F.1.2.3).
func (s Specimen) own(v Value) float64 {
	u, c := v.standard(), s.common()
	return math.Sqrt((u - c) * (u + c))
}

func (s Specimen) common() float64 {
	if s.Common.IsZero() {
		return 0
	}
	return inner(s.Common)
}

// standard is U/k.
func (v Value) standard() float64 {
	return v.Expanded.Inner().Float() / cmp.Or(v.K, coverage)
}

// rounding is the standard uncertainty that the last digits written leave in a
// difference: of either side rectangular over one step (JCGM 100:2008,
// F.2.2.1). The step is the finest last place of all sizes, as noughts at the
// end may have been left out (house rule).
func (c Comparison) rounding() float64 {
	step := math.Inf(1)
	for _, s := range c.Specimens {
		step = min(step, s.A.lastPlace(), s.B.lastPlace())
	}
	return step * math.Sqrt2 / math.Sqrt(12)
}

// lastPlace is one step of the last digit that was written of a size.
func (v Value) lastPlace() float64 {
	one := unit.Whole(1)
	for range v.Size.Places() {
		one = one.Quo(unit.Whole(10))
	}
	return unit.Of(one, v.Size.Unit()).Inner().Float()
}

// interval bounds the mean difference. Differences of rounded sizes may be
// equal by chance: what is known of their scatter is no better than rounding
// leaves it (house rule).
func (r *Result) interval(off []float64, rounding float64) error {
	r.Mean, _ = stat.Mean(off) // there is one at least
	if len(off) == 1 {
		half := r.Specimens[0].Expanded
		r.Low, r.High, r.By = r.Mean-half, r.Mean+half, "both uncertainties, k = 2"
		return nil
	}
	s, err := stat.StdDev(off)
	if err != nil {
		return err
	}
	n := float64(len(off))
	t, err := stat.TQuantile((1+confidence)/2, n-1)
	if err != nil {
		return err
	}
	half := t * math.Max(s, rounding) / math.Sqrt(n)
	r.S, r.Low, r.High = s, r.Mean-half, r.Mean+half
	r.By = fmt.Sprintf("the scatter of %d differences, t = %.3g", len(off), t)
	if s < rounding {
		r.By = fmt.Sprintf("the last digits written of %d differences, which scatter less, t = %.3g", len(off), t)
	}
	return nil
}

// method says whether both measured the same way, and what that would explain.
func (r *Result) method(c Comparison) {
	differ := func(what, a, b string, same bool) {
		switch {
		case a == "" && b == "":
		case a == "" || b == "":
			who := c.A.Name
			if b == "" {
				who = c.B.Name
			}
			r.Unknown = append(r.Unknown, what+" of "+who)
		case !same:
			r.Differ = append(r.Differ, Difference{what, a, b})
		}
	}
	a, b := c.A, c.B
	differ("method", a.Method, b.Method, a.Method == b.Method)
	differ("foot", a.footText(), b.footText(), near(a.footArea(), b.footArea()))
	differ("pressure", a.Pressure.String(), b.Pressure.String(), near(inner(a.Pressure), inner(b.Pressure)))
	differ("dwell", seconds(a.Dwell), seconds(b.Dwell), near(a.Dwell, b.Dwell))
	said := a.Method != "" || a.footText() != "" || !a.Pressure.IsZero() || a.Dwell > 0
	switch {
	case len(r.Differ) > 0:
		r.Same = SameNot
	case len(r.Unknown) > 0 || !said:
		r.Same = SameUnknown
	default:
		r.Same = SameAll
	}
	if !c.PerDoubling.IsZero() && !a.Pressure.IsZero() && !b.Pressure.IsZero() {
		// T = a + b·ln p, so each doubling changes T alike.
		d := inner(c.PerDoubling) * math.Log2(inner(a.Pressure)/inner(b.Pressure))
		r.Expected = &d
	}
}

func inner(q unit.Quantity) float64 { return q.Inner().Float() }

// near reports whether two sizes above 0 are the same within what is alike.
func near(a, b float64) bool { return math.Abs(a-b) <= alike*math.Max(a, b) }

func (p Party) footText() string {
	if !p.FootArea.IsZero() {
		return p.FootArea.String()
	}
	return p.FootDiameter.String()
}

// footArea is in mm².
func (p Party) footArea() float64 {
	if !p.FootArea.IsZero() {
		return inner(p.FootArea)
	}
	d := inner(p.FootDiameter)
	return math.Pi / 4 * d * d
}

func seconds(s float64) string {
	if !(s > 0) {
		return ""
	}
	return fmt.Sprintf("%g s", s)
}

// suspects sorts the lines of both budgets by what of the difference is to be
// expected of each: for normal distributions, the shift of one input given the
// shift of the whole is in the ratio of their variances.
func (r *Result) suspects(c Comparison) {
	of := map[string]float64{}
	for _, s := range c.Specimens { // the mean of the claims, where they differ
		of[c.A.Name] += s.own(s.A) * s.own(s.A) / float64(len(c.Specimens))
		of[c.B.Name] += s.own(s.B) * s.own(s.B) / float64(len(c.Specimens))
	}
	whole := of[c.A.Name] + of[c.B.Name]
	for _, p := range []Party{c.A, c.B} {
		told := 0.0
		for _, l := range p.Budget {
			u := inner(l.Standard)
			told += u * u
			r.suspect(p.Name, l.Name, u, whole)
		}
		rest := of[p.Name] - told
		switch {
		case len(p.Budget) == 0:
			r.suspect(p.Name, "all of its uncertainty; no budget was given", math.Sqrt(of[p.Name]), whole)
		case rest < -0.05*of[p.Name]: // beyond what rounding to two digits does (house rule)
			r.Findings = append(r.Findings, fmt.Sprintf("the lines of %s come to more than the uncertainty it claims", p.Name))
		case rest > 0.05*of[p.Name]:
			r.suspect(p.Name, "what its lines leave out", math.Sqrt(rest), whole)
		}
	}
	slices.SortStableFunc(r.Suspects, func(a, b Suspect) int { return cmp.Compare(b.Share, a.Share) })
}

func (r *Result) suspect(party, name string, u, whole float64) {
	if !(u > 0) {
		return
	}
	r.Suspects = append(r.Suspects, Suspect{Party: party, Name: name, Standard: u, Share: u * u / whole, Times: math.Abs(r.Mean) / u})
}

// whatIsShared says what became of the part of a standard in both claims.
func (c Comparison) whatIsShared() string {
	taken := 0
	for _, s := range c.Specimens {
		if s.common() > 0 {
			taken++
		}
	}
	const kind = "what it contributes is in both uncertainties and in no difference, so E_n comes out smaller than it is"
	switch taken {
	case 0:
		return kind
	case len(c.Specimens):
		return "what the same pieces contribute is in both uncertainties and in no difference; it is taken out of the uncertainty of the difference"
	}
	return fmt.Sprintf("what the same pieces contribute is taken out of the uncertainty of the difference at %d of %d; at the others %s", taken, len(c.Specimens), kind)
}

// read says in words what E_n comes to.
func (r *Result) read(c Comparison) {
	switch {
	case r.Agree && r.Same == SameNot:
		r.Reading = "agree within what both claim, though they did not measure by the same method"
	case r.Agree:
		r.Reading = "agree within what both claim"
	case r.Same == SameNot:
		r.Reading = "do not agree, and did not measure by the same method: the difference says nothing of the gauges until they do"
	default:
		r.Reading = "do not agree: at least one of them is off by more than it claims"
	}
	for _, v := range c.Specimens {
		if cmp.Or(v.A.K, coverage) != coverage || cmp.Or(v.B.K, coverage) != coverage {
			r.Findings = append(r.Findings, "uncertainties of another k are brought to k = 2 for E_n")
			break
		}
	}
	if len(c.Shared) > 0 {
		r.Findings = append(r.Findings, "both rest on "+strings.Join(c.Shared, ", ")+": "+c.whatIsShared())
	}
	if len(r.Specimens) > 1 && r.Agree && (r.Low > 0 || r.High < 0) {
		r.Findings = append(r.Findings, "the differences are all within the claims, but have one direction: between the parties is a shift that both should look for")
	}
}
