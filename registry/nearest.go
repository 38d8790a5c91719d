package registry

import (
	"cmp"
	"slices"
	"strings"
)

// Nearest returns up to three names that a person may have meant: those within
// two slips of the keyboard, one in a short name, and those that begin alike
// (house rule).
func Nearest(id string, names []string) []string {
	type guess struct {
		name  string
		slips int
	}
	var close []guess
	want := strings.ToLower(id)
	most := 2
	if len(id) < 5 {
		most = 1
	}
	for _, n := range names {
		have := strings.ToLower(n)
		d := slips(want, have)
		if strings.HasPrefix(have, want) || strings.HasPrefix(want, have) {
			d = min(d, most)
		}
		if d <= most {
			close = append(close, guess{n, d})
		}
	}
	slices.SortStableFunc(close, func(a, b guess) int { return cmp.Or(cmp.Compare(a.slips, b.slips), cmp.Compare(a.name, b.name)) })
	var out []string
	for _, g := range close[:min(3, len(close))] {
		out = append(out, g.name)
	}
	return out
}

// slips is the edit distance of Damerau in its restricted form: a letter left
// out, put in, changed, or swapped with its neighbour counts one.
func slips(a, b string) int {
	x, y := []rune(a), []rune(b)
	before, last, row := make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row[0] = i
		for j := 1; j <= len(y); j++ {
			swap := 1
			if x[i-1] == y[j-1] {
				swap = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+swap)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(y)]
}
