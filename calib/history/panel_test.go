package history

import (
	"math"
	"strings"
	"testing"

	"example.org/wring/calib"
)

// hand is three yearly checks at 0, 1, 2 and 3 mm; the middle one has every
// error 1 mm higher, and beside that the pattern +1 −1 −1 +1 mm, which is
// neither shift nor scale. A point's own u is 1 mm, nothing else is new.
func hand(basis ...string) panel {
	p := panel{t: []float64{0, 1, 2}, x: []float64{0, 1, 2, 3}, sizes: []float64{0, 1, 2, 3}, basis: basis, own: 1}
	for i := range 3 {
		var row []Point
		for j, r := range []float64{1, -1, -1, 1} {
			e := 0.0
			if i == 1 {
				e = 1 + r
			}
			row = append(row, Point{Nominal: p.sizes[j], Error: e, Limit: 9, Own: 1, Blocks: 0.5})
		}
		p.cells = append(p.cells, row)
	}
	return p
}

// By hand: a line through 0, v, 0 leaves −v/3, 2v/3, −v/3, squares 2v²/3 with
// one degree of freedom. The shift is 1 with variance 1/4, the growth from the
// zero 6/14 with variance 1/14, the tilt none, and four points keep 2/3 each
// with (3−2)(4−2) = 2.
func TestScatterOfTheModesByHand(t *testing.T) {
	p := hand("a", "a", "a")
	for _, c := range []struct {
		v    mode
		want float64
	}{{p.shift(), 8.0 / 3}, {p.scale(), 12.0 / 7}, {p.tilt(), 0}} {
		f, err := p.fit(c.v, 3, Prior{})
		if err != nil || !near(f.seen, c.want, 1e-12) || f.dof != 1 {
			t.Errorf("%v: %v with %v degrees of freedom, %v; want %v with 1", c.v, f.seen, f.dof, err, c.want)
		}
	}
	if _, rest, dof := p.slopes(p.weights()); !near(rest, 4.0/3, 1e-12) || dof != 2 {
		t.Errorf("points: %v with %v degrees of freedom, want 4/3 with 2", rest, dof)
	}
	if s := spreadOf([]float64{0, 1, 2}, []float64{5, 5, 5}); !near(s, 2, 1e-12) {
		t.Errorf("spread %v, want 2 whatever the common weight", s)
	}
	// What was known, 1 with 8, and what was seen: (8 + 8/3)/9.
	p.t, p.cells, p.basis = append(p.t, 3), append(p.cells, p.cells[0]), append(p.basis, "a")
	if k := p.scatterBefore(p.shift(), Prior{1, 8}); !near(k.Ratio, (8+8.0/3)/9, 1e-12) || k.DoF != 9 {
		t.Errorf("before the last check: %+v", k)
	}
}

func TestScatterOfAGaugeIsTheModesOwn(t *testing.T) {
	var checks []Check
	p := hand("a", "a", "a")
	for j := range p.x { // a growth of the middle check, so that its tilt is 1 with variance 1/5: 2/3 ÷ 1/5
		p.cells[1][j].Error += p.x[j] - 1.5
	}
	for i, row := range p.cells {
		checks = append(checks, Check{Entry: uint64(i), Date: calib.MustDate("2021-01-01").AddDays(365 * i), Points: row})
	}
	s := ScatterOf(checks, 0)
	if !near(s.Zero.Ratio, 8.0/3, 1e-3) || !near(s.Scale.Ratio, 10.0/3, 1e-3) || !near(s.Point.Ratio, 4.0/3, 1e-3) || s.Zero.DoF != 1 || s.Scale.DoF != 1 || s.Point.DoF != 2 {
		t.Errorf("%+v", s)
	}
	if s := ScatterOf(checks[:2], 0); s != (Scatter{}) {
		t.Errorf("two checks scatter: %+v", s)
	}
}

