package stat

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// The figures come from SciPy and statsmodels (mark own); the script stands
// beside them. SciPy's t is good to 4e-9, so they are held to 1e-7.
func TestTailsAndCorrectionsAgainstAnotherLibrary(t *testing.T) {
	seen := map[string]int{}
	for _, r := range rows(t, "history_oracle.csv") {
		var in []float64
		for f := range strings.FieldsSeq(r[1]) {
			in = append(in, number(t, f))
		}
		got, err := oracled(r[0], in)
		want := number(t, r[2])
		if err != nil || !(math.Abs(got-want) <= number(t, r[3])*want) {
			t.Errorf("%s of %s: %.12g, %v; want %.12g", r[0], r[1], got, err, want)
		}
		seen[r[0]]++
	}
	if len(seen) != 4 {
		t.Errorf("cases %v; want four kinds", seen)
	}
}

func oracled(what string, in []float64) (float64, error) {
	switch what {
	case "two-sided t":
		return TwoSided(in[0], in[1])
	case "F survival":
		return FSurvival(in[0], in[1], in[2])
	case "binomial":
		return BinomialCDF(int(in[0]), int(in[1]), in[2])
	default:
		all, err := Holm(in[1:], nil)
		if err != nil {
			return 0, err
		}
		return all[int(in[0])], nil
	}
}

// Law: whatever the p-values, none is lowered, their order stays, and the
// smallest is multiplied by the whole weight over its own.
func TestHolmNeverLowersAndKeepsTheOrder(t *testing.T) {
	draw := rand.New(rand.NewPCG(5, 5))
	for range 200 {
		p := make([]float64, 1+draw.IntN(8))
		for i := range p {
			p[i] = draw.Float64()
		}
		got, err := Holm(p, nil)
		if err != nil {
			t.Fatal(err)
		}
		for i := range p {
			for j := range p {
				if p[i] < p[j] && got[i] > got[j] {
					t.Fatalf("%v became %v: the order changed", p, got)
				}
			}
			if got[i] < p[i] || got[i] > 1 {
				t.Fatalf("%v became %v", p, got)
			}
		}
		if least := slices.Min(p); math.Abs(slices.Min(got)-math.Min(1, least*float64(len(p)))) > 1e-15 {
			t.Fatalf("%v became %v: the smallest must be %d times itself", p, got, len(p))
		}
	}
}

func TestHolmSharesTheLevelByWeight(t *testing.T) {
	got, err := Holm([]float64{0.004, 0.004}, []float64{0.8, 0.2})
	// By hand: 0.004·1/0.8 first, then 0.004·0.2/0.2 and not below the first.
	if err != nil || math.Abs(got[0]-0.005) > 1e-15 || math.Abs(got[1]-0.005) > 1e-15 {
		t.Errorf("%v, %v; want 0.005 and 0.005", got, err)
	}
}

