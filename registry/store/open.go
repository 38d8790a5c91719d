package store

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"sync"
	"syscall"
	"time"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// DefaultTimeout is how long Open waits for another program when the options
// do not say: a house rule, long enough for a few commits and short enough for
// someone who stands at a bench.
const DefaultTimeout = 3 * time.Second

// Options say how a registry is opened.
type Options struct {
	// ReadOnly opens to read. Others may read at the same time.
	ReadOnly bool

	// Timeout is how long to wait for another program that has the file. Zero
	// or less means [DefaultTimeout]; there is no waiting for ever. bbolt tries
	// every 50 ms, and less than that is one try.
	Timeout time.Duration

	// WriteOnce names the trees whose keys are written once: a second Put of a
	// key, a Delete and a Drop are refused there.
	WriteOnce []string

	// Pieces names the trees whose values are kept in pieces, if they are not
	// there yet: see pieces.go. Their keys have one length, and are written once.
	Pieces []string

	// guided takes a small file for a large one.
	guided bool
}

// wait is how long to wait. bbolt takes zero for ever.
func (o Options) wait() time.Duration {
	if o.Timeout <= 0 {
		return DefaultTimeout
	}
	return o.Timeout
}

// A Store is one open file. Its methods may be called from several goroutines.
type Store struct {
	path      string
	file      *os.File
	db        *bbolt.DB
	readOnly  bool
	writeOnce map[string]bool
	pieces    map[string]bool
	found     survey

	mu      sync.Mutex
	guide   *guide           // on the way to keys; nil when all pages were walked
	stale   bool             // the guide is one of an earlier state
	flaws   map[string]error // of trees, from then on
	viewing int              // open views
	writing bool             // an open update
	halt    error            // why nothing is written any more
	stuck   bool             // bbolt holds locks that it will never give back
}

// Open opens the registry at path, which must be there: only [Create] makes
// files. Before bbolt maps the file, its outline is read and checked.
//
// It returns, wrapped, [ErrMissing], [ErrNotRegistry] (also for a symbolic
// link, a folder and anything else that is no ordinary file), [ErrNewer],
// [ErrDenied], [ErrBusy], or a [*DamageError].
func Open(path string, o Options) (*Store, error) {
	if err := look(path, o.ReadOnly); err != nil {
		return nil, err
	}
	s := &Store{path: path, readOnly: o.ReadOnly, writeOnce: set(o.WriteOnce), pieces: set(o.Pieces), flaws: map[string]error{}}
	if err := s.attach(o.wait()); err != nil {
		return nil, err
	}
	// Only now does nobody else write, and what is found stays so.
	if err := s.vet(o.guided); err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

// smallFile is up to which length, in bytes, all pages of a file are looked at
// before it is written to: a house rule. It takes a millisecond there
// (measured); in a larger file only those on the way to a key are.
const smallFile = 16 << 20

func set(names []string) map[string]bool {
	m := make(map[string]bool, len(names))
	for _, n := range names {
		m[n] = true
	}
	return m
}

// vet checks the outline of the file, and of a small one that is to be written
// to all pages that could lead bbolt astray. In all others the pages on the way
// to a key are looked at when it is looked for.
func (s *Store) vet(guided bool) (err error) {
	if s.found, err = preflight(s.path, s.file); err != nil {
		return err
	}
	small := int64(s.found.highWater)*s.found.pageSize <= smallFile
	if !s.readOnly && small && !guided {
		err = walkPages(s.file, s.found, heads)
	} else {
		s.guide, err = newGuide(s.file, s.found, !s.readOnly)
	}
	return pageFault(s.path, err)
}

// vetWay checks the pages of a tree on the way to keys.
func (s *Store) vetWay(tree string, to span) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.guide == nil {
		return nil
	}
	if flaw := s.flaws[tree]; flaw != nil {
		return flaw
	}
	flaw := s.renew()
	if flaw == nil {
		flaw = pageFault(s.path, s.guide.lead(tree, to))
	}
	if flaw != nil {
		s.flaws[tree] = flaw
	}
	return flaw
}

// renew makes the guide one of the last state, if another was committed since.
func (s *Store) renew() error {
	if !s.stale {
		return nil
	}
	now, err := preflight(s.path, s.file)
	if err != nil {
		return err
	}
	if s.guide, err = newGuide(s.file, now, true); err == nil {
		s.stale = false
	}
	return pageFault(s.path, err)
}

// vetTree checks all pages of a tree that is to be given away.
func (s *Store) vetTree(tree string) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.guide == nil {
		return nil
	}
	if err := s.renew(); err != nil {
		return err
	}
	w, err := newWalker(s.file, s.guide.survey, heads)
	if err == nil {
		err = w.walkTree(tree)
	}
	return pageFault(s.path, err)
}

