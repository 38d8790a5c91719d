package registry

import (
	"cmp"
	"encoding/json"
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// A Kept is a check as it lies in the journal.
type Kept struct {
	Entry     journal.Entry
	Head      journal.Head // that the journal had when the check was kept
	Check     KeptCheck
	Amendment *CheckAmendment // nil for a check as it was first kept
}

// Basis gathers what a check of a gauge rests on, as the registry has it for
// the day of the check, and the entries that say so. Plan and revision may be
// left empty: the gauge's plan, the newest revision.
func (tx *Tx) Basis(c calib.Check) (calib.Basis, Refs, error) {
	g, err := tx.Gauge(c.Gauge)
	if err != nil {
		return calib.Basis{}, Refs{}, err
	}
	name := cmp.Or(c.Plan, g.Gauge.Plan)
	if name == "" {
		return calib.Basis{}, Refs{}, &RuleError{"gauge " + c.Gauge + ": has no plan", "name one, or amend the gauge with it"}
	}
	p, err := tx.Plan(name, c.Revision)
	if err != nil {
		return calib.Basis{}, Refs{}, err
	}
	b := calib.Basis{Gauge: g.Gauge, Status: g.Status, Plan: p.Plan}
	refs := Refs{Gauge: g.Entry, Status: g.Status, Plan: p.Entry}
	if b.House, refs.House, err = tx.siteOf(p.Plan); err != nil {
		return calib.Basis{}, Refs{}, err
	}
	for _, id := range c.Standards {
		on, ref, err := tx.measuredWith(p.Plan, id, c.Date)
		if err != nil {
			return calib.Basis{}, Refs{}, err
		}
		b.Standards = append(b.Standards, on)
		refs.Standards = append(refs.Standards, ref)
	}
	return b, refs, nil
}

func (tx *Tx) standardOn(id string, day calib.Date) (calib.StandardOnDay, StandardRef, error) {
	if err := tx.noGauge(id); err != nil {
		return calib.StandardOnDay{}, StandardRef{}, err
	}
	s, err := tx.Standard(id)
	if err != nil {
		return calib.StandardOnDay{}, StandardRef{}, err
	}
	c, _, err := tx.CertificateOn(id, day)
	return calib.StandardOnDay{Standard: s.Standard, Certificate: c.Certificate},
		StandardRef{ID: id, Standard: s.Entry, Certificate: c.Entry}, err
}

// noGauge refuses a gauge where a standard is wanted: its errors are no
// certificate, and one that is marked for indication only least of all.
func (tx *Tx) noGauge(id string) error {
	var s GaugeState
	ok, err := tx.get(treeGauges, []byte(id), &s)
	switch {
	case err != nil || !ok:
		return err
	case s.Status == calib.IndicationOnly:
		return &RuleError{"standard " + id + ": is a gauge marked indication only", "want a standard with a certificate"}
	}
	return &RuleError{"standard " + id + ": is a gauge", "want a standard with a certificate, or the gauge entered as one"}
}

// Resolve is the inverse of the numbers in Refs: it reads the basis of a kept
// check from the entries it names.
func (tx *Tx) Resolve(r Refs) (calib.Basis, error) {
	b := calib.Basis{Status: r.Status}
	g, err := tx.gaugeAt(r.Gauge)
	if err != nil {
		return b, err
	}
	b.Gauge = g
	if b.Plan, err = stable[calib.Plan](tx, r.Plan, KindPlan); err != nil {
		return b, err
	}
	if b.House, err = tx.siteAt(r.House, b.Plan); err != nil {
		return b, err
	}
	for _, ref := range r.Standards {
		on, err := tx.resolved(ref)
		if err != nil {
			return b, err
		}
		b.Standards = append(b.Standards, on)
	}
	return b, nil
}

func (tx *Tx) gaugeAt(seq uint64) (calib.Gauge, error) {
	e, _, err := tx.Entry(seq)
	if err != nil {
		return calib.Gauge{}, err
	}
	if e.Kind == KindAmendment {
		var a Amendment
		err := decode(e, &a)
		return a.Gauge, err
	}
	var g calib.Gauge
	return g, tx.payload(seq, KindGauge, &g)
}

// KeepCheck enters a check with its result, and what follows from it: a gauge
// that fails is marked failed and, if that was as found, a look-back opened,
// each by an entry of its own, and one that a check had failed returns when one
// passes. It refuses with a [*RuleError] if what the check rests on was changed
// since the basis was read. The head is that of the check's own entry.
func (tx *Tx) KeepCheck(k KeptCheck) (journal.Head, error) {
	r, err := Ready(k)
	if err != nil {
		return journal.Head{}, err
	}
	return tx.KeepReady(r)
}

// A ReadyCheck is a check whose entry's text and row of the series are made:
// that takes half of the time of keeping it and needs no registry, so that many
// can be made at once. Its parts must not be changed any more.
type ReadyCheck struct {
	kept KeptCheck
	form journal.Form
	row  []byte
}

// Ready makes what of a check's entry needs no registry.
func Ready(k KeptCheck) (ReadyCheck, error) {
	form, err := journal.FormOf(k)
	if err != nil {
		return ReadyCheck{}, fmt.Errorf("entry %q: %w", KindCheck, err)
	}
	row, err := checkRow(k, 0)
	return ReadyCheck{k, form, row}, err
}

// KeepReady is KeepCheck of a check that is ready.
func (tx *Tx) KeepReady(r ReadyCheck) (journal.Head, error) {
	k := r.kept
	if err := tx.mayPerform(k.Check); err != nil {
		return journal.Head{}, err
	}
	if err := tx.mayEnter(k.Check); err != nil {
		return journal.Head{}, err
	}
	_, now, err := tx.Basis(k.Check)
	if err != nil {
		return journal.Head{}, err
	}
	if !now.Same(k.Basis) {
		return journal.Head{}, &RuleError{"check of " + k.Check.Gauge + ": its gauge, plan or standards were changed meanwhile", "look again, and keep it then"}
	}
	if err := tx.refuseTwice(k.Check); err != nil {
		return journal.Head{}, err
	}
	head, err := tx.appendForm(KindCheck, r, r.form)
	if err != nil {
		return head, err
	}
	return head, tx.follow(head.Seq, k)
}

// refuseTwice refuses a check that is in the registry word for word: a sheet
// handed in twice is one check, and would count twice in every trend.
func (tx *Tx) refuseTwice(c calib.Check) error {
	rows, err := tx.rowsOn(c.Gauge, c.Date)
	if err != nil {
		return err
	}
	for _, row := range rows {
		if !row.Check || row.Date.String() != c.Date.String() || row.Stage != c.Stage {
			continue
		}
		kept, err := tx.Check(row.Entry)
		if err != nil {
			return err
		}
		if sameCheck(kept.Check.Check, c) {
			return &RuleError{fmt.Sprintf("check of %s, %s %s: is entry %d already, with the same readings", c.Gauge, c.Stage, c.Date, row.Entry), "want another check"}
		}
	}
	return nil
}

func sameCheck(a, b calib.Check) bool {
	a.Remarks, b.Remarks, a.Condition, b.Condition, a.Site, b.Site = "", "", "", "", "", ""
	a.Received, b.Received = calib.Date{}, calib.Date{}
	x, errX := json.Marshal(a)
	y, errY := json.Marshal(b)
	return errX == nil && errY == nil && string(x) == string(y)
}

// Same reports whether two checks rest on the same entries.
func (r Refs) Same(o Refs) bool {
	return r.Gauge == o.Gauge && r.Status == o.Status && r.Plan == o.Plan && r.House == o.House && slices.Equal(r.Standards, o.Standards)
}

// Check returns the check that an entry holds, as first kept or amended.
func (tx *Tx) Check(seq uint64) (Kept, error) {
	e, head, err := tx.Entry(seq)
	if err != nil {
		return Kept{}, err
	}
	if !isCheck(e.Kind) {
		return Kept{}, &RuleError{fmt.Sprintf("entry %d: is a %q", seq, e.Kind), "want the entry of a check"}
	}
	return keptOf(e, head)
}

// Entries returns every entry about a gauge or a standard, oldest first.
func (tx *Tx) Entries(id string) ([]journal.Entry, error) {
	if tx.s.Get(treeStandards, []byte(id)) == nil {
		if _, err := tx.Gauge(id); err != nil {
			return nil, err
		}
	}
	var out []journal.Entry
	from, to := under(id)
	return out, tx.s.Range(treeSeries, from, to, func(k, _ []byte) error {
		seq, err := seqOf(k)
		if err != nil {
			return err
		}
		e, _, err := tx.Entry(seq)
		out = append(out, e)
		return err
	})
}

// CertificateNumber is that of the check's certificate: the entry's own, so
// that no two checks of a registry share one and a reprint has the same.
func (k Kept) CertificateNumber() string { return fmt.Sprintf("V-%06d", k.Head.Seq) }

// FoundBefore returns the check as found that an as-left check followed: the
// gauge's latest before it, if that was as found and by the same revision of
// the plan. It reports false for any other check. What was amended only later
// counts as it stood then, so that a reprint has the same bytes.
func (tx *Tx) FoundBefore(k Kept) (Kept, bool, error) {
	if k.Check.Check.Stage != calib.AsLeft {
		return Kept{}, false, nil
	}
	rows, err := tx.rows(k.Check.Check.Gauge)
	if err != nil {
		return Kept{}, false, err
	}
	var before *SeriesRow
	for i, r := range rows {
		stood := r.Entry < k.Head.Seq && (r.AmendedBy == 0 || r.AmendedBy > k.Head.Seq)
		if stood && r.Bench < k.Bench() && (before == nil || r.Bench > before.Bench) {
			before = &rows[i]
		}
	}
	if before == nil {
		return Kept{}, false, nil
	}
	found, err := tx.Check(before.Entry)
	return found, err == nil && found.Check.Check.Stage == calib.AsFound && found.Check.Basis.Plan == k.Check.Basis.Plan, err
}
