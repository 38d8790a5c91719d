package history

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/stat"
)

const um = 1e-3 // mm

// line makes checks of the points at sizes 5, 10, … 25 mm whose errors in µm
// are f(year, size), a year apart, with parts of u in µm.
func line(n int, own, step, common float64, f func(year int, size float64) float64) []Check {
	var out []Check
	for i := range n {
		c := Check{Entry: uint64(i + 1), Date: calib.MustDate("2020-06-15").AddMonths(12 * i), Stage: calib.AsFound, Basis: "a"}
		for _, size := range []float64{5, 10, 15, 20, 25} {
			c.Points = append(c.Points, Point{Nominal: size, Error: f(i, size) * um, Limit: 4 * um, Expanded: um,
				Own: own * um, Step: step * um, Common: common * um, Blocks: 0.1 * um})
		}
		out = append(out, c)
	}
	return out
}

func assess(t *testing.T, checks []Check) Assessment {
	t.Helper()
	a, err := Assess(checks, Options{Known: FromBudget()})
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

// A series of one point without a budget is the textbook's regression with its
// prediction interval (mark own; the figures were computed apart from this
// program): t 0 1 2 3 4 a, e 0.1 0.5 0.8 1.4 1.7 µm, MPE 4 µm give b 0.410,
// a 0.080, s 0.0796, t-ratio 16.3; the limit is reached at 8.18 a, and with a
// guard of U = 1.2 µm at 5.65 a.
func TestOnePointIsTheTextbooksRegression(t *testing.T) {
	p := panel{x: []float64{0}, sizes: []float64{10}, start: calib.MustDate("2020-01-01"), basis: make([]string, 5)}
	for i, e := range []float64{0.1, 0.5, 0.8, 1.4, 1.7} {
		p.t = append(p.t, float64(i))
		p.cells = append(p.cells, []Point{{Nominal: 10, Error: e * um, Limit: 4 * um, Expanded: 1.2 * um}})
	}
	tests, zero, err := p.trends(FromBudget())
	if err != nil || len(tests) != 1 {
		t.Fatalf("%d tests, %v; want one", len(tests), err)
	}
	s := zero.line.S / um
	if !near(zero.line.Slope/um, 0.410, 5e-4) || !near(zero.line.Intercept/um, 0.080, 5e-4) || !near(s, 0.0796, 5e-5) || !near(tests[0].T, 16.3, 0.05) || tests[0].DoF != 3 {
		t.Errorf("slope %.4f, intercept %.4f, s %.5f µm, t %.2f with %v degrees of freedom", zero.line.Slope/um, zero.line.Intercept/um, s, tests[0].T, tests[0].DoF)
	}
	a := Assessment{Trend: &tests[0]}
	a.Zero, a.Scale = p.movement()
	f, err := p.forecaster(a, zero, FromBudget())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ guard, want float64 }{{0, 8.18}, {1.2, 5.65}} {
		got, ok := firstTime(func(t float64) bool {
			g := f.at(0, t)
			return math.Abs(g.Error)+g.Half > g.Limit-c.guard*um
		}, 4)
		if !ok || !near(got, c.want, 0.006) {
			t.Errorf("guard %v µm: reached at %.3f a, want %.2f", c.guard, got, c.want)
		}
	}
}

// GUM H.3 as a series: JCGM 100:2008, H.3 (read). Slope 0.00218 (0.00067),
// b(30) −0.1494 (0.0041) come out of a mode of one point.
func TestLineOfH3ComesOutOfAMode(t *testing.T) {
	temperature := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	correction := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	p := panel{x: []float64{0}, sizes: []float64{0}, basis: make([]string, len(temperature))}
	for i := range temperature {
		p.t = append(p.t, temperature[i])
		p.cells = append(p.cells, []Point{{Error: correction[i]}})
	}
	f, err := p.fit(p.shift(), len(p.t), Prior{})
	if err != nil || !near(f.line.Slope, 0.00218, 5e-6) || !near(f.line.USlope, 0.00067, 5e-6) || !near(f.line.At(30), -0.1494, 5e-5) || !near(f.line.UMean(30), 0.0041, 5e-5) {
		t.Errorf("%+v, %v", f.line, err)
	}
}

