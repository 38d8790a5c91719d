package uncertainty

import (
	"fmt"
	"math"
	"math/big"
	"testing"

	"example.org/wring/uncertainty/stat"
)

// sum is a budget of these distributions with sensitivity 1.
func sum(ds ...Distribution) Budget {
	var b Budget
	for i, d := range ds {
		b.Inputs = append(b.Inputs, Input{Name: fmt.Sprint("x", i+1), Knowledge: d, Sensitivity: 1})
	}
	return b
}

func evaluate(t *testing.T, b Budget, p float64, m Method) Statement {
	t.Helper()
	s, err := b.Evaluate(p, m)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A figure is a computed value beside its published one, to the digits printed, and beside the unrounded one.
type figure struct {
	name      string
	got       float64
	printed   float64
	half      float64 // half of the last printed digit
	unrounded float64
	within    float64 // half of its last digit
}

func compareFigures(t *testing.T, all []figure) {
	t.Helper()
	for _, f := range all {
		if !(math.Abs(f.got-f.printed) <= f.half*(1+1e-9)) {
			t.Errorf("%s: %.10g, printed %v", f.name, f.got, f.printed)
		}
		if !(math.Abs(f.got-f.unrounded) <= f.within*(1+1e-6)) {
			t.Errorf("%s: %.10g, unrounded %v", f.name, f.got, f.unrounded)
		}
	}
}

func TestStandardUncertaintiesOfTheGuide(t *testing.T) {
	// JCGM 100:2008; examples.md, section 1. 4.4.3 read, the others value from memory; unrounded values own.
	x := []float64{96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68,
		100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72}
	mean, d, err := Readings(x)
	if err != nil || d.DoF() != 19 || d.Shape() != ShapeT {
		t.Fatalf("%v, %+v, %v; want a t of 19", mean, d, err)
	}
	compareFigures(t, []figure{
		{"4.4.3 mean", mean, 100.145, 5e-4, 100.145, 1e-12},
		{"4.4.3 u", d.Standard(), 0.333, 5e-4, 0.33291575, 5e-9},
		{"4.3.3", Expanded(240, 3).Standard(), 80, 0.5, 80, 1e-12},
		{"4.3.7, in 1e-6", Rectangular(0.40).Standard(), 0.23, 5e-3, 0.230940108, 5e-10},
		{"4.3.8, in 1e-6", Rectangular((16.92 - 16.40) / 2).Standard(), 0.15, 5e-3, 0.150111070, 5e-10},
		{"4.4.5", Rectangular(4).Standard(), 2.3, 0.05, 2.30940108, 5e-9},
		{"4.4.6", Triangular(4).Standard(), 1.6, 0.05, 1.63299316, 5e-9},
		{"F.2.2.1", Rectangular(0.5).Standard(), 0.29, 5e-3, 0.288675135, 5e-10},
		{"G.4.2, 25 %", DoFOfUnreliability(0.25), 8, 1e-12, 8, 1e-12},
		{"G.4.2, 10 %", DoFOfUnreliability(0.10), 50, 1e-12, 50, 1e-12},
		{"G.4.2, 50 %", DoFOfUnreliability(0.50), 2, 1e-12, 2, 1e-12},
	})
}

func TestResistorsInSeries(t *testing.T) {
	// JCGM 100:2008, 5.2.2 (value from memory): ten resistors of u = 0.1 Ω.
	b := Budget{}
	for i := range 10 {
		b.Inputs = append(b.Inputs, Input{Name: fmt.Sprint("R", i+1), Estimate: 1000, Knowledge: Normal(0.1), Sensitivity: 1})
	}
	apart := evaluate(t, b, 0.95, T)
	for i := range 10 {
		for j := range i {
			b.Correlations = append(b.Correlations, Correlation{b.Inputs[j].Name, b.Inputs[i].Name, 1})
		}
	}
	together := evaluate(t, b, 0.95, T)
	exact := evaluate(t, b, 0.95, Exact)
	compareFigures(t, []figure{
		{"r = 0", apart.Standard, 0.32, 5e-3, 0.316227766, 5e-10},
		{"r = 1", together.Standard, 1, 5e-3, 1, 1e-12},
		{"r = 1, exact U", exact.Expanded, 1.96, 5e-3, 1.959963985, 5e-10},
		{"sum", together.Estimate, 10000, 0.5, 10000, 1e-9},
	})
}

func TestWeighingWithNineDegreesOfFreedom(t *testing.T) {
	// JCGM 100:2008, 7.2.2 (value from memory): u_c = 0.35 mg, ν = 9.
	for _, m := range []Method{T, Exact} {
		s := evaluate(t, sum(StudentT(0.35, 9)), 0.95, m)
		compareFigures(t, []figure{
			{string(m) + " k", s.K, 2.26, 5e-3, 2.26215716, 5e-9},
			{string(m) + " U", s.Expanded, 0.79, 5e-3, 0.791755, 5e-7},
		})
	}
}

// endGauge is JCGM 100:2008, H.1, in nm and °C, as a linear budget.
func endGauge(t *testing.T) Budget {
	t.Helper()
	t95, err := stat.TQuantile(0.975, 5)
	if err != nil {
		t.Fatal(err)
	}
	return Budget{Inputs: []Input{
		{Name: "ls", Estimate: 50000623, Knowledge: Expanded(75, 3).WithDoF(18), Sensitivity: 1},
		{Name: "d", Estimate: 215, Knowledge: Pooled(13, 24, 5), Sensitivity: 1},
		{Name: "d1", Knowledge: Expanded(10, t95).WithDoF(5), Sensitivity: 1},
		{Name: "d2", Knowledge: Expanded(20, 3).WithDoF(DoFOfUnreliability(0.25)), Sensitivity: 1},
		{Name: "as", Estimate: 11.5e-6, Knowledge: Rectangular(2e-6), Sensitivity: 0},
		{Name: "da", Knowledge: Rectangular(1e-6).WithDoF(DoFOfUnreliability(0.10)), Sensitivity: -50000623 * -0.1},
		{Name: "q", Estimate: -0.1, Knowledge: Normal(0.2), Sensitivity: 0},
		{Name: "D", Knowledge: Arcsine(0.5), Sensitivity: 0},
		{Name: "dq", Knowledge: Rectangular(0.05).WithDoF(DoFOfUnreliability(0.50)), Sensitivity: -50000623 * 11.5e-6},
	}}
}

func TestEndGauge(t *testing.T) {
	// JCGM 100:2008, H.1 (read); unrounded values own.
	s := evaluate(t, endGauge(t), 0.99, T)
	compareFigures(t, []figure{
		{"l less 50 mm", s.Estimate - 50000000, 838, 0.5, 838, 1e-6},
		{"u_c", s.Standard, 32, 0.5, 31.658160, 5e-7},
		{"u_c squared", s.Standard * s.Standard, 1002, 0.5, 1002.239, 5e-4},
		{"effective degrees of freedom", s.DoF, 16.7, 0.05, 16.741149, 5e-7},
		{"k", s.K, 2.92, 5e-3, 2.920782, 5e-7},
		{"U", s.Expanded, 93, 1, 92.4666, 5e-5}, // printed from 2.92 × 32
	})
	for i, want := range []float64{25, 5.813777, 3.890170, 6.666667, 0, 2.886787, 0, 0, 16.599027} {
		if l := s.Lines[i]; !(math.Abs(l.Contribution-want) <= 5.1e-7) {
			t.Errorf("%s contributes %.6f, want %v", l.Name, l.Contribution, want)
		}
	}
}

func TestEndGaugeByItsModel(t *testing.T) {
	// JCGM 100:2008, H.1.7 (read): terms of second order of 11.7 and 1.7 nm, u_c 34 nm; unrounded values own.
	b := endGauge(t)
	var err error
	if b.Model, err = b.Parse("ls + d + d1 + d2 - ls*(da*(q + D) + as*dq)"); err != nil {
		t.Fatal(err)
	}
	s := evaluate(t, b, 0.99, T)
	compareFigures(t, []figure{
		{"first order", s.FirstOrder, 32, 0.5, 31.658160, 5e-7},
		{"all orders", s.Standard, 34, 0.5, 33.801189, 5e-7},
	})
	// The two terms: da with the temperature q + D, and as with dq.
	u := func(i int) float64 { return b.Inputs[i].Knowledge.Standard() }
	warm, blocks := 50000623*u(5)*math.Hypot(u(6), u(7)), 50000623*u(4)*u(8)
	compareFigures(t, []figure{
		{"da with the temperature", warm, 11.7, 0.05, 11.726186, 5e-7},
		{"as with dq", blocks, 1.7, 0.05, 1.666687, 5e-7},
		{"both", math.Sqrt(s.Standard*s.Standard - s.FirstOrder*s.FirstOrder), 11.8, 0.05, math.Hypot(warm, blocks), 1e-6},
	})
}

// impedance is JCGM 100:2008, H.2, with this model.
func impedance(t *testing.T, model string) Statement {
	t.Helper()
	x := [3][]float64{{5.007, 4.994, 5.005, 4.990, 4.999}, {19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}}
	b := Budget{}
	for i, name := range []string{"V", "I", "phi"} {
		mean, d, err := Readings(x[i])
		if err != nil {
			t.Fatal(err)
		}
		b.Inputs = append(b.Inputs, Input{Name: name, Estimate: mean, Knowledge: d})
		for j := range i {
			r, err := stat.Correlation(x[j], x[i])
			if err != nil {
				t.Fatal(err)
			}
			b.Correlations = append(b.Correlations, Correlation{b.Inputs[j].Name, name, r})
		}
	}
	var err error
	if b.Model, err = b.Parse(model); err != nil {
		t.Fatal(err)
	}
	s := evaluate(t, b, 0.95, T)
	if math.Abs(s.DoF-4) > 1e-9 {
		t.Errorf("%s: %v degrees of freedom; readings taken together have 4", model, s.DoF)
	}
	drawn, err := b.Simulate(0.95, Drawing{Seed: 5, Most: 400000, Fixed: true})
	if err != nil || math.Abs(drawn.Expanded/s.Expanded-1) > 0.02 { // nearly linear: t of 4 either way
		t.Errorf("%s: U %v by drawing, %v; %v by t", model, drawn.Expanded, err, s.Expanded)
	}
	return s
}

func TestImpedanceOfCorrelatedReadings(t *testing.T) {
	// JCGM 100:2008, H.2 (read); unrounded values own.
	r, x, z := impedance(t, "V/I*cos(phi)"), impedance(t, "V/I*sin(phi)"), impedance(t, "V/I")
	compareFigures(t, []figure{
		{"R", r.Estimate, 127.732, 5e-4, 127.732170, 5e-7}, {"u(R)", r.Standard, 0.071, 5e-4, 0.0710714, 5e-8},
		{"X", x.Estimate, 219.847, 5e-4, 219.846512, 5e-7}, {"u(X)", x.Standard, 0.295, 1e-3, 0.295582, 5e-7},
		{"Z", z.Estimate, 254.260, 5e-4, 254.259702, 5e-7}, {"u(Z)", z.Standard, 0.236, 5e-4, 0.236336, 5e-7},
	})
}

func TestSumsOfFourInputs(t *testing.T) {
	// JCGM 101:2008, 9.2 (inputs read, results value from memory, analytic values own).
	r := Rectangular(math.Sqrt(3))
	n := evaluate(t, sum(Normal(1), Normal(1), Normal(1), Normal(1)), 0.95, Exact)
	four := evaluate(t, sum(r, r, r, r), 0.95, Exact)
	one := evaluate(t, sum(r, r, r, Rectangular(10*math.Sqrt(3))), 0.95, Exact)
	compareFigures(t, []figure{
		{"9.2.2", n.Expanded, 3.92, 5e-3, 3.919928, 5e-7},
		{"9.2.3", four.Expanded, 3.88, 5e-3, 2 * math.Sqrt(3) * (2 - math.Pow(0.6, 0.25)), 1e-9},
		{"9.2.3 by t", evaluate(t, sum(r, r, r, r), 0.95, T).Expanded, 3.92, 5e-3, 3.919928, 5e-7},
		{"9.2.4 u", one.Standard, 10.1, 0.05, 10.148892, 5e-7},
		{"9.2.4", one.Expanded, 17.0, 0.05, 17.0158141, 5e-8}, // unrounded: own, exact rational arithmetic
	})
}

func TestMassCalibration(t *testing.T) {
	// JCGM 101:2008, 9.3 (inputs read, results value from memory; analytic values own); in mg and kg/m³.
	b := Budget{Inputs: []Input{
		{Name: "mR", Estimate: 100000, Knowledge: Normal(0.050)},
		{Name: "dmR", Estimate: 1.234, Knowledge: Normal(0.020)},
		{Name: "ra", Estimate: 1.20, Knowledge: Rectangular(0.10)},
		{Name: "rW", Estimate: 8000, Knowledge: Rectangular(1000)},
		{Name: "rR", Estimate: 8000, Knowledge: Rectangular(50)},
	}}
	var err error
	if b.Model, err = b.Parse("(mR + dmR)*(1 + (ra - 1.2)*(1/rW - 1/rR)) - 100000"); err != nil {
		t.Fatal(err)
	}
	gum := evaluate(t, b, 0.95, T)
	compareFigures(t, []figure{
		{"estimate", gum.Estimate, 1.2340, 5e-5, 1.234, 1e-9},
		{"first order", gum.FirstOrder, 0.0539, 5e-5, 0.053851648, 5e-10},
		{"second order", gum.Standard, 0.0750, 5e-5, 0.074963474, 5e-10},
	})
	s, err := b.Simulate(0.95, Drawing{Seed: 1, Most: 1_000_000, Fixed: true})
	if err != nil {
		t.Fatal(err)
	}
	compareFigures(t, []figure{ // four standard errors of a million trials
		{"drawn estimate", s.Estimate, 1.2341, 4e-4, 1.234, 4e-4},
		{"drawn u", s.Standard, 0.0754, 3e-4, 0.0754, 3e-4},
		{"low", s.Low, 1.0834, 1e-3, 1.0834, 1e-3},
		{"high", s.High, 1.3825, 2e-3, 1.3825, 2e-3},
	})
}

func TestEndGaugeByDrawing(t *testing.T) {
	// JCGM 101:2008, 9.5 (inputs read, results value from memory): 838 nm, u 36 nm, 99 % from 745 to 932 nm.
	b := Budget{Inputs: []Input{
		{Name: "Ls", Estimate: 50000623, Knowledge: StudentT(25, 18)},
		{Name: "D", Estimate: 215, Knowledge: StudentT(6, 24)},
		{Name: "d1", Knowledge: StudentT(4, 5)},
		{Name: "d2", Knowledge: StudentT(7, 8)},
		{Name: "as", Estimate: 11.5e-6, Knowledge: Rectangular(2e-6)},
		{Name: "q", Estimate: -0.1, Knowledge: Normal(0.2)},
		{Name: "Delta", Knowledge: Arcsine(0.5)},
		{Name: "da", Knowledge: Curvilinear(1e-6, 0.1e-6)},
		{Name: "dq", Knowledge: Curvilinear(0.050, 0.025)},
	}}
	var err error
	if b.Model, err = b.Parse("Ls + D + d1 + d2 - Ls*(da*(q + Delta) + as*dq) - 50000000"); err != nil {
		t.Fatal(err)
	}
	s := evaluate(t, b, 0.99, MonteCarlo)
	if !s.Simulation.Stable || s.Simulation.Tolerance != 0.5 {
		t.Errorf("%+v; want a stable result to half a nanometre", s.Simulation)
	}
	compareFigures(t, []figure{
		{"estimate", s.Estimate, 838, 0.5, 838, 0.5}, {"u", s.Standard, 36, 0.5, 36, 0.5},
		{"low", s.Low, 745, 1, 745, 1}, {"high", s.High, 932, 1, 932, 1},
	})
}

func TestAccreditationBudgets(t *testing.T) {
	// EA-4/02, supplement (tables read in a transcription; half-widths and models value from memory). Unrounded values own.
	weight := evaluate(t, sum(Expanded(45, 2), Rectangular(15), Pooled(25, math.Inf(1), 3), Rectangular(10), Rectangular(10)), 0.9545, T)
	meter := sum(Normal(1), Rectangular(50), Rectangular(11))
	caliper := sum(Rectangular(0.8), Rectangular(2*1.725), Rectangular(25), Rectangular(50))
	exact := evaluate(t, caliper, 0.95, Exact)
	compareFigures(t, []figure{
		{"S2 weight, u in mg", weight.Standard, 29.3, 0.05, 29.261750, 5e-7},
		{"S2 weight, U in mg", 2 * weight.Standard, 59, 0.5, 58.5235, 5e-5},
		{"S9 multimeter, u in mV", evaluate(t, meter, 0.95, Exact).Standard, 30, 0.5, 29.575, 0.03},
		{"S9 multimeter, rectangle alone, k", evaluate(t, sum(Rectangular(50)), 0.95, Exact).K, 1.65, 5e-3, 1.645448, 5e-7},
		{"S10 caliper, u in um", exact.Standard, 32.3, 0.05, 32.339566, 5e-7},
		{"S10 caliper, two dominant inputs, k", evaluate(t, sum(Rectangular(25), Rectangular(50)), 0.95, Exact).K, 1.83, 5e-3, 1.833892, 5e-7},
		{"S10 caliper, all inputs, k", exact.K, 1.83, 5e-3, 1.83432825, 5e-9}, // exact rational arithmetic, own
		{"S10 caliper, U in mm", exact.Expanded / 1000, 0.06, 5e-3, 0.0593213787, 5e-11},
	})
}

func TestGaugeBlockByComparison(t *testing.T) {
	// EA-4/02, S4 (see above), in nm and °C: two products of inputs of zero mean.
	b := Budget{Inputs: []Input{
		{Name: "ls", Estimate: 50000020, Knowledge: Expanded(30, 2)},
		{Name: "drift", Knowledge: Rectangular(30)},
		{Name: "dl", Estimate: -94, Knowledge: Pooled(12, math.Inf(1), 5)},
		{Name: "comparator", Knowledge: Rectangular(32)},
		{Name: "dt", Knowledge: Rectangular(0.05)},
		{Name: "da", Knowledge: Triangular(2e-6)},
		{Name: "Dt", Knowledge: Rectangular(0.5)},
		{Name: "lv", Knowledge: Rectangular(6.7)},
	}}
	var err error
	if b.Model, err = b.Parse("ls + drift + dl + comparator - 575*dt - 50000000*da*Dt - lv"); err != nil {
		t.Fatal(err)
	}
	s := evaluate(t, b, 0.9545, T)
	compareFigures(t, []figure{
		{"length in nm less 50 mm", s.Estimate - 50000000, -74, 0.5, -74, 1e-6},
		{"u in nm", s.Standard, 36.4, 0.05, 36.394, 5e-4},
		{"U in nm", 2 * s.Standard, 73, 0.5, 72.788, 1e-3},
		{"second order in nm", math.Sqrt(s.Standard*s.Standard - s.FirstOrder*s.FirstOrder), 11.8, 0.05, 11.785, 5e-3},
	})
}

func TestAgreementOfTwoResults(t *testing.T) {
	// E_n by ISO 13528; definition read, figures own: 10.0006 ± 0.0005 and 10.0002 ± 0.0003.
	if en := Agreement(10.0006, 0.0005, 10.0002, 0.0003); math.Abs(en-0.685994) > 5e-7 {
		t.Errorf("E_n %v, want 0.685994", en)
	}
	if en := Agreement(1, 0, 1, 0); en != 0 {
		t.Errorf("E_n %v of equal exact values, want 0", en)
	}
	if en := Agreement(1, 0, 2, 0); !math.IsInf(en, 1) {
		t.Errorf("E_n %v of different exact values, want infinity", en)
	}
}

func TestRounding(t *testing.T) {
	// examples.md, section 9; JCGM 100:2008, 7.2.6, ILAC-P14:09/2020; figures own.
	for _, c := range []struct {
		U      float64
		digits int
		text   string
		places int
	}{
		{58.5235, 2, "59", 0}, {92.4666, 2, "92", 0}, {10.47, 2, "10", 0}, {28.05, 2, "28", 0}, {1.049, 2, "1.0", 1},
		{0.0996, 2, "0.10", 2}, {9.96, 2, "10", 0}, {1.43, 1, "2", 0}, {1.04, 1, "1", 0}, {9.6, 1, "10", -1}, {0.027, 2, "0.027", 3},
		{1234, 2, "1200", -2}, {1.05, 2, "1.1", 1}, {0.125, 2, "0.13", 2}, {1e-9, 2, "0.0000000010", 10}, {99.9, 1, "100", -2}, {0, 2, "0", 0},
	} {
		r, err := Round(c.U, c.digits)
		if err != nil || r.Text != c.text || r.Places != c.places || r.Exact != (c.U == 0) {
			t.Errorf("U %v to %d digits: %+v, %v; want %s at %d", c.U, c.digits, r, err, c.text, c.places)
		}
	}
	shown, U, err := FormatFloat(10.05762, 0.027, 2)
	if err != nil || shown != "10.058" || U != "0.027" {
		t.Errorf("%s ± %s, %v; want 10.058 ± 0.027", shown, U, err)
	}
}

func TestTiesGoAwayFromZero(t *testing.T) {
	for _, c := range []struct {
		value  string
		places int
		want   string
	}{
		{"0.0005", 3, "0.001"}, {"-0.0005", 3, "-0.001"}, {"2.5", 0, "3"}, {"-2.5", 0, "-3"}, {"2.4999999", 0, "2"},
		{"-0.0004", 3, "0.000"}, {"0", 2, "0.00"}, {"1250", -2, "1300"}, {"-1249", -2, "-1200"}, {"1/3", 4, "0.3333"},
	} {
		v, _ := new(big.Rat).SetString(c.value)
		if got := RoundAt(v, c.places); got != c.want {
			t.Errorf("%s to %d places: %s, want %s", c.value, c.places, got, c.want)
		}
	}
	exact, _ := Round(0, 2)
	if got := exact.Show(big.NewRat(5001, 1000)); got != "5.001" {
		t.Errorf("exact result shown as %s, want 5.001", got)
	}
	if got := exact.Show(big.NewRat(1, 3)); got != "0.333333333333" {
		t.Errorf("exact result shown as %s, want twelve places", got)
	}
}

func TestRoundingNeverTakesOffMoreThanFivePerCent(t *testing.T) {
	for i := range 20000 {
		U := math.Exp(float64(i)/700 - 14)
		for digits := 1; digits <= 2; digits++ {
			r, err := Round(U, digits)
			if err != nil || !(r.Value >= 0.95*U*(1-1e-15)) || !(r.Value <= U*1.96) || digits == 2 && !(r.Value <= U*1.051) {
				t.Fatalf("U %v to %d digits: %+v, %v", U, digits, r, err)
			}
		}
	}
}
