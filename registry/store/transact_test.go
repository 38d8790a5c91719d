package store

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestUpdateIsAllOrNothing(t *testing.T) {
	path, head := newRegistry(t, 5)
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	s := open(t, path, Options{})
	mine := errors.New("mine")
	for _, leave := range []func() error{
		func() error { return mine },
		func() error { panic(mine) },
		func() error { var p *int; *p = 1; return nil },
		func() error { runtime.Goexit(); return nil },
	} {
		done := make(chan error)
		go func() {
			defer close(done)
			defer func() {
				if p := recover(); p != nil {
					done <- p.(error)
				}
			}()
			done <- s.Update(func(tx *Tx) error {
				if _, err := appendEntry(tx); err != nil {
					return err
				}
				return leave()
			})
		}()
		// The caller's own comes back as it was: its error, its panic, its
		// mistake, which is no damage, or nothing where the goroutine ends.
		switch err := (<-done).(type) {
		case nil:
		case runtime.Error:
			if !strings.Contains(err.Error(), "nil pointer") {
				t.Errorf("got %v, want the nil pointer", err)
			}
		default:
			if err != mine {
				t.Errorf("got %v, want the caller's own", err)
			}
		}
	}
	if after, err := os.ReadFile(path); err != nil || !bytes.Equal(before, after) {
		t.Errorf("the file has changed (%v), want it as it was", err)
	}
	update(t, s, func(tx *Tx) (err error) { head, err = appendEntry(tx); return err })
	closed(t, s)
	if got, err := verify(path); err != nil || got != head {
		t.Errorf("the head is %s (%v), want %s", got, err, head)
	}
}

func TestUpdateThatWritesNothingTouchesNothing(t *testing.T) {
	path, _ := newRegistry(t, 1)
	s := open(t, path, Options{})
	before, _ := s.Stat()
	update(t, s, func(tx *Tx) error { tx.Get(viewTree, []byte("x")); return nil })
	update(t, s, func(tx *Tx) error {
		return errors.Join(tx.Delete(viewTree, []byte("none")), tx.Delete("none", []byte("k")), tx.Drop("none"))
	})
	if after, err := s.Stat(); err != nil || after != before {
		t.Errorf("stat %+v (%v), want %+v as before", after, err, before)
	}
}

func TestKeysWrittenOnceAreKept(t *testing.T) {
	path, _ := newRegistry(t, 2)
	s := open(t, path, Options{})
	for name, try := range map[string]func(*Tx) error{
		"another value":  func(tx *Tx) error { return tx.Put(journalTree, key(1), []byte("x")) },
		"the same value": func(tx *Tx) error { return tx.Put(journalTree, key(1), tx.Get(journalTree, key(1))) },
		"delete":         func(tx *Tx) error { return tx.Delete(journalTree, key(1)) },
		"drop":           func(tx *Tx) error { return tx.Drop(journalTree) },
		"twice in one": func(tx *Tx) error {
			return errors.Join(tx.Put(blobTree, []byte("new"), nil), tx.Put(blobTree, []byte("new"), nil))
		},
	} {
		t.Run(name, func(t *testing.T) {
			before, err := contents(s)
			if err != nil {
				t.Fatal(err)
			}
			wants(t, s.Update(try), ErrWriteOnce)
			if after, err := contents(s); err != nil || after != before {
				t.Errorf("the contents have changed (%v)", err)
			}
		})
	}
}

func TestReadOnlyWritesNothing(t *testing.T) {
	path, _ := newRegistry(t, 1)
	s := open(t, path, Options{ReadOnly: true})
	wants(t, s.Update(putOne), ErrReadOnly)
	wants(t, s.View(putOne), ErrReadOnly)
	wants(t, s.View(func(tx *Tx) error { return tx.Delete(viewTree, []byte("k")) }), ErrReadOnly)
	wants(t, s.View(func(tx *Tx) error { return tx.Drop(viewTree) }), ErrReadOnly)
	closed(t, s)
	wants(t, open(t, path, Options{}).View(putOne), ErrReadOnly)
}

