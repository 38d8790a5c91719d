package length

import (
	"cmp"
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/stat"
)

// Evaluate computes the errors of a check, their uncertainties and verdicts by
// the plan that the check names.
//
// The error and its comparison with the limit are exact rational arithmetic;
// uncertainties are float64, in mm. Evaluate returns a [*StopError] where a
// gate stops the check, a [*PointError] where a point cannot be worked with,
// and a [*SizeError] where nothing sizes a contribution. The same check and
// basis give the same result, bit for bit.
func Evaluate(c calib.Check, b calib.Basis) (calib.Result, error) {
	points, err := observe(c, b)
	if err != nil {
		return calib.Result{}, err
	}
	marked, err := pass(Findings(c, b))
	if err != nil {
		return calib.Result{}, err
	}
	rule, err := RuleOf(b.Plan.Rule)
	if err != nil {
		return calib.Result{}, err
	}
	result := calib.Result{Findings: marked}
	ledger := newLedger(len(points))
	worst := conformity.Pass
	for i, o := range points {
		lines, err := bench{c, b}.lines(o)
		if err != nil {
			return calib.Result{}, fmt.Errorf("point %d: %w", i+1, err)
		}
		point, verdict, err := judge(o, lines, b.Plan, rule)
		if err != nil {
			return calib.Result{}, fmt.Errorf("point %d: %w", i+1, err)
		}
		ledger.enter(i, lines)
		worst = conformity.Worst(worst, verdict)
		result.Points = append(result.Points, point)
	}
	result.Budget = ledger.rows()
	result.Verdict = calib.Verdict(worst)
	return result, nil
}

// pass parts the findings that stop a check from those that mark it.
func pass(all []calib.Finding) (marked []calib.Finding, err error) {
	var stop []calib.Finding
	for _, f := range all {
		if f.Action == calib.Stop {
			stop = append(stop, f)
		} else {
			marked = append(marked, f)
		}
	}
	if len(stop) > 0 {
		return nil, &StopError{stop}
	}
	return marked, nil
}

// judge turns one point's error and budget into a result.
func judge(o observed, lines []line, p calib.Plan, rule conformity.Rule) (calib.PointResult, conformity.Verdict, error) {
	limit, ok := p.Limit.At(o.nominal)
	if !ok {
		return calib.PointResult{}, "", fmt.Errorf("%s mm has no limit in plan %s; want a row for it", o.nominal.Shortest(), p.Name)
	}
	budget := budgetOf(lines)
	s, err := budget.Evaluate(p.Probability, uncertainty.Exact)
	if err != nil {
		return calib.PointResult{}, "", err
	}
	e := o.err()
	sum, err := budget.Sum()
	if err != nil {
		return calib.PointResult{}, "", err
	}
	d, err := rule.Decide(conformity.Measured{Error: e.Rat(), Expanded: s.Expanded, Deviation: sum}, conformity.Symmetric(limit.Rat()))
	if err != nil {
		return calib.PointResult{}, "", err
	}
	spread, _ := stat.StdDev(o.readings) // of one reading there is none: 0
	r := calib.PointResult{
		Nominal: o.nominal, Reference: o.reference, Mean: o.mean, Error: e, Limit: limit,
		S: spread, Standard: s.Standard, K: s.K, Expanded: s.Expanded, Method: string(s.Method),
		Conformance: d.Conformance, Verdict: calib.Verdict(d.Verdict),
	}
	if !math.IsInf(s.DoF, 1) {
		r.DoF = s.DoF
	}
	if !math.IsInf(d.Ratio, 1) {
		r.Ratio = d.Ratio
	}
	return r, d.Verdict, nil
}

func budgetOf(lines []line) uncertainty.Budget {
	var b uncertainty.Budget
	for _, l := range lines {
		b.Inputs = append(b.Inputs, uncertainty.Input{Name: l.name, Knowledge: l.what, Sensitivity: l.c, Source: l.source})
	}
	return b
}

// RuleOf returns the plan's decision rule in the form that decides, or says
// what is wrong with it.
func RuleOf(r calib.Rule) (conformity.Rule, error) {
	rule := conformity.Rule{Kind: conformity.Kind(r.Name), Factor: r.Factor, Risk: r.Risk}
	return rule, rule.Check()
}

// A ledger gathers the lines of all points into rows.
type ledger struct {
	points int
	at     map[string]int
	list   []calib.BudgetRow
}

func newLedger(points int) *ledger { return &ledger{points: points, at: map[string]int{}} }

// enter adds the lines of point i. A line that a point lacks stays 0 there.
func (g *ledger) enter(i int, lines []line) {
	for _, l := range lines {
		key := l.name + "\x00" + l.what.Shape().String() + "\x00" + l.source
		n, ok := g.at[key]
		if !ok {
			n = len(g.list)
			g.at[key] = n
			g.list = append(g.list, calib.BudgetRow{Kind: l.kind, Name: l.name, Distribution: l.what.Shape().String(),
				Source: l.source, Unit: cmp.Or(l.unit, "mm"),
				U: make([]float64, g.points), C: make([]float64, g.points), DoF: make([]float64, g.points)})
		}
		row := g.list[n]
		row.U[i], row.C[i] = l.what.Standard(), l.c
		if nu := l.what.DoF(); !math.IsInf(nu, 1) {
			row.DoF[i] = nu
		}
	}
}

// rows writes a figure that is the same at all points once.
func (g *ledger) rows() []calib.BudgetRow {
	for i := range g.list {
		r := &g.list[i]
		r.U, r.C, r.DoF = once(r.U), once(r.C), once(r.DoF)
		if len(r.DoF) == 1 && r.DoF[0] == 0 {
			r.DoF = nil
		}
	}
	return g.list
}

func once(list []float64) []float64 {
	for _, v := range list {
		if v != list[0] {
			return list
		}
	}
	return list[:1]
}
