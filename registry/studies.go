package registry

import (
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/calib/agreement"
	"example.org/wring/calib/study"
	"example.org/wring/registry/journal"
)

// The kinds of entry about what measuring processes are worth.
const (
	KindStudy      = "study"
	KindComparison = "comparison"
)

// UseRefs names the entry of a gauge that was used, and how it stood.
type UseRefs struct {
	Gauge    uint64         `json:"gauge,omitempty"` // 0: not in this registry
	Standing calib.Standing `json:"standing,omitzero"`
}

// A KeptStudy is the payload of a study: what was observed, with what, and
// what was computed.
type KeptStudy struct {
	Study  study.Study  `json:"study"`
	Basis  UseRefs      `json:"basis"`
	Result study.Result `json:"result"`
}

// A Studied is a study as it lies in the journal.
type Studied struct {
	Entry journal.Entry
	Head  journal.Head // that the journal had when it was kept
	Study KeptStudy

	Withdrawn uint64 // entry that withdrew it; 0 where it stands
}

// A KeptComparison is the payload of a comparison.
type KeptComparison struct {
	Comparison agreement.Comparison `json:"comparison"`
	A          UseRefs              `json:"a"`
	B          UseRefs              `json:"b"`
	Result     agreement.Result     `json:"result"`
}

// A Compared is a comparison as it lies in the journal.
type Compared struct {
	Entry      journal.Entry
	Head       journal.Head // that the journal had when it was kept
	Comparison KeptComparison

	Withdrawn uint64 // entry that withdrew it; 0 where it stands
}

// On is how the gauges of both sides stood.
func (k KeptComparison) On() agreement.Basis {
	return agreement.Basis{A: k.A.Standing, B: k.B.Standing}
}

// UsesOf says how the gauges of a comparison stand. A party whose figures come
// from an entry used its gauge when that was made, and not now.
func (tx *Tx) UsesOf(c agreement.Comparison) (a, b UseRefs, err error) {
	if c.A.Entry == 0 {
		a, err = tx.UseOf(c.A.Gauge)
	}
	if c.B.Entry == 0 && err == nil {
		b, err = tx.UseOf(c.B.Gauge)
	}
	return a, b, err
}

// UseOf says how a gauge stands for a use of it; an empty identity is no gauge
// of this registry, and stands for nothing.
func (tx *Tx) UseOf(gauge string) (UseRefs, error) {
	if gauge == "" {
		return UseRefs{}, nil
	}
	g, err := tx.Gauge(gauge)
	if err != nil {
		return UseRefs{}, err
	}
	refs := UseRefs{Gauge: g.Entry, Standing: calib.Standing{Status: g.Status, Due: g.Due, Never: g.Last == nil}}
	if g.Status == calib.LimitedUse {
		refs.Standing.Limits = g.Reason
	}
	return refs, nil
}

// ResolveUse is the inverse of UseOf: it reads the gauge as it was.
func (tx *Tx) ResolveUse(r UseRefs) (study.Basis, error) {
	g, err := tx.gaugeAt(r.Gauge)
	return study.Basis{Gauge: g, Standing: r.Standing}, err
}

// KeepStudy enters a study with its result. It refuses with a [*RuleError] if
// its gauge was changed since the basis was read, or if it is in the registry
// word for word.
func (tx *Tx) KeepStudy(k KeptStudy) (journal.Head, error) {
	now, err := tx.UseOf(k.Study.Gauge)
	if err != nil {
		return journal.Head{}, err
	}
	if now != k.Basis {
		return journal.Head{}, &RuleError{"study of " + k.Study.Gauge + ": its gauge was changed meanwhile", "look again, and keep it then"}
	}
	all, err := tx.Studies()
	if err != nil {
		return journal.Head{}, err
	}
	for _, old := range all {
		if old.Withdrawn > 0 {
			continue
		}
		a, b := old.Study.Study, k.Study
		a.Remarks, b.Remarks = "", ""
		if wordForWord(a, b) {
			return journal.Head{}, &RuleError{fmt.Sprintf("study of %s, %s: is entry %d already, with the same readings", b.Gauge, b.Date, old.Head.Seq), "want another study"}
		}
	}
	return tx.append(KindStudy, k)
}

// KeepComparison enters a comparison with its result. It refuses with a
// [*RuleError] as KeepStudy does.
func (tx *Tx) KeepComparison(k KeptComparison) (journal.Head, error) {
	a, b, err := tx.UsesOf(k.Comparison)
	if err != nil {
		return journal.Head{}, err
	}
	if a != k.A || b != k.B {
		return journal.Head{}, &RuleError{"comparison: a gauge of it was changed meanwhile", "look again, and keep it then"}
	}
	all, err := tx.Comparisons()
	if err != nil {
		return journal.Head{}, err
	}
	for _, old := range all {
		if old.Withdrawn > 0 {
			continue
		}
		a, b := old.Comparison.Comparison, k.Comparison
		a.Remarks, b.Remarks = "", ""
		if wordForWord(a, b) {
			return journal.Head{}, &RuleError{fmt.Sprintf("comparison of %s and %s, %s: is entry %d already, with the same figures", b.A.Name, b.B.Name, b.Date, old.Head.Seq), "want another comparison"}
		}
	}
	return tx.append(KindComparison, k)
}

// Study returns the study that an entry holds.
func (tx *Tx) Study(seq uint64) (Studied, error) {
	s := Studied{}
	var err error
	if s.Entry, s.Head, err = tx.entryOf(seq, KindStudy); err != nil {
		return s, err
	}
	s.Withdrawn = tx.takenBackBy(treeStudies, KindStudy, seq)
	return s, decode(s.Entry, &s.Study)
}