func TestAnAdjustmentBeginsTheSeriesAnew(t *testing.T) {
	checks := line(5, 0.2, 0.3, 0.3, func(int, float64) float64 { return 1 })
	checks[2].Stage = calib.AsLeft
	checks[1], checks[4] = checks[4], checks[1] // the order of dates counts, not that given
	got := Segments(checks)
	if len(got) != 2 || len(got[0]) != 2 || len(got[1]) != 3 || got[1][0].Stage != calib.AsLeft {
		t.Fatalf("segments %v", got)
	}
	if a := assess(t, checks); a.Checks != 3 || a.From != checks[2].Date {
		t.Errorf("%d checks from %s; want those since the adjustment", a.Checks, a.From)
	}
	// A step at an adjustment is no change of the gauge.
	stepped := line(4, 0.2, 0.3, 0.3, func(i int, _ float64) float64 { return 3 * float64(i/2) })
	stepped[2].Stage = calib.AsLeft
	if a := assess(t, stepped); a.State != Steady {
		t.Errorf("a step at an adjustment: %s, want steady", a.State)
	}
}

func TestZeroAndScaleAreToldApart(t *testing.T) {
	wave := func(i int, size float64) float64 { return 0.05 * math.Sin(float64(i)*size) }
	for _, c := range []struct {
		name        string
		f           func(int, float64) float64
		state       State
		zero, scale bool
	}{
		{"nothing moves", wave, Steady, false, false},
		{"zero", func(i int, x float64) float64 { return 0.8*float64(i) + wave(i, x) }, Drifting, true, false},
		{"scale", func(i int, x float64) float64 { return 0.04*x*float64(i) + wave(i, x) }, Drifting, false, true},
		{"both", func(i int, x float64) float64 { return (0.8-0.06*x)*float64(i) + wave(i, x) }, Moving, true, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := assess(t, line(4, 0.1, 0.1, 0.1, c.f))
			if a.State != c.state || (a.Zero != 0) != c.zero || (a.Scale != 0) != c.scale {
				t.Errorf("%s, zero %.4f µm/a, scale %.5f µm/(a·mm); %s", a.State, a.Zero/um, a.Scale/um, a.Line(micro()))
			}
		})
	}
}

func micro() Units { return Units{"µm", 1000, "mm", 1, "", ""} }

func TestOnePointThatGoesItsOwnWayIsNamed(t *testing.T) {
	a := assess(t, line(5, 0.1, 0.1, 0.3, func(i int, x float64) float64 {
		if x == 10 {
			return 0.6 * float64(i)
		}
		return 0
	}))
	if a.Trend == nil || a.Trend.Of != "point" || a.Trend.Point != 10 {
		t.Errorf("%+v; want point 10", a.Trend)
	}
	if got := a.Line(micro()); !strings.HasPrefix(got, "10 mm alone has moved ") {
		t.Errorf("%q", got)
	}
}

// Two checks under one certificate share its error; under two certificates
// they do not, and the same change is less sure.
func TestChangeLeavesOutWhatBothChecksShare(t *testing.T) {
	checks := line(2, 0.1, 0.1, 0.1, func(i int, _ float64) float64 { return float64(i) })
	for i := range checks {
		for j := range checks[i].Points {
			checks[i].Points[j].Blocks = 1 * um
		}
	}
	size := func() Test {
		for _, x := range assess(t, checks).Tests {
			if x.Of == "zero" {
				return x
			}
		}
		return Test{}
	}
	same := size()
	checks[1].Basis = "b"
	other := size()
	// By hand: a mean of 5 points has (0.1² + 0.1²)/5 + 0.1² = 0.014 µm², two of
	// them 0.028 µm²; two certificates add 1² + 1².
	if !near(same.U/um, math.Sqrt(0.028), 1e-12) || !near(other.U/um, math.Sqrt(2.028), 1e-12) || !near(same.Size/um, 1, 1e-12) {
		t.Errorf("u %.6f and %.6f µm of %.3f µm", same.U/um, other.U/um, same.Size/um)
	}
}

