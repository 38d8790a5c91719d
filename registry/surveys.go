package registry

import (
	"cmp"
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/survey"
	"example.org/wring/registry/journal"
)

// A KeptSurvey is the payload of a survey: what was observed, what it rests on,
// and what was computed from both.
type KeptSurvey struct {
	Survey survey.Survey `json:"survey"`
	Basis  SurveyRefs    `json:"basis"`
	Result survey.Result `json:"result"`
}

// SurveyRefs names the entries that a survey rests on.
type SurveyRefs struct {
	Gauge  uint64       `json:"gauge"`
	Status calib.Status `json:"status"`           // of the gauge that day
	Limits string       `json:"limits,omitempty"` // of its use, as its status has them
	Due    calib.Date   `json:"due,omitzero"`     // first day on which a check of it is due
	Method uint64       `json:"method"`
	Lot    uint64       `json:"lot"`
	Sizes  uint64       `json:"sizes,omitempty"` // check of its length; 0: none
	Foot   uint64       `json:"foot,omitempty"`  // check of its foot; 0: none
}

// A Surveyed is a survey as it lies in the journal.
type Surveyed struct {
	Entry  journal.Entry
	Head   journal.Head // that the journal had when it was kept
	Survey KeptSurvey

	Withdrawn uint64 // entry that withdrew it; 0 where it stands
}

// SurveyBasis gathers what a survey rests on, as the registry has it for its
// day, and the entries that say so. The method may be left empty: the lot's.
func (tx *Tx) SurveyBasis(s survey.Survey) (survey.Basis, SurveyRefs, error) {
	var b survey.Basis
	var refs SurveyRefs
	lot, err := tx.Lot(s.Lot)
	if err != nil {
		return b, refs, err
	}
	name := cmp.Or(s.Method, lot.Lot.Method)
	if name == "" {
		return b, refs, &RuleError{"lot " + s.Lot + ": has no method", "name one, or enter the lot with it"}
	}
	m, err := tx.Method(name, s.Revision)
	if err != nil {
		return b, refs, err
	}
	g, err := tx.Gauge(s.Gauge)
	if err != nil {
		return b, refs, err
	}
	refs = SurveyRefs{Gauge: g.Entry, Status: g.Status, Due: g.Due, Method: m.Entry, Lot: lot.Entry}
	if g.Status == calib.LimitedUse {
		refs.Limits = g.Reason
	}
	if refs.Sizes, err = tx.lastOf(s.Gauge, calib.LengthPart, s.Date); err != nil {
		return b, refs, err
	}
	if refs.Foot, err = tx.lastOf(s.Gauge, calib.FootPart, s.Date); err != nil {
		return b, refs, err
	}
	then, err := tx.dueThen(g, refs)
	if err != nil {
		return b, refs, err
	}
	late := g.Last != nil && s.Date.Before(g.Last.Date) // entered late: due as it stood then
	if late || refs.Due.IsZero() || !then.IsZero() && then.Before(refs.Due) {
		refs.Due = then
	}
	b, err = tx.ResolveSurvey(refs)
	return b, refs, err
}

// lastOf returns the entry of a gauge's newest check of one part on or before a
// day; of two on one day the later at the bench counts, as left after as found.
func (tx *Tx) lastOf(gauge string, part calib.Part, day calib.Date) (uint64, error) {
	rows, err := tx.Series(gauge)
	if err != nil {
		return 0, err
	}
	var newest *SeriesRow
	for i, r := range rows {
		if r.Date.After(day) || newest != nil && r.Date.Before(newest.Date) {
			continue
		}
		k, err := tx.Check(r.Entry)
		if err != nil {
			return 0, err
		}
		if k.Check.Result.VerdictOf(part) != "" {
			newest = &rows[i]
		}
	}
	if newest == nil {
		return 0, nil
	}
	return newest.Entry, nil
}

// dueThen is the first day on which one of the checks that a survey rests on
// was due again.
func (tx *Tx) dueThen(g GaugeState, refs SurveyRefs) (calib.Date, error) {
	due := calib.Date{}
	for part, seq := range map[calib.Part]uint64{calib.LengthPart: refs.Sizes, calib.FootPart: refs.Foot} {
		k, err := tx.Checked(seq)
		if err != nil {
			return due, err
		}
		if k == nil {
			continue
		}
		months := cmp.Or(g.Months(part), k.Plan.IntervalOf(part))
		if months == 0 {
			continue
		}
		if d := k.Check.Date.AddMonths(months); due.IsZero() || d.Before(due) {
			due = d
		}
	}
	return due, nil
}

// ResolveSurvey reads what a kept survey rests on from the entries it names.
func (tx *Tx) ResolveSurvey(r SurveyRefs) (survey.Basis, error) {
	b := survey.Basis{Status: r.Status, Limits: r.Limits, Due: r.Due}
	var err error
	if b.Gauge, err = tx.gaugeAt(r.Gauge); err != nil {
		return b, err
	}
	if err := tx.payload(r.Method, KindMethod, &b.Method); err != nil {
		return b, err
	}
	if err := tx.payload(r.Lot, KindLot, &b.Lot); err != nil {
		return b, err
	}
	if b.Sizes, err = tx.Checked(r.Sizes); err != nil {
		return b, err
	}
	b.Foot, err = tx.Checked(r.Foot)
	return b, err
}

