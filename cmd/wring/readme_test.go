package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var transcript = regexp.MustCompile("(?s)```console\n(.*?)```")

// TestReadme replays every console block of README.md and wants the very words
// it shows, standard output and standard error together.
func TestReadme(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	blocks := transcript.FindAllStringSubmatch(string(text), -1)
	if len(blocks) == 0 {
		t.Fatal("README.md shows no console block")
	}
	dir := t.TempDir()
	for i, b := range blocks {
		name := filepath.Join(dir, fmt.Sprintf("readme%d.txtar", i+1))
		if err := os.WriteFile(name, []byte(asScript(b[1])), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	testscript.Run(t, testscript.Params{
		Dir:  dir,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"shows": shows},
		Setup: func(e *testscript.Env) error {
			return furnish(e)
		},
	})
}

// asScript turns "$ command" lines and the output under each into a script. A
// shell's double quotes become the single ones that a script has.
func asScript(block string) string {
	var script, files strings.Builder
	for i, part := range strings.Split("\n"+block, "\n$ ")[1:] {
		command, out, _ := strings.Cut(part, "\n")
		fmt.Fprintf(&script, "shows want%d %s\n", i+1, strings.ReplaceAll(command, `"`, `'`))
		fmt.Fprintf(&files, "-- want%d --\n%s\n", i+1, strings.TrimRight(out, "\n"))
	}
	return script.String() + files.String()
}

// shows FILE prog args... wants the output of prog to be the content of FILE.
func shows(ts *testscript.TestScript, _ bool, args []string) {
	_ = ts.Exec(args[1], args[2:]...) // a refusal is a fine thing to show
	if got, want := ts.ReadFile("stdout")+ts.ReadFile("stderr"), ts.ReadFile(args[0]); got != want {
		ts.Fatalf("README.md shows\n%sbut it prints\n%s", want, got)
	}
}
