package main

import (
	"path/filepath"
	"strings"
	"testing"
)

// A name that would break a line, or lead out of a folder, is refused in one
// line, whatever it is the name of.
func TestANameOfTwoLinesIsRefusedInOne(t *testing.T) {
	dir, _ := faultShop(t, 0)
	path := filepath.Join(dir, "registry.wring")
	for _, args := range [][]string{
		{"gauge", "add", "A\nB", "--kind", "caliper", "--range", "0..150", "--resolution", "0.05"},
		{"standard", "add", "A\nB", "--kind", "thermometer"},
		{"check", "A\nB"},
		{"history", "A\nB"},
		{"gauge", "show", "A\nB"},
		{"person", "add", "A\nB", "--name", "A"},
		{"no\nsuch"},
		{"due", "--no\nsuch"},
		{"due", "--place", "A", "--pl\nace", "B"},
	} {
		status, out, said := inside(path, args...)
		lines := strings.Split(strings.TrimSuffix(said, "\n"), "\n")
		if status == exitDone || out != "" || len(lines) > 2 || !strings.HasPrefix(lines[0], "wring: ") {
			t.Errorf("%q: status %d, said\n%s%s", args, status, out, said)
		}
	}
}
