package store

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/wring/registry/journal"
)

// The trees of these tests. The journal is a real chain, so that the tests can
// say whether what comes back is what was written.
const (
	journalTree = "journal"
	blobTree    = "blobs"
	viewTree    = "view"
)

func writeOnce() []string { return []string{journalTree, blobTree} }

// kept is how the tests' registries are made: with a journal in pieces.
func kept() Options { return Options{WriteOnce: writeOnce(), Pieces: []string{journalTree}} }

// entry is entry seq of an invented workshop, about as long as a real one.
func entry(seq uint64) journal.Entry {
	return journal.Entry{
		Seq: seq, At: time.Date(2026, 11, 25, 9, 30, 0, 0, time.UTC).Add(time.Duration(seq) * time.Minute),
		Person: "A. Reed", Kind: "check", Program: "wring test",
		Payload: json.RawMessage(`{"gauge":"MIC-014","readings":"` + strings.Repeat("5.101 ", 350) + `"}`),
	}
}

// appendEntry adds the next entry and its four lines in a view, as a registry does.
func appendEntry(tx *Tx) (journal.Head, error) {
	var prev journal.Head
	if k, v := tx.Last(journalTree); k != nil {
		// What comes out of a damaged file has any length.
		if len(k) != 8 || len(v) < 32 {
			return prev, fmt.Errorf("last entry: key of %d bytes, record of %d; want 8 and more than 32", len(k), len(v))
		}
		prev = journal.Head{Seq: binary.BigEndian.Uint64(k), Hash: [32]byte(v)}
	}
	record, head, err := journal.Seal(prev, entry(prev.Seq+1))
	if err != nil {
		return head, err
	}
	if err := tx.Put(journalTree, key(head.Seq), record); err != nil {
		return head, err
	}
	for i := range 4 {
		k := fmt.Sprintf("%d-%06d", i, head.Seq*7919%1000)
		if err := tx.Put(viewTree, []byte(k), []byte(head.String())); err != nil {
			return head, err
		}
	}
	return head, nil
}

func key(seq uint64) []byte { return binary.BigEndian.AppendUint64(nil, seq) }

// newRegistry makes a registry with n entries, committed one by one, with some
// long values and some free pages. It is verified when the test ends.
func newRegistry(t testing.TB, n int) (path string, head journal.Head) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "shop.wring")
	if err := Create(path, kept(), func(tx *Tx) error {
		for i := range 3 {
			if err := tx.Put(blobTree, []byte{byte(i)}, bytes.Repeat([]byte{byte(i) + 1}, 20000*(i+1))); err != nil {
				return err
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	s := open(t, path, Options{})
	for range n {
		update(t, s, func(tx *Tx) (err error) {
			head, err = appendEntry(tx)
			return err
		})
	}
	closed(t, s)
	t.Cleanup(func() {
		if _, err := verify(path); err != nil {
			t.Errorf("at the end of the test: %v", err)
		}
	})
	return path, head
}

func open(t testing.TB, path string, o Options) *Store {
	t.Helper()
	o.WriteOnce = writeOnce()
	s, err := Open(path, o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func update(t testing.TB, s *Store, fn func(*Tx) error) {
	t.Helper()
	if err := s.Update(fn); err != nil {
		t.Fatal(err)
	}
}

func closed(t testing.TB, s *Store) {
	t.Helper()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
}

// verify does what the command of that name will do: the pages, then the
// chain. It returns the head.
func verify(path string) (head journal.Head, err error) {
	s, err := Open(path, Options{ReadOnly: true})
	if err != nil {
		return head, err
	}
	defer s.Close()
	if err := s.CheckPages(); err != nil {
		return head, err
	}
	err = s.View(func(tx *Tx) error {
		tx.Ahead(journalTree, nil, nil)
		return tx.Range(journalTree, nil, nil, func(k, v []byte) error {
			if len(k) != 8 {
				return &DamageError{path, "a key that is no number; want numbers"}
			}
			head, _, err = journal.Check(head, binary.BigEndian.Uint64(k), v)
			return err
		})
	})
	return head, err
}

// contents is a hash over everything in the trees.
func contents(s *Store) (string, error) {
	h := sha256.New()
	err := s.View(func(tx *Tx) error {
		for _, tree := range []string{journalTree, blobTree, viewTree, "small"} {
			tx.Ahead(tree, nil, nil)
			if err := tx.Range(tree, nil, nil, func(k, v []byte) error {
				fmt.Fprintf(h, "%s %d %d ", tree, len(k), len(v))
				h.Write(k)
				h.Write(v)
				return nil
			}); err != nil {
				return err
			}
		}
		return nil
	})
	return fmt.Sprintf("%x", h.Sum(nil)), err
}

// wants checks that err is of the kind want, on one line, with what is wanted.
func wants(t testing.TB, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Fatalf("got %v, want %v", err, want)
	}
	if s := err.Error(); strings.Contains(s, "\n") || !strings.HasPrefix(s, "registry ") || !strings.Contains(s, "; want ") {
		t.Errorf("message %q; want one line that begins with the registry and says what is wanted", s)
	}
}

// damaged checks that err is a DamageError, on one line, with what is wanted.
func damaged(t testing.TB, err error) {
	t.Helper()
	var d *DamageError
	if !errors.As(err, &d) {
		t.Fatalf("got %v, want damage", err)
	}
	if s := err.Error(); strings.Contains(s, "\n") || !strings.Contains(s, "; want ") || len(s) > 600 {
		t.Errorf("message %q; want one line that says what is wanted", s)
	}
}

// alone checks that the folder holds these files and no others.
func alone(t testing.TB, folder string, names ...string) {
	t.Helper()
	list, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range list {
		got = append(got, e.Name())
	}
	if strings.Join(got, " ") != strings.Join(names, " ") {
		t.Errorf("the folder holds %q, want %q", got, names)
	}
}
