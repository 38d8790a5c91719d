package main

import (
	"os"
	"os/user"
	"runtime/debug"
	"time"

	"golang.org/x/term"
)

// enough is from how much memory of its own on the program clears up before it
// takes more, in bytes: a house rule, below the 200 MB that no command is to
// take for a fleet of a hundred thousand gauges. GOMEMLIMIT goes before it.
const enough = 150 << 20

func main() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(enough)
	}
	e := env{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr,
		Now: time.Now, Pause: time.Sleep, Getenv: os.Getenv, LoggedIn: loggedIn, Self: os.Executable,
		Terminal: term.IsTerminal(int(os.Stdin.Fd())) && term.IsTerminal(int(os.Stdout.Fd())),
		Watched:  term.IsTerminal(int(os.Stderr.Fd())),
	}
	os.Exit(run(os.Args, e))
}

// loggedIn names the user of the machine, the last resort for who acts.
func loggedIn() string {
	u, err := user.Current()
	if err != nil {
		return ""
	}
	return u.Username
}
