package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// scriptClock is where the clock of every script stands, and WRING_TEST_CLOCK
// moves it: scripts tell stories with dates.
const scriptClock = "2026-11-25T10:00:00Z"

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"wring": scripted})
}

// scripted is the program with its clock and its terminal replaced.
func scripted() {
	e := env{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Getenv: os.Getenv,
		LoggedIn: func() string { return "tester" }, Self: os.Executable,
		Now: func() time.Time {
			t, err := time.Parse(time.RFC3339, os.Getenv("WRING_TEST_CLOCK"))
			if err != nil {
				panic(err)
			}
			return t
		}}
	os.Exit(run(os.Args, e))
}

// furnish gives each script the clock, and under testdata/demo the sheet and
// the values of the demonstration's standards.
func furnish(e *testscript.Env) error {
	e.Setenv("WRING_TEST_CLOCK", scriptClock)
	e.Setenv("GORACE", os.Getenv("GORACE")) // a program under the race detector else sleeps a second at its end
	sheets, _ := filepath.Glob("../../testdata/demo/*")
	values, _ := filepath.Glob("demo/*.csv")
	if len(sheets) == 0 || len(values) == 0 {
		return fmt.Errorf("%d sheets in testdata/demo and %d files of values in demo; want both", len(sheets), len(values))
	}
	for _, f := range slices.Concat(sheets, values) {
		if err := copyFile(f, filepath.Join(e.WorkDir, "testdata", "demo", filepath.Base(f))); err != nil {
			return err
		}
	}
	return nil
}

func copyFile(from, to string) error {
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
		return err
	}
	return os.WriteFile(to, data, 0o666)
}

// TestScripts runs every story in testdata/script.
func TestScripts(t *testing.T) {
	if names, _ := filepath.Glob("../../testdata/script/*.txtar"); len(names) == 0 {
		t.Fatal("no scripts")
	}
	testscript.Run(t, testscript.Params{
		Dir: "../../testdata/script",
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":   exits,
			"refuses": refuses,
			"same":    same,
			"fill":    fill,
			"uid":     uid,
			"edit":    edit,
			"field":   field,
			"shop":    shop,
			"narrow":  narrow,
			"tamper":  tamper,
			"headof":  headof,
		},
		Setup:               furnish,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
	})
}

// exits N prog args... wants the exit status N.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	want, err := strconv.Atoi(args[0])
	if err != nil || neg {
		ts.Fatalf("usage: exits N prog args...")
	}
	if got := status(ts, args[1:]); got != want {
		ts.Fatalf("exit status %d, want %d\n%s%s", got, want, ts.ReadFile("stdout"), ts.ReadFile("stderr"))
	}
}

// same FILE FILE wants two files of the same bytes, without printing them.
func same(ts *testscript.TestScript, neg bool, args []string) {
	equal := bytes.Equal([]byte(ts.ReadFile(args[0])), []byte(ts.ReadFile(args[1])))
	if equal == neg {
		ts.Fatalf("%s and %s: same bytes is %v", args[0], args[1], equal)
	}
}

// fill FILE N writes a file of N bytes of one comment line.
func fill(ts *testscript.TestScript, _ bool, args []string) {
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), bytes.Repeat([]byte("#"), n), 0o666))
}

// uid FILE writes the first event's UID of a calendar beside it, as FILE.uid.
func uid(ts *testscript.TestScript, neg bool, args []string) {
	for line := range strings.Lines(ts.ReadFile(args[0])) {
		if id, ok := strings.CutPrefix(line, "UID:"); ok && !neg {
			ts.Check(os.WriteFile(ts.MkAbs(args[0]+".uid"), []byte(id), 0o666))
			return
		}
	}
	ts.Fatalf("%s: no UID", args[0])
}
