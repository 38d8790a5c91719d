package uncertainty

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"example.org/wring/uncertainty/formula"
)

// Drawing says how a Monte Carlo evaluation draws.
type Drawing struct {
	// Seed makes the trials repeatable: the same budget, seed and Most give the same statement on any number of cores.
	Seed uint64
	// Most is the greatest number of trials; 0 stands for fifty million (house rule). Where it does not suffice,
	// the result says that it is not stable.
	Most int
	// Fixed draws Most trials whatever the tolerance.
	Fixed bool
}

// A Simulation is how a Monte Carlo statement came about.
type Simulation struct {
	// Seed is the one that was given.
	Seed uint64
	// Trials is how many were drawn, in batches of the size JCGM 101:2008, 7.9.4 b asks for.
	Trials int
	// Tolerance is δ, half of the second significant digit of the standard uncertainty (JCGM 101:2008, 7.9.2), in
	// the unit of the measurand.
	Tolerance float64
	// Stable is true when twice the standard deviations of estimate, standard uncertainty and both ends
	// were within Tolerance (JCGM 101:2008, 7.9.4 i).
	Stable bool
	// ShortestLow and ShortestHigh are the ends of the shortest interval of the coverage probability (JCGM 101:2008,
	// 5.3.4), in the unit of the measurand. Low and High of the statement are the probabilistically symmetric one.
	ShortestLow, ShortestHigh float64
}

const (
	mostTrials  = 50_000_000
	leastBatch  = 10_000 // JCGM 101:2008, 7.9.4 b
	leastTails  = 100    // the same: M ≥ 100/(1−p)
	blockTrials = 250    // trials computed together; they stay in the processor's cache
)

// Simulate evaluates the budget by Monte Carlo for coverage probability p.
func (b Budget) Simulate(p float64, d Drawing) (Statement, error) {
	return b.evaluate(p, MonteCarlo, d)
}

// A run is one evaluation of a budget by drawing.
type run struct {
	budget Budget
	groups []drawnGroup
	lines  []Line // their sensitivities make the linear model
	p      float64
	seed   uint64
	batch  int // trials of one batch
}

// expandByTrials follows the adaptive procedure of JCGM 101:2008, 7.9.4.
func (s *Statement) expandByTrials(b Budget, d Drawing) error {
	if d.Most < 0 {
		return fmt.Errorf("monte carlo: at most %d trials; want a number not below zero", d.Most)
	}
	if d.Most == 0 {
		d.Most = mostTrials
	}
	groups, err := b.drawn()
	if err != nil {
		return err
	}
	if !b.varies() {
		s.Simulation = &Simulation{Seed: d.Seed, Stable: true, ShortestLow: s.Estimate, ShortestHigh: s.Estimate}
		s.cover(0)
		return nil
	}
	r := run{budget: b, groups: groups, lines: s.Lines, p: s.Probability, seed: d.Seed}
	r.batch = max(leastBatch, int(math.Ceil(leastTails/(1-r.p)*(1-1e-12))))
	t := newTally(b.wild())
	if err := r.collect(t, d); err != nil {
		return err
	}
	s.report(t, d)
	return nil
}

// collect draws batches, in rounds of as many as there are cores, and takes them in their order until the
// tally is stable, so that the outcome does not depend on the number of cores.
func (r run) collect(t *tally, d Drawing) error {
	workers := make([]*worker, min(runtime.GOMAXPROCS(0), 1+d.Most/r.batch))
	for i := range workers {
		workers[i] = r.worker()
	}
	for next := 0; ; next += len(workers) {
		var wait sync.WaitGroup
		for i, w := range workers {
			wait.Go(func() { w.err = w.fill(next + i) })
		}
		wait.Wait()
		for _, w := range workers {
			if w.err != nil {
				return w.err
			}
			t.take(w.y, r.p)
			if !d.Fixed && t.stable() || t.trials+r.batch > d.Most {
				return nil
			}
		}
	}
}

// A worker draws one batch at a time.
type worker struct {
	run
	drawer  *drawer
	machine *formula.Machine
	y       []float64
	err     error
}

func (r run) worker() *worker {
	w := &worker{run: r, drawer: newDrawer(r.budget, r.groups, blockTrials), y: make([]float64, r.batch)}
	if r.budget.Model != nil {
		w.machine = r.budget.Model.Machine(blockTrials)
	}
	return w
}

// fill draws the batch of this number.
func (w *worker) fill(batch int) error {
	w.drawer.random = seeded(w.seed, batch)
	for from := 0; from < len(w.y); from += blockTrials {
		y := w.y[from:min(from+blockTrials, len(w.y))]
		w.drawer.draw(len(y))
		if w.machine != nil {
			if err := w.machine.Column(y, w.drawer.column); err != nil {
				return err
			}
			continue
		}
		clear(y)
		for i, x := range w.drawer.column {
			if c := w.lines[i].Sensitivity; c != 0 {
				for k := range y {
					y[k] += c * x[k]
				}
			}
		}
	}
	return nil
}

// varies reports whether any input that may matter has a width.
func (b Budget) varies() bool {
	return slices.ContainsFunc(b.Inputs, func(in Input) bool {
		return in.Knowledge.scale > 0 && (b.Model != nil || in.Sensitivity != 0)
	})
}

// wild reports whether some input that matters has no finite variance, so that the draws have none.
func (b Budget) wild() bool {
	for _, in := range b.Inputs {
		d := in.Knowledge
		if d.tailed() && d.dof <= 2 && d.scale > 0 && (b.Model != nil || in.Sensitivity != 0) {
			return true
		}
	}
	return false
}

// report writes the tally into the statement.
func (s *Statement) report(t *tally, d Drawing) {
	if !t.wild {
		s.Estimate, s.Standard = t.mean, math.Sqrt(t.variance())
	} else {
		s.Estimate = t.quantile(0.5)
	}
	tail := (1 - s.Probability) / 2
	s.Low, s.High = t.quantile(tail), t.quantile(1-tail)
	s.Expanded = (s.High - s.Low) / 2
	if s.Standard > 0 {
		s.K = s.Expanded / s.Standard
	}
	s.Simulation = &Simulation{Seed: d.Seed, Trials: t.trials, Tolerance: t.tolerance(), Stable: t.stable()}
	s.Simulation.ShortestLow, s.Simulation.ShortestHigh = t.shortest(s.Probability)
}