func TestTheLimitIsReachedWhenErrorAndUMeetIt(t *testing.T) {
	// e = 0.5 µm/a from 1 µm in June 2020, U 1 µm, limit 4 µm: 3 µm after 4 years.
	a := assess(t, line(4, 0.1, 0.1, 0.1, func(i int, x float64) float64 { return 1 + 0.5*float64(i) + 0.01*math.Sin(float64(i)+x) }))
	if got := a.Reaches.String()[:7]; got != "2024-06" && got != "2024-05" {
		t.Errorf("reached in %s, want about 2024-06", a.Reaches)
	}
	if got := a.Line(micro()); !strings.HasPrefix(got, "zero has moved +1.5 µm in 36 months; leaves ±4 µm about 2024-") {
		t.Errorf("%q", got)
	}
}

func TestStatesInTheirOrder(t *testing.T) {
	for _, c := range []struct {
		name   string
		checks []Check
		want   State
		words  string
	}{
		{"none", nil, TooFew, "0 checks; nothing to compare yet"},
		{"one", line(1, 0.1, 0.1, 0.1, func(int, float64) float64 { return 1 }), TooFew, "1 check; nothing to compare yet"},
		{"one outside", line(1, 0.1, 0.1, 0.1, func(int, float64) float64 { return -5 }), Outside, "beyond its limit; largest expected error -5.0 ± 1.0 µm at 5 mm, limit ±4 µm"},
		{"steady", line(3, 0.1, 0.1, 0.3, func(int, float64) float64 { return 0.4 }), Steady, "steady over 3 checks; largest expected error +0.4 "},
		{"moving", line(5, 0.05, 0.05, 0.05, func(i int, _ float64) float64 { return 0.2 * float64(i) }), Moving, "zero has moved +0.8 µm in 48 months; leaves ±4 µm about 2035-"},
		{"changed", line(2, 0.05, 0.05, 0.05, func(i int, _ float64) float64 { return -1.5 * float64(i) }), Drifting, "zero changed by -1.5 µm since the check before; largest"},
	} {
		a := assess(t, c.checks)
		if got := a.Line(micro()); a.State != c.want || !strings.HasPrefix(got, c.words) {
			t.Errorf("%s: %s, %q; want %s, %q", c.name, a.State, got, c.want, c.words)
		}
	}
}

func TestIntermediateChecksCountWhereTheyHoldEveryPoint(t *testing.T) {
	checks := line(4, 0.1, 0.1, 0.1, func(int, float64) float64 { return 0 })
	checks[1].Intermediate, checks[2].Intermediate = true, true
	checks[1].Points = checks[1].Points[:2]
	if a := assess(t, checks); a.Checks != 3 {
		t.Errorf("%d checks; want the two full ones and the whole intermediate one", a.Checks)
	}
}

func TestAPlanThatMovesItsPointsEndsTheSeries(t *testing.T) {
	checks := line(4, 0.1, 0.1, 0.1, func(int, float64) float64 { return 0 })
	for i := range checks[0].Points {
		checks[0].Points[i].Nominal += 1
	}
	checks[1].Points = checks[1].Points[:4] // one point was added later
	a := assess(t, checks)
	if a.Checks != 3 {
		t.Errorf("%d checks; want the three that hold most points", a.Checks)
	}
}

// Law: the order of checks and of points does not matter, and a change of the
// unit changes nothing but the unit.
func TestAssessmentHangsOnNothingButTheFigures(t *testing.T) {
	draw := rand.New(rand.NewPCG(8, 8))
	for range 50 {
		checks := line(3+draw.IntN(4), 0.2, 0.3, 0.3, func(i int, x float64) float64 { return 0.3*float64(i) + draw.NormFloat64() })
		want := assess(t, checks)
		draw.Shuffle(len(checks), func(i, j int) { checks[i], checks[j] = checks[j], checks[i] })
		if got := assess(t, checks); got.State != want.State || !near(got.Forecast.Error, want.Forecast.Error, 1e-15) {
			t.Fatalf("shuffled: %+v, want %+v", got, want)
		}
		for _, x := range want.Tests {
			if !(x.P >= 0 && x.P <= 1) || math.IsNaN(x.T) || !(x.U > 0) || x.DoF < 1 {
				t.Fatalf("test %+v", x)
			}
		}
	}
}

