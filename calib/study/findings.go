package study

import (
	"fmt"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

const (
	oddLevel = 0.01 // ISO 5725-2:2019, 8.3.3: beyond the 1 % limit a cell is an outlier (from memory)

	// stepsOfTolerance is how many steps of the gauge should fit the tolerance
	// (common practice).
	stepsOfTolerance = 10
)

// findings are what stands beside the result.
func (s Study) findings(r Result, g calib.Gauge) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	for _, c := range r.Shares {
		if c.Estimate < 0 && (c.Of == OfParts || c.Of == OfOperators || c.Of == OfInteraction) {
			say("the variance of %s came out below zero, %.3g %s²: it is taken as zero, and all that hangs on it with it", c.Of, c.Estimate, r.Unit)
		}
	}
	if within, _ := r.Find(OfRepeatability); within.Variance == 0 {
		say("repeats do not differ at all: the gauge's resolution of %s hides what scatter there is", g.Resolution)
	}
	out = append(out, s.oddCells()...)
	if width := s.High.Inner().Sub(s.Low.Inner()); r.Tolerance > 0 && g.Resolution.Inner().Mul(unit.Whole(stepsOfTolerance)).Cmp(width) > 0 {
		say("the gauge's resolution of %s is coarser than a tenth of the tolerance", g.Resolution)
	}
	switch {
	case s.Seed == 0:
		say("no random order was planned: a drift during the study would pass for a difference of parts or operators")
	case !s.AsPlanned():
		say("the readings were not taken in the order that seed %d plans", s.Seed)
	}
	return out
}

// oddCells names the cell whose repeats differ by more than those of the
// others let expect: a slip, or a part that gives way.
func (s Study) oddCells() []string {
	cells := s.cells()
	sum, most, at := 0.0, 0.0, [2]int{}
	for i := range cells {
		for j, cell := range cells[i] {
			spread, err := stat.StdDev(cell)
			if err != nil {
				return nil
			}
			if sum += spread * spread; spread*spread > most {
				most, at = spread*spread, [2]int{i, j}
			}
		}
	}
	limit, err := stat.CochranLimit(len(s.Parts)*len(s.Operators), float64(s.Repeats-1), oddLevel)
	if err != nil || !(sum > 0) || !(most/sum > limit) {
		return nil
	}
	part, operator := s.Parts[at[0]], s.Operators[at[1]]
	var read []string
	for _, r := range s.Readings {
		if r.Part == part && r.Operator == operator {
			read = append(read, r.Indication.String())
		}
	}
	return []string{fmt.Sprintf("part %s by %s: its repeats, %s, hold %.0f %% of all scatter of repeats, beyond the limit of %.0f %% (Cochran, at 1 %%): look for a slip",
		part, operator, strings.Join(read, ", "), 100*most/sum, 100*limit)}
}
