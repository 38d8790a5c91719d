package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"runtime"
	"slices"
	"sync"

	"example.org/wring/calib"
	"example.org/wring/calib/history"
)

// A tally is what became of one fleet.
type tally struct {
	gauges  int
	flagged [checksEach + 1]int // at check k, 1-based: drifting at this check
	moves   [checksEach + 1]int // at check k: drifting or moving
	found   [checksEach + 1]int // drifting at check k or before
	off     []float64           // at the fourth check, months: forecast day less true day of |e| + U at the limit
	bare    []float64           // the same of |e| alone
}

// An outcome is what was said of one gauge at each check.
type outcome struct {
	flagged, moves [checksEach + 1]bool
	off, bare      float64 // see tally; NaN where no day was given, or it was over
}

// A house has twenty gauges of one model; a fleet is many such houses. What
// happens happens to two gauges of each, the others are stable.
const (
	inHouse = 20
	struck  = 2
	wholly  = 4 // of so many houses one, where it happens to every gauge of it
)

func run(out io.Writer, gauges int, seed uint64) error {
	if gauges < 10 || gauges > 20000 {
		return fmt.Errorf("%d gauges; want 10 to 20000", gauges)
	}
	houses := (gauges + struck - 1) / struck
	fmt.Fprintf(out, "%d gauges in %d houses of %d, seed %d; a check each year; shares in per cent\n\n", houses*struck, houses, inHouse, seed)
	fmt.Fprintf(out, "%-34s%-32s%s\n%-66s%s\n%-66s%s\n", "gauge", "what happens", "flagged at check         by check            date off, months, of",
		"", "  2    3    4    5    6    3    4    5    6   error and U   error alone",
		"", "                                              half   9/10   half   9/10")
	for _, m := range models {
		if err := fleets(out, m, houses, seed); err != nil {
			return err
		}
	}
	return nil
}

// fleets runs every story with one model.
func fleets(out io.Writer, m model, houses int, seed uint64) error {
	w, err := open(m)
	if err != nil {
		return err
	}
	calm, err := live(w, story{}, houses*(inHouse-struck), seed)
	if err != nil {
		return err
	}
	for n, s := range stories {
		size, houses := struck, houses
		if s.all {
			size, houses = inHouse, (houses+wholly-1)/wholly
		}
		lives, err := live(w, s, houses*size, seed+uint64(n+1)*1_000_003)
		if err != nil {
			return err
		}
		var t tally
		for h := range houses {
			mine := lives[h*size : (h+1)*size]
			others := calm[h*(inHouse-struck) : (h+1)*(inHouse-struck)]
			switch {
			case s.all:
				others = nil
			case s.whole:
				mine, others = slices.Concat(mine, others), nil
			}
			if err := t.house(mine, others); err != nil {
				return err
			}
		}
		t.write(out, m, s)
	}
	return nil
}

// live makes every check of so many gauges, on every processor; each gauge has
// its own random numbers, so that the order does not matter.
func live(w workshop, s story, gauges int, seed uint64) ([]*life, error) {
	lives, errs := make([]*life, gauges), make([]error, gauges)
	var wait sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				lives[i] = newLife(w, s, seed<<32+uint64(i))
				errs[i] = lives[i].all()
			}
		})
	}
	for i := range gauges {
		next <- i
	}
	close(next)
	wait.Wait()
	return lives, errors.Join(errs...)
}

// house assesses the gauges in question after each check, knowing what the
// whole house has seen until then.
func (t *tally) house(mine, others []*life) error {
	outcomes := make([]outcome, len(mine))
	for k := 1; k <= checksEach; k++ {
		var fleet history.Fleet
		for _, g := range slices.Concat(mine, others) {
			fleet.Add(history.ScatterOf(g.checks[:k], g.low()))
		}
		for i, g := range mine {
			known := fleet.For(history.ScatterOf(g.checks[:k], g.low()))
			if err := outcomes[i].assess(g, k, known); err != nil {
				return err
			}
		}
	}
	for _, o := range outcomes {
		t.add(o)
	}
	t.gauges += len(mine)
	return nil
}

// assess says what the program says of a gauge after its first k checks.
func (o *outcome) assess(g *life, k int, known history.Known) error {
	last := g.checks[k-1]
	a, err := history.Assess(g.checks[:k], history.Options{Zero: g.low(), Due: last.Date.AddMonths(12), Known: known})
	if err != nil {
		return err
	}
	o.moves[k] = a.Trend != nil || a.Change != nil
	o.flagged[k] = a.State == history.Drifting || a.State == history.Outside && o.moves[k]
	if k != 4 {
		return nil
	}
	o.off = g.months(a.Reaches, last, func(p history.Point) float64 { return p.Expanded })
	o.bare = g.months(a.Crosses, last, func(history.Point) float64 { return 0 })
	return nil
}

// months is how many the forecast day lies behind the true one; NaN where none
// was given, or the true one was over at the last check.
func (g *life) months(said calib.Date, last history.Check, doubt func(history.Point) float64) float64 {
	start := g.checks[0].Date
	due, ok := g.leaves(last, doubt)
	if !ok || said.IsZero() || due <= last.Date.YearsSince(start) {
		return math.NaN()
	}
	return (said.YearsSince(start) - due) * 12
}

// leaves is the time in years since the first check at which |e| and the doubt
// truly reach the limit at some point.
func (g *life) leaves(c history.Check, doubt func(history.Point) float64) (float64, bool) {
	if g.story.zero == 0 && g.story.scale == 0 {
		return 0, false
	}
	for t := 0.0; t < 40; t += 1.0 / 120 {
		for j, p := range c.Points {
			if d := doubt(p); d < p.Limit && math.Abs(g.off(j, t))+d >= p.Limit {
				return t, true
			}
		}
	}
	return 0, false
}

func (t *tally) add(o outcome) {
	found := false
	for k := 1; k <= checksEach; k++ {
		found = found || o.flagged[k]
		for _, c := range []struct {
			into *int
			is   bool
		}{{&t.flagged[k], o.flagged[k]}, {&t.moves[k], o.moves[k]}, {&t.found[k], found}} {
			if c.is {
				*c.into++
			}
		}
	}
	if !math.IsNaN(o.off) {
		t.off = append(t.off, math.Abs(o.off))
	}
	if !math.IsNaN(o.bare) {
		t.bare = append(t.bare, math.Abs(o.bare))
	}
}

func (t tally) share(n int) float64 { return 100 * float64(n) / float64(t.gauges) }

// fewest is how many dates a share of them wants.
const fewest = 10

func (t tally) write(out io.Writer, m model, s story) {
	fmt.Fprintf(out, "%-34s%-32s", m.name, s.name)
	for k := 2; k <= checksEach; k++ {
		fmt.Fprintf(out, "%5.1f", t.share(t.flagged[k]))
	}
	for k := 3; k <= checksEach; k++ {
		fmt.Fprintf(out, "%5.0f", t.share(t.found[k]))
	}
	for _, list := range [][]float64{t.off, t.bare} {
		if len(list) < fewest {
			fmt.Fprintf(out, "%14s", "")
			continue
		}
		slices.Sort(list)
		fmt.Fprintf(out, "%7.1f%7.1f", list[len(list)/2], list[len(list)*9/10])
	}
	fmt.Fprintln(out)
}
