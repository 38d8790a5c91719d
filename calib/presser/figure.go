package presser

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/unit"
)

// A figure is a value on its way to a verdict.
type figure struct {
	calib.Figure
	lines    []ledger.Line
	standard *unit.Exact // Value with standard gravity; nil where gravity does not enter
}

// within bounds a figure.
func (f figure) within(low, high *unit.Exact) figure {
	f.Low, f.High = low, high
	return f
}

// named says what a figure is, and where.
func (f figure) named(name string, at unit.Quantity) figure {
	f.Name, f.At = name, at
	return f
}

// inner returns a limit, nil where it is not given.
func inner(q unit.Quantity) *unit.Exact {
	if q.IsZero() {
		return nil
	}
	e := q.Inner()
	return &e
}

// around returns the limits ± of a limit, none where it is not given.
func around(q unit.Quantity) (low, high *unit.Exact) {
	if q.IsZero() {
		return nil, nil
	}
	e := q.Inner()
	n := e.Neg()
	return &n, &e
}

// conclude gives every figure its uncertainty and its verdict.
func (b *bench) conclude(figures []figure) (*calib.PartResult, error) {
	rule, err := ledger.RuleOf(b.terms.Rule)
	if err != nil {
		return nil, err
	}
	out := &calib.PartResult{Gravity: b.gravity, Air: b.air}
	kept := ledger.New(len(figures))
	worst := conformity.Pass
	judged := false
	for i, f := range figures {
		f.lines = merged(f.lines)
		done, note, err := b.judge(f, rule)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", placeOf(f), err)
		}
		if done.Verdict != "" {
			worst, judged = conformity.Worst(worst, conformity.Verdict(done.Verdict)), true
		}
		if note != "" {
			out.Notes = append(out.Notes, note)
		}
		kept.Enter(i, f.lines)
		out.Figures = append(out.Figures, done)
	}
	if !judged {
		return nil, &PlaceError{"plan " + b.basis.Plan.Name, "bounds no figure of this part", "want a band or a limit"}
	}
	out.Budget, out.Verdict = kept.Rows(), calib.Verdict(worst)
	if len(b.lacking) > 0 {
		out.Notes = append(out.Notes, "not stated in the records and not counted: "+strings.Join(b.lacking, ", "))
	}
	if note := gravityShare(figures); note != "" {
		out.Notes = append(out.Notes, note)
	}
	return out, nil
}

func placeOf(f figure) string {
	if f.At.IsZero() {
		return f.Name
	}
	return f.Name + " at " + f.At.String()
}

// judge fills in a figure, and says where standard gravity would have changed
// its verdict.
func (b *bench) judge(f figure, rule conformity.Rule) (calib.Figure, string, error) {
	budget := ledger.Budget(f.lines)
	s, sum, err := budget.EvaluateWhole(b.basis.Plan.Probability)
	if err != nil {
		return f.Figure, "", err
	}
	f.Standard, f.K, f.Expanded, f.Method = s.Standard, s.K, s.Expanded, string(s.Method)
	if !math.IsInf(s.DoF, 1) {
		f.DoF = s.DoF
	}
	if !f.Judged() {
		return f.Figure, "", nil
	}
	limits := conformity.Limits{Lower: rational(f.Low), Upper: rational(f.High)}
	d, err := rule.Decide(conformity.Measured{Error: f.Value.Rat(), Expanded: s.Expanded, Deviation: sum}, limits)
	if err != nil {
		return f.Figure, "", err
	}
	f.Conformance, f.Verdict = d.Conformance, calib.Verdict(d.Verdict)
	if !math.IsInf(d.Ratio, 1) {
		f.Ratio = d.Ratio
	}
	if f.standard == nil {
		return f.Figure, "", nil
	}
	other, err := rule.Decide(conformity.Measured{Error: f.standard.Rat(), Expanded: s.Expanded, Deviation: sum}, limits)
	if err != nil || other.Verdict == d.Verdict {
		return f.Figure, "", err
	}
	return f.Figure, fmt.Sprintf("%s: with standard gravity in place of the local one the verdict would be %s, not %s", placeOf(f), other.Verdict, d.Verdict), nil
}

func rational(e *unit.Exact) *big.Rat {
	if e == nil {
		return nil
	}
	return e.Rat()
}

// noticeable is the share of half a band from which on a reader is told what
// standard gravity would have used up (house rule).
const noticeable = 0.1

// gravityShare says how much of the band standard gravity would have used up.
func gravityShare(figures []figure) string {
	most := 0.0
	for _, f := range figures {
		if f.standard == nil || f.Low == nil || f.High == nil {
			continue
		}
		half := f.High.Sub(*f.Low).Float() / 2
		if share := math.Abs(f.standard.Sub(f.Value).Float()) / half; half > 0 && share > most {
			most = share
		}
	}
	if most < noticeable {
		return ""
	}
	return fmt.Sprintf("standard gravity in place of the local one would have used up to %.0f %% of half the band", 100*most)
}

// less is the difference of two seen values, times a factor, in the unit of a
// figure; what both share with the instrument cancels.
func less(a, b seen, aName, bName string, factor float64) figure {
	var out figure
	out.Value = a.value.Sub(b.value)
	if factor != 1 {
		out.Value = out.Value.Mul(unit.Decimal(factor))
	}
	for _, side := range []struct {
		of   seen
		name string
		sign float64
	}{{a, aName, factor}, {b, bName, -factor}} {
		for _, l := range slices.Clone(side.of.own) {
			l.Name, l.C = l.Name+", "+side.name, l.C*side.sign
			out.lines = append(out.lines, l)
		}
	}
	return out
}
