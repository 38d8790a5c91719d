package registry

import (
	"encoding/json"

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

// A GaugeOutline is as much of a gauge's state as it takes to pick gauges for
// their last checks: to decode the states of a hundred thousand whole takes
// longer than to set a thousand certificates.
type GaugeOutline struct {
	Gauge OutlinedGauge `json:"gauge"`
	Last  *LastOutline  `json:"last"` // nil where it was never checked
}

// An OutlinedGauge is which gauge it is, and whose.
type OutlinedGauge struct {
	ID    string     `json:"id"`
	Kind  calib.Kind `json:"kind"`
	Place string     `json:"place"`
	Owner string     `json:"owner"`
}

// A LastOutline is where the newest check lies.
type LastOutline struct {
	Entry uint64     `json:"entry"`
	Date  calib.Date `json:"date"`
}

// GaugeOutlines calls fn with the outline of each gauge in the order of
// identities.
func (tx *Tx) GaugeOutlines(fn func(GaugeOutline) error) error {
	tx.s.Ahead(treeGauges, nil, nil)
	return tx.s.Range(treeGauges, nil, nil, func(_, v []byte) error {
		var g GaugeOutline
		if err := json.Unmarshal(v, &g); err != nil {
			return viewDamage(treeGauges, err)
		}
		return fn(g)
	})
}
