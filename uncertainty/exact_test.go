package uncertainty

import (
	"encoding/csv"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"
)

// described makes a budget from the words of exact_oracle.py.
func described(t *testing.T, spec string) Budget {
	t.Helper()
	var all []Distribution
	for part := range strings.SplitSeq(spec, ";") {
		w := strings.Fields(part)
		var v [3]float64
		for i, s := range w[1:] {
			var err error
			if v[i], err = strconv.ParseFloat(s, 64); err != nil {
				t.Fatal(err)
			}
		}
		all = append(all, map[string]Distribution{"n": Normal(v[0]), "t": StudentT(v[0], v[1]), "r": Rectangular(v[0]),
			"tri": Triangular(v[0]), "trap": Trapezoidal(v[0], v[1]), "s": Arcsine(v[0]), "c": Curvilinear(v[0], v[1])}[w[0]])
	}
	return sum(all...)
}

func TestExactAgainstTwentyDigits(t *testing.T) {
	text, err := os.ReadFile("../testdata/published/exact_oracle.csv")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil || len(rows) < 85 {
		t.Fatalf("%d rows, %v; want 85", len(rows), err)
	}
	for _, r := range rows[1:] {
		spec, at, _ := strings.Cut(r[1], " at ")
		x, _ := strconv.ParseFloat(at, 64)
		want, _ := strconv.ParseFloat(r[2], 64)
		tolerance, _ := strconv.ParseFloat(r[3], 64)
		s, err := described(t, spec).Sum()
		if err != nil {
			t.Fatal(err)
		}
		if got := s.CDF(x); !(math.Abs(got-want) <= tolerance) {
			t.Errorf("%s at %v: %.13f, want %.13f, off by %.1e (%T)", r[0], x, got, want, got-want, s.law)
		}
		if got := s.CDF(-x); !(math.Abs(got-(1-want)) <= tolerance) {
			t.Errorf("%s at %v: %.13f, want the mirror image %.13f", r[0], -x, got, 1-want)
		}
	}
}

func TestClosedForms(t *testing.T) {
	// Mark own: elementary integrals.
	p := 0.95
	for _, c := range []struct {
		name string
		b    Budget
		want float64
	}{
		{"normal", sum(Normal(2)), 2 * 1.959963984540054},
		{"many normals", sum(Normal(3), Normal(4), Normal(12)), 13 * 1.959963984540054},
		{"t of 5", sum(StudentT(3, 5)), 3 * 2.570581835636314},
		{"normal of 5 degrees of freedom is a t", sum(Normal(3).WithDoF(5)), 3 * 2.570581835636314},
		{"t of 9999.5", sum(StudentT(1, 9999.5)), 1.960201251755399}, // four of mpmath, 30 digits; then Cornish–Fisher
		{"t of 12345.6", sum(StudentT(1, 12345.6)), 1.960156158259511},
		{"t of 100000", sum(StudentT(1, 1e5)), 1.95998770753461},
		{"t of 1e7", sum(StudentT(1, 1e7)), 1.959964221767205},
		{"t of 1e12", sum(StudentT(1, 1e12)), 1.959963984540054},
		{"t of 1e7 beside a normal", sum(StudentT(0.6, 1e7), Normal(0.8)), 1.959964060467},
		{"Cauchy", sum(StudentT(1, 1)), 12.706204736174698},
		{"two Cauchy are one", sum(StudentT(1, 1), StudentT(0.5, 1)), 1.5 * 12.706204736174698},
		{"three Cauchy are one", sum(StudentT(1, 1), StudentT(0.5, 1), StudentT(1e-3, 1)), 1.501 * 12.706204736174698},
		{"rectangle", sum(Rectangular(2)), 2 * p},
		{"triangle", sum(Triangular(1)), 1 - math.Sqrt(1-p)},
		{"two equal rectangles are a triangle", sum(Rectangular(0.5), Rectangular(0.5)), 1 - math.Sqrt(1-p)},
		{"trapezoid", sum(Trapezoidal(1, 0.5)), 1 - math.Sqrt((1-p)*(1-0.25))},
		{"trapezoid without sides", sum(Trapezoidal(1, 1)), p},
		{"trapezoid without a top", sum(Trapezoidal(1, 0)), 1 - math.Sqrt(1-p)},
		{"arcsine", sum(Arcsine(1)), math.Sin(math.Pi / 2 * p)},
		{"curvilinear of exact limits", sum(Curvilinear(1, 0)), p},
		{"four rectangles", sum(Rectangular(1), Rectangular(1), Rectangular(1), Rectangular(1)), 2 * (2 - math.Pow(0.6, 0.25))},
	} {
		s := evaluate(t, c.b, p, Exact)
		if !(math.Abs(s.Expanded/c.want-1) < 2e-9) {
			t.Errorf("%s: U %.12f, want %.12f", c.name, s.Expanded, c.want)
		}
	}
}

