package store

import (
	"bytes"
	"encoding/binary"
	"errors"
	"flag"
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"example.org/wring/registry/journal"
)

// More of the same, for the nightly run.
var (
	flips = flag.Int("flips", 300, "how many bits to flip, one at a time")
	kills = flag.Int("kills", 40, "how many times to kill the writer")
)

// An original is a registry in memory, with what it holds.
type original struct {
	bytes    []byte
	head     journal.Head
	contents string
	found    survey
	folder   string // for copies
}

// scratch is a folder for files that need not last: in memory where that is
// possible, because these tests commit thousands of times.
func scratch(t testing.TB) string {
	t.Helper()
	if folder, err := os.MkdirTemp("/dev/shm", "wring-test-"); err == nil {
		t.Cleanup(func() { os.RemoveAll(folder) })
		return folder
	}
	return t.TempDir()
}

func newOriginal(t testing.TB) original {
	t.Helper()
	path, head := newRegistry(t, 60)
	s := open(t, path, Options{})
	// Free pages, too, and a small tree within a page of the root tree.
	update(t, s, func(tx *Tx) error { return tx.Put("small", []byte("k"), []byte("v")) })
	text, err := contents(s)
	if err != nil {
		t.Fatal(err)
	}
	closed(t, s)
	s = open(t, path, Options{ReadOnly: true})
	closed(t, s)
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return original{b, head, text, s.found, scratch(t)}
}

// judge verifies the copy at path as someone would who has the head printed on
// the last certificate and can build the views again. It returns how the damage
// showed, or "" if all that was written is still there.
func (o original) judge(path string) (how string, err error) {
	head, err := verify(path)
	var page *DamageError
	var chain *journal.DamageError
	var newer *journal.NewerError
	switch {
	case errors.As(err, &page), errors.Is(err, ErrNotRegistry), errors.Is(err, ErrNewer):
		return "pages", nil
	case errors.As(err, &chain), errors.As(err, &newer):
		return "chain", nil
	case err != nil:
		return "", err
	case head != o.head:
		return "head", nil
	}
	s, err := Open(path, Options{ReadOnly: true})
	if err != nil {
		return "", err
	}
	defer s.Close()
	text, err := contents(s)
	switch {
	case errors.As(err, &page):
		return "pages", nil
	case err != nil:
		return "", err
	case text != o.contents:
		return "views", nil
	}
	return "", nil
}

// goOn tries to write to copies of a registry that may be damaged, taken for a
// small file and for a large one: it must come to an end, whichever.
func (o original) goOn(t *testing.T, name string, b []byte) {
	t.Helper()
	for _, guided := range []bool{false, true} {
		path := o.copyTo(t, b)
		if err := o.write(path, guided); err != nil {
			t.Logf("%s, closing after writing: %v", name, err)
		}
		if _, err := o.judge(path); err != nil {
			t.Errorf("%s, after writing: %v", name, err)
		}
	}
}

func (o original) write(path string, guided bool) error {
	s, err := Open(path, Options{WriteOnce: writeOnce(), guided: guided})
	if err != nil {
		return nil
	}
	defer s.Close()
	for range 3 {
		if err := s.Update(func(tx *Tx) error { _, err := appendEntry(tx); return err }); err != nil {
			break
		}
	}
	return s.Close()
}

