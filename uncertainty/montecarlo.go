package uncertainty

import (
	"cmp"
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
	for next, done := 0, false; !done; next += len(workers) {
		if err := each(workers, func(i int, w *worker) error { return w.fill(next + i) }); err != nil {
			return err
		}
		if next == 0 {
			t.bins = laid(workers[0].y)
		}
		for _, w := range workers {
			t.take(w.summary)
			w.taken = true
			if done = !d.Fixed && t.stable() || t.trials+r.batch > d.Most; done {
				break
			}
		}
		if next == 0 {
			for _, w := range workers {
				w.bins = t.bins.alike()
			}
		}
	}
	for _, w := range workers {
		w.count()
		t.bins.join(w.bins)
	}
	return nil
}

// each lets all workers do something at once, and returns what the first of them ran into.
func each(workers []*worker, do func(int, *worker) error) error {
	errs := make([]error, len(workers))
	var wait sync.WaitGroup
	for i, w := range workers {
		wait.Go(func() { errs[i] = do(i, w) })
	}
	wait.Wait()
	return cmp.Or(errs...)
}

// A worker draws one batch at a time, and counts it in its own bins when it draws the next: by then it is known whether the
// batch was taken.
type worker struct {
	run
	drawer  *drawer
	machine *formula.Machine
	y       []float64
	summary summary
	taken   bool
	bins    histogram
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
	w.count()
	w.drawer.seed(w.seed, batch)
	for from := 0; from < len(w.y); from += blockTrials {
		if err := w.block(w.y[from:min(from+blockTrials, len(w.y))]); err != nil {
			return err
		}
	}
	w.summary = summarise(w.y, w.p)
	return nil
}

// count puts the batch that was drawn last into the bins, if it was taken and is not there yet.
func (w *worker) count() {
	if !w.taken {
		return
	}
	for _, v := range w.y {
		w.bins.add(v)
	}
	w.taken = false
}

// block draws some trials of the measurand.
func (w *worker) block(y []float64) error {
	w.drawer.draw(len(y))
	if w.machine != nil {
		return w.machine.Column(y, w.drawer.column)
	}
	clear(y)
	for i, x := range w.drawer.column {
		if c := w.lines[i].Sensitivity; c != 0 {
			for k, v := range x[:len(y)] {
				y[k] += c * v
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