func TestTinyAndMissingWidthsChangeNothing(t *testing.T) {
	// A dominant input stays itself beside inputs a millionth as wide, and beside inputs of no width at all.
	small := []Distribution{Rectangular(1e-6), Arcsine(1e-6), StudentT(1e-7, 9), Normal(1e-6), Triangular(0), Normal(0), StudentT(0, 3)}
	for _, d := range []Distribution{Rectangular(1), Arcsine(1), Triangular(1), Trapezoidal(1, 0.3), Normal(1), StudentT(1, 4), Curvilinear(1, 0.2)} {
		alone, beside := evaluate(t, sum(d), 0.95, Exact), evaluate(t, sum(append([]Distribution{d}, small...)...), 0.95, Exact)
		if !(math.Abs(beside.Expanded/alone.Expanded-1) < 1e-6) {
			t.Errorf("%s: U %.9f alone, %.9f beside tiny ones", d.Shape(), alone.Expanded, beside.Expanded)
		}
	}
	for _, m := range []Method{T, Exact, MonteCarlo} {
		s := evaluate(t, sum(Rectangular(0), Normal(0), StudentT(0, 2)), 0.95, m)
		if s.Expanded != 0 || s.Standard != 0 || s.K != 0 || !math.IsInf(s.DoF, 1) || s.Low != 0 || s.High != 0 {
			t.Errorf("%s of a budget without width: %+v; want zeros", m, s)
		}
		for _, l := range s.Lines {
			if l.Share != 0 {
				t.Errorf("%s: share %v of nothing", m, l.Share)
			}
		}
	}
}

func TestPartsOfAnyScaleAreSummedRightly(t *testing.T) {
	// The same sum by two ways of inversion: directly, and with one part peeled off.
	r := rand.New(rand.NewPCG(11, 4))
	for range 25 {
		f := &factors{}
		for _, in := range randomBudget(r, 4, 1).Inputs {
			f.add(in.Knowledge, 1)
		}
		f.add(Normal(0.02), 1) // so that the direct way stays short
		f.settle()
		direct := f.law(6)
		for _, p := range f.peelings() {
			edge := p.rest.reach(truncation)
			if edge > 1e4 {
				continue
			}
			other := &peeled{part: p.part, edge: edge, rest: p.rest.law(math.Min(edge, 6+p.width))}
			for x := 0.0; x <= 6; x += 0.37 {
				a, fa := direct.at(x)
				b, fb := other.at(x)
				if !(math.Abs(a-b) <= 1e-9) || !(math.Abs(fa-fb) <= 1e-6*(1+fa)) {
					t.Fatalf("at %v: %.12f and %.12f, densities %v and %v, peeling %T off %+v", x, a, b, fa, fb, p.part, f)
				}
			}
		}
	}
}

func TestWaveAndLadderAgree(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 9))
	for range 40 {
		f := &factors{}
		for _, in := range randomBudget(r, 6, 5).Inputs {
			f.add(in.Knowledge, 1)
		}
		f.add(Normal(0.1), 1)
		f.add(StudentT(0.3, 7), 1)
		f.settle()
		end := f.end()
		w, l := f.wave(5, end), f.ladder(5, end)
		if !(w.bound() <= errorBound) || !(l.bound() <= errorBound) {
			t.Errorf("bounds %v and %v; want at most %v", w.bound(), l.bound(), errorBound)
		}
		for x := 0.0; x <= 5; x += 0.23 {
			a, _ := w.at(x)
			b, _ := l.at(x)
			if !(math.Abs(a-b) <= w.bound()+l.bound()) {
				t.Errorf("at %v: %.12f by wave, %.12f by ladder", x, a, b)
			}
		}
	}
}