func TestRefusalsOfTails(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]func() error{
		"no p":          func() error { _, err := Holm(nil, nil); return err },
		"NaN p":         func() error { _, err := Holm([]float64{nan}, nil); return err },
		"weight zero":   func() error { _, err := Holm([]float64{0.1}, []float64{0}); return err },
		"weights short": func() error { _, err := Holm([]float64{0.1, 0.2}, []float64{1}); return err },
		"NaN t":         func() error { _, err := TwoSided(nan, 3); return err },
		"trials":        func() error { _, err := BinomialCDF(1, -1, 0.5); return err },
		"too many":      func() error { _, err := BinomialCDF(1, mostTrials+1, 0.5); return err },
		"share":         func() error { _, err := BinomialCDF(1, 2, nan); return err },
	} {
		if c() == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

func TestBinomialEndsAndSymmetry(t *testing.T) {
	for _, c := range []struct {
		x, n int
		p    float64
		want float64
	}{{-1, 5, 0.5, 0}, {5, 5, 0.5, 1}, {0, 0, 0.5, 1}, {2, 5, 0, 1}, {2, 5, 1, 0}} {
		if got, err := BinomialCDF(c.x, c.n, c.p); err != nil || got != c.want {
			t.Errorf("P(X ≤ %d) of %d at %v: %v, %v; want %v", c.x, c.n, c.p, got, err, c.want)
		}
	}
	for x := range 30 {
		a, _ := BinomialCDF(x, 30, 0.3)
		b, _ := BinomialCDF(30-x-1, 30, 0.7)
		if math.Abs(a+b-1) > 1e-13 {
			t.Errorf("x = %d: %v and %v; want a sum of 1", x, a, b)
		}
	}
}

func TestRunsAreNamedAtTheValueThatCompletesThem(t *testing.T) {
	for _, c := range []struct {
		name string
		z    []float64
		want []string // rule, index
	}{
		{"quiet", []float64{0.2, -0.5, 1.5, -1.9, 0.1}, nil},
		{"beyond 3 s", []float64{0, 3.1, 0}, []string{"1 value beyond 3 s"}},
		{"two of three", []float64{2.1, 0, 2.2}, []string{"2 of 3 values beyond 2 s on one side"}},
		{"two of three on both sides are none", []float64{2.1, 0, -2.2}, nil},
		{"four of five", []float64{1.1, 1.2, 0, 1.3, 1.1}, []string{"4 of 5 values beyond 1 s on one side"}},
		{"nine on one side", []float64{.1, .2, .1, .2, .1, .2, .1, .2, .1}, []string{"9 values on one side"}},
		{"eight on one side", []float64{.1, .2, .1, .2, .1, .2, .1, .2}, nil},
		{"six rising", []float64{-.9, -.5, -.2, .1, .4, .8}, []string{"6 values rising"}},
		{"six falling", []float64{.9, .5, .2, -.1, -.4, -.8}, []string{"6 values falling"}},
		{"five rising", []float64{-.5, -.2, .1, .4, .8}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, r := range Runs(c.z) {
				got = append(got, r.Rule)
				if r.From < 0 || r.From > r.At {
					t.Errorf("run %+v", r)
				}
			}
			if !slices.Equal(got, c.want) {
				t.Errorf("%v: %v, want %v", c.z, got, c.want)
			}
		})
	}
}

// Law: variances that were drawn alike give back their size, and the pool
// claims more for them than for unlike ones.
func TestPoolTellsLikeVariancesFromUnlike(t *testing.T) {
	draw := rand.New(rand.NewPCG(6, 6))
	chi := func(nu int) (sum float64) {
		for range nu {
			z := draw.NormFloat64()
			sum += z * z
		}
		return sum / float64(nu)
	}
	var like, unlike Pool
	for i := range 400 {
		size := 1.0
		if i%4 == 0 {
			size = 20
		}
		like.Add(2*chi(2), 2)
		unlike.Add(size*chi(2), 2)
	}
	s2, dof := like.Prior()
	if math.Abs(s2-2) > 0.3 || dof < 20 {
		t.Errorf("like ones: %v with %v degrees of freedom; want about 2 with many", s2, dof)
	}
	if _, few := unlike.Prior(); few > 5 {
		t.Errorf("unlike ones: %v degrees of freedom; want few", few)
	}
	like.Add(7, 3)
	like.Remove(7, 3)
	if again, _ := like.Prior(); math.Abs(again-s2) > 1e-9 || like.Len() != 400 {
		t.Errorf("added and removed: %v of %d, want %v of 400", again, like.Len(), s2)
	}
	var empty Pool
	empty.Add(math.NaN(), 2)
	empty.Add(1, 0)
	if s2, dof := empty.Prior(); s2 != 0 || dof != 0 || empty.Len() != 0 {
		t.Errorf("an empty pool knows %v, %v", s2, dof)
	}
}

func TestTrigammaInverseIsOne(t *testing.T) {
	for _, x := range []float64{0.3, 0.5, 1, 4, 50} {
		if got := trigammaInverse(trigamma(x)); math.Abs(got/x-1) > 1e-8 {
			t.Errorf("inverse of ψ′(%v) is %v", x, got)
		}
	}
	// ψ′(1) = π²/6 (Basel).
	if math.Abs(trigamma(1)-math.Pi*math.Pi/6) > 1e-13 {
		t.Error("ψ′(1) is not π²/6")
	}
}

func TestLineWithAnotherScatterKeepsItsCourse(t *testing.T) {
	l, err := FitLine([]float64{0, 1, 2, 4}, []float64{1, 2, 2, 5}, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	m := l.With(2*l.S, 9)
	if m.Slope != l.Slope || m.Intercept != l.Intercept || m.DoF != 9 || m.Centre() != l.Centre() ||
		math.Abs(m.USlope-2*l.USlope) > 1e-15 || math.Abs(m.UIntercept-2*l.UIntercept) > 1e-14 || math.Abs(m.UPrediction(3)-2*l.UPrediction(3)) > 1e-14 {
		t.Errorf("%+v, want %+v with twice the uncertainties", m, l)
	}
}