// Certificates: of one basis nothing is counted; two checks of one basis and
// one of another count (Σv·½)² = ¼ twice and once, whatever the weighting of
// the checks makes of it.
func TestCertificatesCountAsOftenAsTheyAreShared(t *testing.T) {
	if v := hand("a", "a", "a"); !near(v.shift().variance(v, 0), 0.25, 1e-12) {
		t.Errorf("one basis: %v, want 1/4", v.shift().variance(v, 0))
	}
	p := hand("a", "a", "b")
	for i, want := range []float64{0.75, 0.75, 0.5} {
		if got := p.shift().variance(p, i); !near(got, want, 1e-12) {
			t.Errorf("check %d: %v, want %v", i+1, got, want)
		}
	}
}

func TestAPointThatChangedAloneIsNamed(t *testing.T) {
	a := assess(t, line(2, 0.1, 0.1, 0.5, func(i int, x float64) float64 {
		if x == 15 {
			return 1.6 * float64(i)
		}
		return 0
	}))
	if a.Change == nil || a.Change.Of != "point" || a.Change.Point != 15 || a.State != Drifting {
		t.Fatalf("%s, %+v; want a change of point 15", a.State, a.Change)
	}
	if got := a.Line(micro()); !strings.HasPrefix(got, "15 mm alone changed by +1.") {
		t.Errorf("%q", got)
	}
}

func TestWhatIsOutsideSaysWhatMovedIt(t *testing.T) {
	for _, c := range []struct {
		f    func(int, float64) float64
		want string
	}{
		{func(i int, _ float64) float64 { return 1.6 * float64(i) }, "beyond its limit; zero has moved +4.8 µm in 36 months"},
		{func(i int, _ float64) float64 { return -4.5 }, "beyond its limit; largest expected error -4.5 "},
	} {
		a := assess(t, line(4, 0.1, 0.1, 0.1, c.f))
		if got := a.Line(micro()); a.State != Outside || !strings.HasPrefix(got, c.want) {
			t.Errorf("%s, %q; want %q", a.State, got, c.want)
		}
	}
	for state, want := range map[State]bool{Outside: true, Drifting: true, Moving: false, Steady: false, TooFew: false} {
		if state.Flagged() != want {
			t.Errorf("%s is flagged: %v", state, !want)
		}
	}
}

func TestTheForecastIsOfThePointNearestToItsLimit(t *testing.T) {
	a := assess(t, line(3, 0.1, 0.1, 0.1, func(_ int, x float64) float64 { return map[float64]float64{10: -1.5, 20: 1}[x] }))
	if a.Forecast.Point != 10 || !near(a.Forecast.Error, -1.5*um, 1e-12) {
		t.Errorf("%+v; want point 10 at -1.5 µm", a.Forecast)
	}
	// Two checks of one day are no series in time.
	same := line(2, 0.1, 0.1, 0.1, func(i int, _ float64) float64 { return float64(i) })
	same[1].Date = same[0].Date
	if a := assess(t, same); a.State != TooFew || len(a.Tests) != 0 {
		t.Errorf("two checks of one day: %s with %d tests", a.State, len(a.Tests))
	}
}

// The band of a trend is that of its line and one more observation, by hand:
// four yearly checks of one point, S² = 1 with many degrees of freedom, at the
// next year: 1 + 1/4 + 2.5²/5.
func TestBandOfAForecastByHand(t *testing.T) {
	p := panel{x: []float64{0}, sizes: []float64{1}, basis: make([]string, 4), own: 1e-6, start: calib.MustDate("2020-01-01")}
	for i := range 4 {
		p.t = append(p.t, float64(i))
		p.cells = append(p.cells, []Point{{Nominal: 1, Error: float64(i) * um, Limit: 9 * um, Own: um}})
	}
	zero, err := p.fit(p.shift(), 4, Prior{1, 1e9})
	if err != nil {
		t.Fatal(err)
	}
	a := Assessment{Trend: &Test{Of: theZero}, Zero: um}
	f, err := p.forecaster(a, zero, Known{})
	if err != nil {
		t.Fatal(err)
	}
	g := f.at(0, 4)
	if want := 1.959964 * math.Sqrt(1+0.25+2.5*2.5/5) * um; !near(g.Half, want, 1e-8) || !near(g.Error, 4*um, 1e-12) {
		t.Errorf("%+v; want 4 ± %v µm", g, want/um)
	}
}

