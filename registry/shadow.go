package registry

import (
	"bytes"
	"fmt"
	"slices"
)

// A shadow takes the views that the journal gives and holds them against those
// in the file. States are small and are kept whole; the rows that only grow,
// one or more for each entry, are compared as they come and only those that
// differ are kept, so that a registry of millions of checks fits in memory.
type shadow struct {
	file trees             // journal and attachments are read from it
	kept map[string]values // states, by tree
	odd  map[string]values // growing trees: rows that are not in the file as they should be
	rows map[string]int    // growing trees: how many keys there should be
	now  uint64            // number of the entry that is being applied
}

type values map[string][]byte

// growing reports whether a tree's rows are kept in the file alone: their keys
// end with the number of the entry that made them.
func growing(tree string) bool {
	return tree == treeSeries || tree == treeByStandard || tree == treeByLot || tree == treeUses || tree == treeStudies
}

func newShadow(file trees) *shadow {
	s := &shadow{file: file, kept: map[string]values{}, odd: map[string]values{}, rows: map[string]int{}}
	for _, tree := range views() {
		s.kept[tree], s.odd[tree] = values{}, values{}
	}
	return s
}

func (s *shadow) inFile(tree string) bool { return tree == treeJournal || tree == treeAttachments }

func (s *shadow) Get(tree string, key []byte) []byte {
	if s.inFile(tree) {
		return s.file.Get(tree, key)
	}
	if growing(tree) { // as the file has it in the end
		return s.file.Get(tree, key)
	}
	return s.kept[tree][string(key)]
}

func (s *shadow) Put(tree string, key, value []byte) error {
	if s.inFile(tree) {
		return fmt.Errorf("tree %q: a write while views are compared; want it left alone", tree)
	}
	if !growing(tree) {
		s.kept[tree][string(key)] = bytes.Clone(value)
		return nil
	}
	seq, err := seqOf(key)
	if err != nil {
		return err
	}
	if seq == s.now { // a later entry may only rewrite a row
		s.rows[tree]++
	}
	delete(s.odd[tree], string(key))
	if have := s.file.Get(tree, key); have == nil || !bytes.Equal(have, value) {
		s.odd[tree][string(key)] = bytes.Clone(value)
	}
	return nil
}

func (s *shadow) Delete(tree string, key []byte) error {
	delete(s.kept[tree], string(key))
	return nil
}

func (s *shadow) Ahead(string, []byte, []byte) {}

func (s *shadow) Drop(tree string) error {
	s.kept[tree], s.odd[tree], s.rows[tree] = values{}, values{}, 0
	return nil
}

func (s *shadow) Range(tree string, from, to []byte, fn func(k, v []byte) error) error {
	if s.inFile(tree) {
		return s.file.Range(tree, from, to, fn)
	}
	if growing(tree) {
		return s.keysSoFar(tree, from, to, fn)
	}
	for _, k := range s.keys(tree) {
		if bytes.Compare([]byte(k), from) < 0 || to != nil && bytes.Compare([]byte(k), to) >= 0 {
			continue
		}
		if err := fn([]byte(k), s.kept[tree][k]); err != nil {
			return err
		}
	}
	return nil
}

// keysSoFar gives the keys of a growing tree that were there when the entry at
// hand was applied, and no values: a later entry may have rewritten those.
func (s *shadow) keysSoFar(tree string, from, to []byte, fn func(k, v []byte) error) error {
	return s.file.Range(tree, from, to, func(k, _ []byte) error {
		seq, err := seqOf(k)
		if err != nil || seq > s.now {
			return err
		}
		return fn(k, nil)
	})
}

func (s *shadow) keys(tree string) []string {
	var out []string
	for k := range s.kept[tree] {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

func (s *shadow) Last(tree string) (key, value []byte) {
	if s.inFile(tree) {
		return s.file.Last(tree)
	}
	keys := s.keys(tree)
	if len(keys) == 0 {
		return nil, nil
	}
	last := keys[len(keys)-1]
	return []byte(last), s.kept[tree][last]
}

// differences counts, for each view, the rows that are other than the journal
// gives them: changed, missing, or too many.
func (s *shadow) differences() ([]ViewFault, error) {
	var out []ViewFault
	for _, tree := range views() {
		f := ViewFault{View: tree}
		if growing(tree) {
			f.Changed = len(s.odd[tree])
		}
		found, total := 0, 0
		err := s.file.Range(tree, nil, nil, func(k, v []byte) error {
			total++
			if want, ok := s.kept[tree][string(k)]; ok {
				found++
				if !bytes.Equal(want, v) {
					f.Changed++
				}
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
		if growing(tree) {
			// Those that are not in the file at all are among the odd ones.
			f.Extra = max(0, total-s.rows[tree])
		} else {
			f.Extra, f.Missing = total-found, len(s.kept[tree])-found
		}
		if f.Changed+f.Missing+f.Extra > 0 {
			out = append(out, f)
		}
	}
	return out, nil
}