func TestCharacteristicFunctionOfT(t *testing.T) {
	// Mark own: z^μ·K_μ(z)/(2^(μ−1)Γ(μ)) by mpmath at 25 digits, t = 0.3, 1 and 4.
	for _, c := range []struct{ nu, a, b, c float64 }{
		{2, 0.862857727265916, 0.444342523632236, 0.0110707340991618},
		{2.5, 0.887973172707943, 0.466473868575769, 0.00914984343047056},
		{4, 0.921654940400953, 0.507519509132112, 0.0059300162615701},
		{7, 0.940062769133123, 0.544942447112875, 0.00343152205312873},
		{12.7, 0.9482946451855, 0.571264889244613, 0.0019350032543729},
		{50, 0.954252117349752, 0.597432339258906, 0.000688215217922202},
	} {
		s := student{scale: 1, nu: c.nu}
		s.prepare()
		for at, want := range map[float64]float64{0.3: c.a, 1: c.b, 4: c.c} {
			if got := s.char(at); !(math.Abs(got-want) <= mixtureError) {
				t.Errorf("t of %v at %v: %.15f, want %.15f", c.nu, at, got, want)
			}
		}
	}
}

func TestCharacteristicFunctionOfCurvilinear(t *testing.T) {
	// Both ways, panels and sine integral, on either side of the change from one to the other; and 1 at 0.
	for _, give := range []float64{1e-6, 0.1, 0.5, 0.999} {
		c := curved{mid: 1, give: give}
		if got := c.char(0); got != 1 {
			t.Errorf("give %v: φ(0) = %v", give, got)
		}
		at := 8 * mostCurvePanels / give
		below, above := c.char(at*(1-1e-14)), c.char(at*(1+1e-14))
		if !(math.Abs(below-above) <= 1e-12) {
			t.Errorf("give %v: %.15f by panels, %.15f by sine integrals", give, below, above)
		}
	}
	// Si(1), Si(4), Si(10) and Si(100); mark own, mpmath.
	for u, want := range map[float64]float64{1: 0.946083070367183, 4: 1.75820313894905, 4.0001: 1.758184218306158, 10: 1.65834759421887, 100: 1.5622254668890563} {
		if got := sineIntegral(u); !(math.Abs(got-want) <= 1e-12) {
			t.Errorf("Si(%v) = %.15f, want %.15f", u, got, want)
		}
	}
}

func TestEnvelopeBoundsTheCharacteristicFunction(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	for range 300 {
		f := &factors{}
		f.add(randomDistribution(r, 1, 1), 1)
		f.settle()
		for range 40 {
			at := math.Exp(8*r.Float64() - 4)
			further := at * math.Exp(3*r.Float64())
			e := f.envelope(at)
			limit := math.Exp(e.log) * math.Pow(at/further, e.power)
			if phi := math.Abs(f.char(further)); phi > limit*(1+1e-9)+1e-12 {
				t.Fatalf("%+v: |φ(%v)| = %v above the bound %v from %v", f, further, phi, limit, at)
			}
		}
	}
}

func TestEnvelopesAreTight(t *testing.T) {
	// Within a period of anywhere the function comes to nine tenths of its bound, so that no integral runs on for nothing.
	for name, f := range map[string]*factors{"rectangle": {rect: []float64{1}}, "sine": {sine: []float64{1}}} {
		for _, from := range []float64{5, 20, 300, 1e4} {
			highest := 0.0
			for at := from; at < from+4; at += 0.01 {
				highest = math.Max(highest, math.Abs(f.char(at)))
			}
			if limit := math.Exp(f.envelope(from).log); !(highest >= limit*0.9*from/(from+4)) {
				t.Errorf("%s: from %v on at most %v, bound %v", name, from, highest, limit)
			}
		}
	}
}

func TestNearZeroTheCharacteristicFunctionIsNearOne(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 10))
	for range 2000 {
		s := student{scale: 1, nu: 1 + 9*r.Float64()*r.Float64()}
		if r.IntN(3) == 0 {
			s.nu = float64(1 + r.IntN(6))
		}
		s.prepare()
		at := math.Exp(-8 * r.Float64())
		if short := 1 - s.char(at); short > s.nearOne(at)+2e-12 || short < -2e-12 {
			t.Fatalf("ν %v at %v: 1 − φ = %v, bound %v", s.nu, at, short, s.nearOne(at))
		}
	}
}

func TestReachBoundsTheTail(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 9))
	for range 200 {
		s, err := randomBudget(r, 3, 1).Sum()
		if err != nil {
			t.Fatal(err)
		}
		eps := math.Pow(10, -1-3*r.Float64())
		x := s.parts.reach(eps)
		if p := 2 * (1 - s.upper(x)); p > eps+2*errorBound {
			t.Fatalf("P(|S| > %v) is %v, more than %v", x, p, eps)
		}
	}
}

