package registry

import (
	"encoding/json"
	"errors"
	"fmt"

	"example.org/wring/calib/survey"
	"example.org/wring/registry/journal"
)

// The kinds of entry about lots and their thickness.
const (
	KindMethod = "method"
	KindLot    = "lot"
	KindSurvey = "survey"
)

// A KeptMethod is one revision of a method with the entry that holds it.
type KeptMethod struct {
	Entry  uint64        `json:"entry"`
	Method survey.Method `json:"method"`
}

// A KeptLot is one revision of a lot with the entry that holds it.
type KeptLot struct {
	Entry uint64     `json:"entry"`
	Lot   survey.Lot `json:"lot"`
}

// revisions reads every revision under a name from a tree whose keys are names
// and revisions, or of all names where it is empty.
func revisions[K any](tx *Tx, tree, name string) ([]K, error) {
	var from, to []byte
	if name != "" {
		from, to = under(name)
	}
	var out []K
	return out, tx.s.Range(tree, from, to, func(_, v []byte) error {
		var k K
		if err := json.Unmarshal(v, &k); err != nil {
			return viewDamage(tree, err)
		}
		out = append(out, k)
		return nil
	})
}

// wordForWord compares two records.
func wordForWord(a, b any) bool {
	x, errX := json.Marshal(a)
	y, errY := json.Marshal(b)
	return errX == nil && errY == nil && string(x) == string(y)
}

// AddMethod enters a method: revision 1 of a new name, else the next of an old
// one.
func (tx *Tx) AddMethod(m survey.Method) (KeptMethod, error) {
	all, err := revisions[KeptMethod](tx, treeMethods, m.Name)
	if err != nil {
		return KeptMethod{}, err
	}
	if n := len(all); n > 0 {
		if m.Revision = n; wordForWord(all[n-1].Method, m) {
			return KeptMethod{}, &RuleError{fmt.Sprintf("method %s: is revision %d already, word for word", m.Name, n), "want a change, or leave it"}
		}
	}
	m.Revision = len(all) + 1
	head, err := tx.append(KindMethod, m)
	return KeptMethod{head.Seq, m}, err
}

// Method returns one revision of a method, the newest for revision 0, or a
// [*NotFoundError] with the nearest names.
func (tx *Tx) Method(name string, revision int) (KeptMethod, error) {
	all, err := revisions[KeptMethod](tx, treeMethods, name)
	switch {
	case err != nil:
		return KeptMethod{}, err
	case len(all) > 0 && revision == 0:
		return all[len(all)-1], nil
	case revision > 0 && revision <= len(all):
		return all[revision-1], nil
	case len(all) > 0:
		return KeptMethod{}, &NotFoundError{What: "method", ID: fmt.Sprintf("%s revision %d", name, revision)}
	}
	var names []string
	newest, err := tx.Methods()
	for _, k := range newest {
		names = append(names, k.Method.Name)
	}
	return KeptMethod{}, errors.Join(err, &NotFoundError{"method", name, Nearest(name, names)})
}

// Methods returns the newest revision of every method, in the order of names.
func (tx *Tx) Methods() ([]KeptMethod, error) {
	all, err := revisions[KeptMethod](tx, treeMethods, "")
	var newest []KeptMethod
	for i, k := range all {
		if i+1 == len(all) || all[i+1].Method.Name != k.Method.Name {
			newest = append(newest, k)
		}
	}
	return newest, err
}

// AddLot enters a lot: revision 1 of a new identity, else the next of an old
// one. A survey stays with the revision that it was judged by.
func (tx *Tx) AddLot(l survey.Lot) (KeptLot, error) {
	if tx.known(l.ID) {
		return KeptLot{}, &RuleError{fmt.Sprintf("lot %q: is a gauge or a standard", l.ID), "want another identity"}
	}
	if l.Method != "" {
		if _, err := tx.Method(l.Method, 0); err != nil {
			return KeptLot{}, err
		}
	}
	all, err := revisions[KeptLot](tx, treeLots, l.ID)
	if err != nil {
		return KeptLot{}, err
	}
	if n := len(all); n > 0 {
		if l.Revision = n; wordForWord(all[n-1].Lot, l) {
			return KeptLot{}, &RuleError{fmt.Sprintf("lot %s: is revision %d already, word for word", l.ID, n), "want a change, or leave it"}
		}
	}
	l.Revision = len(all) + 1
	head, err := tx.append(KindLot, l)
	return KeptLot{head.Seq, l}, err
}

// Lot returns a lot as it was last entered, or a [*NotFoundError] with the
// nearest names.
func (tx *Tx) Lot(id string) (KeptLot, error) {
	all, err := revisions[KeptLot](tx, treeLots, id)
	if err != nil {
		return KeptLot{}, err
	}
	if len(all) > 0 {
		return all[len(all)-1], nil
	}
	var names []string
	newest, err := tx.Lots()
	for _, k := range newest {
		names = append(names, k.Lot.ID)
	}
	return KeptLot{}, errors.Join(err, &NotFoundError{"lot", id, Nearest(id, names)})
}

// Lots returns every lot as last entered, in the order of identities.
func (tx *Tx) Lots() ([]KeptLot, error) {
	all, err := revisions[KeptLot](tx, treeLots, "")
	var newest []KeptLot
	for i, k := range all {
		if i+1 == len(all) || all[i+1].Lot.ID != k.Lot.ID {
			newest = append(newest, k)
		}
	}
	return newest, err
}

// isLot reports whether an identity is a lot's.
func (tx *Tx) isLot(id string) bool { return tx.s.Get(treeLots, planKey(id, 1)) != nil }

// LotEntries returns the entries about a lot, its surveys with them, oldest
// first; none if there is no such lot.
func (tx *Tx) LotEntries(id string) ([]journal.Entry, error) {
	return tx.entriesUnder(treeByLot, id)
}

// MethodEntries returns the entries of a method's revisions, oldest first; none
// if there is no method of that name.
func (tx *Tx) MethodEntries(name string) ([]journal.Entry, error) {
	all, err := revisions[KeptMethod](tx, treeMethods, name)
	if err != nil {
		return nil, err
	}
	var out []journal.Entry
	for _, k := range all {
		e, _, err := tx.Entry(k.Entry)
		if err != nil {
			return nil, err
		}
		out = append(out, e)
	}
	return out, nil
}

// entriesUnder reads the entries that a tree names under an identity.
func (tx *Tx) entriesUnder(tree, id string) ([]journal.Entry, error) {
	from, to := under(id)
	var out []journal.Entry
	return out, tx.s.Range(tree, from, to, func(k, _ []byte) error {
		seq, err := seqOf(k)
		if err != nil {
			return err
		}
		e, _, err := tx.Entry(seq)
		out = append(out, e)
		return err
	})
}

func (tx *Tx) applyMethod(e journal.Entry) error {
	var m survey.Method
	if err := decode(e, &m); err != nil {
		return err
	}
	return tx.put(treeMethods, planKey(m.Name, m.Revision), KeptMethod{e.Seq, m})
}

func (tx *Tx) applyLot(e journal.Entry) error {
	var l survey.Lot
	if err := decode(e, &l); err != nil {
		return err
	}
	if err := tx.s.Put(treeByLot, idSeqKey(l.ID, e.Seq), []byte{}); err != nil {
		return err
	}
	return tx.put(treeLots, planKey(l.ID, l.Revision), KeptLot{e.Seq, l})
}
