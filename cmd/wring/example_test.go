package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/cmd/internal/screen"
)

// exampleRoom is a folder in which the examples of the help can be typed: the
// registry of the demonstration, its sheets and values, and wring itself.
func exampleRoom(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	sheets, _ := filepath.Glob("../../testdata/demo/*")
	values, _ := filepath.Glob("demo/*.csv")
	others, _ := filepath.Glob("../../testdata/example/*")
	for _, f := range slices.Concat(sheets, values, others) {
		for _, to := range []string{filepath.Join(dir, filepath.Base(f)), filepath.Join(dir, "testdata", "demo", filepath.Base(f))} {
			if err := copyFile(f, to); err != nil {
				t.Fatal(err)
			}
		}
	}
	if _, said, err := typedIn(dir, "wring demo shop && cp shop/workshop.wring fresh"); err != nil {
		t.Fatal(said)
	}
	return dir
}

// typedIn runs a command line in the room, and returns what it prints and says.
func typedIn(dir, line string) (out, said string, err error) {
	cmd := exec.Command("sh", "-c", line)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), "WRING_TEST_CLOCK="+scriptClock, "WRING_AS=MH", "WRING_REGISTRY=shop/workshop.wring")
	var o, s strings.Builder
	cmd.Stdout, cmd.Stderr = &o, &s
	err = cmd.Run()
	if exit, ok := err.(*exec.ExitError); ok && exit.ExitCode() == exitNo {
		err = nil
	}
	return o.String(), s.String(), err
}

// exampleSetups are typed before a command's example, where the registry of the
// demonstration alone has not what it wants.
var exampleSetups = map[string][]string{ // a table of constants, in a test
	"release":     {"wring release --require on --reason x", "wring person add EK --name E --may perform", "wring person add QL --name Q --may release", "wring --as EK check MIC-014 --sheet mic-014.toml"},
	"amend":       {"wring check MIC-014 --sheet mic-014.toml"},
	"certificate": {"wring check MIC-014 --sheet mic-014.toml"},
	"import":      {"rm -rf shop-2026-11-25", "wring export shop-2026-11-25", "rm -f copy.wring"},
	"restore":     {"rm -f shop-2026-11-25.wring*", "wring backup shop-2026-11-25.wring", "rm -f shop.wring"},
	"backup":      {"rm -f shop-2026-11-25.wring*"},
	"export":      {"rm -rf shop-2026-11-25"},
	"init":        {"rm -f shop.wring"},
	"withdraw":    {"wring check MIC-014 --sheet mic-014.toml"},

	"attachment add":   {"printf 'certificate of 2026' > 26-0417.pdf"},
	"attachment write": {"printf 'certificate of 2026' > 26-0417.pdf", "wring attachment add GB-1 26-0417.pdf --entry 70", "rm -rf papers", "mkdir papers"},
	"label":            {"rm -f label-85.pdf"},
	"study show":       {"rm -f study.pdf"},
	"survey":           {"wring check THK-005 --sheet thk-005.csv", `wring gauge status THK-005 "in service" --reason "put right"`},
}

// mostShown is how many lines of what an example prints stand in the help.
const mostShown = 14

// What is another in every registry, or every build, and what stands for it.
var (
	aHead   = regexp.MustCompile(`-[0-9a-f]{16}\b`)
	aHash   = regexp.MustCompile(`(entry \d+) [0-9a-f]{12}\b`) // on a label
	aBuild  = regexp.MustCompile(`(?m)^(commit|built by)( +).*$`)
	aModule = regexp.MustCompile(`(?m)^(module +example\.org/wring) .*$`)
)

// printedPart keeps the beginning of what was printed.
func printedPart(out string) string {
	out = aHead.ReplaceAllString(out, "-3f9c0d51b2a7e644")
	out = aHash.ReplaceAllString(out, "$1 3f9c0d51b2a7")
	out = aBuild.ReplaceAllString(out, "$1$2...")
	out = aModule.ReplaceAllString(out, "$1 ...")
	lines := strings.Split(strings.TrimRight(out, "\n"), "\n")
	if len(lines) > mostShown {
		lines = append(lines[:mostShown-1], "...")
	}
	return strings.Join(lines, "\n") + "\n"
}

// What help shows of a command's first example is what it prints.
func TestEachWorkedExampleOfTheHelpRuns(t *testing.T) {
	update := os.Getenv("WRING_UPDATE") != ""
	dir := exampleRoom(t)
	for _, k := range leaves(newApp(env{}, nil).Commands, "wring") {
		name := strings.TrimPrefix(k.path, "wring ")
		line, _, _ := strings.Cut(k.UsageText, "\n")
		want, err := os.ReadFile(exampleFile(k.path))
		t.Run(name, func(t *testing.T) {
			if err != nil && !update {
				t.Fatalf("shows no example; want what %q prints in %s (WRING_UPDATE=1 writes it)", line, exampleFile(k.path))
			}
			for _, before := range append([]string{"cp fresh shop/workshop.wring"}, exampleSetups[name]...) {
				if _, said, err := typedIn(dir, before); err != nil {
					t.Fatalf("%s\n%s", before, said)
				}
			}
			out, said, err := typedIn(dir, line)
			if err != nil || out == "" {
				t.Errorf("%s\n%s%s", line, out, said)
				return
			}
			got := printedPart(out)
			if update {
				if err := os.WriteFile(exampleFile(k.path), []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
				return
			}
			if d := cmp.Diff(string(want), got); d != "" {
				t.Errorf("%s\nprints something else than the help shows (WRING_UPDATE=1 go test ./cmd/wring -run WorkedExample writes it anew):\n%s", line, d)
			}
			help, _, err := typedIn(dir, k.path+" --help")
			if err != nil || !strings.Contains(help, strings.Join(workedExample(k.path), "\n")) {
				t.Errorf("the help of %s does not show it: %v", name, err)
			}
			for l := range strings.SplitSeq(help, "\n") {
				if n := len([]rune(l)); n > screen.Width {
					t.Errorf("%d characters: %s", n, l)
				}
			}
		})
	}
}