func TestQuantileUndoesProbability(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 1))
	for range 150 {
		b := randomBudget(r, 1+r.IntN(8), 2)
		s, err := b.Sum()
		if err != nil {
			t.Fatal(err)
		}
		before := math.Inf(-1)
		for _, p := range []float64{0.00005, 0.001, 0.2, 0.5, 0.75, 0.975, 0.99995} {
			x, err := s.Quantile(p)
			if err != nil {
				t.Fatal(err)
			}
			if got := s.CDF(x); !(math.Abs(got-p) <= errorBound) {
				t.Errorf("probability of the quantile of %v is %.12f", p, got)
			}
			if !(x >= before) {
				t.Errorf("quantile of %v is %v, below the one before", p, x)
			}
			before = x
		}
		if got := s.Between(math.Inf(-1), math.Inf(1)); got != 1 {
			t.Errorf("total probability %v", got)
		}
		moved := s.About(3)
		if a, b := s.CDF(s.Centre()+0.1), moved.CDF(3.1); !(math.Abs(a-b) <= 2*errorBound) {
			t.Errorf("about another centre: %v and %v", a, b)
		}
	}
}

func TestExactNeedsIndependence(t *testing.T) {
	b := sum(Normal(1), Rectangular(1), StudentT(1, 5))
	b.Correlations = []Correlation{{"x1", "x2", 0.5}}
	if _, err := b.Evaluate(0.95, Exact); !errors.Is(err, ErrDependent) {
		t.Errorf("normal with rectangle: %v; want it refused", err)
	}
	if _, err := b.Evaluate(0.95, MonteCarlo); !errors.Is(err, ErrDependent) {
		t.Errorf("the same by drawing: %v; want it refused", err)
	}
	b.Correlations = []Correlation{{"x1", "x3", 0.5}}
	if _, err := b.Evaluate(0.95, Exact); !errors.Is(err, ErrDependent) {
		t.Errorf("normal with t: %v; want it refused", err)
	}
	b = sum(Normal(3), Normal(4))
	b.Correlations = []Correlation{{"x2", "x1", -0.5}}
	if s := evaluate(t, b, 0.95, Exact); !(math.Abs(s.K-1.959963984540054) < 1e-9) || !(math.Abs(s.Standard-math.Sqrt(13)) < 1e-12) {
		t.Errorf("correlated normals: k %v and u %v", s.K, s.Standard)
	}
}

func TestModelThatIsASumIsExact(t *testing.T) {
	b := sum(Rectangular(25), Rectangular(50))
	var err error
	if b.Model, err = b.Parse("2*(x1 - x2/4) + 3"); err != nil {
		t.Fatal(err)
	}
	got := evaluate(t, b, 0.95, Exact)
	want := evaluate(t, sum(Rectangular(50), Rectangular(25)), 0.95, Exact)
	if got.Estimate != 3 || !(math.Abs(got.Expanded-want.Expanded) < 1e-12*want.Expanded) {
		t.Errorf("%v ± %v; want 3 ± %v", got.Estimate, got.Expanded, want.Expanded)
	}
	if b.Model, err = b.Parse("x1*x2"); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Evaluate(0.95, Exact); !errors.Is(err, ErrNotLinear) {
		t.Errorf("product: %v; want it refused", err)
	}
}

// FuzzExact wants an answer or a refusal, never a panic, a NaN or an interval that does not hold.
func FuzzExact(f *testing.F) {
	f.Add(1.0, 2.0, 5.0, 0.3, uint8(2), uint8(4), 0.95)
	f.Add(1.0, 1e-9, 1.0, 0.9, uint8(6), uint8(5), 0.9999)
	f.Fuzz(func(t *testing.T, a, b, nu, share float64, one, two uint8, p float64) {
		make := func(kind uint8, a float64) Distribution {
			switch kind % 8 {
			case 0:
				return Normal(a)
			case 1:
				return StudentT(a, nu)
			case 2:
				return Rectangular(a)
			case 3:
				return Triangular(a)
			case 4:
				return Trapezoidal(a, share)
			case 5:
				return Arcsine(a)
			case 6:
				return Curvilinear(a, a*share)
			}
			return Expanded(a, share).WithDoF(nu)
		}
		s, err := sum(make(one, a), make(two, b)).Evaluate(p, Exact)
		if err != nil {
			return
		}
		if !(s.Expanded >= 0) || !(s.Low <= s.High) || math.IsNaN(s.K) || math.IsInf(s.Expanded, 0) {
			t.Fatalf("%+v", s)
		}
	})
}
