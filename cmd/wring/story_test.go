package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"

	"example.org/wring/cmd/internal/screen"
)

// The words that scripts tell their stories with, besides testscript's own.

// shop makes registry.wring, the registry most stories begin with: seven
// entries, a micrometer MIC-014 with its plan, a block set GB-1 with values and
// a thermometer TH-1.
func shop(ts *testscript.TestScript, _ bool, _ []string) {
	for _, command := range [][]string{
		{"init", "--organisation", "Harmen & Zoon (invented)", "--address", "Kerkstraat 00, Nergensdam"},
		{"plan", "add", "--preset", "micrometer-0-25"},
		{"standard", "add", "GB-1", "--kind", "gauge block set", "--grade", "1", "--material", "steel", "--interval", "24"},
		{"standard", "certificate", "GB-1", "--number", "26-1", "--laboratory", "Invented laboratory", "--route", "accredited laboratory", "--date", "2026-02-03", "--values", "testdata/demo/gb-1.csv"},
		{"standard", "add", "TH-1", "--kind", "thermometer"},
		{"standard", "certificate", "TH-1", "--number", "25-9", "--laboratory", "Invented laboratory", "--route", "accredited laboratory", "--date", "2025-02-04", "--due", "2028-02-04"},
		{"gauge", "add", "MIC-014", "--kind", "outside micrometer", "--range", "0..25", "--resolution", "0.001", "--plan", "micrometer-0-25", "--material", "steel", "--place", "bench 1"},
	} {
		ts.Check(ts.Exec("wring", command...))
	}
}

// refuses N MESSAGE prog args... wants exit status N, nothing on standard
// output, and on standard error the one line "wring: MESSAGE", with at most one
// line of hint below it. The registry must have the same bytes as before, or be
// as absent.
func refuses(ts *testscript.TestScript, neg bool, args []string) {
	want, err := strconv.Atoi(args[0])
	if err != nil || neg {
		ts.Fatalf("usage: refuses N MESSAGE prog args...")
	}
	before, absent := os.ReadFile(ts.MkAbs("registry.wring"))
	got := status(ts, args[2:])
	out, text := ts.ReadFile("stdout"), ts.ReadFile("stderr")
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	switch {
	case got != want:
		ts.Fatalf("exit status %d, want %d\n%s%s", got, want, out, text)
	case out != "":
		ts.Fatalf("it refused, and printed\n%s", out)
	case lines[0] != "wring: "+args[1]:
		ts.Fatalf("it said\n%swant\nwring: %s", text, args[1])
	case len(lines) > 2 || len(lines) == 2 && !strings.HasPrefix(lines[1], "  hint: "):
		ts.Fatalf("it said more than one line and a hint:\n%s", text)
	}
	after, gone := os.ReadFile(ts.MkAbs("registry.wring"))
	if string(before) != string(after) || (absent == nil) != (gone == nil) {
		ts.Fatalf("it refused, and changed the registry: %d bytes before, %d after", len(before), len(after))
	}
}

func status(ts *testscript.TestScript, args []string) int {
	err := ts.Exec(args[0], args[1:]...)
	var exit *exec.ExitError
	switch {
	case err == nil:
		return 0
	case !errors.As(err, &exit):
		ts.Fatalf("%v", err)
	}
	return exit.ExitCode()
}

// edit FILE OLD NEW writes FILE with OLD, which must stand in it once, replaced.
func edit(ts *testscript.TestScript, _ bool, args []string) {
	text := ts.ReadFile(args[0])
	if n := strings.Count(text, args[1]); n != 1 {
		ts.Fatalf("%s: %q stands in it %d times, want once", args[0], args[1], n)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.Replace(text, args[1], args[2], 1)), 0o666))
}

// field PATH WANT wants standard output to be JSON, and its value at PATH, as
// points.0.k, to begin with WANT. "field PATH -" wants it not to be there.
func field(ts *testscript.TestScript, neg bool, args []string) {
	dec := json.NewDecoder(strings.NewReader(ts.ReadFile("stdout")))
	dec.UseNumber()
	var v any
	ts.Check(dec.Decode(&v))
	if dec.More() {
		ts.Fatalf("more than one value in the answer")
	}
	there := true
	for key := range strings.SplitSeq(args[0], ".") {
		if key == "" {
			continue
		}
		switch in := v.(type) {
		case map[string]any:
			v, there = in[key]
		case []any:
			i, err := strconv.Atoi(key)
			if there = err == nil && i < len(in); there {
				v = in[i]
			}
		default:
			there = false
		}
		if !there {
			break
		}
	}
	got := fmt.Sprint(v)
	if !there {
		got = "-"
	}
	if strings.HasPrefix(got, args[1]) == neg {
		ts.Fatalf("%s is %s, want %s", args[0], got, args[1])
	}
}

// narrow wants no line of standard output wider than a plain terminal.
func narrow(ts *testscript.TestScript, _ bool, _ []string) {
	for line := range strings.SplitSeq(ts.ReadFile("stdout"), "\n") {
		if n := utf8.RuneCountInString(line); n > screen.Width {
			ts.Fatalf("%d characters in\n%s", n, line)
		}
	}
}
