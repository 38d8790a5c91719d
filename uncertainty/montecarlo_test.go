package uncertainty

import (
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestExactAndDrawnIntervalsAgree(t *testing.T) {
	// A thousand random budgets. With n trials the share of them within the exact interval scatters by √(p(1−p)/n); five such
	// deviations are never reached by chance in a thousand budgets. House rule of this test.
	count, trials := 1000, 20000
	if testing.Short() {
		count = 100
	}
	r := rand.New(rand.NewPCG(2026, 3))
	for n := range count {
		b := randomBudget(r, 1+n%12, 1)
		if n%3 == 0 { // spread the widths over twelve decades
			for i := range b.Inputs {
				b.Inputs[i].Sensitivity *= math.Pow(10, -9*r.Float64())
			}
		}
		p := []float64{0.5, 0.9, 0.95, 0.99}[n%4]
		exact := evaluate(t, b, p, Exact)
		inside := shareWithin(t, b, exact.Low, exact.High, uint64(n), trials)
		if limit := 5 * math.Sqrt(p*(1-p)/float64(trials)); !(math.Abs(inside-p) <= limit) {
			t.Errorf("budget %d: %v of the trials within the exact interval of %v, more than %v away\n%+v", n, inside, p, limit, b.Inputs)
		}
	}
}

// shareWithin draws a linear budget and counts.
func shareWithin(t *testing.T, b Budget, low, high float64, seed uint64, trials int) float64 {
	t.Helper()
	groups, err := b.drawn()
	if err != nil {
		t.Fatal(err)
	}
	c, err := b.combine()
	if err != nil {
		t.Fatal(err)
	}
	w := run{budget: b, groups: groups, lines: c.lines, seed: seed, batch: trials}.worker()
	if err := w.fill(0); err != nil {
		t.Fatal(err)
	}
	inside := 0
	for _, y := range w.y {
		if low <= y && y <= high {
			inside++
		}
	}
	return float64(inside) / float64(trials)
}

func TestAdaptiveResultsKeepTheirTolerance(t *testing.T) {
	// Exact and adaptive drawing agree within the latter's own tolerance, doubled: it is a limit at 95 %.
	r := rand.New(rand.NewPCG(77, 3))
	for n := range 40 {
		b := randomBudget(r, 3, 5)
		exact := evaluate(t, b, 0.95, Exact)
		s, err := b.Simulate(0.95, Drawing{Seed: uint64(n), Most: 2_000_000})
		if err != nil {
			t.Fatal(err)
		}
		if !s.Simulation.Stable {
			continue
		}
		if d := s.Simulation.Tolerance; !(math.Abs(s.Low-exact.Low) <= 2*d) || !(math.Abs(s.High-exact.High) <= 2*d) || !(math.Abs(s.Estimate-exact.Estimate) <= 2*d) {
			t.Errorf("%v from %v to %v, exact %v from %v to %v, tolerance %v", s.Estimate, s.Low, s.High, exact.Estimate, exact.Low, exact.High, d)
		}
	}
}

func TestEveryShapeIsDrawnAsItsDistribution(t *testing.T) {
	// Kolmogorov's distance of a hundred thousand draws from the exact distribution function stays below 2.5/√n: beaten by chance once
	// in 130,000 (the limiting distribution's tail 2exp(−2·2.5²)).
	const n = 100000
	for _, d := range []Distribution{Normal(2), Normal(1).WithDoF(3), StudentT(1, 1), StudentT(1, 2.5), StudentT(3, 40), Rectangular(2), Triangular(1),
		Trapezoidal(1, 0), Trapezoidal(2, 0.4), Trapezoidal(1, 1), Arcsine(2), Curvilinear(1, 0.3), Curvilinear(1, 0)} {
		b := sum(d)
		b.Inputs[0].Estimate = 7
		exact, err := b.Sum()
		if err != nil {
			t.Fatal(err)
		}
		w := run{budget: b, groups: []drawnGroup{{inputs: []int{0}}}, lines: []Line{{Sensitivity: 1}}, seed: 4, batch: n}.worker()
		if err := w.fill(9); err != nil {
			t.Fatal(err)
		}
		slices.Sort(w.y)
		far := 0.0
		for i := 0; i < n; i += 50 {
			far = math.Max(far, math.Abs(exact.CDF(w.y[i])-float64(i)/n))
		}
		if far > 2.5/math.Sqrt(n)+50.0/n {
			t.Errorf("%s of ν %v: draws are %v away from the distribution", d.Shape(), d.DoF(), far)
		}
	}
}

func TestDrawingIsRepeatableOnAnyNumberOfCores(t *testing.T) {
	b := randomBudget(rand.New(rand.NewPCG(1, 1)), 5, 3)
	var first Statement
	for i, cores := range []int{1, 2, 3} {
		before := runtime.GOMAXPROCS(cores)
		s := evaluate(t, b, 0.9, MonteCarlo)
		runtime.GOMAXPROCS(before)
		if i == 0 {
			first = s
		} else if diff := cmp.Diff(first, s); diff != "" {
			t.Errorf("with %d cores: %s", cores, diff)
		}
	}
	other, err := b.Simulate(0.9, Drawing{Seed: 2})
	if err != nil || other.Low == first.Low || other.Simulation.Seed != 2 {
		t.Errorf("another seed: %+v, %v; want other draws", other, err)
	}
}

func TestDrawnCorrelation(t *testing.T) {
	b := sum(Normal(3), Normal(4), Normal(0.5))
	b.Correlations = []Correlation{{"x1", "x2", -0.8}, {"x3", "x1", 0.3}}
	exact := evaluate(t, b, 0.95, Exact)
	s, err := b.Simulate(0.95, Drawing{Seed: 1, Most: 1_000_000, Fixed: true})
	if err != nil || math.Abs(s.Standard/exact.Standard-1) > 0.005 || math.Abs(s.Expanded/exact.Expanded-1) > 0.01 {
		t.Errorf("u %v and U %v, %v; want %v and %v", s.Standard, s.Expanded, err, exact.Standard, exact.Expanded)
	}
	b = sum(StudentT(3, 4), StudentT(4, 4))
	b.Correlations = []Correlation{{"x1", "x2", 1}} // singular: both are one
	exact = evaluate(t, b, 0.95, Exact)
	s, err = b.Simulate(0.95, Drawing{Seed: 1, Most: 1_000_000, Fixed: true})
	if err != nil || math.Abs(exact.K-2.776445105) > 1e-8 || math.Abs(s.Expanded/exact.Expanded-1) > 0.01 {
		t.Errorf("U %v, %v, exact %v with k %v; want 7 × 2.776", s.Expanded, err, exact.Expanded, exact.K)
	}
}

func TestShortestIntervalOfASkewedModel(t *testing.T) {
	// y = x² of a standard normal x: χ² of one degree of freedom, whose density falls from zero on. Shortest 95 %: 0 to 1.959964²;
	// symmetric: from 0.000982 to 5.023886 (quantiles of χ², own).
	b := sum(Normal(1))
	var err error
	if b.Model, err = b.Parse("x1^2"); err != nil {
		t.Fatal(err)
	}
	s, err := b.Simulate(0.95, Drawing{Seed: 1, Most: 2_000_000, Fixed: true})
	if err != nil {
		t.Fatal(err)
	}
	v := s.Simulation
	if math.Abs(v.ShortestLow) > 0.002 || math.Abs(v.ShortestHigh-3.841459) > 0.02 || math.Abs(s.Low-0.000982) > 3e-4 || math.Abs(s.High-5.023886) > 0.03 {
		t.Errorf("shortest %v to %v, symmetric %v to %v", v.ShortestLow, v.ShortestHigh, s.Low, s.High)
	}
	if math.Abs(s.Estimate-1) > 0.005 || math.Abs(s.Standard-math.Sqrt2) > 0.01 {
		t.Errorf("mean %v and standard deviation %v; want 1 and 1.414", s.Estimate, s.Standard)
	}
	gum := evaluate(t, b, 0.95, T) // second order only: ½·(2)²·1 = 2
	if math.Abs(gum.Standard-math.Sqrt2) > 1e-12 || gum.FirstOrder != 0 || math.Abs(gum.Lines[0].Share-1) > 1e-12 {
		t.Errorf("u %v, first order %v, share %v; want 1.414, 0 and 1", gum.Standard, gum.FirstOrder, gum.Lines[0].Share)
	}
}

func TestHeavyTailsKeepMedianAndStandardUncertainty(t *testing.T) {
	b := sum(StudentT(1, 1), Normal(1))
	b.Inputs[0].Estimate = 10
	s, err := b.Simulate(0.9, Drawing{Seed: 1, Most: 1_000_000, Fixed: true})
	exact := evaluate(t, b, 0.9, Exact)
	if err != nil || math.Abs(s.Estimate-10) > 0.01 || s.Standard != math.Sqrt2 || math.Abs(s.Expanded/exact.Expanded-1) > 0.02 {
		t.Errorf("%v ± %v with u %v, %v; want 10 ± %v with 1.414", s.Estimate, s.Expanded, s.Standard, err, exact.Expanded)
	}
}

func TestDomainOfAModelIsReportedFromTheTrial(t *testing.T) {
	b := sum(Normal(1))
	b.Inputs[0].Estimate = 3
	var err error
	if b.Model, err = b.Parse("sqrt(x1)"); err != nil {
		t.Fatal(err)
	}
	_, err = b.Evaluate(0.95, MonteCarlo)
	if err == nil || !strings.HasPrefix(err.Error(), "model: column 1: sqrt of -0.") || !strings.Contains(err.Error(), " at x1 = -0.") {
		t.Errorf("%v; want the operation and the input", err)
	}
}

func TestTrialsAreLimited(t *testing.T) {
	b := sum(StudentT(1, 2.1))
	s, err := b.Simulate(0.95, Drawing{Seed: 1, Most: 25000})
	if err != nil || s.Simulation.Trials != 20000 || s.Simulation.Stable {
		t.Errorf("%+v, %v; want two batches, not stable", s.Simulation, err)
	}
	if _, err := b.Simulate(0.95, Drawing{Most: -1}); err == nil || err.Error() != "monte carlo: at most -1 trials; want a number not below zero" {
		t.Errorf("%v", err)
	}
}

func TestSelectionFindsOrderStatistics(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 2))
	for n := range 300 {
		most := 200
		if n%10 == 0 {
			most = 20_000 // long enough for a sample to give the pivot, at two depths
		}
		y := make([]float64, 1+r.IntN(most))
		for i := range y {
			y[i] = math.Round(20 * r.NormFloat64())
		}
		sorted := slices.Sorted(slices.Values(y))
		k := r.IntN(len(y))
		if got := nth(y, k); got != sorted[k] {
			t.Fatalf("element %d of %d: %v, want %v", k, len(y), got, sorted[k])
		}
		if slices.Sort(y); !slices.Equal(y, sorted) {
			t.Fatal("selection lost an element")
		}
	}
}

