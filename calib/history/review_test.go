package history

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/stat"
)

// The exact binomial test: 15 of 20 in tolerance at 365 d with a target of 95 %
// give 99.49 % and 231 d (230.8; read in a public tutorial). The other rows are
// our own, by the same formula elsewhere.
func TestIntervalTestOfAGroup(t *testing.T) {
	for _, c := range []struct {
		within, n   int
		target      float64
		c, interval float64
		unbounded   float64
	}{
		{15, 20, 0.95, 0.9949, 230.8, 230.8},
		{18, 20, 0.95, 0.47, 365, 345.7},
		{40, 40, 0.90, 0.97, 456, 456},
		{19, 20, 0.95, 0, 365, 365},
		{5, 20, 0.95, 1, 182.5, 72.8}, // bounded to half
	} {
		g := Group{Checks: c.n, Within: c.within, Target: c.target, Months: 365}
		conf, err := g.Confidence()
		if err != nil || !near(conf, c.c, 0.005) || c.c == 0.9949 && !near(conf, c.c, 5e-5) {
			t.Errorf("%d of %d: confidence %.5f, %v; want %.4f", c.within, c.n, conf, err, c.c)
		}
		p, err := g.Test()
		if err != nil || !near(p.New, c.interval, 0.5) {
			t.Errorf("%d of %d: %.2f, %v; want %.1f", c.within, c.n, p.New, err, c.interval)
		}
		if got := 365 * g.factor(conf); !near(got, c.unbounded, 1) {
			t.Errorf("%d of %d: unbounded %.2f, want %.1f", c.within, c.n, got, c.unbounded)
		}
	}
	if p, err := (Group{Checks: 9, Within: 2, Target: 0.95, Months: 12}).Test(); err != nil || p.New != 12 || !strings.Contains(p.Why, "fewer than 10") {
		t.Errorf("nine checks: %+v, %v; want it kept", p, err)
	}
}

// Figures of the requirements' example (own): 12 months, MPE 4 µm, largest
// errors 1.8, 2.1, 3.6, 4.5 µm: 12, 15, 15, 7.5 months.
func TestStaircase(t *testing.T) {
	shares := []float64{1.8 / 4, 2.1 / 4, 3.6 / 4, 4.5 / 4}
	for n, want := range []float64{12, 12, 15, 15, 7.5} {
		p, err := UsualStair().Climb(shares[:n], 12)
		if err != nil || p.New != want || p.Old != 12 || p.Why == "" || p.Inputs == "" {
			t.Errorf("after %d checks: %+v, %v; want %v months", n, p, err, want)
		}
	}
	for share, want := range map[float64]float64{0.8: 15, 0.8001: 12, 1: 12, 1.0001: 6} { // at its bounds
		if p, err := UsualStair().Climb([]float64{0.1, share}, 12); err != nil || p.New != want {
			t.Errorf("at %v of the limit: %v months, %v; want %v", share, p.New, err, want)
		}
	}
	p, _ := UsualStair().Climb(shares, 12)
	if p.Months() != 7 {
		t.Errorf("7.5 months are %d whole ones, want 7", p.Months())
	}
	long, _ := UsualStair().Climb(slices.Repeat([]float64{0.1}, 40), 12)
	short, _ := UsualStair().Climb(slices.Repeat([]float64{2}, 40), 12)
	if long.New != 36 || short.New != 1 {
		t.Errorf("%v and %v; want the bounds 36 and 1", long.New, short.New)
	}
}

// What was answered once is not answered again: a failure before the last good
// checks no longer shortens.
func TestTheNextStepGoesByTheLastChecksAlone(t *testing.T) {
	for _, c := range []struct {
		shares []float64
		want   float64
	}{
		{[]float64{1.2}, 6}, {[]float64{0.1, 1.2}, 6}, {[]float64{1.2, 0.1}, 12}, {[]float64{1.2, 0.1, 0.1}, 15},
		{[]float64{0.1, 0.9}, 12}, {[]float64{0.1, 0.1, 0.1, 0.1}, 15}, {[]float64{0.9, 0.1}, 12},
	} {
		if p, err := UsualStair().Next(c.shares, 12); err != nil || p.New != c.want {
			t.Errorf("%v: %+v, %v; want %v months", c.shares, p, err, c.want)
		}
	}
}

