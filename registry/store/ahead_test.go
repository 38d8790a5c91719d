package store

import "testing"

func TestWhatIsAskedForAheadIsWhereTheKeysLieInTheOrderOfTheFile(t *testing.T) {
	path, head := newRegistry(t, 300)
	s := open(t, path, Options{ReadOnly: true})
	whole := s.stretches(journalTree, between(nil, nil))
	var bytes, end int64
	for _, a := range whole {
		if a.from < end || a.length <= 0 {
			t.Fatalf("%d bytes at %d after the end of others at %d; want them in order and apart", a.length, a.from, end)
		}
		bytes, end = bytes+a.length, a.from+a.length
	}
	var held int64 // bytes of the values themselves
	if err := s.View(func(tx *Tx) error {
		return tx.Range(journalTree, nil, nil, func(_, v []byte) error { held += int64(len(v)); return nil })
	}); err != nil {
		t.Fatal(err)
	}
	if bytes < held || end > int64(s.found.highWater)*pageSize {
		t.Errorf("%d bytes up to %d; want at least the %d that the values have, inside the file", bytes, end, held)
	}
	few := s.stretches(journalTree, between(key(head.Seq/2), key(head.Seq/2+1)))
	var part int64
	for _, a := range few {
		part += a.length
	}
	if part == 0 || part > 4*pageSize {
		t.Errorf("%d bytes for one key; want those of its pages", part)
	}
	if none := s.stretches("nowhere", between(nil, nil)); len(none) > 0 {
		t.Errorf("a tree that is not there lies at %v", none)
	}
}