func (o original) copyTo(t testing.TB, b []byte) string {
	t.Helper()
	path := filepath.Join(o.folder, "copy.wring")
	if err := os.WriteFile(path, b, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestEveryBitFlippedIsFoundOrDoesNoHarm(t *testing.T) {
	o := newOriginal(t)
	rng := rand.New(rand.NewPCG(3, 5))
	used := int(o.found.highWater) * int(o.found.pageSize)
	shown := map[string]int{}
	for i := range *flips {
		at := rng.IntN(used)
		if i%2 == 1 { // headers, elements and meta pages, where it hurts most
			at = rng.IntN(int(o.found.highWater))*int(o.found.pageSize) + rng.IntN(120)
		}
		bit := rng.IntN(8)
		b := bytes.Clone(o.bytes)
		b[at] ^= 1 << bit
		name := fmt.Sprintf("byte %d of page %d, bit %d", at%int(o.found.pageSize), at/int(o.found.pageSize), bit)
		hang := time.AfterFunc(time.Minute, func() { panic(name + " makes it hang") })
		how, err := o.judge(o.copyTo(t, b))
		if err != nil {
			t.Errorf("%s: %v", name, err)
		}
		o.goOn(t, name, b)
		shown[how]++
		hang.Stop()
	}
	t.Logf("of %d flips: %d by pages or opening, %d by the chain, %d by the head, %d in views, %d in unused bytes",
		*flips, shown["pages"], shown["chain"], shown["head"], shown["views"], shown[""])
	if shown["pages"] == 0 || shown["chain"] == 0 {
		t.Error("no flip was found; the test does not test")
	}
}

// With every page in turn made zero, made noise, and replaced by another.
func TestEveryPageSpoiltIsFoundOrDoesNoHarm(t *testing.T) {
	o := newOriginal(t)
	rng := rand.New(rand.NewPCG(13, 17))
	size := int(o.found.pageSize)
	found := 0
	for id := range int(o.found.highWater) {
		for name, spoil := range map[string]func([]byte){
			"zero":  func(p []byte) { clear(p) },
			"noise": func(p []byte) { fill8(p, rng) },
			"other": func(p []byte) { copy(p, o.bytes[(id+1)%int(o.found.highWater)*size:][:size]) },
			"half":  func(p []byte) { fill8(p[size/2:], rng) },
			"head":  func(p []byte) { fill8(p[8:16], rng) },
		} {
			b := bytes.Clone(o.bytes)
			spoil(b[id*size : (id+1)*size])
			hang := time.AfterFunc(time.Minute, func() { panic(fmt.Sprintf("page %d, %s: it hangs", id, name)) })
			how, err := o.judge(o.copyTo(t, b))
			if err != nil {
				t.Errorf("page %d, %s: %v", id, name, err)
			}
			if how != "" {
				found++
			}
			o.goOn(t, fmt.Sprintf("page %d, %s", id, name), b)
			hang.Stop()
		}
	}
	if found < int(o.found.highWater) {
		t.Errorf("%d of %d spoilt pages were found; the test does not test", found, 5*o.found.highWater)
	}
}

func fill8(b []byte, rng *rand.Rand) {
	for i := range b {
		b[i] = byte(rng.Uint32())
	}
}

// Cut off anywhere: refused where something is missing, harmless behind the
// last page.
func TestAFileCutOffIsRefusedUnlessNothingIsMissing(t *testing.T) {
	o := newOriginal(t)
	size := int(o.found.pageSize)
	bound := int(o.found.highWater) * size
	rng := rand.New(rand.NewPCG(19, 23))
	lengths := []int{0, 1, 15, 16, 79, 80, 81, 1024, 4096, bound - 1, bound, bound + 1, len(o.bytes) - 1}
	for id := 1; id < len(o.bytes)/size; id++ {
		lengths = append(lengths, id*size, id*size+rng.IntN(size))
	}
	for _, n := range lengths {
		path := o.copyTo(t, o.bytes[:n])
		for _, readOnly := range []bool{true, false} {
			s, err := Open(path, Options{ReadOnly: readOnly})
			switch {
			case n >= bound && err != nil:
				t.Errorf("%d bytes, nothing missing: %v", n, err)
			case n >= bound:
				closed(t, s)
				if how, err := o.judge(path); how != "" || err != nil {
					t.Errorf("%d bytes, nothing missing: damage shows in %s (%v)", n, how, err)
				}
			case n < 80:
				wants(t, err, ErrNotRegistry)
			default:
				damaged(t, err)
			}
			// A refused file is left as it was.
			if info, err := os.Stat(path); n < bound && (err != nil || info.Size() != int64(n)) {
				t.Errorf("%d bytes: the file now has %d (%v)", n, info.Size(), err)
			}
		}
	}
}

// setMeta changes one field of one meta page and, if asked to, its checksum.
func setMeta(b []byte, size, page int, field int, value uint64, wide, sum bool) {
	m := b[page*size+pageHeader:][:metaLen]
	if wide {
		binary.NativeEndian.PutUint64(m[field:], value)
	} else {
		binary.NativeEndian.PutUint32(m[field:], uint32(value))
	}
	if sum {
		h := fnv.New64a()
		h.Write(m[:56])
		binary.NativeEndian.PutUint64(m[56:], h.Sum64())
	}
}

func TestOneMetaPageIsEnoughAndIsSaid(t *testing.T) {
	o := newOriginal(t)
	size := int(o.found.pageSize)
	last := int(o.found.txid % 2)
	for _, c := range []struct {
		name  string
		page  int
		older bool
	}{{"the last commit's", last, true}, {"the one before's", 1 - last, false}} {
		t.Run(c.name, func(t *testing.T) {
			b := bytes.Clone(o.bytes)
			b[c.page*size+pageHeader+60] ^= 1
			path := o.copyTo(t, b)
			s := open(t, path, Options{})
			st, err := s.Stat()
			if err != nil || !st.LoneMeta {
				t.Errorf("stat %+v (%v), want that one meta page is said to be alone", st, err)
			}
			if older := st.TxID < o.found.txid; older != c.older {
				t.Errorf("transaction %d of %d; older is %v, want %v", st.TxID, o.found.txid, older, c.older)
			}
			// The next commit writes the other meta page anew.
			update(t, s, func(tx *Tx) error { return tx.Put(viewTree, []byte("x"), nil) })
			update(t, s, func(tx *Tx) error { return tx.Put(viewTree, []byte("y"), nil) })
			closed(t, s)
			if st, err := open(t, path, Options{}).Stat(); err != nil || st.LoneMeta {
				t.Errorf("after two commits: stat %+v (%v), want both meta pages", st, err)
			}
		})
	}
	t.Run("the second has another page size", func(t *testing.T) {
		b := bytes.Clone(o.bytes)
		setMeta(b, size, 1, 8, 8192, false, true)
		if st, err := open(t, o.copyTo(t, b), Options{ReadOnly: true}).Stat(); err != nil || !st.LoneMeta || st.PageSize != int64(size) {
			t.Errorf("stat %+v (%v), want the first meta page alone", st, err)
		}
	})
	t.Run("the first is gone, the second damaged", func(t *testing.T) {
		b := bytes.Clone(o.bytes)
		clear(b[:size])
		b[size+pageHeader+60] ^= 1
		_, err := Open(o.copyTo(t, b), Options{ReadOnly: true})
		damaged(t, err)
	})
	t.Run("neither", func(t *testing.T) {
		b := bytes.Clone(o.bytes)
		b[pageHeader+60] ^= 1
		b[size+pageHeader+60] ^= 1
		_, err := Open(o.copyTo(t, b), Options{})
		damaged(t, err)
	})
}

func TestALaterLayoutIsNewerAndNotDamaged(t *testing.T) {
	o := newOriginal(t)
	b := bytes.Clone(o.bytes)
	for page := range 2 {
		setMeta(b, int(o.found.pageSize), page, 4, 3, false, true)
	}
	_, err := Open(o.copyTo(t, b), Options{})
	wants(t, err, ErrNewer)
}

func TestMetaPagesThatLieAreRefused(t *testing.T) {
	o := newOriginal(t)
	for name, c := range map[string]struct {
		field int
		value uint64
		wide  bool
	}{
		"page size of 0":          {8, 0, false},
		"page size no power of 2": {8, 16385, false},
		"page size too long":      {8, 1 << 30, false},
		"page size too short":     {8, 4096, false},
		"root outside":            {16, o.found.highWater, true},
		"root is a meta page":     {16, 0, true},
		"root is the free list":   {16, o.found.freelist, true},
		"free list outside":       {32, o.found.highWater, true},
		"high water far off":      {40, 1 << 40, true},
		"high water overflows":    {40, 1<<64 - 2, true},
	} {
		t.Run(name, func(t *testing.T) {
			b := bytes.Clone(o.bytes)
			for page := range 2 {
				setMeta(b, int(o.found.pageSize), page, c.field, c.value, c.wide, true)
			}
			path := o.copyTo(t, b)
			for _, readOnly := range []bool{true, false} {
				if _, err := Open(path, Options{ReadOnly: readOnly}); !errors.Is(err, ErrNotRegistry) {
					damaged(t, err)
				}
			}
		})
	}
}

// A list of free pages that is none matters to a writer alone.
func TestAFreeListThatIsNoneKeepsWritersOutOnly(t *testing.T) {
	o := newOriginal(t)
	b := bytes.Clone(o.bytes)
	for page := range 2 {
		setMeta(b, int(o.found.pageSize), page, 32, o.found.root, true, true)
	}
	path := o.copyTo(t, b)
	_, err := Open(path, Options{})
	damaged(t, err)
	s := open(t, path, Options{ReadOnly: true})
	if text, err := contents(s); err != nil || text != o.contents {
		t.Errorf("a reader gets other contents (%v)", err)
	}
	damaged(t, s.CheckPages())
}

// A branch that points to itself keeps bbolt's cursor in a circle for ever.
func TestACircleOfPagesIsRefused(t *testing.T) {
	path, _ := newRegistry(t, 60)
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	n := binary.NativeEndian
	circles := 0
	for at := 2 * pageSize; at+pageSize <= len(b); at += pageSize {
		if p := parsePage(b[at:]); p.flags == flagBranch && p.id == uint64(at/pageSize) {
			for i := range p.count {
				n.PutUint64(b[at+pageHeader+i*elementLen+8:], p.id)
			}
			circles++
		}
	}
	if circles == 0 {
		t.Fatal("no branch in the file; the test needs one")
	}
	o := original{folder: scratch(t)}
	bad := o.copyTo(t, b)
	_, err = Open(bad, Options{})
	damaged(t, err)
	// To read, the other trees are still there.
	s := open(t, bad, Options{ReadOnly: true})
	for range 2 {
		damaged(t, s.View(func(tx *Tx) error { tx.Last(journalTree); return nil }))
		damaged(t, s.View(func(tx *Tx) error { tx.Get(journalTree, key(1)); return nil }))
	}
	if err := s.View(func(tx *Tx) error {
		if len(tx.Get(blobTree, []byte{0})) != 20000 {
			t.Error("a value of another tree is lost")
		}
		return nil
	}); err != nil {
		t.Error(err)
	}
}

// The file shrinks under a store that has mapped it, as a disk that goes away
// under it would look.
func TestAFaultInTheMappingIsDamageAndNotTheEnd(t *testing.T) {
	path, _ := newRegistry(t, 60)
	whole, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for _, readOnly := range []bool{true, false} {
		o := original{folder: scratch(t)}
		path := o.copyTo(t, whole)
		s := open(t, path, Options{ReadOnly: readOnly})
		if err := os.Truncate(path, 2*pageSize); err != nil {
			t.Skip(err) // a mapped file cannot be cut everywhere
		}
		_, err := contents(s)
		damaged(t, err)
		damaged(t, s.View(func(tx *Tx) error { tx.Get(journalTree, key(1)); return errors.New("swallowed") }))
		damaged(t, s.View(func(tx *Tx) error {
			defer func() { _ = recover() }()
			tx.Last(journalTree)
			return nil
		}))
		damaged(t, s.CheckPages())
		_, err = s.Backup(&bytes.Buffer{})
		damaged(t, err)
		if !readOnly {
			damaged(t, s.Update(putOne))
			damaged(t, s.Update(func(*Tx) error { return nil }))
		}
		closed(t, s)
		if !readOnly {
			continue
		}
		// The lock was given back.
		if err := os.WriteFile(path, whole, 0o600); err != nil {
			t.Fatal(err)
		}
		closed(t, open(t, path, Options{Timeout: time.Millisecond}))
	}
}

// The disk goes away between the writes and their confirmation, as far as a
// closed file can stand for that.
func TestWhatTheDiskDidNotConfirmIsInDoubt(t *testing.T) {
	path, head := newRegistry(t, 3)
	s := open(t, path, Options{})
	err := s.Update(func(tx *Tx) error {
		if _, err := appendEntry(tx); err != nil {
			return err
		}
		return s.file.Close()
	})
	wants(t, err, ErrUnconfirmed)
	if again := s.Update(putOne); again != err {
		t.Errorf("the next update says %v, want %v", again, err)
	}
	if err := s.Close(); err == nil {
		t.Error("a file that is closed already is closed without a word")
	}
	if got, err := verify(path); err != nil || got != head {
		t.Errorf("the head is %s (%v), want %s", got, err, head)
	}
}
