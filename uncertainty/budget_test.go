package uncertainty

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

func TestLawsOfEveryBudget(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	for range 500 {
		b := randomBudget(r, 1+r.IntN(10), 1)
		p := 0.5 + 0.4999*r.Float64()
		for _, m := range []Method{T, Exact} {
			s := evaluate(t, b, p, m)
			least, total, shares := math.Inf(1), 0.0, 0.0
			for _, l := range s.Lines {
				if !(s.Standard >= l.Contribution) {
					t.Errorf("u_c %v is below the contribution %v of %s", s.Standard, l.Contribution, l.Name)
				}
				least = math.Min(least, l.DoF)
				total += l.DoF
				shares += l.Share
			}
			if !(s.DoF >= least*(1-1e-9)) || !(s.DoF <= total*(1+1e-9)) {
				t.Errorf("ν_eff %v is outside %v to %v", s.DoF, least, total)
			}
			if !(math.Abs(shares-1) < 1e-12) {
				t.Errorf("shares sum to %v", shares)
			}
			if !(math.Abs(s.K*s.Standard-s.Expanded) <= 1e-12*s.Expanded) || s.Low != s.Estimate-s.Expanded || s.High != s.Estimate+s.Expanded {
				t.Errorf("%+v: k, u, U and the interval do not belong together", s)
			}
		}
	}
}

func TestOrderAndUnitOfInputsDoNotMatter(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 3))
	for range 200 {
		b := randomBudget(r, 6, 2)
		turned := Budget{Inputs: slices.Clone(b.Inputs)}
		slices.Reverse(turned.Inputs)
		micro := Budget{Inputs: slices.Clone(b.Inputs)}
		for i := range micro.Inputs {
			micro.Inputs[i].Sensitivity *= 1000
		}
		for _, m := range []Method{T, Exact} {
			a, c, d := evaluate(t, b, 0.95, m), evaluate(t, turned, 0.95, m), evaluate(t, micro, 0.95, m)
			if !(math.Abs(a.Expanded/c.Expanded-1) < 1e-8) || !(math.Abs(a.DoF/c.DoF-1) < 1e-9) && a.DoF != c.DoF {
				t.Errorf("%s: U %v and %v in the other order", m, a.Expanded, c.Expanded)
			}
			if !(math.Abs(d.Expanded/a.Expanded/1000-1) < 1e-8) || !(math.Abs(d.Lines[2].Share-a.Lines[2].Share) < 1e-12) {
				t.Errorf("%s: U %v, and %v in a unit a thousandth as large", m, a.Expanded, d.Expanded)
			}
		}
	}
}

func TestMoreCoverageIsWider(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 5))
	for range 100 {
		b := randomBudget(r, 5, 1)
		for _, m := range []Method{T, Exact} {
			before := 0.0
			for _, p := range []float64{0.5, 0.6827, 0.9, 0.95, 0.9545, 0.99, 0.9973, 0.9999} {
				s := evaluate(t, b, p, m)
				if !(s.Expanded > before) {
					t.Errorf("%s: U %v at %v, not above %v before", m, s.Expanded, p, before)
				}
				before = s.Expanded
			}
		}
	}
}

func TestExtremeScalesNeitherOverflowNorVanish(t *testing.T) {
	for _, scale := range []float64{1e-300, 1e-160, 1, 1e160, 1e300} {
		for _, m := range []Method{T, Exact} {
			s := evaluate(t, sum(Normal(3*scale), Normal(4*scale)), 0.95, m)
			if !(math.Abs(s.Expanded/scale/9.79982-1) < 1e-5) {
				t.Errorf("%s at %v: U %v", m, scale, s.Expanded)
			}
		}
	}
	b := sum(Normal(1e308), Normal(1e308))
	b.Inputs[0].Sensitivity = 1e10
	if _, err := b.Evaluate(0.95, T); err == nil {
		t.Error("contribution beyond all numbers; want it refused")
	}
}

