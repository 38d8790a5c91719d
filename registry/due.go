package registry

import (
	"cmp"
	"slices"

	"example.org/wring/calib"
)

// A DueRow is one line of the due list, as it is printed. The tree holds the
// rows in due order, so that reading them costs what is due and not the fleet.
// A gauge has a row for each part of its plan, and one for an intermediate
// check that falls due before any of them.
type DueRow struct {
	ID          string        `json:"id"`
	What        string        `json:"what"` // the kind of gauge or of standard
	Description string        `json:"description,omitempty"`
	Place       string        `json:"place,omitempty"`
	Owner       string        `json:"owner,omitempty"`
	Status      calib.Status  `json:"status,omitempty"` // empty for a standard
	Part        calib.Part    `json:"part,omitempty"`   // empty for a standard, an intermediate check, a gauge never checked
	Clock       calib.Purpose `json:"clock,omitempty"`  // empty for a standard
	Due         calib.Date    `json:"due,omitzero"`     // zero: never checked
	Last        calib.Date    `json:"last,omitzero"`
	Verdict     calib.Verdict `json:"verdict,omitempty"`
	Standard    bool          `json:"standard,omitempty"`
}

// Due calls fn with every row that is due on or before the day, earliest
// first; what was never checked comes before all. The row is valid until fn
// returns.
func (tx *Tx) Due(day calib.Date, fn func(*DueRow) error) error {
	rows, until := newDueReader(), dayKey(day.AddDays(1))
	tx.s.Ahead(treeDue, nil, until)
	return tx.s.Range(treeDue, nil, until, func(_, v []byte) error {
		row, err := rows.read(v)
		if err != nil {
			return err
		}
		return fn(row)
	})
}

// A PartState is what is known of one part of a gauge's plan.
type PartState struct {
	Part calib.Part `json:"part"`
	Last *LastCheck `json:"last,omitempty"` // newest full check; nil where there was none

	// Months is the plan's interval by the revision that the newest check
	// followed; 0 where it has none. A later revision counts from the next
	// check on.
	Months int `json:"months,omitempty"`
}

// parts returns the parts of the plan. A state that an older program wrote has
// none: its last check was of length.
func (s GaugeState) parts() []PartState {
	if len(s.Parts) > 0 || s.Last == nil {
		return s.Parts
	}
	return []PartState{{Part: calib.LengthPart, Last: s.Last, Months: s.Last.IntervalMonths}}
}

// checked is the state after a check by that revision of its plan.
func (s GaugeState) checked(seq uint64, k KeptCheck, plan calib.Plan) GaugeState {
	last := LastCheck{Entry: seq, Date: k.Check.Date, Stage: k.Check.Stage, Verdict: k.Result.Verdict, IntervalMonths: plan.IntervalMonths}
	before, newest := s, s.Last.agrees(last)
	if newest && k.full() {
		s.Uses, s.UsedUp = 0, calib.Date{}
	}
	if newest { // a late entry of an older check changes no due date
		s.Last, s.IntermediateMonths = &last, plan.IntermediateMonths
	}
	s.Parts = before.partsAfter(last, newest, k, plan)
	if newest && s.proven(k.Result.Verdict) {
		s.Unproven = false
	}
	return s
}

// agrees reports whether a check is as new as the one that stands, or newer.
func (l *LastCheck) agrees(next LastCheck) bool { return l == nil || !next.Date.Before(l.Date) }

// partsAfter brings the parts of the plan up to a check. A part that a newer
// revision of the gauge's own plan lacks is no longer waited for; a check by
// another plan, as one of its foot alone, takes none away.
func (s GaugeState) partsAfter(last LastCheck, newest bool, k KeptCheck, plan calib.Plan) []PartState {
	var out []PartState
	old := s.parts()
	own := newest && (s.Gauge.Plan == "" || s.Gauge.Plan == plan.Name)
	for _, part := range calib.Parts() {
		recorded := slices.Contains(k.Check.Parts(), part)
		i := slices.IndexFunc(old, func(p PartState) bool { return p.Part == part })
		if !recorded && !(newest && slices.Contains(plan.Parts(), part)) && (own || i < 0) {
			continue
		}
		state := PartState{Part: part, Months: intervalOf(plan, part)}
		if i >= 0 {
			state = old[i]
		}
		if recorded && k.full() && state.Last.agrees(last) {
			one := last
			one.Verdict = cmp.Or(k.Result.VerdictOf(part), k.Result.Verdict)
			one.IntervalMonths = intervalOf(plan, part)
			state.Last, state.Months = &one, one.IntervalMonths
		}
		out = append(out, state)
	}
	return out
}

// full reports whether a check starts a new interval: an intermediate one does
// not, nor one that passed with points of its plan left out (house rule: what
// was not looked at was not renewed).
func (k KeptCheck) full() bool {
	partial := slices.ContainsFunc(k.Result.Findings, func(f calib.Finding) bool { return f.Gate == calib.GatePoints })
	return !k.Check.Intermediate() && !(partial && k.Result.Verdict.Passed())
}

func intervalOf(plan calib.Plan, part calib.Part) int {
	return cmp.Or(plan.IntervalOf(part), plan.IntervalMonths)
}

// amended puts the amendment of a check in its place.
func (s GaugeState) amended(old, seq uint64, r calib.Result) GaugeState {
	fresh := func(l *LastCheck, v calib.Verdict) *LastCheck {
		if l == nil || l.Entry != old {
			return l
		}
		one := *l
		one.Entry, one.Verdict = seq, v
		return &one
	}
	s.Last = fresh(s.Last, r.Verdict)
	s.Parts = slices.Clone(s.parts())
	for i, p := range s.Parts {
		s.Parts[i].Last = fresh(p.Last, cmp.Or(r.VerdictOf(p.Part), r.Verdict))
	}
	if s.Last != nil && s.Last.Entry == seq && s.proven(r.Verdict) {
		s.Unproven = false
	}
	return s
}

