package registry

import (
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// apply brings every view up to one entry. It is the only writer of views, and
// uses nothing but the entry and the views as they stood before it, so that a
// rebuild from the journal gives the same bytes.
func (tx *Tx) apply(e journal.Entry) error {
	switch e.Kind {
	case KindHouse, KindRestore:
		return nil
	case KindHouseAmended:
		return tx.applyHouse(e)
	case KindGauge:
		return tx.applyGauge(e)
	case KindAmendment:
		return tx.applyAmendment(e)
	case KindStatus:
		return tx.applyStatus(e)
	case KindEarlier:
		return tx.applyEarlier(e)
	case KindStandard:
		return tx.applyStandard(e)
	case KindCertificate:
		return tx.applyCertificate(e)
	case KindStandardAmended:
		return tx.applyStandardAmended(e)
	case KindCertificateAmended:
		return tx.applyCertificateAmended(e)
	case KindPlan:
		return tx.applyPlan(e)
	case KindCheck:
		return tx.applyCheck(e)
	case KindCheckAmended:
		return tx.applyCheckAmended(e)
	case KindWithdrawal:
		return tx.applyWithdrawal(e)
	case KindTold:
		return tx.applyTold(e)
	case KindAttachment:
		return tx.applyAttachment(e)
	case KindLabel:
		return tx.applyLabel(e)
	case KindBackup:
		return tx.applyBackup(e)
	case KindPerson:
		return tx.applyPerson(e)
	case KindReleaseRule:
		return tx.applyReleaseRule(e)
	case KindRelease:
		return tx.applyRelease(e)
	case KindInterval:
		return tx.applyInterval(e)
	case KindLookBack:
		return tx.applyLookBack(e)
	case KindDisposition:
		return tx.applyDisposition(e)
	default:
		return tx.applyGoods(e)
	}
}

// applyGoods is apply for what is said of goods and of measuring them.
func (tx *Tx) applyGoods(e journal.Entry) error {
	switch e.Kind {
	case KindMethod:
		return tx.applyMethod(e)
	case KindLot:
		return tx.applyLot(e)
	case KindSurvey:
		return tx.applySurvey(e)
	case KindStudy:
		return tx.applyStudy(e)
	case KindComparison:
		return tx.applyComparison(e)
	case KindTakenBack:
		return tx.applyTakenBack(e)
	default:
		return &RuleError{fmt.Sprintf("entry %d: kind %q is not known to this program", e.Seq, e.Kind), "want a newer program"}
	}
}

func (tx *Tx) applyGauge(e journal.Entry) error {
	s, err := registered(e)
	if err != nil {
		return err
	}
	return tx.setGauge(nil, s, e.Seq, otherRow())
}

// registered is the state of a gauge by the entry that brings it in.
func registered(e journal.Entry) (GaugeState, error) {
	s := GaugeState{Entry: e.Seq, Status: calib.InService, Since: calib.DateOf(e.At)}
	err := decode(e, &s.Gauge)
	return s, err
}

func (tx *Tx) applyAmendment(e journal.Entry) error {
	var a Amendment
	if err := decode(e, &a); err != nil {
		return err
	}
	old, err := tx.Gauge(a.Gauge.ID)
	if err != nil {
		return err
	}
	s, err := old.recordAmended(e)
	if err != nil {
		return err
	}
	return tx.setGauge(&old, s, e.Seq, otherRow())
}

// recordAmended is the state after an amendment of the gauge's record.
func (s GaugeState) recordAmended(e journal.Entry) (GaugeState, error) {
	var a Amendment
	if err := decode(e, &a); err != nil {
		return s, err
	}
	if a.Gauge.IntervalMonths != s.Gauge.IntervalMonths {
		s.Accepted = nil // the record's own interval was set anew, and counts
	}
	if a.Gauge.IntervalUses != s.Gauge.IntervalUses {
		s.UsedUp = calib.Date{}
		if n := a.Gauge.IntervalUses; n > 0 && s.Uses >= n {
			s.UsedUp = calib.DateOf(e.At)
		}
	}
	s.Gauge, s.Entry = a.Gauge, e.Seq
	return s, nil
}

func (tx *Tx) applyStatus(e journal.Entry) error {
	var c calib.StatusChange
	if err := decode(e, &c); err != nil {
		return err
	}
	old, err := tx.Gauge(c.Gauge)
	if err != nil {
		return err
	}
	return tx.setGauge(&old, old.changed(c), e.Seq, otherRow())
}

func (tx *Tx) applyCheck(e journal.Entry) error {
	k, row, err := tx.keptIn(e)
	if err != nil {
		return err
	}
	old, err := tx.Gauge(k.Check.Gauge)
	if err != nil {
		return err
	}
	if err := tx.nameStandards(e.Seq, k.Basis); err != nil {
		return err
	}
	plan, err := stable[calib.Plan](tx, k.Basis.Plan, KindPlan)
	if err != nil {
		return err
	}
	return tx.setGauge(&old, old.checked(e.Seq, k, plan), e.Seq, row)
}

// keptIn is the check in an entry, and its row of the series. One that was just
// kept need not be decoded: a view is made of its numbers and words alone, which
// JSON gives back as they were.
func (tx *Tx) keptIn(e journal.Entry) (k KeptCheck, row []byte, err error) {
	if made, ok := tx.made.(ReadyCheck); ok && tx.head.Seq == e.Seq {
		return made.kept, made.row, nil
	}
	if err := decode(e, &k); err != nil {
		return k, nil, err
	}
	row, err = checkRow(k, 0)
	return k, row, err
}

// setGauge writes a gauge's state, its place in the due order and its row of
// the series.
func (tx *Tx) setGauge(old *GaugeState, s GaugeState, seq uint64, row []byte) error {
	if err := tx.s.Put(treeSeries, idSeqKey(s.Gauge.ID, seq), row); err != nil {
		return err
	}
	return tx.setState(old, s)
}

func (tx *Tx) setState(old *GaugeState, s GaugeState) error {
	var before []DueRow
	if old != nil {
		before = old.dueRows()
	}
	var err error
	if s.Due, err = tx.setDue(before, s.dueRows()); err != nil {
		return err
	}
	if err := tx.put(treeGauges, []byte(s.Gauge.ID), s); err != nil {
		return err
	}
	tx.hold(treeGauges, s.Gauge.ID, s)
	return nil
}

func (tx *Tx) applyStandard(e journal.Entry) error {
	var s calib.Standard
	if err := decode(e, &s); err != nil {
		return err
	}
	return tx.setStandard(nil, StandardState{Standard: s, Entry: e.Seq}, e.Seq)
}

func (tx *Tx) applyCertificate(e journal.Entry) error {
	var c calib.Certificate
	if err := decode(e, &c); err != nil {
		return err
	}
	old, err := tx.Standard(c.Standard)
	if err != nil {
		return err
	}
	if err := tx.put(treeCertificates, certificateKey(c.Standard, c.Date, e.Seq), KeptCertificate{Entry: e.Seq, Certificate: c}); err != nil {
		return err
	}
	s := old
	if s.Newest == nil || !c.Date.Before(s.Newest.Date) {
		s.Newest = KeptCertificate{Entry: e.Seq, Certificate: c}.head()
	}
	return tx.setStandard(&old, s, e.Seq)
}

// setStandard writes a standard's state, its row of history, and its place in
// the due order: first of all where it has no certificate, nowhere where its
// certificate states no end.
func (tx *Tx) setStandard(old *StandardState, s StandardState, seq uint64) error {
	if old != nil {
		if err := tx.s.Delete(treeDue, dueKey(old.due(), s.Standard.ID)); err != nil {
			return err
		}
	}
	if s.Newest == nil || !s.Newest.Due.IsZero() {
		if err := tx.s.Put(treeDue, dueKey(s.due(), s.Standard.ID), s.dueRow().written()); err != nil {
			return err
		}
	}
	if err := tx.s.Put(treeSeries, idSeqKey(s.Standard.ID, seq), otherRow()); err != nil {
		return err
	}
	return tx.put(treeStandards, []byte(s.Standard.ID), s)
}

func (s StandardState) due() calib.Date {
	if s.Newest == nil {
		return calib.Date{}
	}
	return s.Newest.Due
}

func (tx *Tx) applyPlan(e journal.Entry) error {
	var p calib.Plan
	if err := decode(e, &p); err != nil {
		return err
	}
	return tx.put(treePlans, planKey(p.Name, p.Revision), KeptPlan{e.Seq, p})
}

// Rebuild drops every view and makes it again from the journal, in one
// transaction.
func (r *Registry) Rebuild() error {
	return r.Update(func(tx *Tx) error {
		tx.recall = nil // of the views that go
		for _, tree := range views() {
			if err := tx.s.Drop(tree); err != nil {
				return err
			}
		}
		head, err := tx.Head()
		if err != nil {
			return err
		}
		for seq := uint64(1); seq <= head.Seq; seq++ {
			e, _, err := tx.Entry(seq)
			if err != nil {
				return err
			}
			if err := tx.apply(e); err != nil {
				return err
			}
		}
		return nil
	})
}