// Comparison returns the comparison that an entry holds.
func (tx *Tx) Comparison(seq uint64) (Compared, error) {
	c := Compared{}
	var err error
	if c.Entry, c.Head, err = tx.entryOf(seq, KindComparison); err != nil {
		return c, err
	}
	c.Withdrawn = tx.takenBackBy(treeStudies, KindComparison, seq)
	return c, decode(c.Entry, &c.Comparison)
}

// entryOf reads an entry that must be of one kind.
func (tx *Tx) entryOf(seq uint64, kind string) (journal.Entry, journal.Head, error) {
	e, head, err := tx.Entry(seq)
	if err == nil && e.Kind != kind {
		err = &RuleError{fmt.Sprintf("entry %d: is a %q", seq, e.Kind), "want the entry of a " + kind}
	}
	return e, head, err
}

// Studies returns all studies, oldest first, those too that were withdrawn.
func (tx *Tx) Studies() ([]Studied, error) {
	var out []Studied
	err := tx.eachStudied(KindStudy, func(seq uint64) error {
		s, err := tx.Study(seq)
		out = append(out, s)
		return err
	})
	return out, err
}

// Comparisons returns all comparisons, oldest first, those too that were
// withdrawn.
func (tx *Tx) Comparisons() ([]Compared, error) {
	var out []Compared
	err := tx.eachStudied(KindComparison, func(seq uint64) error {
		c, err := tx.Comparison(seq)
		out = append(out, c)
		return err
	})
	return out, err
}

func (tx *Tx) eachStudied(kind string, fn func(uint64) error) error {
	from, to := under(kind)
	return tx.s.Range(treeStudies, from, to, func(k, _ []byte) error {
		seq, err := seqOf(k)
		if err != nil {
			return err
		}
		return fn(seq)
	})
}

// applyStudy brings the list of studies and the gauge's history up to the
// entry; applyComparison does the same for both gauges of a comparison.
func (tx *Tx) applyStudy(e journal.Entry) error {
	day, uses, err := usesOf(e)
	if err != nil {
		return err
	}
	return tx.applyUses(e, day, uses...)
}

func (tx *Tx) applyComparison(e journal.Entry) error { return tx.applyStudy(e) }

// usesOf lists the gauges that a survey, a study or a comparison is about, with
// its day; none of another entry.
func usesOf(e journal.Entry) (calib.Date, []use, error) {
	switch e.Kind {
	case KindSurvey:
		var k KeptSurvey
		err := decode(e, &k)
		return k.Survey.Date, []use{{k.Survey.Gauge, true}}, err
	case KindStudy:
		var k KeptStudy
		err := decode(e, &k)
		return k.Study.Date, []use{{k.Study.Gauge, true}}, err
	case KindComparison:
		var k KeptComparison
		err := decode(e, &k)
		a, b := k.Comparison.A, k.Comparison.B
		uses := []use{{a.Gauge, a.Entry == 0}}
		if b.Gauge != a.Gauge {
			uses = append(uses, use{b.Gauge, b.Entry == 0})
		}
		return k.Comparison.Date, uses, err
	}
	return calib.Date{}, nil, nil
}

// A use is a gauge that an entry is about, and whether it was used for it.
type use struct {
	gauge string // empty: not in this registry
	now   bool
}

func (tx *Tx) applyUses(e journal.Entry, day calib.Date, uses ...use) error {
	if err := tx.s.Put(treeStudies, idSeqKey(e.Kind, e.Seq), []byte{}); err != nil {
		return err
	}
	for _, u := range uses {
		if u.gauge == "" {
			continue
		}
		if err := tx.s.Put(treeUses, idSeqKey(u.gauge, e.Seq), []byte{}); err != nil {
			return err
		}
		old, err := tx.Gauge(u.gauge)
		if err != nil {
			return err
		}
		s := old
		if u.now {
			s = old.used(day)
		}
		if err := tx.setGauge(&old, s, e.Seq, otherRow()); err != nil {
			return err
		}
	}
	return nil
}

// A StudyUse is a study or a comparison that a gauge was used for.
type StudyUse struct {
	Entry uint64
	Kind  string // of the entry
	Date  calib.Date
}

// StudiesWith returns the studies and comparisons that stand and that a gauge
// was used for, oldest first. A comparison of entries is left out: its figures were taken
// when they were made.
func (tx *Tx) StudiesWith(gauge string) ([]StudyUse, error) {
	entries, err := tx.entriesUnder(treeUses, gauge)
	if err != nil {
		return nil, err
	}
	var out []StudyUse
	for _, e := range entries {
		if tx.takenBackBy(treeUses, gauge, e.Seq) > 0 {
			continue
		}
		switch e.Kind {
		case KindStudy:
			var k KeptStudy
			if err := decode(e, &k); err != nil {
				return nil, err
			}
			out = append(out, StudyUse{e.Seq, e.Kind, k.Study.Date})
		case KindComparison:
			var k KeptComparison
			if err := decode(e, &k); err != nil {
				return nil, err
			}
			for _, p := range []agreement.Party{k.Comparison.A, k.Comparison.B} {
				if p.Gauge == gauge && p.Entry == 0 {
					out = append(out, StudyUse{e.Seq, e.Kind, k.Comparison.Date})
				}
			}
		}
	}
	return out, nil
}
