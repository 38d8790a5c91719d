package main

import (
	"strings"
	"testing"
)

// A small run, held loosely: the table in README.md is the measurement. Two
// houses of each story must give the same lines again, every zero that drifts
// by a fifth of its limit must be found by the fifth check, and of the stable
// gauges hardly any may be flagged.
func TestFleetsAreTheSameAgainAndTheFlagsAreWorthSomething(t *testing.T) {
	once := func() string {
		var b strings.Builder
		if err := fleets(&b, models[0], 5, 3); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	text := once()
	if again := once(); again != text {
		t.Errorf("two runs differ:\n%s\n%s", text, again)
	}
	for line := range strings.Lines(text) {
		const names, column = 34 + 32, 5 // as they are written
		cells := []rune(line)[names:]
		byFifth := strings.TrimSpace(string(cells[7*column : 8*column]))
		switch {
		case strings.Contains(line, "stable  ") && byFifth != "0":
			t.Errorf("stable gauges were flagged: %s", line)
		case strings.Contains(line, "zero drifts") && byFifth != "100":
			t.Errorf("drifting gauges were not found: %s", line)
		}
	}
	if n := strings.Count(text, "\n"); n != len(stories) {
		t.Errorf("%d lines, want %d", n, len(stories))
	}
}

func TestFleetsAreBounded(t *testing.T) {
	for _, n := range []int{-1, 9, 20001} {
		if err := run(&strings.Builder{}, n, 1); err == nil || !strings.HasSuffix(err.Error(), "gauges; want 10 to 20000") {
			t.Errorf("%d gauges: %v", n, err)
		}
	}
}
