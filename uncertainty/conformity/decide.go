package conformity

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"strconv"
)

// Limits are the ends of the tolerance interval, in the unit of the error; both belong to it. A nil end is open.
type Limits struct{ Lower, Upper *big.Rat }

// Symmetric returns the limits ±mpe of a maximum permissible error mpe ≥ 0.
func Symmetric(mpe *big.Rat) Limits {
	return Limits{Lower: new(big.Rat).Neg(mpe), Upper: new(big.Rat).Set(mpe)}
}

// A Deviation is the distribution of the true value about the measured one: a centred
// uncertainty.Sum is one.
type Deviation interface {
	// Between returns P(low ≤ true − measured ≤ high), in the unit of the error; ±Inf leaves a side open.
	Between(low, high float64) float64
}

// Normal is a normal [Deviation] of this standard uncertainty, in the unit of the error, ≥ 0.
type Normal float64

// Between implements [Deviation].
func (u Normal) Between(low, high float64) float64 {
	if u == 0 {
		if low <= 0 && 0 <= high {
			return 1
		}
		return 0
	}
	return math.Max(0, phi(high/float64(u))-phi(low/float64(u)))
}

// Measured is what the rule judges.
type Measured struct {
	// Error is the measured error, exact.
	Error *big.Rat
	// Expanded is U in the unit of the error, ≥ 0.
	Expanded float64
	// Deviation gives the probability of conformance. Nil stands for a normal one of u = U/2 (k = 2, ILAC-G8:09/2019, 5).
	Deviation Deviation
}

// A Decision is a verdict with what it rests on.
type Decision struct {
	Verdict Verdict
	Rule    Rule
	// Guard is the guard band w in the unit of the error, ≥ 0.
	Guard float64
	// Ratio is the test uncertainty ratio, half the tolerance interval over U (ANSI/NCSL Z540.3-2006,
	// 3.11), or the size of a single limit over U (house rule); without unit, +Inf when U is zero.
	Ratio float64
	// Conformance is the probability that the true value lies within the limits, 0 … 1.
	Conformance float64
	// Reason says why nothing could be decided; empty otherwise.
	Reason string
}

// Decide applies the rule. The comparisons of simple acceptance are exact.
//
// Where the acceptance zone vanishes no error could pass, and the verdict is "cannot be decided" (JCGM 106:2012, 8.3)
// unless the error lies outside the limits by more than the guard band: that much is decided by any uncertainty.
func (r Rule) Decide(m Measured, l Limits) (Decision, error) {
	if err := r.Check(); err != nil {
		return Decision{}, err
	}
	if err := check(m, l); err != nil {
		return Decision{}, err
	}
	if m.Deviation == nil {
		m.Deviation = Normal(m.Expanded / 2)
	}
	d := Decision{Rule: r, Guard: r.Factor * m.Expanded, Ratio: ratio(l, m.Expanded), Conformance: conformance(m, l)}
	if math.IsInf(d.Guard, 0) {
		return Decision{}, fmt.Errorf("decision: guard band of %v times %v; want a finite one", r.Factor, m.Expanded)
	}
	if math.IsNaN(d.Conformance) {
		return Decision{}, errors.New("decision: the probability of conformance is not known; want a distribution that gives one")
	}
	switch r.Kind {
	case Simple:
		d.Verdict = either(l.hold(m.Error), Pass, Fail)
	case ByRisk:
		d.byRisk(m, l)
	default:
		d.guarded(m, l)
	}
	return d, nil
}

// guarded decides by guard bands inside and, for four verdicts, outside the limits.
func (d *Decision) guarded(m Measured, l Limits) {
	w := exact(d.Guard)
	inner, outer := l.moved(w), l.moved(new(big.Rat).Neg(w))
	four := d.Rule.Kind == FourVerdicts
	switch {
	case inner.empty(w):
		d.Verdict = either(outer.hold(m.Error), CannotDecide, Fail)
		d.explain(fmt.Sprintf("the guard band %s leaves no acceptance zone within the limits", short(d.Guard)))
	case inner.hold(m.Error):
		d.Verdict = Pass
	case four && l.hold(m.Error):
		d.Verdict = ConditionalPass
	case four && outer.hold(m.Error):
		d.Verdict = ConditionalFail
	default:
		d.Verdict = Fail
	}
}

