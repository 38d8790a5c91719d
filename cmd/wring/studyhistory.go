package main

import (
	"encoding/json"
	"fmt"

	"example.org/wring/calib/agreement"
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

// takeStudy works a kept study out again at once: there are few of them.
func (r *recomputer) takeStudy(tx *registry.Tx, k registry.Studied) error {
	basis, err := tx.ResolveUse(k.Study.Basis)
	if err != nil {
		return err
	}
	now, err := study.Evaluate(k.Study.Study, basis)
	d := resultDifference{Entry: k.Head.Seq, What: k.Entry.Kind, Gauge: k.Study.Study.Gauge, Date: k.Study.Study.Date.String(), KeptBy: k.Entry.Program}
	r.hold(d, k.Study.Result, now, err)
	return nil
}

// takeComparison does the same for a comparison.
func (r *recomputer) takeComparison(_ *registry.Tx, k registry.Compared) error {
	c := k.Comparison.Comparison
	now, err := agreement.Evaluate(c, k.Comparison.On())
	d := resultDifference{Entry: k.Head.Seq, What: k.Entry.Kind, Gauge: c.A.Name + " and " + c.B.Name, Date: c.Date.String(), KeptBy: k.Entry.Program}
	r.hold(d, k.Comparison.Result, now, err)
	return nil
}

// hold sets a result as kept beside the same as computed, and notes what
// differs.
func (r *recomputer) hold(d resultDifference, kept, now any, err error) {
	d.Today, d.Certain = version, err == nil
	if err != nil {
		d.Figures = []string{fmt.Sprintf("today it is not worked out: %v", err)}
	} else {
		d.Figures = compareWhole(kept, now)
	}
	if len(d.Figures) > 0 {
		r.mu.Lock()
		r.found = append(r.found, d)
		r.mu.Unlock()
	}
}
