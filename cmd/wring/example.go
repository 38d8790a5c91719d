package main

import (
	"embed"
	"strings"
	"unicode/utf8"

	"example.org/wring/cmd/internal/screen"
)

// Each file is named for its command, as gauge-add.txt, and holds what the
// first of its examples prints on the day of the tests, cut where it says so. A
// test runs it; with WRING_UPDATE set it writes it anew.
//
//go:embed example/*.txt
var workedExamples embed.FS

// workedExample is what a command's first example prints; path is what is typed
// to call the command.
func workedExample(path string) []string {
	text, err := workedExamples.ReadFile(exampleFile(path))
	if err != nil {
		return nil
	}
	var out []string
	for l := range strings.SplitSeq(strings.TrimSuffix(string(text), "\n"), "\n") {
		if utf8.RuneCountInString(l) <= screen.Width {
			out = append(out, l)
			continue
		}
		out = append(out, screen.Wrap(l, screen.Width)...)
	}
	return out
}

func exampleFile(path string) string {
	return "example/" + strings.ReplaceAll(strings.TrimPrefix(path, "wring "), " ", "-") + ".txt"
}