func TestATransactionNeverWaitsForItself(t *testing.T) {
	path, _ := newRegistry(t, 1)
	s := open(t, path, Options{})
	nothing := func(*Tx) error { return nil }
	for name, c := range map[string]struct{ outer, inner func(func(*Tx) error) error }{
		"update in update": {s.Update, s.Update}, "view in update": {s.Update, s.View}, "update in view": {s.View, s.Update},
	} {
		t.Run(name, func(t *testing.T) {
			wants(t, c.outer(func(*Tx) error { return c.inner(nothing) }), ErrNested)
		})
	}
	if err := s.View(func(*Tx) error { return s.View(nothing) }); err != nil {
		t.Errorf("view in view: %v, want it to work", err)
	}
	wants(t, s.View(func(*Tx) error { return s.Close() }), ErrNested)
	closed(t, s)
	closed(t, s)
	wants(t, s.View(nothing), errClosed)
	wants(t, s.Update(nothing), errClosed)
}

func TestATransactionDiesWithItsFunction(t *testing.T) {
	path, _ := newRegistry(t, 1)
	s := open(t, path, Options{})
	var kept *Tx
	if err := s.View(func(tx *Tx) error { kept = tx; return nil }); err != nil {
		t.Fatal(err)
	}
	defer func() {
		if p := recover(); p != "store: transaction used after its function returned" {
			t.Errorf("panic %v, want a word about the dead transaction", p)
		}
	}()
	kept.Get(viewTree, []byte("k"))
}

func TestRangeGoesUpFromOneKeyToBeforeAnother(t *testing.T) {
	path, _ := newRegistry(t, 0)
	s := open(t, path, Options{})
	update(t, s, func(tx *Tx) error {
		for _, k := range []string{"b", "d", "a", "c\x00", "c", "\xff"} {
			if err := tx.Put(viewTree, []byte(k), []byte(k+k)); err != nil {
				return err
			}
		}
		return tx.Put(viewTree, []byte("e"), nil)
	})
	text := func(s string) []byte {
		if s == "-" {
			return nil
		}
		return []byte(s)
	}
	for _, c := range []struct{ from, to, want string }{
		{"-", "-", "a b c c\x00 d e \xff"}, {"b", "d", "b c c\x00"}, {"aa", "c\x00", "b c"}, {"c\x01", "-", "d e \xff"},
		{"", "b", "a"}, {"d", "d", ""}, {"e", "a", ""}, {"-", "", ""}, {"\xff\xff", "-", ""},
	} {
		var got []string
		if err := s.View(func(tx *Tx) error {
			return tx.Range(viewTree, text(c.from), text(c.to), func(k, v []byte) error {
				if string(v) != string(k)+string(k) && string(k) != "e" || v == nil {
					t.Errorf("key %q has value %q", k, v)
				}
				got = append(got, string(k))
				return nil
			})
		}); err != nil || strings.Join(got, " ") != c.want {
			t.Errorf("from %q to %q: %q (%v), want %q", c.from, c.to, got, err, c.want)
		}
	}
	mine := errors.New("mine")
	calls := 0
	if err := s.View(func(tx *Tx) error {
		return tx.Range(viewTree, nil, nil, func(k, v []byte) error { calls++; return mine })
	}); err != mine || calls != 1 {
		t.Errorf("%v after %d calls, want the caller's own after one", err, calls)
	}
}

// A cursor over a tree that is written to misses keys (bbolt issue 146).
func TestATreeIsNotWrittenToUnderAWalk(t *testing.T) {
	path, _ := newRegistry(t, 3)
	s := open(t, path, Options{})
	for name, try := range map[string]func(*Tx, []byte) error{
		"put":    func(tx *Tx, k []byte) error { return tx.Put(viewTree, k, nil) },
		"delete": func(tx *Tx, k []byte) error { return tx.Delete(viewTree, k) },
		"drop":   func(tx *Tx, k []byte) error { return tx.Drop(viewTree) },
	} {
		t.Run(name, func(t *testing.T) {
			wants(t, s.Update(func(tx *Tx) error {
				return tx.Range(viewTree, nil, nil, func(k, _ []byte) error { return try(tx, k) })
			}), errWalked)
		})
	}
	update(t, s, func(tx *Tx) error {
		n := 0
		if err := tx.Range(viewTree, nil, nil, func(k, v []byte) error { n++; return tx.Put("other", k, v) }); err != nil {
			return err
		}
		if n == 0 {
			t.Error("no keys to walk over")
		}
		return tx.Delete(viewTree, []byte("not there"))
	})
}

