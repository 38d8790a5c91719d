package main

import (
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// Every manual page is one that groff and mandoc read without a warning.
func TestManualPagesAreReadWithoutAWarning(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "manual")
	if status, out, said := inside("none.wring", "man", dir); status != exitDone || !strings.HasPrefix(out, dir+": ") {
		t.Fatalf("status %d: %s%s", status, out, said)
	}
	pages, _ := filepath.Glob(filepath.Join(dir, "*.1"))
	if len(pages) < 30 {
		t.Fatalf("%d pages; want one for each command", len(pages))
	}
	read := 0
	for _, reader := range [][]string{{"mandoc", "-T", "lint", "-W", "warning"}, {"man", "--warnings", "-E", "UTF-8", "-l", "-Tutf8", "-Z"}} {
		if _, err := exec.LookPath(reader[0]); err != nil {
			t.Logf("%s is not installed; want it to look at the pages", reader[0])
			continue
		}
		for _, page := range pages {
			cmd := exec.Command(reader[0], append(reader[1:], page)...)
			var said strings.Builder
			cmd.Stderr = &said
			if reader[0] == "mandoc" {
				cmd.Stdout = &said
			}
			if err := cmd.Run(); err != nil || said.Len() > 0 {
				t.Errorf("%s of %s: %v\n%s", reader[0], filepath.Base(page), err, said.String())
			}
			read++
		}
	}
	if read == 0 {
		t.Skip("neither mandoc nor man is installed; want one to look at the pages")
	}
}

// A page says what the help says.
func TestTheManualSaysWhatTheHelpSays(t *testing.T) {
	if _, err := exec.LookPath("mandoc"); err != nil {
		t.Skip("mandoc is not installed; want it to set the page")
	}
	_, page, _ := inside("none.wring", "man")
	cmd := exec.Command("mandoc", "-T", "utf8", "-O", "width=80")
	cmd.Stdin = strings.NewReader(page)
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	set := strings.Join(strings.Fields(unstruck(string(out))), " ")
	for _, want := range []string{"[--registry FILE] [--as PERSON] [--json] COMMAND", "gauge status say what a gauge may be used for, with the reason",
		"3 done, and the answer is no", "WRING_AS who acts, where --as names nobody", "REGISTRY.GAUGE.entry beside a registry"} {
		if !strings.Contains(set, want) {
			t.Errorf("%q is not in the page\n%s", want, set)
		}
	}
	for _, c := range []struct{ text, want string }{{".x", `\&.x`}, {"'x", `\&\(aqx`}, {`a\b-c`, `a\eb\-c`}, {"20 °C", `20 \[u00B0]C`}} {
		if got := escaped(c.text); got != c.want {
			t.Errorf("%q is written %q, want %q", c.text, got, c.want)
		}
	}
}

// unstruck takes the overstriking out that sets bold on a printer.
func unstruck(text string) string {
	var out []rune
	for _, r := range text {
		if r == '\b' && len(out) > 0 {
			out = out[:len(out)-1]
			continue
		}
		out = append(out, r)
	}
	return string(out)
}
