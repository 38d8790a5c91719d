package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/registry"
)

// An exitStatus is what the program says to the shell; help lists them.
type exitStatus = int

const (
	exitDone    exitStatus = 0 // done
	exitRefused exitStatus = 1 // refused, or not done; nothing was kept
	exitUsage   exitStatus = 2 // wrong use of the command line
	exitNo      exitStatus = 3 // done, and the answer is no
	exitDamaged exitStatus = 4 // the registry is damaged
	exitBusy    exitStatus = 5 // the registry is in use, try again
)

const exitHelp = `EXIT STATUS:
   0  done
   1  refused, nothing was kept
   2  wrong use of the command line
   3  done, and the answer is no (a check does not pass, something is overdue)
   4  the registry is damaged
   5  the registry is in use, try again`

// A usageError is a command line that says nothing that can be done.
type usageError struct{ text string }

func (e *usageError) Error() string { return e.text }

func usagef(format string, args ...any) error { return &usageError{fmt.Sprintf(format, args...)} }

// errNo is returned by a command that did its work and answers no.
var errNo = errors.New("the answer is no")

// A hinted error carries what to do next, and whether anything was kept.
type hinted struct {
	err  error
	hint string
}

func (e *hinted) Error() string { return e.err.Error() }
func (e *hinted) Unwrap() error { return e.err }

func exitCode(err error) exitStatus {
	var usage *usageError
	var damage *registry.DamageError
	var file *registry.FileDamageError
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errNo):
		return exitNo
	case errors.As(err, &usage):
		return exitUsage
	case errors.As(err, &damage), errors.As(err, &file):
		return exitDamaged
	case errors.Is(err, registry.ErrBusy):
		return exitBusy
	default:
		return exitRefused
	}
}

// entering is an action that enters something: its refusals say that nothing
// was kept, in their hint.
func entering(e env, run func(desk, *cli.Context) error) cli.ActionFunc {
	return func(c *cli.Context) error { return nothingKept(run(deskOf(e, c), c)) }
}

// reading is an action that only looks.
func reading(e env, run func(desk, *cli.Context) error) cli.ActionFunc {
	return func(c *cli.Context) error { return run(deskOf(e, c), c) }
}

// nothingKept says with a refusal that the registry is as it was, unless the
// disk left that open.
func nothingKept(err error) error {
	var h *hinted
	status := exitCode(err)
	switch {
	case errors.As(err, &h), status != exitRefused && status != exitBusy:
		return err
	case errors.Is(err, registry.ErrUnconfirmed):
		return &hinted{err, "whether it was kept is not known; look with wring history"}
	}
	return &hinted{err, "nothing was kept"}
}

// complain writes the one line that says what was wrong, or one for each of
// several places, and the hint.
func complain(w io.Writer, err error) {
	if err == nil || errors.Is(err, errNo) {
		return
	}
	fmt.Fprintf(w, "wring: %s\n", strings.ReplaceAll(err.Error(), "\n", "\nwring: "))
	var h *hinted
	if errors.As(err, &h) {
		fmt.Fprintf(w, "  hint: %s\n", h.hint)
	}
}
