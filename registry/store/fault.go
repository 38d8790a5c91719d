package store

import (
	"errors"
	"fmt"
)

// Sentinels, for callers that branch. Each is wrapped with the file's name,
// what was found and what is wanted.
var (
	// ErrMissing is returned when there is no file; none is made.
	ErrMissing = errors.New("not there")

	// ErrExists is returned by Create when something has the name already.
	ErrExists = errors.New("there already")

	// ErrNotRegistry is returned for a file that was never a registry.
	ErrNotRegistry = errors.New("not a registry")

	// ErrNewer is returned for a file laid out by a later program.
	ErrNewer = errors.New("written by a newer program")

	// ErrBusy is returned when another program kept the file until the time
	// for waiting was over.
	ErrBusy = errors.New("in use by another program")

	// ErrDenied is returned when the system does not let us at the file.
	ErrDenied = errors.New("no leave from the system")

	// ErrFull is returned when the disk, the quota or the largest size of a
	// file is used up. The file holds what it held before.
	ErrFull = errors.New("no room on the disk")

	// ErrUnconfirmed is returned when the disk did not confirm a commit that
	// was already written: it may be there after a restart, or not.
	ErrUnconfirmed = errors.New("not confirmed by the disk")

	// ErrReadOnly is returned by Update of a store opened to read, and by Put,
	// Delete and Drop in a View.
	ErrReadOnly = errors.New("opened to read only")

	// ErrWriteOnce is returned for a second Put of one key, a Delete or a Drop
	// in a tree whose keys are written once.
	ErrWriteOnce = errors.New("written once and kept")

	// ErrNested is returned when a transaction is begun that would wait for
	// ever for one that is already open in this program.
	ErrNested = errors.New("a transaction is open")
)

// A DamageError says that a file is, or was, a registry and cannot be read as
// one: cut off, altered, or faulty where it lies.
type DamageError struct {
	Path string

	// Reason says what was found and what was wanted.
	Reason string
}

func (e *DamageError) Error() string {
	return fmt.Sprintf("registry %q: damaged: %s", e.Path, e.Reason)
}

// about puts the file's name before, and what was found and is wanted after, a
// sentinel.
func about(path string, sentinel error, detail string, args ...any) error {
	return fmt.Errorf("registry %q: %w: %s", path, sentinel, fmt.Sprintf(detail, args...))
}

// Mistakes of the program above, and faults that it cannot tell apart; no
// caller branches on them.
var (
	errSize   = errors.New("too long for a store")
	errWalked = errors.New("a walk over it is under way")
	errClosed = errors.New("closed")
	errCommit = errors.New("not written")
)
