package registry

// A recall holds what was decoded and is asked for again and again: the plans
// and certificates that a thousand checks rest on, and the gauge that is being
// written to. What it gives is shared and must not be changed. By tree and name;
// of the journal by the entry's number.
//
// A registry that is open for writing is nobody else's, so an update that was
// committed hands its recall on to the next one.
type recall map[string]map[string]any

// recallMost is how many things of one tree are held before all of them are let
// go: a house rule, above the plans and standards of any one bench.
const recallMost = 1000

// recalled returns what read returned before for this name, unless its tree was
// written to since.
func recalled[T any](tx *Tx, tree, name string, read func() (T, error)) (T, error) {
	if v, ok := tx.recall[tree][name].(T); ok {
		return v, nil
	}
	v, err := read()
	if err != nil {
		return v, err
	}
	tx.hold(tree, name, v)
	return v, nil
}

// hold keeps what was decoded, or is what decoding would give.
func (tx *Tx) hold(tree, name string, v any) {
	if tx.recall == nil {
		tx.recall = recall{}
	}
	if held := tx.recall[tree]; held == nil || len(held) >= recallMost {
		tx.recall[tree] = map[string]any{}
	}
	tx.recall[tree][name] = v
}

// stable is a payload that many entries rest on; it may be shared, for an entry
// never changes.
func stable[T any](tx *Tx, seq uint64, kind string) (T, error) {
	return recalled(tx, treeJournal, kind+string(seqKey(seq)), func() (v T, err error) {
		err = tx.payload(seq, kind, &v)
		return v, err
	})
}