func TestAssessRefusesWhatIsNoNumber(t *testing.T) {
	checks := line(3, 0.1, 0.1, 0.1, func(i int, _ float64) float64 { return 0 })
	checks[1].Points[0].Error = math.NaN()
	if _, err := Assess(checks, Options{Known: FromBudget()}); !errors.Is(err, stat.ErrNotFinite) {
		t.Errorf("%v", err)
	}
	checks = line(3, 0.1, 0.1, 0.1, func(i int, _ float64) float64 { return 0 })
	checks[1].Points[0].Limit = -1
	if _, err := Assess(checks, Options{}); err == nil {
		t.Error("a limit below zero was taken")
	}
}

func TestTheFleetSpeaksForOneGaugeOnceItIsLargeEnough(t *testing.T) {
	draw := rand.New(rand.NewPCG(9, 9))
	var fleet Fleet
	var one Scatter
	for n := range 12 {
		checks := line(5, 0.4, 0.4, 0.6, func(int, float64) float64 { return 0.2 * draw.NormFloat64() })
		one = ScatterOf(checks, 0)
		fleet.Add(one)
		known := fleet.For(one)
		if n < enough && known != FromBudget() {
			t.Errorf("%d others speak already", n)
		}
	}
	known := fleet.For(one)
	if !(known.Zero.Ratio < 0.5) || known.Zero.DoF > FromBudget().Zero.DoF || known.Zero.DoF < 1 {
		t.Errorf("a quiet fleet: %+v; want less than the budget says", known.Zero)
	}
}

func TestPointsPartTheBudgetByWhatChecksShare(t *testing.T) {
	row := func(k calib.ContributionKind, u, c float64) calib.BudgetRow {
		return calib.BudgetRow{Kind: k, U: []float64{u}, C: []float64{c}}
	}
	r := calib.Result{Points: []calib.PointResult{{Standard: 9}}, Budget: []calib.BudgetRow{
		row(calib.Repeatability, 3, 1), row(calib.Repeatability, 6, -1), row(calib.Wringing, 4, -1), row(calib.Resolution, 2, 1),
		row(calib.ZeroResolution, 1, 1), row(calib.Blocks, 7, -1), row(calib.Mechanical, 100, 1), row(calib.TemperatureDifference, 0.5, 6)}}
	p := Points(r)[0]
	// By hand: own 3² + 4²; common 6² + (0.5·6)² and one resolution, 2².
	if p.Own != 5 || p.Step != 2 || p.Blocks != 7 || !near(p.Common, 7, 1e-12) {
		t.Errorf("%+v; want own 5, step 2, common 7, blocks 7", p)
	}
	r.Budget = nil
	if p := Points(r)[0]; p.Common != 9 {
		t.Errorf("without a budget: %+v; want all of u as common", p)
	}
}

func ExampleAssessment_Line() {
	var checks []Check
	for i, e := range []float64{0.1, 1.0, 1.9, 2.8} {
		c := Check{Date: calib.MustDate("2022-11-14").AddMonths(12 * i), Stage: calib.AsFound}
		for _, size := range []float64{25, 30, 40, 50} {
			c.Points = append(c.Points, Point{Nominal: size, Error: e * um, Limit: 4 * um, Expanded: 1.1 * um, Own: 0.2 * um, Step: 0.29 * um, Common: 0.3 * um})
		}
		checks = append(checks, c)
	}
	a, err := Assess(checks, Options{Zero: 25, Known: FromBudget()})
	fmt.Println(a.State, err)
	fmt.Println(a.Line(Units{"µm", 1000, "mm", 1, "", ""}))
	// Output:
	// drifting <nil>
	// zero has moved +2.7 µm in 36 months; leaves ±4 µm about 2025-12
}
