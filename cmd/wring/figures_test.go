package main

import (
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// Own, after POSIX.1-2017, base definitions, 8.2 (memory): LC_ALL overrules
// LC_CTYPE, and that LANG.
func TestOnlyATerminalThatNamesAnotherEncodingGetsASCII(t *testing.T) {
	file := newRegistry(t)
	for _, c := range []struct {
		name     string
		terminal bool
		locale   map[string]string
		want     bool
	}{
		{"nothing named", true, nil, false},
		{"UTF-8", true, map[string]string{"LANG": "nl_NL.UTF-8"}, false},
		{"written otherwise", true, map[string]string{"LANG": "C.utf8"}, false},
		{"LC_ALL first", true, map[string]string{"LC_ALL": "C", "LANG": "en_GB.UTF-8"}, true},
		{"LC_CTYPE before LANG", true, map[string]string{"LC_CTYPE": "en_GB.UTF-8", "LANG": "C"}, false},
		{"Latin-1", true, map[string]string{"LANG": "de_DE.ISO-8859-1"}, true},
		{"a pipe", false, map[string]string{"LC_ALL": "C"}, false},
	} {
		e, out, errs := deskForTest("")
		e.Terminal, e.Getenv = c.terminal, func(name string) string { return c.locale[name] }
		if code := run([]string{"wring", "--registry", file, "plan", "list", "--presets"}, e); code != exitDone {
			t.Fatalf("%s: status %d: %s", c.name, code, errs)
		}
		ascii := strings.IndexFunc(out.String(), func(r rune) bool { return r >= utf8.RuneSelf }) < 0
		if ascii != c.want {
			t.Errorf("%s: ASCII alone is %v, want %v:\n%s", c.name, ascii, c.want, out)
		}
	}
}

// The terminal draws the figures that the certificate has, no more and no fewer.
func TestTheTerminalDrawsEachFigureOfTheCertificate(t *testing.T) {
	dir := t.TempDir()
	e, _, errs := deskForTest("")
	if code := run([]string{"wring", "demo", dir}, e); code != exitDone {
		t.Fatalf("status %d: %s", code, errs)
	}
	for entry, want := range map[string][]string{
		"64": {"errors of indication, as found"},
		"80": {"errors of indication, as found"},
		"68": {"pressure over the opening, as found"},
	} {
		e, out, errs := deskForTest("")
		if code := run([]string{"wring", "--registry", filepath.Join(dir, "workshop.wring"), "certificate", entry, "--plot"}, e); code != exitDone {
			t.Fatalf("%s: status %d: %s", entry, code, errs)
		}
		for _, title := range want {
			if !strings.Contains(out.String(), ": "+title+"\n") {
				t.Errorf("%s: no %q in\n%s", entry, title, out)
			}
		}
		if n := strings.Count(out.String(), "└"); n != len(want) {
			t.Errorf("%s: %d drawings, want %d", entry, n, len(want))
		}
	}
}