func TestRefusedInputsAreNamed(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		d    Distribution
		want string
	}{
		{Distribution{}, "no distribution; want one, such as normal with u or rectangular with half-width"},
		{Normal(-1), "standard uncertainty is -1; want a finite one, not below zero"},
		{Normal(nan), "standard uncertainty is NaN; want a finite one, not below zero"},
		{Normal(inf), "standard uncertainty is +Inf; want a finite one, not below zero"},
		{Rectangular(-0.1), "half-width is -0.1; want a finite one, not below zero"},
		{Rectangular(nan), "half-width is NaN; want a finite one, not below zero"},
		{Expanded(1, 0), "coverage factor k is 0; want one above zero"},
		{Expanded(1, -2), "coverage factor k is -2; want one above zero"},
		{Expanded(1, nan), "coverage factor k is NaN; want one above zero"},
		{Expanded(-1, 2), "standard uncertainty is -0.5; want a finite one, not below zero"},
		{StudentT(1, 0), "degrees of freedom are 0; want at least 1"},
		{StudentT(1, 0.5), "degrees of freedom are 0.5; want at least 1"},
		{StudentT(1, nan), "degrees of freedom are NaN; want at least 1"},
		{StudentT(1, -3), "degrees of freedom are -3; want at least 1"},
		{Rectangular(1).WithDoF(0.9), "degrees of freedom are 0.9; want at least 1"},
		{Trapezoidal(1, -0.1), "beta of the trapezoid is -0.1; want 0 to 1"},
		{Trapezoidal(1, 1.1), "beta of the trapezoid is 1.1; want 0 to 1"},
		{Trapezoidal(1, nan), "beta of the trapezoid is NaN; want 0 to 1"},
		{Curvilinear(1, 1), "inexactness of the limits is 1; want 0 up to less than the half-width 1"},
		{Curvilinear(1, -0.1), "inexactness of the limits is -0.1; want 0 up to less than the half-width 1"},
		{Curvilinear(1, nan), "inexactness of the limits is NaN; want 0 up to less than the half-width 1"},
		{Pooled(1, 5, 0), "mean of 0 readings; want at least 1"},
	} {
		b := sum(Normal(1), c.d)
		for _, m := range []Method{T, Exact, MonteCarlo} {
			_, err := b.Evaluate(0.95, m)
			var in *InputError
			if !errors.As(err, &in) || in.Line != 2 || in.Name != "x2" || in.Reason != c.want {
				t.Errorf("got  %v\nwant input 2 %q: %s", err, "x2", c.want)
			}
		}
	}
}

