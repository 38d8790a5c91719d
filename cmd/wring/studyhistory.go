package main

import (
	"encoding/json"
	"fmt"

	"example.org/wring/calib/study"
	"example.org/wring/registry"
	"example.org/wring/registry/journal"
)

// tellStudied says in one line what a study or a comparison came to.
func (a *historyAnswer) tellStudied(e journal.Entry) error {
	if e.Kind == registry.KindStudy {
		var k registry.KeptStudy
		err := json.Unmarshal(e.Payload, &k)
		s, r := k.Study, k.Result
		a.Date = s.Date
		a.Text = fmt.Sprintf("studied by %s: %d parts × %d operators × %d repeats", s.Person, len(s.Parts), len(s.Operators), s.Repeats)
		if all, ok := r.Find(study.OfMeasurement); ok && r.Tolerance > 0 {
			a.Text += fmt.Sprintf("; %g s of the measurement are %s %% of the tolerance: %s", r.Multiple, percentOf(all.OfTolerance), r.Reading)
		}
		return err
	}
	var k registry.KeptComparison
	err := json.Unmarshal(e.Payload, &k)
	a.Date = k.Comparison.Date
	a.Text = fmt.Sprintf("compared: %s with %s, largest |E_n| %.2f: %s", k.Comparison.A.Name, k.Comparison.B.Name, k.Result.Worst, k.Result.Reading)
	return err
}