// look checks, without a lock, that path is a registry, and that bbolt can load
// its list of free pages. Another program may be committing meanwhile, and use
// the pages of the list again; then another transaction has become the last.
func look(path string, readOnly bool) error {
	f, err := openFile(path, readOnly)
	if err != nil {
		return err
	}
	defer f.Close()
	before, err := preflight(path, f)
	if err != nil || readOnly {
		return err
	}
	flaw := checkFree(f, before)
	if flaw == nil {
		return nil
	}
	if after, err := preflight(path, f); err != nil || after.txid != before.txid {
		return err
	}
	return pageFault(path, flaw)
}

// openFile opens an ordinary file that is there, and nothing in its place.
func openFile(path string, readOnly bool) (*os.File, error) {
	before, err := os.Lstat(path)
	if err != nil {
		return nil, readFault(path, err)
	}
	if what := extraordinary(before.Mode()); what != "" {
		return nil, about(path, ErrNotRegistry, "it is %s; want the file itself", what)
	}
	flag := os.O_RDWR
	if readOnly {
		flag = os.O_RDONLY
	}
	f, err := os.OpenFile(path, flag, 0)
	if err != nil {
		return nil, readFault(path, err)
	}
	// Between the look and the opening another file may have taken the name.
	if after, err := f.Stat(); err != nil || !os.SameFile(before, after) {
		f.Close()
		return nil, about(path, ErrBusy, "it was replaced while it was being opened; want it left in place")
	}
	return f, nil
}

// extraordinary says what a file is when it is not an ordinary one.
func extraordinary(m fs.FileMode) string {
	switch {
	case m.IsRegular():
		return ""
	case m&fs.ModeSymlink != 0:
		return "a symbolic link"
	case m.IsDir():
		return "a folder"
	}
	return "no ordinary file"
}

// attach lets bbolt lock and map the file. bbolt is given a file that we
// opened, so that it never makes one, and so that the lock can be given back
// when bbolt no longer can.
func (s *Store) attach(wait time.Duration) error {
	var err, refused error
	o := bbolt.Options{
		Timeout:  wait,
		ReadOnly: s.readOnly,
		OpenFile: func(string, int, os.FileMode) (*os.File, error) {
			s.file, refused = openFile(s.path, s.readOnly)
			return s.file, refused
		},
	}
	if damage := guard(s.path, func() { s.db, err = bbolt.Open(s.path, 0, &o) }); damage != nil {
		s.abandon()
		return damage
	}
	switch {
	case err == nil:
		return nil
	case refused != nil:
		return refused
	case errors.Is(err, berrors.ErrTimeout):
		return about(s.path, ErrBusy, "it was not free within %s; want it closed there", wait)
	case errors.Is(err, berrors.ErrInvalid), errors.Is(err, berrors.ErrChecksum), errors.Is(err, berrors.ErrVersionMismatch):
		return &DamageError{s.path, "it changed while it was being opened; want it left in place"}
	}
	return readFault(s.path, err)
}

// Close gives the file back. Close of a closed store does nothing.
func (s *Store) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.db == nil {
		return nil
	}
	if s.viewing > 0 || s.writing {
		return about(s.path, ErrNested, "it cannot be closed now; want the transaction to end first")
	}
	if s.stuck {
		s.abandon()
		return nil
	}
	var err error
	damage := guard(s.path, func() { err = s.db.Close() })
	s.db = nil
	if damage != nil {
		return damage
	}
	if err != nil {
		return readFault(s.path, err)
	}
	return nil
}

// abandon gives back the lock and the file of a store that bbolt cannot close
// any more. The mapping stays until the program ends.
func (s *Store) abandon() {
	if s.file != nil {
		unlock(s.file)
		s.file.Close()
	}
	s.db = nil
}

// readFault gives a fault of the file system our words.
func readFault(path string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return about(path, ErrMissing, "no file has this name; want one made by init, or another path")
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return about(path, ErrDenied, "%v; want leave to open it", cause(err))
	case isFull(err):
		return about(path, ErrFull, "%v; want more of it", cause(err))
	}
	return fmt.Errorf("registry %q: %w; want a file that can be read", path, err)
}

// pageFault gives what a walk over the pages found our words.
func pageFault(path string, err error) error {
	var f *flaw
	switch {
	case err == nil:
		return nil
	case errors.As(err, &f):
		return &DamageError{path, f.text}
	case errors.Is(err, io.EOF):
		return &DamageError{path, "it ends before its last page; want all of them"}
	}
	return readFault(path, err)
}

// cause is the innermost error, without the names of paths and calls.
func cause(err error) error {
	for {
		inner := errors.Unwrap(err)
		if inner == nil {
			return err
		}
		err = inner
	}
}

// plural counts things in words: 1 page, 2 pages.
func plural(n uint64, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
