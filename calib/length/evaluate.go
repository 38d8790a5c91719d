package length

import (
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
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
	marked, err := calib.PartFindings(Findings(c, b))
	if err != nil {
		return calib.Result{}, err
	}
	rule, err := RuleOf(b.Plan.Rule)
	if err != nil {
		return calib.Result{}, err
	}
	result := calib.Result{Findings: marked}
	kept := ledger.New(len(points))
	worst := conformity.Pass
	at := bench{c, b, poolOf(points)}
	for i, o := range points {
		lines, err := at.lines(o)
		if err != nil {
			return calib.Result{}, fmt.Errorf("point %d: %w", i+1, err)
		}
		point, verdict, err := judge(o, lines, b.Plan, rule)
		if err != nil {
			return calib.Result{}, fmt.Errorf("point %d: %w", i+1, err)
		}
		kept.Enter(i, lines)
		worst = conformity.Worst(worst, verdict)
		result.Points = append(result.Points, point)
	}
	result.Budget = kept.Rows()
	result.Verdict = calib.Verdict(worst)
	return result, nil
}

// judge turns one point's error and budget into a result.
func judge(o observed, lines []line, p calib.Plan, rule conformity.Rule) (calib.PointResult, conformity.Verdict, error) {
	limit, ok := p.Limit.At(o.nominal)
	if !ok {
		return calib.PointResult{}, "", fmt.Errorf("%s mm has no limit in plan %s; want a row for it", o.nominal.Shortest(), p.Name)
	}
	budget := ledger.Budget(lines)
	s, sum, err := budget.EvaluateWhole(p.Probability)
	if err != nil {
		return calib.PointResult{}, "", err
	}
	e := o.err()
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

// RuleOf returns the plan's decision rule in the form that decides, or says
// what is wrong with it.
func RuleOf(r calib.Rule) (conformity.Rule, error) { return ledger.RuleOf(r) }
