package main

import (
	"cmp"
	"io"
	"strings"
	"time"
)

// version is the program's, written into every entry it makes.
const version = "wring 0.1.0"

// versionDate is the day of that version, printed in the manual.
const versionDate = "2026-11-25"

// env is everything a command may touch besides its options.
type env struct {
	In       io.Reader
	Out, Err io.Writer
	Now      func() time.Time
	Getenv   func(string) string
	LoggedIn func() string

	// Self names the program's own file, for a check that runs in a process of
	// its own.
	Self func() (string, error)

	// Pause waits; nil where nobody waits for anything.
	Pause func(time.Duration)

	// Terminal says that a person sits at both ends.
	Terminal bool

	// Watched says that a person sees the error stream, where long work shows
	// how far it is.
	Watched bool
}

// onlyASCII says that a person sits at a terminal whose locale names another
// encoding than UTF-8 (POSIX.1-2017, base definitions, 8.2: the order of the
// variables; from memory). Where nothing is named, UTF-8 is taken for granted.
func (e env) onlyASCII() bool {
	locale := strings.ToUpper(cmp.Or(e.Getenv("LC_ALL"), e.Getenv("LC_CTYPE"), e.Getenv("LANG")))
	return e.Terminal && locale != "" && !strings.Contains(locale, "UTF-8") && !strings.Contains(locale, "UTF8")
}
