package assess

import (
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/calib/presser"
	"example.org/wring/uncertainty/conformity"
)

// Check computes the result of a check by the plan that it names. Its errors
// are those of [length.Evaluate] and [presser.Evaluate]. The same check and
// basis give the same result, bit for bit.
func Check(c calib.Check, b calib.Basis) (calib.Result, error) {
	parts := c.Parts()
	if slices.Equal(parts, []calib.Part{calib.LengthPart}) {
		return length.Evaluate(c, b)
	}
	all, err := presser.Evaluate(c, b)
	if err != nil || !slices.Contains(parts, calib.LengthPart) {
		return all, err
	}
	sized, err := length.Evaluate(c, b)
	if err != nil {
		return calib.Result{}, err
	}
	all.Points, all.Budget, all.LengthVerdict = sized.Points, sized.Budget, sized.Verdict
	all.Verdict = calib.Verdict(conformity.Worst(conformity.Verdict(sized.Verdict), conformity.Verdict(all.Verdict)))
	for _, f := range all.Findings { // both look at status and standards
		if !slices.Contains(sized.Findings, f) {
			sized.Findings = append(sized.Findings, f)
		}
	}
	all.Findings = sized.Findings
	return all, nil
}
