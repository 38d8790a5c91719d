package registry

import (
	"cmp"
	"encoding/json"
	"slices"

	"example.org/wring/calib/history"
)

// A Trail is a gauge with the rows of its series as they lie in the file:
// reading what they say takes longer than fetching them, and can be done beside
// the fetching, by whoever has the time.
type Trail struct {
	id    string
	state []byte
	rows  []trailRow
	again []history.Check // of a series with rows from before there were tails
}

type trailRow struct {
	seq  uint64
	text []byte
}

// Trails calls fn with the trail of every gauge, in the order of identities.
func (tx *Tx) Trails(fn func(Trail) error) error {
	tx.s.Ahead(treeGauges, nil, nil)
	tx.s.Ahead(treeSeries, nil, nil)
	return tx.s.Range(treeGauges, nil, nil, func(k, v []byte) error {
		t := Trail{id: string(k), state: slices.Clone(v)}
		whole, err := tx.fetch(&t)
		if err == nil && !whole {
			t.again, err = tx.Trend(t.id)
			t.rows = nil
		}
		if err != nil {
			return err
		}
		return fn(t)
	})
}

// fetch brings the rows of a trail; it reports false where one of them says
// only in its entry all that a trend wants.
func (tx *Tx) fetch(t *Trail) (whole bool, err error) {
	from, to := under(t.id)
	whole = true
	return whole, tx.s.Range(treeSeries, from, to, func(k, v []byte) error {
		seq, err := seqOf(k)
		if err != nil {
			return err
		}
		if len(v) > 1 && v[1] != 0 { // of a check
			t.rows = append(t.rows, trailRow{seq, slices.Clone(v)})
			whole = whole && hasTail(v)
		}
		return nil
	})
}

// Read decodes a trail: the gauge's state, and its length checks for its trend
// as [Tx.Trend] gives them. It may be called from any goroutine.
func (t Trail) Read() (GaugeState, []history.Check, error) {
	var s GaugeState
	if err := json.Unmarshal(t.state, &s); err != nil {
		return s, nil, viewDamage(treeGauges, err)
	}
	if t.again != nil {
		return s, t.again, nil
	}
	rows := make([]SeriesRow, 0, len(t.rows))
	for _, r := range t.rows {
		row, err := decodeRow(r.seq, r.text)
		if err != nil {
			return s, nil, err
		}
		if row.Check && len(row.Points) > 0 {
			rows = append(rows, row)
		}
	}
	slices.SortStableFunc(rows, func(a, b SeriesRow) int { return cmp.Compare(a.Bench, b.Bench) })
	out := make([]history.Check, len(rows))
	for i, r := range rows {
		out[i] = r.History()
	}
	return s, out, nil
}
