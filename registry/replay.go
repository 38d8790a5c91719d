package registry

import (
	"cmp"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// again makes a gauge's state anew from its entries, once one of its checks
// went, came, or changed its place among the others.
func (tx *Tx) again(gauge string, seq uint64) error {
	if err := tx.s.Put(treeSeries, idSeqKey(gauge, seq), otherRow()); err != nil {
		return err
	}
	return tx.stateAgain(gauge, seq)
}

func (tx *Tx) stateAgain(gauge string, seq uint64) error {
	old, err := tx.Gauge(gauge)
	if err != nil {
		return err
	}
	s, _, err := tx.replay(gauge, seq)
	if err != nil {
		return err
	}
	return tx.setState(&old, s)
}

// A past is what a gauge's entries come to, in the order in which they count:
// a check stands where it was first kept, in the words of its last amendment.
type past struct {
	gauge  string
	others []journal.Entry   // neither checks nor what became of them
	stands map[uint64]uint64 // entry of the bench → entry that holds the check now; 0: none here
	bench  map[uint64]uint64 // entry of a check or its amendment → entry of the bench
}

// A step is one thing that changed a gauge's state: a check, by the entry that
// holds it, or another entry.
type step struct {
	at, check uint64
	other     journal.Entry
}

// replay makes the state of a gauge again from its entries up to one. Where it
// was returned to use on the strength of a check that does not count any more,
// doubt is the status in which it stood before.
//
// It asks the series for nothing but the numbers of the gauge's entries, which
// never change, so that it gives the same whenever it is asked.
func (tx *Tx) replay(gauge string, upTo uint64) (s GaugeState, doubt calib.Status, err error) {
	p := past{gauge: gauge, stands: map[uint64]uint64{}, bench: map[uint64]uint64{}}
	from, to := under(gauge)
	if err := tx.s.Range(treeSeries, from, to, func(key, _ []byte) error {
		seq, err := seqOf(key)
		if err != nil || seq > upTo {
			return err
		}
		return p.take(tx, seq)
	}); err != nil {
		return s, "", err
	}
	d := doubts{bench: p.bench, passed: map[uint64]bool{}}
	for _, one := range p.steps() {
		if one.check > 0 {
			s, err = tx.afterCheck(s, one.check)
			d.checked(one, s)
		} else {
			s, err = d.after(tx, s, one.other)
		}
		if err != nil {
			return s, "", err
		}
	}
	return s, d.hollow, nil
}

// take puts one entry about the gauge where it belongs.
func (p *past) take(tx *Tx, seq uint64) error {
	e, head, err := tx.Entry(seq)
	if err != nil {
		return err
	}
	switch {
	case isCheck(e.Kind):
		k, err := keptOf(e, head)
		if err != nil {
			return err
		}
		p.bench[seq], p.stands[k.Bench()] = k.Bench(), seq
		if k.Check.Check.Gauge != p.gauge {
			p.stands[k.Bench()] = 0
		}
	case e.Kind == KindWithdrawal:
		var w Withdrawal
		if err := decode(e, &w); err != nil {
			return err
		}
		p.stands[p.bench[w.Entry]] = 0
	case e.Kind == KindTakenBack:
		var t TakenBack
		if err := decode(e, &t); err != nil {
			return err
		}
		p.others = slices.DeleteFunc(p.others, func(o journal.Entry) bool { return o.Seq == t.Entry })
	default:
		p.others = append(p.others, e)
	}
	return nil
}

// steps puts all in order. A check that was first kept under another gauge may
// be older than this one's first entry, which nothing comes before.
func (p *past) steps() []step {
	var out []step
	for _, e := range p.others {
		out = append(out, step{at: e.Seq, other: e})
	}
	if len(out) == 0 {
		return nil
	}
	first := out[0].at
	for bench, holds := range p.stands {
		if holds > 0 {
			out = append(out, step{at: max(bench, first), check: holds})
		}
	}
	slices.SortFunc(out, func(a, b step) int { return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.check, b.check)) })
	return out
}

// afterCheck is the state after a check that stands.
func (tx *Tx) afterCheck(s GaugeState, seq uint64) (GaugeState, error) {
	k, err := tx.Check(seq)
	if err != nil {
		return s, err
	}
	var plan calib.Plan
	if err := tx.payload(k.Check.Basis.Plan, KindPlan, &plan); err != nil {
		return s, err
	}
	return s.checked(seq, k.Check, plan), nil
}

// doubts follows whether a gauge was returned to use by a check that counts.
type doubts struct {
	bench  map[uint64]uint64
	passed map[uint64]bool // bench of a check that stands → whether it passed
	open   calib.Status    // doubted, and not passed a check since
	hollow calib.Status    // open, when the gauge was returned all the same
}

func (d *doubts) checked(one step, s GaugeState) {
	newest := s.Last != nil && s.Last.Entry == one.check
	d.passed[d.bench[one.check]] = newest && s.Last.Verdict.Passed()
	if newest && s.Last.Verdict.Passed() && s.sound() {
		d.open, d.hollow = "", ""
	}
}

// after is the state after an entry that is no check; unchanged by one that
// says nothing of the state.
func (d *doubts) after(tx *Tx, s GaugeState, e journal.Entry) (GaugeState, error) {
	switch e.Kind {
	case KindGauge:
		return registered(e)
	case KindAmendment:
		return s.recordAmended(e)
	case KindEarlier:
		return tx.afterEarlier(s, e)
	case KindInterval:
		return s.accepted(e)
	case KindSurvey, KindStudy, KindComparison:
		day, uses, err := usesOf(e)
		for _, u := range uses {
			if u.gauge == s.Gauge.ID && u.now {
				s = s.used(day)
			}
		}
		return s, err
	case KindStatus:
		var c calib.StatusChange
		if err := decode(e, &c); err != nil {
			return s, err
		}
		d.status(c)
		return s.changed(c), nil
	}
	return s, nil
}

// status follows a change: one that a check brought about which does not count
// any more, or does not fail, was no doubt.
func (d *doubts) status(c calib.StatusChange) {
	passed, stands := d.passed[d.bench[c.Check]]
	switch {
	case c.Status.Doubted() && (c.Check == 0 || stands && !passed):
		d.open, d.hollow = c.Status, ""
	case c.Status.InUse():
		d.hollow = d.open
	}
}