func TestRefusedBudgets(t *testing.T) {
	good := sum(Normal(1), Normal(2), Rectangular(1))
	with := func(change func(b *Budget)) Budget {
		b := Budget{Inputs: slices.Clone(good.Inputs)}
		change(&b)
		return b
	}
	correlated := func(all ...Correlation) Budget { return with(func(b *Budget) { b.Correlations = all }) }
	for _, c := range []struct {
		b    Budget
		p    float64
		m    Method
		want string
	}{
		{Budget{}, 0.95, T, "budget: no inputs; want at least one"},
		{with(func(b *Budget) { b.Inputs[1].Name = "x1" }), 0.95, T, `input 2 "x1": name used twice; want every input named once`},
		{with(func(b *Budget) { b.Inputs[1].Name = "" }), 0.95, T, `input 2 "": no name; want one`},
		{with(func(b *Budget) { b.Inputs[2].Estimate = math.NaN() }), 0.95, T, `input 3 "x3": estimate is NaN; want a finite one`},
		{with(func(b *Budget) { b.Inputs[2].Sensitivity = math.Inf(-1) }), 0.95, T, `input 3 "x3": sensitivity is -Inf; want a finite one`},
		{good, 0.4999, T, "coverage probability: 0.4999; want 0.5 to 0.9999"},
		{good, 1, Exact, "coverage probability: 1; want 0.5 to 0.9999"},
		{good, math.NaN(), T, "coverage probability: NaN; want 0.5 to 0.9999"},
		{good, 0.95, "guess", `method "guess": not known; want "exact", "t" or "monte carlo"`},
		{correlated(Correlation{"x1", "x9", 0.5}), 0.95, T, `correlation 1 of "x1" and "x9": a name that no input has; want two names of inputs`},
		{correlated(Correlation{"x1", "x1", 0.5}), 0.95, T, `correlation 1 of "x1" and "x1": an input with itself; want two different inputs`},
		{correlated(Correlation{"x1", "x2", 1.01}), 0.95, T, `correlation 1 of "x1" and "x2": r is 1.01; want -1 to 1`},
		{correlated(Correlation{"x1", "x2", math.NaN()}), 0.95, T, `correlation 1 of "x1" and "x2": r is NaN; want -1 to 1`},
		{correlated(Correlation{"x1", "x2", 0.1}, Correlation{"x2", "x1", 0.1}), 0.95, T, `correlation 2 of "x2" and "x1": stated twice; want every pair once`},
		{correlated(Correlation{"x1", "x2", 0.9}, Correlation{"x2", "x3", 0.9}, Correlation{"x1", "x3", -0.9}), 0.95, T,
			`correlations of ["x1" "x2" "x3"]: no inputs can be correlated so; want a positive semidefinite matrix`},
	} {
		_, err := c.b.Evaluate(c.p, c.m)
		if err == nil || err.Error() != c.want || strings.Contains(err.Error(), "\n") {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
	b := good
	b.Model, _ = sum(Normal(1), Normal(1)).Parse("x1 + x2")
	if _, err := b.Evaluate(0.95, T); err == nil || err.Error() != "model: made for other inputs than the budget's; want it parsed by the budget" {
		t.Errorf("foreign model: %v", err)
	}
	if _, _, err := Readings([]float64{1}); err == nil || err.Error() != "1 readings; want at least 2" {
		t.Errorf("one reading: %v", err)
	}
}

func TestCorrelatedInputsShareDegreesOfFreedom(t *testing.T) {
	// Simultaneous readings of n = 5: however they are combined, u has 4 degrees of freedom. Of different ones the least counts.
	b := sum(StudentT(1, 4), StudentT(1, 4), Normal(1))
	b.Correlations = []Correlation{{"x1", "x2", 0.5}}
	s := evaluate(t, b, 0.95, T)
	if want := 4.0 * 4 * 4 / (3 * 3); !(math.Abs(s.DoF-want) < 1e-12) { // u² = 3 of 4 in all
		t.Errorf("ν_eff %v, want %v", s.DoF, want)
	}
	b.Inputs[0].Sensitivity = -1
	b.Correlations[0].R = 1 // they cancel
	s = evaluate(t, b, 0.95, T)
	if !math.IsInf(s.DoF, 1) || !(math.Abs(s.Standard-1) < 1e-12) {
		t.Errorf("u %v of ν %v; want what is left, 1 without end", s.Standard, s.DoF)
	}
}

func TestEffectiveDegreesOfFreedomAreCutBeforeTheFactorIsTaken(t *testing.T) {
	// JCGM 100:2008, G.4.1, note 1: 16.7 counts as 16; and three equal inputs of 5 are 15, not a hair less.
	s := evaluate(t, sum(StudentT(1, 5), StudentT(1, 5), StudentT(1, 5)), 0.95, T)
	if !(math.Abs(s.K-2.13144954556) < 1e-9) {
		t.Errorf("k %.11f, want t of 15", s.K)
	}
}

func ExampleBudget_Evaluate() {
	// A caliper at 150 mm (EA-4/02, S10), in µm: two rectangular inputs dominate, and k is not 2.
	b := Budget{Inputs: []Input{
		{Name: "block", Knowledge: Rectangular(0.8), Sensitivity: -1, Source: "grade 2"},
		{Name: "temperature", Knowledge: Rectangular(2), Sensitivity: 1.725, Source: "room"},
		{Name: "resolution", Knowledge: Rectangular(25), Sensitivity: 1, Source: "step 50"},
		{Name: "mechanical effects", Knowledge: Rectangular(50), Sensitivity: 1, Source: "estimate"},
	}}
	s, err := b.Evaluate(0.95, Exact)
	if err != nil {
		fmt.Println(err)
		return
	}
	shown, U, _ := FormatFloat(s.Estimate, s.Expanded, 2)
	fmt.Printf("%s ± %s µm, k = %.2f, %s\n", shown, U, s.K, s.Method)
	// Output: 0 ± 59 µm, k = 1.83, exact
}

func ExampleBudget_Sum() {
	// The probability that a measured error of 3.2 with u = 0.8 lies within ±4.
	b := Budget{Inputs: []Input{{Name: "all", Estimate: 3.2, Knowledge: Normal(0.8), Sensitivity: 1}}}
	s, err := b.Sum()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f\n", s.Between(-4, 4))
	// Output: 0.841
}

func TestHalfWidths(t *testing.T) {
	for _, c := range []struct {
		d    Distribution
		want float64
	}{{Rectangular(2), 2}, {Curvilinear(2, 0.5), 2.5}, {Normal(1), math.Inf(1)}, {StudentT(1, 3), math.Inf(1)}, {Normal(0), 0}, {Arcsine(3), 3}} {
		if got := c.d.HalfWidth(); got != c.want {
			t.Errorf("%s reaches %v, want %v", c.d.Shape(), got, c.want)
		}
	}
	if got := (Distribution{}).Shape().String(); got != "unstated" {
		t.Errorf("shape of nothing: %q", got)
	}
}

func TestRoundingRefusesWhatIsNoUncertainty(t *testing.T) {
	for _, U := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, _, err := FormatFloat(1, U, 2); err == nil {
			t.Errorf("U %v taken", U)
		}
	}
	if _, err := Round(1, 3); err == nil || err.Error() != "rounding: 3 significant digits; want 1 or 2" {
		t.Errorf("%v", err)
	}
	if _, _, err := FormatFloat(math.NaN(), 1, 2); err == nil {
		t.Error("value NaN taken")
	}
}

func TestSumWithoutKnownLawIsRefused(t *testing.T) {
	s := &Sum{size: 1, parts: &factors{heavy: []student{{scale: 1, nu: 2}}}, far: 1e9, law: unknown{}, upTo: math.Inf(1)}
	s.parts.heavy[0].prepare()
	if _, err := s.Quantile(0.975); err == nil || !strings.HasPrefix(err.Error(), "coverage interval: known to +Inf of probability only") {
		t.Errorf("%v; want it refused", err)
	}
	if got := s.CDF(1); !math.IsNaN(got) {
		t.Errorf("probability %v; want NaN", got)
	}
	if _, err := s.Quantile(0.99999); err == nil {
		t.Error("quantile beyond the coverage that is known; want it refused")
	}
	f := &factors{}
	f.add(Normal(1e-9), 1)
	f.settle()
	if p := f.priced(2*mostNodes, 1, 1, func() law { return nil }); !math.IsInf(p.cost, 1) || !math.IsInf(p.lay().bound(), 1) {
		t.Errorf("%+v; want no law of so many nodes", p)
	}
}
