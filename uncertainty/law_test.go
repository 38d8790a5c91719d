package uncertainty

import (
	"math"
	"math/rand/v2"
	"testing"
)

func TestDensityIsTheSlopeOfTheProbability(t *testing.T) {
	const h = 1e-5
	for _, b := range []Budget{
		sum(Normal(2)), sum(StudentT(1.5, 3)), sum(StudentT(1.5, 2e4)), sum(Rectangular(2)), sum(Arcsine(2)), sum(Curvilinear(2, 0.7)), sum(Trapezoidal(2, 0.3)),
		sum(Rectangular(2), Rectangular(0.4), Triangular(1)), sum(Normal(0.3), Arcsine(1), Rectangular(0.5)), sum(StudentT(0.5, 2), Rectangular(1)),
		sum(Arcsine(1), Arcsine(0.7)), sum(Arcsine(1), Rectangular(0.4)), sum(Rectangular(1), StudentT(1e-4, 2)),
	} {
		s, err := b.Sum()
		if err != nil {
			t.Fatal(err)
		}
		l := s.lay(2.2)
		for x := 0.055; x < 2; x += 0.31 {
			up, _ := l.at(x + h)
			down, _ := l.at(x - h)
			_, density := l.at(x)
			if slope := (up - down) / (2 * h); !(math.Abs(density-slope) <= 1e-4*(1+slope)) {
				t.Errorf("%s …: density %v at %v, slope %v (%T)", b.Inputs[0].Knowledge.Shape(), density, x, slope, l)
			}
		}
	}
}

func TestNormOfTIsTheSameByBothFormulas(t *testing.T) {
	for _, nu := range []float64{101, 150, 333.3} {
		a, _ := math.Lgamma((nu + 1) / 2)
		b, _ := math.Lgamma(nu / 2)
		if want := a - b - 0.5*math.Log(math.Pi*nu); !(math.Abs(studentNorm(nu)-want) <= 2e-13) {
			t.Errorf("ν %v: %v by series, %v by gamma functions", nu, studentNorm(nu), want)
		}
	}
}

func TestVarianceBoundIsTheVariance(t *testing.T) {
	// For all bounded shapes but the curvilinear one, where it is that of the widest rectangle.
	f := &factors{}
	want := 0.0
	for _, d := range []Distribution{Rectangular(3), Triangular(0.5), Trapezoidal(2, 0.25), Arcsine(7)} {
		f.add(d, -2)
		want += 4 * d.Standard() * d.Standard()
	}
	f.add(Curvilinear(1, 0.5), 1)
	want += 1.5 * 1.5 / 3
	if got := f.variance(); !(math.Abs(got-want) <= 1e-12*want) {
		t.Errorf("variance %v, want %v", got, want)
	}
	if got := f.halfWidth(); !(math.Abs(got-(2*(3+0.5+2+7)+1.5)) <= 1e-12) {
		t.Errorf("half-width %v, want 26.5", got)
	}
}

func TestSecondOrderIsSharedOut(t *testing.T) {
	// y = x1 + x2·x3 at x2 = 0, x3 = 2, u = 1, 0.5 and 0.3: first order 1² + (2·0.5)², and 0.5²·0.3² of x2 and x3 together.
	b := sum(Normal(1), StudentT(0.5, 9), StudentT(0.3, 4))
	b.Inputs[2].Estimate = 2
	var err error
	if b.Model, err = b.Parse("x1 + x2*x3"); err != nil {
		t.Fatal(err)
	}
	s := evaluate(t, b, 0.95, T)
	pair := 0.5 * 0.5 * 0.3 * 0.3
	total := 2 + pair
	for i, want := range []float64{1 / total, (1 + pair/2) / total, pair / 2 / total} {
		if got := s.Lines[i].Share; !(math.Abs(got-want) <= 1e-12) {
			t.Errorf("share of %s: %v, want %v", s.Lines[i].Name, got, want)
		}
	}
	if !(math.Abs(s.Standard-math.Sqrt(total)) <= 1e-12) || !(math.Abs(s.FirstOrder-math.Sqrt2) <= 1e-12) {
		t.Errorf("u %v and first order %v; want %v and %v", s.Standard, s.FirstOrder, math.Sqrt(total), math.Sqrt2)
	}
	if b.Model, err = b.Parse("x1/100 + x2*(x3 - 2)"); err != nil {
		t.Fatal(err)
	}
	small := evaluate(t, b, 0.95, T) // now the second order dominates: 0.01² and the pair
	for i, want := range []float64{1e-4, pair / 2, pair / 2} {
		if got := small.Lines[i].Share; !(math.Abs(got-want/(1e-4+pair)) <= 1e-12) {
			t.Errorf("share of %s: %v, want %v", small.Lines[i].Name, got, want/(1e-4+pair))
		}
	}
	// ν: 1 of 9 degrees, and the pair, in two halves, of 4.
	if want := total * total / (1.0/9 + 2*(pair/2)*(pair/2)/4); !(math.Abs(s.DoF-want) <= 1e-9*want) {
		t.Errorf("ν %v, want %v", s.DoF, want)
	}
}

