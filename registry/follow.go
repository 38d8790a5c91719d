package registry

import (
	"cmp"
	"fmt"
	"slices"

	"example.org/wring/calib"
)

// follow enters what follows from a check that was just kept or amended.
//
// These are entries and not views of the check: a change of status is an event
// with a person, a date and a reason, and the journal must show it to whoever
// reads it without this program. Checks that were kept before there was such a
// rule change nothing by it.
func (tx *Tx) follow(seq uint64, k KeptCheck) error {
	s, err := tx.Gauge(k.Check.Gauge)
	if err != nil {
		return err
	}
	newest := s.Last != nil && s.Last.Entry == seq
	switch v := k.Result.Verdict; {
	case v.Failed():
		return tx.failed(s, seq, k, newest)
	case newest && v.Passed() && s.Status == calib.Failed && s.Before != "" && !s.Unproven:
		_, err := tx.append(KindStatus, calib.StatusChange{Gauge: s.Gauge.ID, Status: s.Before, Date: k.Check.Date,
			Reason: fmt.Sprintf("entry %d: %s, %s", seq, k.Check.Stage, v), Check: seq})
		return err
	}
	return nil
}

// failed marks a gauge that failed, unless a newer check speaks for it, and, if
// that was as found, opens the look-back from its last known good state: what
// was done to a gauge since says nothing of what it measured before.
func (tx *Tx) failed(s GaugeState, seq uint64, k KeptCheck, newest bool) error {
	reason := fmt.Sprintf("entry %d: %s, %s", seq, k.Check.Stage, k.Result.Verdict)
	if newest && s.Status != calib.Failed && !s.Status.Withdrawn() {
		change := calib.StatusChange{Gauge: s.Gauge.ID, Status: calib.Failed, Date: k.Check.Date, Reason: reason, Check: seq}
		if _, err := tx.append(KindStatus, change); err != nil {
			return err
		}
	}
	if k.Check.Stage != calib.AsFound {
		return nil
	}
	since, err := tx.lastGood(k, seq)
	if err != nil {
		return err
	}
	open, err := tx.openFor(s.Gauge.ID, since, seq)
	if err != nil || open {
		return err
	}
	_, err = tx.append(KindLookBack, LookBack{Subject: s.Gauge.ID, Since: since, Until: k.Check.Date, Check: seq, Reason: reason})
	return err
}

// lastGood is the day up to which what failed in a check was known good: for
// each part that failed, that of the newest check before it in which that part
// passed; of several parts the earliest, and zero where one never passed. A
// foot that passed meanwhile says nothing of a length.
func (tx *Tx) lastGood(k KeptCheck, seq uint64) (calib.Date, error) {
	rows, err := tx.Series(k.Check.Gauge)
	if err != nil {
		return calib.Date{}, err
	}
	day := k.Check.Date
	rows = slices.DeleteFunc(rows, func(r SeriesRow) bool {
		after := r.Date == day && r.Stage == calib.AsLeft // as left comes after as found
		return r.Entry == seq || after || r.Date.After(day)
	})
	slices.SortStableFunc(rows, func(a, b SeriesRow) int { return cmp.Compare(b.Date.Day(), a.Date.Day()) })
	earliest := calib.Date{}
	for n, part := range failedParts(k.Result) {
		good, err := tx.passed(part, rows)
		if err != nil || good.IsZero() {
			return good, err
		}
		if n == 0 || good.Before(earliest) {
			earliest = good
		}
	}
	return earliest, nil
}

// passed is the day of the first of several checks in which a part passed.
func (tx *Tx) passed(part calib.Part, rows []SeriesRow) (calib.Date, error) {
	for _, r := range rows {
		k, err := tx.Check(r.Entry)
		if err != nil {
			return calib.Date{}, err
		}
		if k.Check.Result.VerdictOf(part).Passed() {
			return r.Date, nil
		}
	}
	return calib.Date{}, nil
}

// failedParts lists what failed in a result, or all that it answers for where
// no part says so by itself.
func failedParts(r calib.Result) []calib.Part {
	var out []calib.Part
	for _, part := range r.Parts() {
		if r.VerdictOf(part).Failed() {
			out = append(out, part)
		}
	}
	if len(out) == 0 {
		return r.Parts()
	}
	return out
}

// changed is the state after a change of status.
func (s GaugeState) changed(c calib.StatusChange) GaugeState {
	before := s.Before
	s.Before = ""
	if c.Status == calib.Failed && c.Check > 0 {
		s.Before = s.Status
		switch {
		case s.Status.Doubted(): // a person's doubt is a person's to end
			s.Before = before
		case s.Status == calib.Away: // it was here to be checked
			s.Before = calib.InService
		}
	}
	s.Unproven = c.Status.Doubted() || s.Unproven && !c.Status.InUse()
	s.Status, s.Since, s.Reason = c.Status, c.Date, c.Reason
	return s
}
