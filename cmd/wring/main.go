package main

import (
	"os"
	"os/user"
	"time"

	"golang.org/x/term"
)

func main() {
	boundMemory(os.Getenv)
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