// Checked reads a kept check as a survey rests on it; nil for entry 0.
func (tx *Tx) Checked(seq uint64) (*survey.Checked, error) {
	if seq == 0 {
		return nil, nil
	}
	k, err := tx.Check(seq)
	if err != nil {
		return nil, err
	}
	c := &survey.Checked{Entry: seq, Check: k.Check.Check, Result: k.Check.Result}
	return c, tx.payload(k.Check.Basis.Plan, KindPlan, &c.Plan)
}

// KeepSurvey enters a survey with its result. It refuses with a [*RuleError] if
// what it rests on was changed since the basis was read, or if it is in the
// registry word for word.
func (tx *Tx) KeepSurvey(k KeptSurvey) (journal.Head, error) {
	_, now, err := tx.SurveyBasis(k.Survey)
	if err != nil {
		return journal.Head{}, err
	}
	if now != k.Basis {
		return journal.Head{}, &RuleError{"survey of " + k.Survey.Lot + ": its lot, method or gauge was changed meanwhile", "look again, and keep it then"}
	}
	list, err := tx.SurveysOf(k.Survey.Lot)
	if err != nil {
		return journal.Head{}, err
	}
	for _, old := range list {
		if old.Withdrawn > 0 {
			continue
		}
		a, b := old.Survey.Survey, k.Survey
		a.Remarks, b.Remarks = "", ""
		if wordForWord(a, b) {
			return journal.Head{}, &RuleError{fmt.Sprintf("survey of %s, %s: is entry %d already, with the same readings", b.Lot, b.Date, old.Head.Seq), "want another survey"}
		}
	}
	return tx.append(KindSurvey, k)
}

// Survey returns the survey that an entry holds.
func (tx *Tx) Survey(seq uint64) (Surveyed, error) {
	e, head, err := tx.Entry(seq)
	if err != nil {
		return Surveyed{}, err
	}
	if e.Kind != KindSurvey {
		return Surveyed{}, &RuleError{fmt.Sprintf("entry %d: is a %q", seq, e.Kind), "want the entry of a survey"}
	}
	s := Surveyed{Entry: e, Head: head}
	err = decode(e, &s.Survey)
	s.Withdrawn = tx.takenBackBy(treeByLot, s.Survey.Survey.Lot, seq)
	return s, err
}

// SurveysOf returns the surveys of a lot, oldest first, those too that were
// withdrawn.
func (tx *Tx) SurveysOf(lot string) ([]Surveyed, error) {
	return tx.surveysUnder(treeByLot, lot)
}

// SurveysWith returns the surveys that stand and that a gauge was used for,
// oldest first. Each is one use of the gauge.
func (tx *Tx) SurveysWith(gauge string) ([]Surveyed, error) {
	list, err := tx.surveysUnder(treeUses, gauge)
	return slices.DeleteFunc(list, func(s Surveyed) bool { return s.Withdrawn > 0 }), err
}

func (tx *Tx) surveysUnder(tree, id string) ([]Surveyed, error) {
	entries, err := tx.entriesUnder(tree, id)
	var out []Surveyed
	for _, e := range entries {
		if e.Kind != KindSurvey {
			continue
		}
		s, err := tx.Survey(e.Seq)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, err
}

// Uses counts the surveys, studies and comparisons that a gauge was used for
// from the first day to the last; a zero last day is open.
func (tx *Tx) Uses(gauge string, first, last calib.Date) (int, error) {
	var days []calib.Date
	list, err := tx.SurveysWith(gauge)
	if err != nil {
		return 0, err
	}
	for _, s := range list {
		days = append(days, s.Survey.Survey.Date)
	}
	studies, err := tx.StudiesWith(gauge)
	for _, s := range studies {
		days = append(days, s.Date)
	}
	n := 0
	for _, d := range days {
		if !d.Before(first) && (last.IsZero() || !d.After(last)) {
			n++
		}
	}
	return n, err
}

// applySurvey brings the gauge's uses, its history and the lot's up to the
// entry.
func (tx *Tx) applySurvey(e journal.Entry) error {
	var k KeptSurvey
	if err := decode(e, &k); err != nil {
		return err
	}
	if err := tx.s.Put(treeByLot, idSeqKey(k.Survey.Lot, e.Seq), []byte{}); err != nil {
		return err
	}
	if err := tx.s.Put(treeUses, idSeqKey(k.Survey.Gauge, e.Seq), []byte{}); err != nil {
		return err
	}
	old, err := tx.Gauge(k.Survey.Gauge)
	if err != nil {
		return err
	}
	return tx.setGauge(&old, old.used(k.Survey.Date), e.Seq, otherRow())
}