func TestHistogramKeepsQuantiles(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 3))
	y := make([]float64, 200000)
	for i := range y {
		y[i] = r.NormFloat64() / math.Abs(r.NormFloat64()) // Cauchy: far tails on both sides
	}
	h := laid(slices.Clone(y))
	for _, v := range y {
		h.add(v)
	}
	slices.Sort(y)
	for _, q := range []float64{1e-4, 0.01, 0.3, 0.5, 0.9, 0.999} {
		k := int(q * float64(len(y)))
		low, high := y[k-2], y[k+2]
		if got, slack := h.quantile(float64(k)), 1e-3*(1+math.Abs(y[k])); !(low-slack <= got && got <= high+slack) {
			t.Errorf("quantile %v: %v, want %v to %v", q, got, low, high)
		}
	}
	one := laid([]float64{5})
	one.add(5)
	if got := one.quantile(0.5); math.Abs(got-5) > 1e-9 {
		t.Errorf("quantile of one value 5: %v", got)
	}
	one = laid([]float64{0, 0, 0}) // a first batch of zeros, and then the largest numbers: counted in the last bins
	one.add(1e308)
	one.add(-1e308)
	if one.counts[0] != 1 || one.counts[len(one.counts)-1] != 1 {
		t.Error("numbers beyond all bins were not counted in the last ones")
	}
}

func TestShortestIntervalOfAHistogramEndsInTheRightBin(t *testing.T) {
	// A density that falls from 0 on: the shortest interval starts there and ends at the quantile.
	const n = 400000
	y := make([]float64, n)
	for i := range y {
		y[i] = -math.Log(1 - (float64(i)+0.5)/n)
	}
	h := laid(slices.Clone(y))
	for _, v := range y {
		h.add(v)
	}
	width := 2 * plainReach / plainBins * h.scale
	for _, p := range []float64{0.5, 0.9, 0.95} {
		low, high := h.shortest(p * n)
		if want := -math.Log(1 - p); !(math.Abs(low) <= width) || !(math.Abs(high-want) <= width) {
			t.Errorf("shortest %v: %v to %v, want 0 to %v, bins of %v", p, low, high, want, width)
		}
	}
}
