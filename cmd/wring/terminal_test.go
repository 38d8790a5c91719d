package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"example.org/wring/cmd/internal/screen"
)

// terminalPatience bounds each wait for the screen; a machine under load is
// slow, a program that hangs is hung.
const terminalPatience = 30 * time.Second

// A pane is a terminal of 80 columns with a person's fingers at it.
type pane struct {
	t      *testing.T
	socket string
}

// newPane opens a terminal through tmux in a folder, where wring is this very
// test program.
func newPane(t *testing.T, dir string) pane {
	t.Helper()
	if _, err := exec.LookPath("tmux"); err != nil {
		t.Skip("tmux is not installed; want it for the story at a real terminal")
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(self, filepath.Join(dir, "wring")); err != nil {
		t.Skipf("no symbolic links here: %v", err)
	}
	p := pane{t, filepath.Join(dir, "s")}
	p.tmux("-f", "/dev/null", "new-session", "-d", "-x", fmt.Sprint(screen.Width), "-y", "60", "-c", dir,
		"env", "PATH="+dir+":"+os.Getenv("PATH"), "NO_COLOR=1", "LC_ALL=C.UTF-8", "PS1=> ", "WRING_TEST_CLOCK="+scriptClock, "WRING_AS=EK", "sh")
	t.Cleanup(func() { _ = exec.Command("tmux", "-S", p.socket, "kill-server").Run() })
	return p
}

func (p pane) tmux(args ...string) string {
	p.t.Helper()
	out, err := exec.Command("tmux", append([]string{"-u", "-S", p.socket}, args...)...).CombinedOutput()
	if err != nil {
		p.t.Fatalf("tmux %v: %v\n%s", args, err, out)
	}
	return string(out)
}

// enter types a line and Enter.
func (p pane) enter(line string) {
	p.t.Helper()
	p.tmux("send-keys", "-l", line)
	p.tmux("send-keys", "Enter")
}

func (p pane) all() string { return p.tmux("capture-pane", "-p", "-S", "-") }

// sees waits until the terminal shows a text as often as it should.
func (p pane) sees(want string, times int) {
	p.t.Helper()
	for end := time.Now().Add(terminalPatience); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if strings.Count(p.all(), want) >= times {
			return
		}
	}
	p.t.Fatalf("waited for %q, %d times; the terminal shows\n%s", want, times, p.all())
}

// A person is led through a check at a real terminal: what is asked stands
// before what is typed, nothing is wider than the terminal, no colour is
// needed, and an answer of yes keeps the check.
func TestACheckIsLedAtATerminal(t *testing.T) {
	dir := t.TempDir()
	p := newPane(t, dir)
	for i, command := range []string{
		`wring init --organisation "Harmen & Zoon (invented)" && echo do''ne`,
		`wring plan add short.toml && echo do''ne`,
		`wring standard add GB-1 --kind "gauge block set" --grade 1 --material steel && echo do''ne`,
		`wring standard certificate GB-1 --number 1 --laboratory X --route "national institute" --date 2026-02-03 --values gb-1.csv && echo do''ne`,
		`wring gauge add MIC-014 --kind "outside micrometer" --range 0..25 --resolution 0.001 --plan short --material steel && echo do''ne`,
	} {
		if i == 0 {
			provide(t, dir)
		}
		p.enter(command)
		p.sees("done", i+1)
	}
	p.tmux("send-keys", "-R")
	p.tmux("clear-history")
	p.enter("wring check MIC-014")
	for _, turn := range []struct{ prompt, typed string }{
		{"blocks and thermometer used, with a blank between:", "GB-1"},
		{"2.5 mm, reading 1 of 3:", "2,501"},
		{"a decimal comma; write 2.501", "2.509"},
		{"2.5 mm, reading 2 of 3:", "u"},
		{"2.509 taken back", "2.501"},
		{"2.5 mm, reading 2 of 3:", "2.501"},
		{"2.5 mm, reading 3 of 3:", "2.502"},
		{"25 mm, reading 1 of 3:", "25.001"},
		{"25 mm, reading 2 of 3:", "25.001"},
		{"25 mm, reading 3 of 3:", "25.002"},
		{"keep it? (yes or no)", "yes"},
	} {
		p.sees(turn.prompt, 1)
		p.enter(turn.typed)
	}
	p.sees("kept; certificate: wring certificate 6", 1)
	shown := p.all()
	for _, want := range []string{"2.5 mm, reading 1 of 3: 2,501\n", "Verdict: pass.", "entry 6: check of MIC-014, as found, kept"} {
		if !strings.Contains(shown, want) {
			t.Errorf("the terminal does not show %q:\n%s", want, shown)
		}
	}
	for line := range strings.SplitSeq(shown, "\n") {
		if utf8.RuneCountInString(line) > screen.Width {
			t.Errorf("wider than the terminal: %s", line)
		}
	}
	if colours := p.tmux("capture-pane", "-p", "-e", "-S", "-"); strings.Contains(colours, "\x1b[3") {
		t.Errorf("colour in spite of NO_COLOR:\n%q", colours)
	}
}

// An interrupt in the middle of a check leaves the registry as it was.
func TestAnInterruptKeepsNothing(t *testing.T) {
	dir := t.TempDir()
	p := newPane(t, dir)
	provide(t, dir)
	for i, command := range []string{
		`wring init --organisation X && echo do''ne`,
		`wring plan add short.toml && echo do''ne`,
		`wring standard add GB-1 --kind "gauge block set" --grade 1 --material steel && echo do''ne`,
		`wring standard certificate GB-1 --number 1 --laboratory X --route "national institute" --date 2026-02-03 --values gb-1.csv && echo do''ne`,
		`wring gauge add MIC-014 --kind "outside micrometer" --range 0..25 --resolution 0.001 --plan short --material steel && echo do''ne`,
	} {
		p.enter(command)
		p.sees("done", i+1)
	}
	before, err := os.ReadFile(filepath.Join(dir, defaultRegistry))
	if err != nil {
		t.Fatal(err)
	}
	p.enter("wring check MIC-014 --standard GB-1")
	p.sees("2.5 mm, reading 1 of 3:", 1)
	p.enter("2.501")
	p.sees("2.5 mm, reading 2 of 3:", 1)
	p.tmux("send-keys", "C-c")
	p.enter("echo le''ft")
	p.sees("left", 1)
	p.enter("wring check MIC-014 --standard GB-1")
	p.sees("2.5 mm, reading 1 of 3:", 2)
	p.tmux("send-keys", "C-d")
	p.sees("hint: nothing was kept", 1)
	after, err := os.ReadFile(filepath.Join(dir, defaultRegistry))
	if err != nil || string(after) != string(before) {
		t.Errorf("the registry was changed by a check that was broken off: %v", err)
	}
}

// provide puts a short plan and the values of a block set into a folder.
func provide(t *testing.T, dir string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(dir, "short.toml"), []byte(shortPlan), 0o666); err != nil {
		t.Fatal(err)
	}
	if err := copyFile("demo/gb-1.csv", filepath.Join(dir, "gb-1.csv")); err != nil {
		t.Fatal(err)
	}
}

const shortPlan = `format = 1
name = "short"
title = "Two points for the terminal"
kind = "outside micrometer"
unit = "mm"
points = ["2.5", "25"]
readings = 3
believable = "0.1 mm"
[limit]
value = "4 um"
origin = "own"
[rule]
name = "simple acceptance"
[[contribution]]
kind = "repeatability"
[[contribution]]
kind = "resolution"
[[contribution]]
kind = "blocks"
`
