package survey

import (
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/conformity"
)

// A Doubt says what a survey would have said with the errors that were found
// in its gauge later.
type Doubt struct {
	Thickness float64       `json:"thickness_mm"`     // mean of the lot as kept, mm
	Used      float64       `json:"error_used_mm"`    // of the gauge at that size, as it was corrected for, mm
	Found     float64       `json:"error_found_mm"`   // as it was found later, mm
	Share     float64       `json:"share,omitempty"`  // of half the lot's narrowest tolerance that the change takes, without unit; 0 where there is none
	Kept      calib.Verdict `json:"verdict_kept"`     // empty where nothing was judged
	Now       calib.Verdict `json:"verdict_found"`    // with the errors found
	Wrongly   bool          `json:"wrongly_accepted"` // passed, and would not now
}

// Reconsider works a kept survey out again with the errors of a later check in
// the place of those it rests on: what could wrongly have been accepted.
func Reconsider(s Survey, b Basis, kept Result, later Checked) (Doubt, error) {
	then := b.errorAt(kept.Mean.Value.Float())
	b.Sizes = &later
	if s.Override == "" {
		s.Override = "worked out again"
	}
	now, err := Evaluate(s, b)
	d := Doubt{Thickness: kept.Mean.Value.Float(), Used: then.err, Found: b.errorAt(kept.Mean.Value.Float()).err, Kept: kept.Verdict, Now: now.Verdict}
	if err != nil {
		return d, err
	}
	if half := b.Lot.narrowest(); half > 0 {
		d.Share = math.Abs(d.Found-d.Used) / half
	}
	worst := conformity.Verdict(d.Now)
	d.Wrongly = d.Kept.Passed() && worst != "" && !d.Now.Passed()
	return d, nil
}

// narrowest is half the narrower of the lot's two-sided tolerances, in mm; 0
// where it has none.
func (l Lot) narrowest() float64 {
	half := 0.0
	for _, b := range []calib.Band{l.Mean, l.Place} {
		if b.Low.IsZero() || b.High.IsZero() {
			continue
		}
		if h := b.High.Inner().Sub(b.Low.Inner()).Float() / 2; half == 0 || h < half {
			half = h
		}
	}
	return half
}