// byRisk accepts at most the rule's specific risk of false acceptance. If not even an error in the middle
// of the limits could be accepted, only what surely does not conform fails.
func (d *Decision) byRisk(m Measured, l Limits) {
	best := 1.0
	if l.Lower != nil && l.Upper != nil {
		half := width(l) / 2
		best = m.Deviation.Between(-half, half)
	}
	switch {
	case 1-d.Conformance <= d.Rule.Risk:
		d.Verdict = Pass
	case 1-best <= d.Rule.Risk:
		d.Verdict = Fail
	default:
		d.Verdict = either(!l.hold(m.Error) && d.Conformance <= d.Rule.Risk, Fail, CannotDecide)
		d.explain(fmt.Sprintf("with this uncertainty the risk is %s %% at best", short(100*(1-best))))
	}
}

// explain gives the reason of an undecided verdict.
func (d *Decision) explain(reason string) {
	if d.Verdict == CannotDecide {
		d.Reason = reason
	}
}

func check(m Measured, l Limits) error {
	switch {
	case m.Error == nil:
		return errors.New("decision: no error given; want the measured one")
	case !(m.Expanded >= 0) || math.IsInf(m.Expanded, 0):
		return fmt.Errorf("decision: expanded uncertainty %v; want a finite one, not below zero", m.Expanded)
	case l.Lower == nil && l.Upper == nil:
		return errors.New("decision: no limit given; want at least one")
	case l.Lower != nil && l.Upper != nil && l.Lower.Cmp(l.Upper) > 0:
		return fmt.Errorf("decision: lower limit %s above upper limit %s; want them in order",
			l.Lower.RatString(), l.Upper.RatString())
	}
	return nil
}

// hold reports whether e lies within l, ends included.
func (l Limits) hold(e *big.Rat) bool {
	return (l.Lower == nil || e.Cmp(l.Lower) >= 0) && (l.Upper == nil || e.Cmp(l.Upper) <= 0)
}

// moved returns l with both ends moved inwards by w.
func (l Limits) moved(w *big.Rat) Limits {
	var in Limits
	if l.Lower != nil {
		in.Lower = new(big.Rat).Add(l.Lower, w)
	}
	if l.Upper != nil {
		in.Upper = new(big.Rat).Sub(l.Upper, w)
	}
	return in
}

// empty reports whether limits moved in by w have no width left. Without a guard band equal limits are a zone.
func (l Limits) empty(w *big.Rat) bool {
	return w.Sign() > 0 && l.Lower != nil && l.Upper != nil && l.Lower.Cmp(l.Upper) >= 0
}

// conformance is the probability that the true value lies within l.
func conformance(m Measured, l Limits) float64 {
	low, high := math.Inf(-1), math.Inf(1)
	if l.Lower != nil {
		low, _ = new(big.Rat).Sub(l.Lower, m.Error).Float64()
	}
	if l.Upper != nil {
		high, _ = new(big.Rat).Sub(l.Upper, m.Error).Float64()
	}
	return m.Deviation.Between(low, high)
}

func ratio(l Limits, U float64) float64 {
	if U == 0 {
		return math.Inf(1)
	}
	if l.Lower != nil && l.Upper != nil {
		return width(l) / 2 / U
	}
	only := l.Upper
	if only == nil {
		only = l.Lower
	}
	size, _ := new(big.Rat).Abs(only).Float64()
	return size / U
}

func width(l Limits) float64 {
	w, _ := new(big.Rat).Sub(l.Upper, l.Lower).Float64()
	return w
}

// exact is the shortest decimal that means the finite float x.
func exact(x float64) *big.Rat {
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(x, 'g', -1, 64))
	return r
}

func short(x float64) string { return strconv.FormatFloat(x, 'g', 3, 64) }

func either(yes bool, a, b Verdict) Verdict {
	if yes {
		return a
	}
	return b
}
