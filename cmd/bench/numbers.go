package main

import (
	"math/rand/v2"
	"runtime"
	"strconv"
	"sync"

	"example.org/wring/uncertainty"
)

// trials are those of every simulation here.
const trials = 1_000_000

// exact works out coverage by the distribution itself; beside it a million
// trials.
func exact() operation {
	budgets := randomBudgets(20)
	return operation{name: "coverage of 20 budgets of ten inputs, exact", otherName: "10⁶ trials each", goalOther: "goal 0.002",
		ours:  func() error { return evaluate(budgets, uncertainty.Exact) },
		other: func() error { return simulate(budgets) }}
}

func monteCarlo() operation {
	budgets := randomBudgets(5)
	return operation{name: "10⁶ trials of 5 budgets of ten inputs", limitName: "drawing the numbers alone, all cores", goalLimit: "goal 1.5",
		ours: func() error { return simulate(budgets) }, limit: func() error { return drawAlone(budgets) }}
}

// monteCarloOnOne holds all processors against one.
func monteCarloOnOne() operation {
	budgets := randomBudgets(5)
	draw := func() error { return simulate(budgets) }
	return operation{name: "the same trials, all processors", ours: draw, other: func() error { return onOne(draw) }, otherName: "on one processor", goalOther: "goal 0.56 on two"}
}

func randomBudgets(n int) (all []uncertainty.Budget) {
	r := rand.New(rand.NewPCG(2026, 11))
	for range n {
		var b uncertainty.Budget
		for i := range 10 {
			b.Inputs = append(b.Inputs, uncertainty.Input{Name: "x" + strconv.Itoa(i), Knowledge: randomKnowledge(r, 0.1+r.Float64()), Sensitivity: 2*r.Float64() - 1})
		}
		all = append(all, b)
	}
	return all
}

func randomKnowledge(r *rand.Rand, size float64) uncertainty.Distribution {
	switch r.IntN(3) {
	case 0:
		return uncertainty.Normal(size)
	case 1:
		return uncertainty.Triangular(size)
	}
	return uncertainty.Rectangular(size)
}

func evaluate(budgets []uncertainty.Budget, m uncertainty.Method) error {
	for _, b := range budgets {
		if _, err := b.Evaluate(0.95, m); err != nil {
			return err
		}
	}
	return nil
}

func simulate(budgets []uncertainty.Budget) error {
	for _, b := range budgets {
		if _, err := b.Simulate(0.95, uncertainty.Drawing{Seed: 1, Most: trials, Fixed: true}); err != nil {
			return err
		}
	}
	return nil
}

// drawAlone draws the numbers of the same trials on all cores, and throws them
// away.
func drawAlone(budgets []uncertainty.Budget) error {
	var wait sync.WaitGroup
	cores := runtime.GOMAXPROCS(0)
	for core := range cores {
		wait.Go(func() {
			r := rand.New(rand.NewChaCha8([32]byte{byte(core)}))
			for _, b := range budgets {
				for _, in := range b.Inputs {
					drawn(r, in.Knowledge, trials/cores)
				}
			}
		})
	}
	wait.Wait()
	return nil
}

// drawn draws one input so often and returns the sum, so that it is not left
// out.
func drawn(r *rand.Rand, k uncertainty.Distribution, n int) (sum float64) {
	for range n {
		switch k.Shape() {
		case uncertainty.ShapeNormal:
			sum += r.NormFloat64()
		case uncertainty.ShapeTriangular:
			sum += r.Float64() + r.Float64()
		default:
			sum += r.Float64()
		}
	}
	return sum
}
