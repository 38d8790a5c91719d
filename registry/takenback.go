package registry

import (
	"encoding/binary"
	"fmt"

	"example.org/wring/registry/journal"
)

// KindTakenBack is the kind of an entry that takes back a survey, a study or a
// comparison.
const KindTakenBack = "measurement withdrawn"

// A TakenBack is the payload of the entry by which a survey, a study or a
// comparison counts no more. What it names stays as it is, and is shown as
// withdrawn.
type TakenBack struct {
	Entry  uint64   `json:"entry"`
	Of     string   `json:"of"`               // kind of that entry
	Lot    string   `json:"lot,omitempty"`    // of a survey
	Gauges []string `json:"gauges,omitempty"` // it was about, of this registry
	Reason string   `json:"reason"`
}

// measured reports whether a kind of entry is a survey, a study or a
// comparison.
func measured(kind string) bool {
	return kind == KindSurvey || kind == KindStudy || kind == KindComparison
}

// takeBack enters that a survey, a study or a comparison counts no more.
func (tx *Tx) takeBack(e journal.Entry, reason string) (journal.Head, error) {
	f, err := tx.FateOfMeasured(e)
	if err == nil && f.By > 0 {
		err = &RuleError{fmt.Sprintf("%s %d: was withdrawn by entry %d", e.Kind, e.Seq, f.By), "want one that stands"}
	}
	if err != nil {
		return journal.Head{}, err
	}
	_, uses, err := usesOf(e)
	if err != nil {
		return journal.Head{}, err
	}
	t := TakenBack{Entry: e.Seq, Of: e.Kind, Reason: reason}
	for _, u := range uses {
		if u.gauge != "" {
			t.Gauges = append(t.Gauges, u.gauge)
		}
	}
	if e.Kind == KindSurvey {
		var k KeptSurvey
		if err := decode(e, &k); err != nil {
			return journal.Head{}, err
		}
		t.Lot = k.Survey.Lot
	}
	return tx.append(KindTakenBack, t)
}

// FateOfMeasured returns what became of a survey, a study or a comparison:
// nothing, or an entry that withdrew it.
func (tx *Tx) FateOfMeasured(e journal.Entry) (Fate, error) {
	tree, id := treeStudies, e.Kind
	if e.Kind == KindSurvey {
		var k KeptSurvey
		if err := decode(e, &k); err != nil {
			return Fate{}, err
		}
		tree, id = treeByLot, k.Survey.Lot
	}
	by := tx.takenBackBy(tree, id, e.Seq)
	return Fate{By: by, Withdrawn: by > 0}, nil
}

// takenBackBy reads from the row of a survey, a study or a comparison which
// entry withdrew it; 0 where it stands.
func (tx *Tx) takenBackBy(tree, id string, seq uint64) uint64 {
	if v := tx.s.Get(tree, idSeqKey(id, seq)); len(v) == 8 {
		return binary.BigEndian.Uint64(v)
	}
	return 0
}

// TakenBackAt returns the withdrawal of a survey, a study or a comparison that
// an entry holds; false where it holds something else.
func (tx *Tx) TakenBackAt(seq uint64) (TakenBack, bool, error) {
	e, _, err := tx.Entry(seq)
	if err != nil || e.Kind != KindTakenBack {
		return TakenBack{}, false, err
	}
	var t TakenBack
	err = decode(e, &t)
	return t, err == nil, err
}

// applyTakenBack marks the rows of what is withdrawn, and makes the state of
// its gauges again without it.
func (tx *Tx) applyTakenBack(e journal.Entry) error {
	var t TakenBack
	if err := decode(e, &t); err != nil {
		return err
	}
	by := seqKey(e.Seq)
	if t.Of == KindSurvey {
		if err := tx.s.Put(treeByLot, idSeqKey(t.Lot, t.Entry), by); err != nil {
			return err
		}
		if err := tx.s.Put(treeByLot, idSeqKey(t.Lot, e.Seq), []byte{}); err != nil {
			return err
		}
	} else if err := tx.s.Put(treeStudies, idSeqKey(t.Of, t.Entry), by); err != nil {
		return err
	}
	for _, gauge := range t.Gauges {
		if err := tx.s.Put(treeUses, idSeqKey(gauge, t.Entry), by); err != nil {
			return err
		}
		if err := tx.again(gauge, e.Seq); err != nil {
			return err
		}
	}
	return nil
}

// ComparisonsOf returns the entries of the comparisons that stand and were made
// from the figures of an entry.
func (tx *Tx) ComparisonsOf(seq uint64) ([]uint64, error) {
	all, err := tx.Comparisons()
	var out []uint64
	for _, c := range all {
		if x := c.Comparison.Comparison; c.Withdrawn == 0 && (x.A.Entry == seq || x.B.Entry == seq) {
			out = append(out, c.Head.Seq)
		}
	}
	return out, err
}