func TestReviewsRefuseWhatIsNoInterval(t *testing.T) {
	nan := math.NaN()
	for name, err := range map[string]error{
		"interval 0":      second(UsualStair().Climb(nil, 0)),
		"interval NaN":    second(UsualStair().Climb(nil, nan)),
		"share NaN":       second(UsualStair().Climb([]float64{nan}, 12)),
		"no stair":        second(Stair{}.Climb(nil, 12)),
		"more than all":   second(Group{Checks: 3, Within: 4, Target: 0.9, Months: 12}.Test()),
		"target 1":        second(Group{Checks: 3, Within: 3, Target: 1, Months: 12}.Test()),
		"group without":   second(Group{Target: 0.9, Months: 12}.Test()),
		"group, interval": second(Group{Checks: 3, Within: 3, Target: 0.9, Months: nan}.Test()),
	} {
		if err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

func second(_ Proposal, err error) error { return err }

func TestForecastGivesTheIntervalUntilTheLimit(t *testing.T) {
	drifting := line(4, 0.1, 0.1, 0.1, func(i int, x float64) float64 { return 0.8*float64(i) + 0.02*math.Sin(float64(i)+x) })
	o := Options{Known: FromBudget()}
	bare, err := ForecastInterval(drifting, o, 12, false)
	guarded, err2 := ForecastInterval(drifting, o, 12, true)
	if err != nil || err2 != nil {
		t.Fatal(err, err2)
	}
	// e reaches 4 µm two years after the last check and 3 µm, less U, 9 months
	// after it; the interval about the line comes sooner.
	if !(bare.New > 12 && bare.New < 24) || !(guarded.New < 9 && guarded.New >= 1) || bare.Old != 12 {
		t.Errorf("%+v and guarded %+v", bare, guarded)
	}
	steady := line(5, 0.1, 0.1, 0.1, func(i int, x float64) float64 { return 0.02 * math.Sin(float64(i)+x) })
	if p, err := ForecastInterval(steady, o, 12, false); err != nil || p.New != 36 {
		t.Errorf("steady: %+v, %v; want the longest", p, err)
	}
	var few *stat.CountError
	if _, err := ForecastInterval(drifting[:3], o, 12, false); !errors.As(err, &few) {
		t.Errorf("three checks: %v, want a *stat.CountError", err)
	}
}

func TestSharesAreOfFullChecksAsFound(t *testing.T) {
	checks := line(4, 0.1, 0.1, 0.1, func(i int, _ float64) float64 { return float64(-i) })
	checks[1].Stage, checks[2].Intermediate = calib.AsLeft, true
	if got := Shares(checks, 0); len(got) != 2 || got[0] != 0 || !near(got[1], 0.75, 1e-12) {
		t.Errorf("%v; want 0 and 0.75", got)
	}
	if got := Shares(checks, 1); len(got) != 1 {
		t.Errorf("after entry 1: %v; want one", got)
	}
}

// e-Handbook of Statistical Methods (NIST/SEMATECH), 6.3.2.2, individuals chart
// of ten flow rates: centre 50.81, mean moving range 1.8778, limits 55.8041 and
// 45.8159 (value from memory). d₂ is printed as 1.128, so the last digit is
// its rounding's.
func TestIndividualsChartOfTheHandbook(t *testing.T) {
	flow := []float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}
	c, err := NewIndividualsChart(flow)
	if err != nil || !near(c.Centre, 50.81, 1e-9) || !near(c.Centre+c.Action(), 55.8041, 0.002) || !near(c.Centre-c.Action(), 45.8159, 0.002) {
		t.Errorf("%+v, %v", c, err)
	}
	if runs := c.Runs(flow); len(runs) != 0 {
		t.Errorf("runs %+v; want none", runs)
	}
}

func TestChartFromABaseline(t *testing.T) {
	base := []float64{1, 2, 3, 4, 5, 6, 7}
	c, err := NewChart(base)
	s := math.Sqrt(28.0 / 6)
	if err != nil || c.Centre != 4 || !near(c.S, s, 1e-12) || !near(c.Warning(), 2*s, 1e-12) || !near(c.Action(), 3*s, 1e-12) || c.DoF != 6 {
		t.Errorf("%+v, %v", c, err)
	}
	if runs := c.Runs([]float64{4, 4 + 3.1*s}); len(runs) != 1 || runs[0].Rule != "1 value beyond 3 s" {
		t.Errorf("%+v", runs)
	}
	long := slices.Repeat(base, 4)[:25]
	frozen, _ := NewChart(long)
	if later, err := NewChart(append(slices.Clone(long), 90, 91)); err != nil || later != frozen {
		t.Errorf("later values moved the baseline: %+v, %v", later, err)
	}
	for _, bad := range [][]float64{base[:6], {1, 1, 1, 1, 1, 1, 1}, {1, 2, 3, 4, 5, 6, math.NaN()}} {
		if _, err := NewChart(bad); err == nil {
			t.Errorf("%v: taken", bad)
		}
		if _, err := NewIndividualsChart(bad); err == nil {
			t.Errorf("%v: taken by the moving range", bad)
		}
	}
}

// Mark own: old 0.2 0.4 0.1 0.3 0.5, new 0.9 1.1 0.8 µm; s_p 0.156, t 5.55, ν 6,
// limit 2.447: shifted.
func TestMeansThatShifted(t *testing.T) {
	s, err := CompareMeans([]float64{0.2, 0.4, 0.1, 0.3, 0.5}, []float64{0.9, 1.1, 0.8})
	if err != nil || !near(s.Pooled, 0.156, 5e-4) || !near(s.T, 5.55, 0.005) || s.DoF != 6 || !near(s.Limit, 2.447, 5e-4) || !s.Shifted() {
		t.Errorf("%+v, %v", s, err)
	}
	for _, bad := range [][2][]float64{{{1}, {1, 2}}, {{1, 1}, {1, 1}}, {{1, math.NaN()}, {1, 2}}} {
		if _, err := CompareMeans(bad[0], bad[1]); err == nil {
			t.Errorf("%v: taken", bad)
		}
	}
}

// Figures by a quadrature of Student's density and Holm's steps with weights,
// outside the program (own).
func TestAFamilyIsCorrectedByTheSharesOfItsKind(t *testing.T) {
	for _, c := range []struct {
		kind   string
		shares shares
		want   [3]float64 // zero, scale, point
	}{
		{"trend", trendShares(), [3]float64{0.0313968353, 0.0425457304, 0.0560481875}},
		{"change", changeShares(), [3]float64{0.0333591376, 0.0471702664, 0.0560481875}},
	} {
		list, err := family(c.kind, []Test{{T: 3, DoF: 10, Share: c.shares.of(theZero)}, {T: -2.5, DoF: 10, Share: c.shares.of(theScale)}, {T: 2, DoF: 26, Share: c.shares.of(aPoint)}})
		if err != nil {
			t.Fatal(err)
		}
		for i, x := range list {
			if math.Abs(x.P-c.want[i]) > 1e-8 || x.Kind != c.kind {
				t.Errorf("%s %d: p %.10f, want %.10f", c.kind, i, x.P, c.want[i])
			}
		}
	}
}
