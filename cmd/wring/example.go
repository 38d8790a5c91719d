package main

import (
	"embed"
	"strings"
)

// Each file is named for its command, as gauge-add.txt, and holds what the
// first of its examples prints on the day of the tests, cut where it says so. A
// test runs it; the flag -update writes it anew.
//
//go:embed all:example
var workedExamples embed.FS

// workedExample is what a command's first example prints; path is what is typed
// to call the command.
func workedExample(path string) []string {
	text, err := workedExamples.ReadFile(exampleFile(path))
	if err != nil {
		return nil
	}
	return strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
}

func exampleFile(path string) string {
	return "example/" + strings.ReplaceAll(strings.TrimPrefix(path, "wring "), " ", "-") + ".txt"
}
