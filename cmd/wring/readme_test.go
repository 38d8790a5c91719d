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
	dir := t.TempDir()
	for i, b := range consoleBlocks(t, "../../README.md") {
		name := filepath.Join(dir, fmt.Sprintf("readme%d.txtar", i+1))
		if err := os.WriteFile(name, []byte(asScript(b)), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	replay(t, dir, furnish)
}

// TestTutorial replays the tutorial as one story in a folder that the tutorial
// command wrote.
func TestTutorial(t *testing.T) {
	dir := t.TempDir()
	story := "$ wring tutorial first-day\nfirst-day: 7 files; next: cd first-day, and read TUTORIAL.md\n$ cd first-day\n" +
		strings.Join(consoleBlocks(t, tutorialText), "")
	if err := os.WriteFile(filepath.Join(dir, "tutorial.txtar"), []byte(asScript(story)), 0o600); err != nil {
		t.Fatal(err)
	}
	replay(t, dir, furnish)
}

func consoleBlocks(t *testing.T, file string) (out []string) {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range transcript.FindAllStringSubmatch(string(text), -1) {
		out = append(out, b[1])
	}
	if len(out) == 0 {
		t.Fatalf("%s shows no console block", file)
	}
	return out
}

func replay(t *testing.T, dir string, setup func(*testscript.Env) error) {
	testscript.Run(t, testscript.Params{
		Dir:   dir,
		Cmds:  map[string]func(*testscript.TestScript, bool, []string){"shows": shows},
		Setup: setup,
	})
}

// asScript turns "$ command" lines and the output under each into a script. A
// shell's double quotes become the single ones that a script has.
func asScript(block string) string {
	var script, files strings.Builder
	for i, part := range strings.Split("\n"+block, "\n$ ")[1:] {
		command, out, _ := strings.Cut(part, "\n")
		if set, isSet := strings.CutPrefix(command, "export "); isSet {
			fmt.Fprintf(&script, "env %s\n", set)
			continue
		}
		if strings.HasPrefix(command, "cd ") {
			fmt.Fprintf(&script, "%s\n", command)
			continue
		}
		fmt.Fprintf(&script, "shows $WORK/want%d %s\n", i+1, strings.ReplaceAll(command, `"`, `'`))
		fmt.Fprintf(&files, "-- want%d --\n%s\n", i+1, strings.TrimRight(out, "\n"))
	}
	return script.String() + files.String()
}

// shows FILE prog args... wants the output of prog to be the content of FILE.
func shows(ts *testscript.TestScript, _ bool, args []string) {
	_ = ts.Exec(args[1], args[2:]...) // a refusal is a fine thing to show
	if got, want := headless(ts.ReadFile("stdout")+ts.ReadFile("stderr")), headless(ts.ReadFile(args[0])); got != want {
		ts.Fatalf("the text shows\n%sbut it prints\n%s", want, got)
	}
}

// headless is a text without the digits of heads: a registry's identity is
// chosen at random, and its hashes with it.
func headless(text string) string {
	return regexp.MustCompile(`\b([0-9]+)-[0-9a-f]{16}\b`).ReplaceAllString(text, "$1-…")
}