func TestWhatBboltCannotHoldIsRefused(t *testing.T) {
	path, _ := newRegistry(t, 0)
	s := open(t, path, Options{})
	for _, k := range [][]byte{nil, {}, make([]byte, 32769)} {
		wants(t, s.Update(func(tx *Tx) error { return tx.Put(viewTree, k, nil) }), errSize)
	}
	update(t, s, func(tx *Tx) error { return tx.Put(viewTree, make([]byte, 32768), nil) })
}

// Random transactions against a map, which is what a store is; in a small file
// and in one that is taken for a large one, in which only the pages on the way
// to a key are looked at; with flat trees, with deep ones, and in pieces.
func TestAStoreIsAMapOfSortedKeys(t *testing.T) {
	for _, guided := range []bool{false, true} {
		for name, st := range map[string]stepper{"flat": {}, "deep": {deep: true}, "pieces": {pieces: true}, "deep in pieces": {deep: true, pieces: true}} {
			t.Run(fmt.Sprintf("%s, guided %t", name, guided), func(t *testing.T) { againstAMap(t, guided, st) })
		}
	}
}

func againstAMap(t *testing.T, guided bool, st stepper) {
	path := filepath.Join(t.TempDir(), "shop.wring")
	o := Options{guided: guided}
	if st.pieces {
		o.Pieces = []string{"a", "b"}
	}
	if err := Create(path, o, func(*Tx) error { return nil }); err != nil {
		t.Fatal(err)
	}
	rng := rand.New(rand.NewPCG(7, 11))
	model := map[string]map[string]string{"a": {}, "b": {}}
	s := open(t, path, o)
	undo := errors.New("undo")
	rounds := 60
	if st.deep {
		rounds = 15 // each is as much work as several flat ones
	}
	for round := range rounds {
		next := map[string]map[string]string{"a": maps.Clone(model["a"]), "b": maps.Clone(model["b"])}
		keep := rng.IntN(4) > 0
		err := s.Update(func(tx *Tx) error {
			for range rng.IntN(60) {
				if err := st.step(tx, rng, next); err != nil {
					return err
				}
			}
			compare(t, tx, next)
			if !keep {
				return undo
			}
			return nil
		})
		if keep && err != nil || !keep && err != undo {
			t.Fatalf("round %d: %v", round, err)
		}
		if keep {
			model = next
		}
		if round%10 == 0 {
			closed(t, s)
			s = open(t, path, o)
		}
		if err := s.View(func(tx *Tx) error { compare(t, tx, model); return nil }); err != nil {
			t.Fatal(err)
		}
		if err := s.CheckPages(); err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
	}
	closed(t, s)
	if err := CheckStructure(path); err != nil {
		t.Error(err)
	}
	s = open(t, path, Options{ReadOnly: true})
	if err := s.View(func(tx *Tx) error { compare(t, tx, model); return nil }); err != nil {
		t.Fatal(err)
	}
	if n := levels(s, "a"); st.deep && n < 3 {
		t.Errorf("tree a has %d levels; the test needs 3", n)
	}
	closed(t, s)
}

// levels counts the branch pages above the first leaf of a tree, and the leaf.
func levels(s *Store, tree string) int {
	n, id := 1, s.guide.roots[tree]
	for st, ok := s.guide.stems[id]; ok; st, ok = s.guide.stems[id] {
		e, _ := st.element(0)
		n, id = n+1, e.child
	}
	return n
}

// A stepper makes random changes.
type stepper struct {
	deep   bool // with long keys, so that few stand on a page
	pieces bool // with values in pieces, and keys of one length
}

// step makes one random change in the transaction and in the model.
func (st stepper) step(tx *Tx, rng *rand.Rand, model map[string]map[string]string) error {
	tree := string('a' + rune(rng.IntN(2)))
	suffix, drop := rng.IntN(40), rng.IntN(20)
	if st.deep {
		suffix, drop = suffix*50, drop+min(rng.IntN(100), 1)
	}
	if st.pieces {
		suffix = map[bool]int{true: 1600}[st.deep]
	}
	k := fmt.Sprintf("%03d%s", rng.IntN(400), strings.Repeat("k", suffix))
	switch drop {
	case 0:
		model[tree] = map[string]string{}
		return tx.Drop(tree)
	case 1, 2, 3, 4, 5:
		if keys := slices.Sorted(maps.Keys(model[tree])); len(keys) > 0 {
			k = keys[rng.IntN(len(keys))]
		}
		delete(model[tree], k)
		return tx.Delete(tree, []byte(k))
	}
	v := strings.Repeat("v", rng.IntN(1+rng.IntN(3)*20000))
	model[tree][k] = v
	return tx.Put(tree, []byte(k), []byte(v))
}