// proven reports whether the last check, of that verdict, ends a doubt: one that
// was made before the day of the status says nothing of what befell the gauge
// on it.
func (s GaugeState) proven(v calib.Verdict) bool {
	return v.Passed() && s.sound() && !s.Last.Date.Before(s.Since)
}

// sound reports whether no part failed at its last check.
func (s GaugeState) sound() bool {
	for _, p := range s.parts() {
		if p.Last != nil && !p.Last.Verdict.Passed() {
			return false
		}
	}
	return true
}

// Months returns the interval of a part in calendar months: an accepted one
// before the gauge's own, and that before the plan's; 0 where there is none.
func (s GaugeState) Months(part calib.Part) int {
	months := s.Gauge.IntervalMonths
	for _, p := range s.parts() {
		if p.Part == part {
			months = cmp.Or(months, p.Months)
		}
	}
	for _, a := range s.Accepted {
		if a.Part == part {
			months = a.New
		}
	}
	return months
}

// dueRows lists what a gauge is waited for: its parts in their order, then the
// intermediate check.
func (s GaugeState) dueRows() []DueRow {
	if !s.Status.Recalled() {
		return nil
	}
	if len(s.parts()) == 0 && s.Earlier != nil {
		return s.earlierRows()
	}
	if len(s.parts()) == 0 {
		return []DueRow{s.dueRow("", calib.FullCheck, calib.Date{}, nil)}
	}
	var out []DueRow
	for _, p := range s.parts() {
		if due, waited := s.partDue(p); waited {
			last := p.Last
			if last != nil && s.failedBetween(p) {
				last = s.Last
			}
			out = append(out, s.dueRow(p.Part, calib.FullCheck, due, last))
		}
	}
	months := cmp.Or(s.Gauge.IntermediateMonths, s.IntermediateMonths)
	if months == 0 || s.Last == nil {
		return out
	}
	due := s.Last.Date.AddMonths(months)
	for _, row := range out {
		if !row.Due.After(due) { // the full check comes first and counts for both
			return out
		}
	}
	return append(out, s.dueRow("", calib.IntermediateCheck, due, s.Last))
}

// partDue returns the day on which a part is due: its last full check and
// interval in calendar months. A check that did not pass leaves it due at once,
// an intermediate one too; without an interval it is never due again. The
// second result is false where it is not waited for.
func (s GaugeState) partDue(p PartState) (calib.Date, bool) {
	months := s.Months(p.Part)
	switch {
	case p.Last == nil:
		return calib.Date{}, true
	case !p.Last.Verdict.Passed():
		return p.Last.Date, true
	case s.failedBetween(p):
		return s.Last.Date, true
	case months == 0:
		return s.UsedUp, !s.UsedUp.IsZero()
	}
	due := p.Last.Date.AddMonths(months)
	if !s.UsedUp.IsZero() && s.UsedUp.Before(due) {
		due = s.UsedUp
	}
	return due, true
}

// used is the state after one more use on a day. A use from before the last
// check, entered late, counts for nothing that is waited for.
func (s GaugeState) used(day calib.Date) GaugeState {
	if s.Last != nil && day.Before(s.Last.Date) {
		return s
	}
	s.Uses++
	if n := s.Gauge.IntervalUses; n > 0 && s.Uses == n {
		s.UsedUp = day
	}
	return s
}

// failedBetween reports whether the newest check is none that a part has as its
// last, as an intermediate one, and did not pass.
func (s GaugeState) failedBetween(p PartState) bool {
	if s.Last.Verdict.Passed() {
		return false
	}
	return !slices.ContainsFunc(s.parts(), func(p PartState) bool { return p.Last != nil && p.Last.Entry == s.Last.Entry })
}

func (s GaugeState) dueRow(part calib.Part, clock calib.Purpose, due calib.Date, last *LastCheck) DueRow {
	row := DueRow{ID: s.Gauge.ID, What: string(s.Gauge.Kind), Description: s.Gauge.Description,
		Place: s.Gauge.Place, Owner: s.Gauge.Owner, Status: s.Status, Part: part, Clock: clock, Due: due}
	if last != nil {
		row.Last, row.Verdict = last.Date, last.Verdict
	}
	return row
}

func (s StandardState) dueRow() DueRow {
	row := DueRow{ID: s.Standard.ID, What: string(s.Standard.Kind), Description: s.Standard.Description,
		Place: s.Standard.Place, Owner: s.Standard.Owner, Standard: true}
	if s.Newest != nil {
		row.Last, row.Due = s.Newest.Date, s.Newest.Due
	}
	return row
}

// key is the row's place in the due order.
func (r DueRow) key() []byte {
	key := dueKey(r.Due, r.ID)
	if r.Clock != calib.IntermediateCheck && (r.Part == "" || r.Part == calib.LengthPart) {
		return key // as older programs wrote it
	}
	return append(append(append(append(key, 0), r.Part...), 0), r.Clock...)
}

// setDue takes the old rows out of the due order and puts the new ones in, and
// returns the first day on which something is due.
func (tx *Tx) setDue(old, now []DueRow) (calib.Date, error) {
	for _, row := range old {
		if err := tx.s.Delete(treeDue, row.key()); err != nil {
			return calib.Date{}, err
		}
	}
	first := calib.Date{}
	for i, row := range now {
		if i == 0 || row.Due.Before(first) {
			first = row.Due
		}
		if err := tx.s.Put(treeDue, row.key(), row.written()); err != nil {
			return first, err
		}
	}
	return first, nil
}
