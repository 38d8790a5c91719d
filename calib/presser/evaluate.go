package presser

import (
	"example.org/wring/calib"
	"example.org/wring/uncertainty/conformity"
)

// Evaluate works out the parts of a check that are judged by force, by the plan
// that the check names, and returns them with what the gates marked. A part
// that was not recorded has no result.
//
// Values are in N, kg, kPa and mm; uncertainties are float64. Evaluate returns
// a [*calib.StopError] where a gate stops the check, a [*PlaceError] where a
// reading cannot be worked with, and a *ledger.SizeError where nothing sizes a
// contribution. The same check and basis give the same result, bit for bit.
func Evaluate(c calib.Check, b calib.Basis) (calib.Result, error) {
	found, err := Findings(c, b)
	if err != nil {
		return calib.Result{}, err
	}
	marked, err := calib.PartFindings(found)
	if err != nil {
		return calib.Result{}, err
	}
	r := calib.Result{Findings: marked}
	worst := conformity.Pass
	for _, part := range c.Parts() {
		var one *calib.PartResult
		switch part {
		case calib.FootPart:
			one, err = footResult(c, b)
			r.Foot = one
		case calib.ForcePart:
			one, err = forceResult(c, b)
			r.Force = one
		case calib.LoadPart:
			one, err = loadResult(c, b)
			r.Load = one
		default:
			continue
		}
		if err != nil {
			return calib.Result{}, err
		}
		worst = conformity.Worst(worst, conformity.Verdict(one.Verdict))
		r.Verdict = calib.Verdict(worst)
	}
	return r, nil
}