// compare checks that each tree holds what the model holds, in order.
func compare(t *testing.T, tx *Tx, model map[string]map[string]string) {
	t.Helper()
	for tree, want := range model {
		keys := slices.Sorted(maps.Keys(want))
		part(t, tx, tree, keys)
		var got []string
		if err := tx.Range(tree, nil, nil, func(k, v []byte) error {
			got = append(got, string(k))
			if w, ok := want[string(k)]; !ok || w != string(v) || string(tx.Get(tree, k)) != w {
				t.Errorf("tree %s: key %q has %d bytes, want %d", tree, k, len(v), len(w))
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(keys, got); d != "" && len(keys)+len(got) > 0 {
			t.Errorf("tree %s:\n%s", tree, d)
		}
		last, v := tx.Last(tree)
		if len(keys) == 0 && last != nil || len(keys) > 0 && (string(last) != keys[len(keys)-1] || string(v) != want[string(last)]) {
			t.Errorf("tree %s: last key %q, want that of %q", tree, last, keys)
		}
		if tx.Get(tree, []byte("not there")) != nil {
			t.Errorf("tree %s: a key that is not there has a value", tree)
		}
	}
}

// part checks a piece out of the middle of a tree.
func part(t *testing.T, tx *Tx, tree string, keys []string) {
	t.Helper()
	if len(keys) == 0 {
		return
	}
	from, to := len(keys)/3, 2*len(keys)/3
	var got []string
	if err := tx.Range(tree, []byte(keys[from]), []byte(keys[to]), func(k, _ []byte) error {
		got = append(got, string(k))
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(got, keys[from:to]) {
		t.Errorf("tree %s: from key %d to before key %d there are %d", tree, from, to, len(got))
	}
}

func TestWhatIsHandedOutIsACopy(t *testing.T) {
	path, _ := newRegistry(t, 3)
	s := open(t, path, Options{})
	before, err := contents(s)
	if err != nil {
		t.Fatal(err)
	}
	spoil := func(b []byte) {
		for i := range b {
			b[i] = 'X'
		}
	}
	if err := s.View(func(tx *Tx) error {
		spoil(tx.Get(journalTree, key(1)))
		k, v := tx.Last(journalTree)
		spoil(k)
		spoil(v)
		return tx.Range(journalTree, nil, nil, func(k, v []byte) error {
			spoil(v)
			_ = append(k, "more"...)
			return nil
		})
	}); err != nil {
		t.Fatal(err)
	}
	// What was put is a copy, too.
	mine := []byte("mine")
	update(t, s, func(tx *Tx) error {
		if err := tx.Put("other", mine, mine); err != nil {
			return err
		}
		spoil(mine)
		return nil
	})
	if err := s.View(func(tx *Tx) error {
		if v := tx.Get("other", []byte("mine")); string(v) != "mine" {
			t.Errorf("value %q, want mine", v)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if after, err := contents(s); err != nil || after != before {
		t.Errorf("the contents have changed (%v)", err)
	}
}

func TestABackupIsARegistryWithTheSameContents(t *testing.T) {
	path, head := newRegistry(t, 12)
	s := open(t, path, Options{ReadOnly: true})
	want, err := contents(s)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	n, err := s.Backup(&b)
	st, _ := s.Stat()
	if err != nil || n != int64(b.Len()) || n != st.Used {
		t.Fatalf("%d bytes written, %d said (%v), want %d", b.Len(), n, err, st.Used)
	}
	copied := filepath.Join(t.TempDir(), "copy.wring")
	if err := os.WriteFile(copied, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if got, err := verify(copied); err != nil || got != head {
		t.Errorf("the copy's head is %s (%v), want %s", got, err, head)
	}
	if got, err := contents(open(t, copied, Options{})); err != nil || got != want {
		t.Errorf("the copy holds other things (%v)", err)
	}
	mine := errors.New("mine")
	if _, err := s.Backup(fullWriter{mine}); err != mine {
		t.Errorf("got %v, want the writer's own", err)
	}
}

type fullWriter struct{ err error }

func (w fullWriter) Write([]byte) (int, error) { return 0, w.err }