func TestBasisNamesTheCertificatesOfTheBudget(t *testing.T) {
	row := func(k calib.ContributionKind, name, source string) calib.BudgetRow {
		return calib.BudgetRow{Kind: k, Name: name, Source: source}
	}
	r := calib.Result{Budget: []calib.BudgetRow{row(calib.Blocks, "calibration of the blocks GB-2", "certificate 7"), row(calib.Repeatability, "repeatability", "s/√n"),
		row(calib.Blocks, "calibration of the blocks GB-1", "certificate 3"), row(calib.Blocks, "calibration of the blocks GB-1", "certificate 3")}}
	if got := Basis(r); got != "calibration of the blocks GB-1, certificate 3; calibration of the blocks GB-2, certificate 7" {
		t.Errorf("%q", got)
	}
}

// After a change without a trend the last error is what is expected next, not
// the mean of before and after.
func TestAfterAChangeTheLastErrorIsExpected(t *testing.T) {
	a := assess(t, line(2, 0.05, 0.05, 0.05, func(i int, _ float64) float64 { return 2 * float64(i) }))
	if a.Change == nil || !near(a.Forecast.Error, 2*um, 1e-12) {
		t.Errorf("%+v; want 2 µm expected", a.Forecast)
	}
}

// Two points that always stood apart did not change.
func TestAFixedErrorCurveIsNoChange(t *testing.T) {
	a := assess(t, line(2, 0.05, 0.05, 0.05, func(_ int, x float64) float64 { return map[float64]float64{10: 2, 15: -2}[x] }))
	for _, x := range a.Tests {
		if !near(x.Size, 0, 1e-12) {
			t.Errorf("%s at %v changed by %v", x.Of, x.Point, x.Size)
		}
	}
	if a.State != Steady {
		t.Errorf("%s, want steady", a.State)
	}
}

// Four points at 0 to 3: the modes take up 1/4 + 1.5²/5 = 0.7 of the outer and
// 1/4 + 0.5²/5 = 0.3 of the inner ones; over all points they take up two.
func TestLeverageOfThePoints(t *testing.T) {
	p := hand("a", "a", "a")
	sum := 0.0
	for j, want := range []float64{0.7, 0.3, 0.3, 0.7} {
		if got := p.leverage(j); !near(got, want, 1e-12) {
			t.Errorf("point %d: %v, want %v", j, got, want)
		}
		sum += p.leverage(j)
	}
	if !near(sum, float64(p.modes()), 1e-12) {
		t.Errorf("sum %v, want %d", sum, p.modes())
	}
}

// A line without any scatter and without a budget is as sure as can be, and a
// gauge that never read anything but zero moves nowhere.
func TestATrendWithoutScatterIsNoNaN(t *testing.T) {
	for _, c := range []struct {
		slope float64
		want  State
	}{{0.3, Moving}, {0, Steady}} {
		a := assess(t, line(4, 0, 0, 0, func(i int, _ float64) float64 { return c.slope * float64(i) }))
		if a.State != c.want {
			t.Errorf("slope %v: %s, want %s", c.slope, a.State, c.want)
		}
		for _, x := range a.Tests {
			if math.IsNaN(x.T) || math.IsNaN(x.P) || math.IsInf(x.T, 0) {
				t.Errorf("test %+v", x)
			}
		}
	}
	inf := line(3, 0.1, 0.1, 0.1, func(int, float64) float64 { return 0 })
	inf[1].Points[2].Own = math.Inf(1)
	if _, err := Assess(inf, Options{Known: FromBudget()}); err == nil {
		t.Error("an infinite uncertainty was taken")
	}
}
