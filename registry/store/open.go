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
	found     survey

	mu      sync.Mutex
	walker  *walker          // over the trees not read yet; nil in a store opened to write
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
	s := &Store{path: path, readOnly: o.ReadOnly, writeOnce: set(o.WriteOnce), flaws: map[string]error{}}
	if err := s.attach(o.wait()); err != nil {
		return nil, err
	}
	// Only now does nobody else write, and what is found stays so.
	if err := s.vet(); err != nil {
		s.Close()
		return nil, err
	}
	return s, nil
}

// smallFile is up to which length, in bytes, the head of every leaf is read
// before a file is written to: a house rule. It takes a few milliseconds there
// (measured); in a file of gigabytes it would take longer than the commit.
const smallFile = 64 << 20

func set(names []string) map[string]bool {
	m := make(map[string]bool, len(names))
	for _, n := range names {
		m[n] = true
	}
	return m
}

// vet checks the outline of the file and those of its pages that could lead
// bbolt astray: before writing all of them, since a commit touches several
// trees; to read, only where the trees begin, and each tree when it is first
// read, since a list must not wait for a journal of gigabytes.
func (s *Store) vet() (err error) {
	if s.found, err = preflight(s.path, s.file); err != nil {
		return err
	}
	switch {
	case s.readOnly:
		s.walker, err = newWalker(s.file, s.found, branches)
	case int64(s.found.highWater)*s.found.pageSize <= smallFile:
		err = walkPages(s.file, s.found, heads)
	default:
		err = walkPages(s.file, s.found, lists)
	}
	return pageFault(s.path, err)
}

// vetTree checks a tree of a store opened to read, when it is first read. As
// long as such a store is open nobody writes, so once is enough.
func (s *Store) vetTree(name string) error {
	if !s.readOnly {
		return nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if flaw := s.flaws[name]; flaw != nil {
		return flaw
	}
	flaw := pageFault(s.path, s.walker.walkTree(name))
	if flaw != nil {
		s.flaws[name] = flaw
	}
	return flaw
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
