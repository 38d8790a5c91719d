package registry

import (
	"fmt"

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
	case k.Check.Stage == calib.AsFound && v.Failed():
		return tx.failed(s, seq, k, newest)
	case newest && v.Passed() && s.Status == calib.Failed && s.Before != "" && !s.Unproven:
		_, err := tx.append(KindStatus, calib.StatusChange{Gauge: s.Gauge.ID, Status: s.Before, Date: k.Check.Date,
			Reason: fmt.Sprintf("entry %d: %s, %s", seq, k.Check.Stage, v), Check: seq})
		return err
	}
	return nil
}

// failed marks a gauge that failed as found, unless a newer check speaks for
// it, and opens the look-back from its last known good state.
func (tx *Tx) failed(s GaugeState, seq uint64, k KeptCheck, newest bool) error {
	reason := fmt.Sprintf("entry %d: %s, %s", seq, k.Check.Stage, k.Result.Verdict)
	if newest && s.Status != calib.Failed && !s.Status.Withdrawn() {
		change := calib.StatusChange{Gauge: s.Gauge.ID, Status: calib.Failed, Date: k.Check.Date, Reason: reason, Check: seq}
		if _, err := tx.append(KindStatus, change); err != nil {
			return err
		}
	}
	since, err := tx.lastGood(s.Gauge.ID, k.Check.Date, seq)
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

// lastGood is the day of a gauge's newest passing check on or before a day,
// the entry itself left out; zero where there is none.
func (tx *Tx) lastGood(gauge string, day calib.Date, but uint64) (calib.Date, error) {
	rows, err := tx.Series(gauge)
	good := calib.Date{}
	for _, r := range rows {
		after := r.Date == day && r.Stage == calib.AsLeft // as left comes after as found
		if r.Entry != but && !after && r.Verdict.Passed() && !r.Date.After(day) && !r.Date.Before(good) {
			good = r.Date
		}
	}
	return good, err
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
