package registry

import (
	"fmt"
	"strings"

	"example.org/wring/registry/journal"
	"example.org/wring/registry/store"
)

// Errors of the file, as they come from opening it and writing to it.
var (
	ErrMissing     = store.ErrMissing     // no file at the path; only Create makes one
	ErrExists      = store.ErrExists      // Create found something at the path
	ErrNotRegistry = store.ErrNotRegistry // the file is something else
	ErrBusy        = store.ErrBusy        // another process holds it
	ErrFull        = store.ErrFull        // the disk is full
	ErrUnconfirmed = store.ErrUnconfirmed // whether an entry was kept is not known
)

// A DamageError says that the file does not hold what was once written.
type DamageError = journal.DamageError

// A FileDamageError says the same of the file below the entries.
type FileDamageError = store.DamageError

// A NotFoundError names what is not in the registry, and what is nearest.
type NotFoundError struct {
	What, ID string
	Nearest  []string
}

func (e *NotFoundError) Error() string {
	text := fmt.Sprintf("%s %q: not in the registry", e.What, e.ID)
	if len(e.Nearest) > 0 {
		return text + "; nearest: " + strings.Join(e.Nearest, ", ")
	}
	return text
}

// A TakenError names an identity that is there already.
type TakenError struct{ What, ID string }

func (e *TakenError) Error() string {
	want := "another identity"
	switch e.What {
	case "gauge":
		want += ", or amend it"
	case "certificate":
		want = "the number and date of another"
	}
	return fmt.Sprintf("%s %q: is in the registry already; want %s", e.What, e.ID, want)
}

// A RuleError says why an entry cannot follow what is recorded.
type RuleError struct{ Found, Want string }

func (e *RuleError) Error() string { return e.Found + "; " + e.Want }
