package registry

import (
	"cmp"
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// An EarlierState is a gauge's last check before its records began here.
type EarlierState struct {
	Entry   uint64        `json:"entry"`
	Date    calib.Date    `json:"date"`
	Verdict calib.Verdict `json:"verdict,omitempty"`

	// Months is the interval of the gauge's plan when it was entered; 0 where
	// it has none.
	Months int `json:"months,omitempty"`
}

// AddEarlier enters when a gauge was last checked before its records began
// here, so that its first due date is known. It refuses where a check is here
// already, or a later one was entered so.
func (tx *Tx) AddEarlier(c calib.EarlierCheck) (journal.Head, error) {
	s, err := tx.Gauge(c.Gauge)
	switch {
	case err != nil:
		return journal.Head{}, err
	case s.Last != nil:
		return journal.Head{}, &RuleError{fmt.Sprintf("gauge %s: was checked here on %s", c.Gauge, s.Last.Date), "want the check itself"}
	case s.Earlier != nil && !c.Date.After(s.Earlier.Date):
		return journal.Head{}, &RuleError{fmt.Sprintf("gauge %s: an earlier check of %s is known", c.Gauge, s.Earlier.Date), "want a later one"}
	}
	return tx.append(KindEarlier, c)
}

func (tx *Tx) applyEarlier(e journal.Entry) error {
	var c calib.EarlierCheck
	if err := decode(e, &c); err != nil {
		return err
	}
	old, err := tx.Gauge(c.Gauge)
	if err != nil {
		return err
	}
	s, err := tx.afterEarlier(old, e)
	if err != nil {
		return err
	}
	return tx.setGauge(&old, s, e.Seq, otherRow())
}

// afterEarlier is the state after an entry that says when the gauge was last
// checked before, by the plan as it was then.
func (tx *Tx) afterEarlier(s GaugeState, e journal.Entry) (GaugeState, error) {
	var c calib.EarlierCheck
	if err := decode(e, &c); err != nil {
		return s, err
	}
	s.Earlier = &EarlierState{Entry: e.Seq, Date: c.Date, Verdict: c.Verdict}
	if s.Gauge.Plan == "" {
		return s, nil
	}
	revisions, err := tx.Revisions(s.Gauge.Plan)
	for _, p := range revisions {
		if p.Entry < e.Seq {
			s.Earlier.Months = p.Plan.IntervalMonths
		}
	}
	return s, err
}

// earlierRows is what a gauge is waited for that was only checked before its
// records began here: at once where it did not pass, never where nothing says
// after how long.
func (s GaugeState) earlierRows() []DueRow {
	last := &LastCheck{Date: s.Earlier.Date, Verdict: s.Earlier.Verdict}
	months := cmp.Or(s.Gauge.IntervalMonths, s.Earlier.Months)
	due := s.Earlier.Date.AddMonths(months)
	switch {
	case s.Earlier.Verdict == "fail":
		due = s.Earlier.Date
	case months == 0:
		return nil
	}
	return []DueRow{s.dueRow("", calib.FullCheck, due, last)}
}
