package store

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
)

func TestSmoke(t *testing.T) {
	p := filepath.Join(t.TempDir(), "r.wring")
	if err := Create(p, []string{"journal"}, func(tx *Tx) error { return tx.Put("journal", []byte("a"), nil) }); err != nil {
		t.Fatal(err)
	}
	if err := Create(p, nil, func(tx *Tx) error { return nil }); !errors.Is(err, ErrExists) {
		t.Fatal(err)
	}
	s, err := Open(p, Options{WriteOnce: []string{"journal"}})
	if err != nil {
		t.Fatal(err)
	}
	err = s.Update(func(tx *Tx) error { return tx.Put("journal", []byte("a"), []byte("b")) })
	if !errors.Is(err, ErrWriteOnce) {
		t.Fatal(err)
	}
	t.Log(err)
	_, err = Open(p, Options{})
	t.Log(err)
	st, err := s.Stat()
	t.Log(st, err)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	l, _ := os.ReadDir(filepath.Dir(p))
	t.Log(l)
	t.Log(CheckStructure(p))
}
