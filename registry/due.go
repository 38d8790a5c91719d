package registry

import (
	"cmp"
	"encoding/json"

	"example.org/wring/calib"
)

// A DueRow is one line of the due list, as it is printed. The tree holds the
// rows in due order, so that reading them costs what is due and not the fleet.
type DueRow struct {
	ID          string        `json:"id"`
	What        string        `json:"what"` // the kind of gauge or of standard
	Description string        `json:"description,omitempty"`
	Place       string        `json:"place,omitempty"`
	Owner       string        `json:"owner,omitempty"`
	Status      calib.Status  `json:"status,omitempty"` // empty for a standard
	Due         calib.Date    `json:"due,omitzero"`     // zero: never checked
	Last        calib.Date    `json:"last,omitzero"`
	Verdict     calib.Verdict `json:"verdict,omitempty"`
	Standard    bool          `json:"standard,omitempty"`
}

// Due calls fn with every row that is due on or before the day, earliest
// first; what was never checked comes before all.
func (tx *Tx) Due(day calib.Date, fn func(DueRow) error) error {
	return tx.s.Range(treeDue, nil, dayKey(day.AddDays(1)), func(_, v []byte) error {
		var row DueRow
		if err := json.Unmarshal(v, &row); err != nil {
			return viewDamage(treeDue, err)
		}
		return fn(row)
	})
}

// due returns the date on which a gauge is due: its last check and interval in
// calendar months, its own before its plan's. A check that did not pass leaves it due at once; without
// an interval it is never due again. The second result is false where it is
// not waited for.
func (s GaugeState) due() (calib.Date, bool) {
	switch {
	case !s.Status.Recalled():
		return calib.Date{}, false
	case s.Last == nil:
		return calib.Date{}, true
	case !passed(s.Last.Verdict):
		return s.Last.Date, true
	}
	months := cmp.Or(s.Gauge.IntervalMonths, s.Last.IntervalMonths)
	if months == 0 {
		return calib.Date{}, false
	}
	return s.Last.Date.AddMonths(months), true
}

// passed reports whether a verdict lets a gauge be used until its interval
// ends (ILAC-G8:09/2019, 4.2.3: a conditional pass is a pass).
func passed(v calib.Verdict) bool { return v == "pass" || v == "conditional pass" }

func (s GaugeState) dueRow() DueRow {
	row := DueRow{ID: s.Gauge.ID, What: string(s.Gauge.Kind), Description: s.Gauge.Description,
		Place: s.Gauge.Place, Owner: s.Gauge.Owner, Status: s.Status, Due: s.Due}
	if s.Last != nil {
		row.Last, row.Verdict = s.Last.Date, s.Last.Verdict
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
