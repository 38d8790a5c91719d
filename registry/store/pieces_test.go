package store

import (
	"bytes"
	"path/filepath"
	"testing"

	"go.etcd.io/bbolt"
)

// piecedStore has one value of each length in pieces, at keys of one length.
func piecedStore(t *testing.T, lengths ...int) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "shop.wring")
	if err := Create(path, kept(), func(tx *Tx) error {
		for i, n := range lengths {
			if err := tx.Put(journalTree, key(uint64(i+1)), bytes.Repeat([]byte{byte(i + 1)}, n)); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestAValueInPiecesIsGivenBackWhole(t *testing.T) {
	lengths := []int{0, 1, pieceLen - 1, pieceLen, pieceLen + 1, 3 * pieceLen, 50_000}
	s := open(t, piecedStore(t, lengths...), Options{ReadOnly: true})
	defer closed(t, s)
	if err := s.View(func(tx *Tx) error {
		for i, n := range lengths {
			want := bytes.Repeat([]byte{byte(i + 1)}, n)
			if got := tx.Get(journalTree, key(uint64(i+1))); got == nil || !bytes.Equal(got, want) {
				t.Errorf("value %d has %d bytes, want %d", i+1, len(got), n)
			}
		}
		if k, v := tx.Last(journalTree); !bytes.Equal(k, key(7)) || len(v) != 50_000 {
			t.Errorf("last: key %x with %d bytes", k, len(v))
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}

func TestPiecesThatAreMissingAreDamage(t *testing.T) {
	for name, spoil := range map[string]func(*bbolt.Bucket) error{
		"the first":          func(b *bbolt.Bucket) error { return b.Delete(pieceAt(key(2), 0)) },
		"one between":        func(b *bbolt.Bucket) error { return b.Delete(pieceAt(key(2), 1)) },
		"the last":           func(b *bbolt.Bucket) error { return b.Delete(pieceAt(key(2), 3)) },
		"one is too long":    func(b *bbolt.Bucket) error { return b.Put(pieceAt(key(2), 1), make([]byte, pieceLen+1)) },
		"one is too short":   func(b *bbolt.Bucket) error { return b.Put(pieceAt(key(2), 1), make([]byte, 7)) },
		"a key without room": func(b *bbolt.Bucket) error { return b.Put([]byte{0, 1}, nil) },
	} {
		t.Run(name, func(t *testing.T) {
			path := piecedStore(t, 10, 3*pieceLen, 10)
			s := open(t, path, Options{})
			update(t, s, func(tx *Tx) (err error) {
				tx.do(func() { err = spoil(tx.tx.Bucket([]byte(journalTree))) })
				tx.dirty = true
				return err
			})
			closed(t, s)
			s = open(t, path, Options{ReadOnly: true})
			defer closed(t, s)
			damaged(t, s.View(func(tx *Tx) error {
				return tx.Range(journalTree, nil, nil, func(_, _ []byte) error { return nil })
			}))
		})
	}
}

// A registry made before there were pieces goes on with whole values.
func TestATreeKeepsTheFormThatItWasMadeWith(t *testing.T) {
	path := filepath.Join(t.TempDir(), "shop.wring")
	long := bytes.Repeat([]byte("x"), 5000)
	if err := Create(path, Options{}, func(tx *Tx) error { return tx.Put(journalTree, key(1), long) }); err != nil {
		t.Fatal(err)
	}
	s := open(t, path, kept())
	update(t, s, func(tx *Tx) error { return tx.Put(journalTree, key(2), long) })
	if err := s.View(func(tx *Tx) error {
		tx.do(func() {
			if b := tx.tx.Bucket([]byte(journalTree)); pieced(b) || !bytes.Equal(b.Get(key(2)), long) {
				t.Error("the second value is not whole as the first")
			}
		})
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	closed(t, s)
}

func TestKeysOfATreeInPiecesHaveOneLength(t *testing.T) {
	s := open(t, piecedStore(t, 10), kept())
	defer closed(t, s)
	wants(t, s.Update(func(tx *Tx) error { return tx.Put(journalTree, []byte("longer than the others"), nil) }), errSize)
}
