package stat

import "math"

// A Run is one rule of a control chart that a value breaks together with those
// before it.
type Run struct {
	At   int    // index of the value that completes it
	Rule string // in words
	From int    // index of the first value it rests on
}

// The usual run rules (ISO 7870-2:2013, annex on supplementary criteria; from
// memory): how many of how many values lie on one side beyond how many standard
// deviations. The rising and falling run is looked at apart.
type runRule struct {
	name     string
	many, of int
	beyond   float64 // standard deviations
}

func runRules() []runRule {
	return []runRule{
		{"1 value beyond 3 s", 1, 1, 3},
		{"2 of 3 values beyond 2 s on one side", 2, 3, 2},
		{"4 of 5 values beyond 1 s on one side", 4, 5, 1},
		{"9 values on one side", 9, 9, 0},
	}
}

// monotone is how many values in a row may not all rise or all fall.
const monotone = 6

// Runs looks for the runs in values that are given as distances from the
// centre in standard deviations, oldest first. A rule is reported once, at the
// value that completes it, and again only after it was left.
func Runs(z []float64) []Run {
	var out []Run
	broken := map[string]bool{}
	note := func(rule string, at, from int, now bool) {
		if now && !broken[rule] {
			out = append(out, Run{at, rule, from})
		}
		broken[rule] = now
	}
	for i := range z {
		for _, r := range runRules() {
			from, now := r.completed(z, i)
			note(r.name, i, from, now)
		}
		up, down := rising(z, i), falling(z, i)
		note("6 values rising", i, i-monotone+1, up)
		note("6 values falling", i, i-monotone+1, down)
	}
	return out
}

// completed reports whether value i lies beyond and makes up the rule's number
// on its side.
func (r runRule) completed(z []float64, i int) (from int, now bool) {
	side := math.Copysign(1, z[i])
	n, first := 0, i
	for j := max(0, i-r.of+1); j <= i; j++ {
		if z[j]*side > r.beyond {
			n++
			first = min(first, j)
		}
	}
	return first, n >= r.many && z[i]*side > r.beyond
}

func rising(z []float64, i int) bool {
	for j := i - monotone + 2; j <= i; j++ {
		if j < 1 || !(z[j] > z[j-1]) {
			return false
		}
	}
	return true
}

func falling(z []float64, i int) bool {
	for j := i - monotone + 2; j <= i; j++ {
		if j < 1 || !(z[j] < z[j-1]) {
			return false
		}
	}
	return true
}
