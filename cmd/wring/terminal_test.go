package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
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
	p.open(dir)
	return p
}

// open starts the terminal with its shell.
func (p pane) open(dir string) {
	p.t.Helper()
	p.tmux("-f", "/dev/null", "new-session", "-d", "-x", fmt.Sprint(screen.Width), "-y", "60", "-c", dir,
		"env", "PATH="+dir+":"+os.Getenv("PATH"), "NO_COLOR=1", "LC_ALL=C.UTF-8", "PS1=> ", "WRING_TEST_CLOCK="+scriptClock, "WRING_AS=EK", "sh")
	p.t.Cleanup(func() { _ = exec.Command("tmux", "-S", p.socket, "kill-server").Run() })
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

// idle waits until the shell has the terminal again.
func (p pane) idle() {
	p.t.Helper()
	for end := time.Now().Add(terminalPatience); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if strings.TrimSpace(p.tmux("display-message", "-p", "#{pane_current_command}")) == "sh" {
			return
		}
	}
	p.t.Fatalf("the shell did not come back; the terminal shows\n%s", p.all())
}

// A person is led through a check at a real terminal: what is asked stands
// before what is typed, nothing is wider than the terminal, no colour is
// needed, and an answer of yes keeps the check.
func TestACheckIsLedAtATerminal(t *testing.T) {
	dir := t.TempDir()
	p := newPane(t, dir)
	furnishPane(t, p, dir)
	p.enter("wring check MIC-014")
	for _, turn := range []struct {
		prompt string
		asked  int // so often by now; what is typed earlier stands before the question
		typed  string
	}{
		{"blocks and thermometer used, with a blank between:", 1, "GB-1"},
		{"2.5 mm, reading 1 of 3:", 1, "2,501"},
		{"2.5 mm, reading 1 of 3:", 2, "2.509"},
		{"2.5 mm, reading 2 of 3 (mean 2.5090, spread 0.000, error +0.0091):", 1, "u"},
		{"2.5 mm, reading 1 of 3:", 3, "2.501"},
		{"2.5 mm, reading 2 of 3 (mean 2.5010, spread 0.000, error +0.0011):", 1, "2.501"},
		{"2.5 mm, reading 3 of 3 (mean 2.5010", 1, "2.502"},
		{"25 mm, reading 1 of 3:", 1, "25.001"},
		{"25 mm, reading 2 of 3 (mean", 1, "25.001"},
		{"25 mm, reading 3 of 3 (mean", 1, "25.002"},
		{"keep it? (yes or no; u goes back, q leaves it for later)", 1, "yes"},
	} {
		p.sees(turn.prompt, turn.asked)
		p.enter(turn.typed)
	}
	p.sees("kept; certificate: wring certificate 6", 1)
	shown := p.all()
	for _, want := range []string{"2.5 mm, reading 1 of 3: 2,501\n", "a decimal comma; write 2.501", "2.509 taken back", "Verdict: pass.", "entry 6: check of MIC-014, as found, kept"} {
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

// furnishPane makes at a terminal the registry that the stories there begin with.
func furnishPane(t *testing.T, p pane, dir string) {
	t.Helper()
	provide(t, dir)
	for i, command := range []string{
		`wring init --organisation "Harmen & Zoon (invented)" && echo do''ne`,
		`wring plan add short.toml && echo do''ne`,
		`wring standard add GB-1 --kind "gauge block set" --grade 1 --material steel && echo do''ne`,
		`wring standard certificate GB-1 --number 1 --laboratory X --route "national institute" --date 2026-02-03 --values gb-1.csv && echo do''ne`,
		`wring gauge add MIC-014 --kind "outside micrometer" --range 0..25 --resolution 0.001 --plan short --material steel && echo do''ne`,
	} {
		p.enter(command)
		p.sees("done", i+1)
	}
	p.tmux("send-keys", "-R")
	p.tmux("clear-history")
}

// However a check is broken off at a terminal, the registry stays as it was and
// no reading is lost: the next check of the gauge goes on behind it.
func TestNothingKeyedIsLostHoweverACheckIsBrokenOff(t *testing.T) {
	dir := t.TempDir()
	p := newPane(t, dir)
	furnishPane(t, p, dir)
	before, err := os.ReadFile(filepath.Join(dir, defaultRegistry))
	if err != nil {
		t.Fatal(err)
	}
	p.enter("wring check MIC-014 --standard GB-1")
	p.sees("2.5 mm, reading 1 of 3:", 1)
	p.enter("2.501")
	p = breakOffEachWay(t, p, dir, "wring check MIC-014 --standard GB-1", [][2]string{
		{"2.5 mm, reading 2 of 3 (mean", "2.501"}, {"2.5 mm, reading 3 of 3 (mean", "2.502"}, {"25 mm, reading 1 of 3", "25.001"},
		{"25 mm, reading 2 of 3 (mean", "25.001"}, {"25 mm, reading 3 of 3 (mean", "25.002"}},
		func(way string) {
			if after, err := os.ReadFile(filepath.Join(dir, defaultRegistry)); err != nil || string(after) != string(before) {
				t.Errorf("%s changed the registry: %v", way, err)
			}
		})
	p.sees("keep it?", 1)
	p.enter("y")
	p.sees("kept; certificate: wring certificate 6", 1)
	if left, _ := filepath.Glob(filepath.Join(dir, "*.entry*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	status, out, said := inside(filepath.Join(dir, defaultRegistry), "history", "MIC-014", "--json")
	for _, want := range []string{`"2.501 mm"`, `"2.502 mm"`, `"25.001 mm"`, `"25.002 mm"`} {
		if status != exitDone || !strings.Contains(out, want) {
			t.Errorf("%s is not in the record: %d %s", want, status, said)
		}
	}
}

// breakOffEachWay breaks off what is asked by each turn's question, every time
// in another way, and goes on with it by the same command; unharmed looks at
// what was left.
func breakOffEachWay(t *testing.T, p pane, dir, command string, turns [][2]string, unharmed func(way string)) pane {
	t.Helper()
	ways := []struct {
		name string
		by   func()
	}{
		{"an interrupt", func() { p.tmux("send-keys", "C-c") }},
		{"the end of the input", func() { p.tmux("send-keys", "C-d") }},
		{"kill -9", func() { endChild(t, p, "KILL") }},
		{"a hang-up", func() { endChild(t, p, "HUP") }},
		{"the terminal closed", func() {
			p.tmux("kill-server")
			p.socket += "2" // the first server may still be going
			p.open(dir)
		}},
	}
	if len(turns) != len(ways) {
		t.Fatalf("%d turns for %d ways to break off", len(turns), len(ways))
	}
	for i, way := range ways {
		p.sees(turns[i][0], 1)
		way.by()
		p.idle()
		unharmed(way.name)
		p.tmux("send-keys", "-R")
		p.tmux("clear-history")
		p.enter(command)
		p.sees("go on with it? (yes, or no to begin anew)", 1)
		p.enter("y")
		p.sees(turns[i][0], 1)
		p.enter(turns[i][1])
	}
	return p
}

// So it is with the survey of a lot.
func TestNothingKeyedIsLostHoweverASurveyIsBrokenOff(t *testing.T) {
	dir := t.TempDir()
	p := newPane(t, dir)
	says(t, filepath.Join(dir, defaultRegistry), "demo", filepath.Join(dir, "demo"))
	path := filepath.Join(dir, defaultRegistry)
	if err := os.Rename(filepath.Join(dir, "demo", "workshop.wring"), path); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p.enter("wring survey FELT-26-31 --gauge THK-005 --grid 3x3 --override 'to try the terminal'")
	p.sees("zero, foot on the bare anvil:", 1)
	p.enter("")
	p.enter("0.000")
	p = breakOffEachWay(t, p, dir, "wring survey FELT-26-31", [][2]string{
		{"place A1, reading 1 of 1", "0.201"}, {"place B1, reading 1 of 1", "0.202"}, {"place C1, reading 1 of 1", "0.203"},
		{"place A2, reading 1 of 1", "0.204"}, {"place B2, reading 1 of 1", "0.205"}},
		func(way string) {
			if after, err := os.ReadFile(path); err != nil || string(after) != string(before) {
				t.Errorf("%s changed the registry: %v", way, err)
			}
		})
	for line := range strings.SplitSeq(p.all(), "\n") {
		if utf8.RuneCountInString(line) == screen.Width {
			t.Errorf("as wide as the terminal, or wider: %s", line)
		}
	}
	for i, place := range []string{"C2", "A3", "B3", "C3"} {
		p.sees("place "+place+", reading 1 of 1", 1)
		p.enter(fmt.Sprintf("0.19%d", i))
	}
	p.sees("pressure and reading 1", 1)
	p.enter("")
	p.sees("keep it? (yes or no; q leaves it for later)", 1)
	p.enter("perhaps")
	p.sees(`"perhaps": want yes or no`, 1)
	p.enter("yes")
	p.sees("survey of FELT-26-31, kept", 1)
	if left, _ := filepath.Glob(filepath.Join(dir, "*.survey*")); len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
	status, out, said := inside(path, "lot", "show", "FELT-26-31", "--json")
	entry := regexp.MustCompile(`"entry": ([0-9]+)`).FindAllStringSubmatch(out, -1)
	if status != exitDone || len(entry) == 0 {
		t.Fatalf("%d %s\n%s", status, said, out)
	}
	_, out, _ = inside(path, "survey", "FELT-26-31", "--show", entry[len(entry)-1][1], "--json")
	for _, want := range []string{`"0.201 in"`, `"0.202 in"`, `"0.203 in"`, `"0.204 in"`, `"0.205 in"`, `"0.193 in"`} {
		if !strings.Contains(out, want) {
			t.Errorf("%s is not in the record:\n%s", want, out)
		}
	}
}

// endChild sends a signal to the program that runs in the pane's shell.
func endChild(t *testing.T, p pane, signal string) {
	t.Helper()
	shell := strings.TrimSpace(p.tmux("display-message", "-p", "#{pane_pid}"))
	if out, err := exec.Command("pkill", "-"+signal, "-P", shell).CombinedOutput(); err != nil {
		t.Skipf("pkill -P of the shell: %v %s", err, out)
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
