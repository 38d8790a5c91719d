package registry

import (
	"encoding/json"

	"example.org/wring/calib"
)

// KnownCheck returns the entry that first kept what was observed in c: the same
// gauge, day, stage, purpose and readings, whatever was amended since and
// whichever revision of the plan, blocks and standards it was kept with. It
// reports false where there is none.
func (tx *Tx) KnownCheck(c calib.Check) (uint64, bool, error) {
	rows, err := tx.rows(c.Gauge)
	if err != nil {
		return 0, false, err
	}
	for _, row := range rows {
		if row.Date.String() != c.Date.String() || row.Stage != c.Stage {
			continue
		}
		kept, err := tx.Check(row.Entry)
		if err != nil {
			return 0, false, err
		}
		if observed(kept.Check.Check) == observed(c) {
			return row.Entry, true, nil
		}
	}
	return 0, false, nil
}

// HasGauge reports whether a gauge is here, without looking for names that are
// near to it.
func (tx *Tx) HasGauge(id string) bool { return tx.s.Get(treeGauges, []byte(id)) != nil }

// observed is what a person saw in a check, in one text.
func observed(c calib.Check) string {
	seen := calib.Check{Purpose: c.Purpose, Zero: c.Zero}
	if seen.Purpose == "" {
		seen.Purpose = calib.FullCheck
	}
	for _, p := range c.Points {
		p.Blocks = nil
		seen.Points = append(seen.Points, p)
	}
	text, _ := json.Marshal(seen) // a check that was kept or read can be written
	return string(text)
}
