package uncertainty

import (
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// benchBudgets are a thousand random budgets of ten inputs.
func benchBudgets() []Budget {
	r := rand.New(rand.NewPCG(2026, 11))
	all := make([]Budget, 1000)
	for i := range all {
		all[i] = randomBudget(r, 10, 2)
	}
	return all
}

// BenchmarkExact evaluates budgets of ten inputs one after the other. It reports the median, the 99th percentile and the
// longest time of a thousand of them, each the best of three so that other work on the machine does not count.
func BenchmarkExact(b *testing.B) {
	budgets := benchBudgets()
	times := make([]time.Duration, len(budgets))
	for i, budget := range budgets {
		times[i] = time.Hour
		for range 3 {
			start := time.Now()
			if _, err := budget.Evaluate(0.95, Exact); err != nil {
				b.Fatal(err)
			}
			times[i] = min(times[i], time.Since(start))
		}
	}
	slices.Sort(times)
	for i := 0; b.Loop(); i++ {
		if _, err := budgets[i%len(budgets)].Evaluate(0.95, Exact); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(times[len(times)/2].Nanoseconds())/1e3, "median-µs")
	b.ReportMetric(float64(times[len(times)*99/100].Nanoseconds())/1e3, "p99-µs")
	b.ReportMetric(float64(times[len(times)-1].Nanoseconds())/1e3, "longest-µs")
}

// BenchmarkMonteCarlo evaluates the same budgets with a million trials each.
func BenchmarkMonteCarlo(b *testing.B) {
	budgets := benchBudgets()
	for i := 0; b.Loop(); i++ {
		if _, err := budgets[i%len(budgets)].Simulate(0.95, Drawing{Seed: 1, Most: 1_000_000, Fixed: true}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkDrawingAlone draws the random numbers of a million trials of the same budgets, on one core, and throws them away.
func BenchmarkDrawingAlone(b *testing.B) {
	budgets := benchBudgets()
	for i := 0; b.Loop(); i++ {
		budget := budgets[i%len(budgets)]
		groups, err := budget.drawn()
		if err != nil {
			b.Fatal(err)
		}
		d := newDrawer(budget, groups, blockTrials)
		d.seed(1, 0)
		for range 1_000_000 / blockTrials {
			d.draw(blockTrials)
		}
	}
}

// BenchmarkT evaluates the same budgets by Welch–Satterthwaite and t.
func BenchmarkT(b *testing.B) {
	budgets := benchBudgets()
	for i := 0; b.Loop(); i++ {
		if _, err := budgets[i%len(budgets)].Evaluate(0.95, T); err != nil {
			b.Fatal(err)
		}
	}
}