func TestPeeledLawsCarryTheErrorsOfTheirRest(t *testing.T) {
	f := &factors{}
	f.add(Arcsine(1), 1)
	f.add(Arcsine(0.9), 1)
	f.settle()
	p, ok := f.law(2).(*peeled)
	if !ok || !(p.bound() > p.rest.bound()) || !(p.bound() <= errorBound) {
		t.Errorf("%T; want a sine peeled off, its error between that of the rest and %v", f.law(2), errorBound)
	}
}

func TestRandomSumsHaveTheirVariance(t *testing.T) {
	// ∫ 2x·P(|S| > x) dx is the variance: of what is laid against what the formulas of the shapes say, within the far tail left out.
	r := rand.New(rand.NewPCG(31, 7))
	for range 40 {
		b := Budget{}
		for _, in := range randomBudget(r, 5, 30).Inputs {
			in.Sensitivity = 1
			b.Inputs = append(b.Inputs, in)
		}
		s, err := b.Sum()
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		for _, in := range b.Inputs {
			v := in.Knowledge.Standard() * in.Knowledge.Standard()
			if in.Knowledge.tailed() {
				v *= in.Knowledge.DoF() / (in.Knowledge.DoF() - 2)
			}
			want += v
		}
		const steps = 1500
		end := s.size * s.parts.reach(1e-9)
		got := 0.0
		for i := range steps {
			x := end * (float64(i) + 0.5) / steps
			got += 2 * x * 2 * (1 - s.CDF(s.Centre()+x)) * end / steps
		}
		if !(math.Abs(got/want-1) <= 1e-4) {
			t.Errorf("variance %v, want %v", got, want)
		}
	}
}

func TestTwoPartsOfAnyRatioAreAnswered(t *testing.T) {
	// Widths over twenty decades, degrees of freedom from just above 1: every pair has an answer, and the larger part alone is close to it.
	r := rand.New(rand.NewPCG(99, 2))
	for range 800 {
		large, small := randomDistribution(r, 1, 1), randomDistribution(r, math.Pow(10, -20*r.Float64()), 1)
		if r.IntN(3) == 0 {
			small = StudentT(small.Standard(), 1+math.Pow(10, -5*r.Float64()))
		}
		p := []float64{0.5, 0.95, 0.9999}[r.IntN(3)]
		both, alone := evaluate(t, sum(large, small), p, Exact), evaluate(t, sum(large), p, Exact)
		width := evaluate(t, sum(small), p, Exact).Expanded
		if !(both.Expanded >= alone.Expanded*(1-1e-6)-width) || !(both.Expanded <= alone.Expanded*(1+1e-6)+width) {
			t.Errorf("%s and %s of %v, ν %v, at %v: U %v, alone %v and %v", large.Shape(), small.Shape(), small.Standard(), small.DoF(), p, both.Expanded, alone.Expanded, width)
		}
		if small.Standard() > 1e-18 || small.DoF() < 2 {
			continue // so small that even at the edge of an arcsine it does not change a probability by 2e-9
		}
		s, err := sum(large).Sum()
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Between(-both.Expanded, both.Expanded); !(math.Abs(got-p) <= 4e-9) {
			t.Errorf("%s and %s of %v: the interval of both covers %v of the larger alone, want %v", large.Shape(), small.Shape(), small.Standard(), got, p)
		}
	}
}
