package registry

import (
	"example.org/wring/calib"
	"example.org/wring/registry/journal"
	"example.org/wring/uncertainty/unit"
)

// An Outline is as much of a check as one line about it tells. A gauge's history
// reads many checks and prints a line of each: readings and budgets, nine tenths
// of an entry, are passed over.
type Outline struct {
	Check  OutlinedCheck  `json:"check"`
	Result OutlinedResult `json:"result"`

	// Amendment is what this entry amends; nil for a check as first kept.
	Amendment *CheckAmendment `json:"-"`
}

// An OutlinedCheck is what was checked, when, how and by whom.
type OutlinedCheck struct {
	Gauge    string      `json:"gauge"`
	Plan     string      `json:"plan"`
	Revision int         `json:"revision"`
	Stage    calib.Stage `json:"stage"`
	Date     calib.Date  `json:"date"`
	Person   string      `json:"person"`
}

// An OutlinedResult is how a check came out.
type OutlinedResult struct {
	Points   []OutlinedPoint   `json:"points"`
	Verdict  calib.Verdict     `json:"verdict"`
	Findings []OutlinedFinding `json:"findings"`
}

// An OutlinedPoint is the error at one size, in mm.
type OutlinedPoint struct {
	Nominal  unit.Exact `json:"nominal"`
	Error    unit.Exact `json:"error"`
	Limit    unit.Exact `json:"limit"`
	Expanded float64    `json:"expanded"` // expanded uncertainty U, mm, 0 or more
}

// An OutlinedFinding is a gate that marked the check.
type OutlinedFinding struct {
	Gate calib.Gate `json:"gate"`
}

// OutlineOf reads a check or its amendment.
func OutlineOf(e journal.Entry) (Outline, error) {
	var o Outline
	if err := decode(e, &o); err != nil || e.Kind != KindCheckAmended {
		return o, err
	}
	o.Amendment = &CheckAmendment{}
	return o, decode(e, o.Amendment)
}

// FateOfCheck returns what became of the check of a gauge that an entry holds.
func (tx *Tx) FateOfCheck(gauge string, seq uint64) (Fate, error) {
	row, err := tx.rowOf(gauge, seq)
	return Fate{row.AmendedBy, row.Withdrawn}, err
}
