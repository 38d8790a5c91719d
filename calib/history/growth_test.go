package history

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/wring/uncertainty/stat"
)

// By hand: four points at 0, 1, 2, 3 mm have the tilt (x − 1.5)/5, of variance
// 1/5; what is alike at all of them leaves it, what grows by k a mm stays as k².
// The shift of variance 1/4 has that of 1.5 mm, and both have 1.5·k² in common.
func TestAShiftLeavesTheTiltAndTemperatureDoesNot(t *testing.T) {
	const alike, k = 2.0, 0.4
	p := hand("a", "a", "a")
	for i := range p.cells {
		for j, x := range p.sizes {
			p.cells[i][j].Common = math.Hypot(alike, k*x)
		}
	}
	for j, want := range []float64{-0.3, -0.1, 0.1, 0.3} {
		if v := p.tilt(); !near(v[j], want, 1e-15) {
			t.Errorf("tilt at point %d: %v, want %v", j, v[j], want)
		}
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"shift", p.shift().fresh(p, 0), 0.25 + alike*alike + 1.5*1.5*k*k},
		{"tilt", p.tilt().fresh(p, 0), 0.2 + k*k},
		{"both", p.shift().covariance(p.tilt(), p, 0), 1.5 * k * k},
	} {
		if !near(c.got, c.want, 1e-12) {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
}

func TestWhatPointsShareIsNowhereLessThanTheBudget(t *testing.T) {
	draw := rand.New(rand.NewPCG(5, 5))
	for range 200 {
		var row []Point
		for range 2 + draw.IntN(8) {
			row = append(row, Point{Nominal: 100 * draw.Float64(), Common: draw.Float64()})
		}
		level, grown := parted(row)
		if !(level >= 0 && grown >= 0) {
			t.Fatalf("%v: %v and %v", row, level, grown)
		}
		for _, q := range row {
			if have := level + grown*q.Nominal*q.Nominal; have < q.Common*q.Common-1e-12 {
				t.Fatalf("%v at %v mm, the budget has %v", have, q.Nominal, q.Common*q.Common)
			}
		}
	}
}

// By hand: the points' mean distance is 1.5 mm. A shift of 4.5 ± 1.5 is a scale
// of 3 ± 1; beside a tilt of 4 ± 1 it weighs as much, so 3.5, with variance 1/2,
// times 1 + 4·¼·(1/10 + 1/10) after Meier, and 10 + 10 degrees of freedom. A tilt
// of half that uncertainty weighs four times as much: (3 + 4·4)/5, variance 1/5,
// 1 + 4·(4/25)·(2/10), and 1/(1/25 + 16/25)·10 degrees of freedom.
func TestShiftAndTiltTogetherByHand(t *testing.T) {
	p := hand("a", "a", "a")
	for _, c := range []struct{ u, size, variance, dof float64 }{
		{1, 3.5, 0.5 * 1.2, 20},
		{0.5, 3.8, 0.2 * 1.128, 250.0 / 17},
	} {
		got := p.grownFromZero(estimate{4.5, 1.5, 10}, estimate{4, c.u, 10}, 0)
		if !near(got.size, c.size, 1e-12) || !near(got.u*got.u, c.variance, 1e-12) || !near(got.dof, c.dof, 1e-9) {
			t.Errorf("tilt ± %v: %+v, want %+v", c.u, got, c)
		}
	}
}

// Without anything known of a point by itself no tilt is believed.
func TestWithoutABudgetOfPointsTheGrowthFromTheZeroDecides(t *testing.T) {
	p := hand("a", "a", "a")
	p.own = 0
	tilt := estimate{4, 1, 10}
	if got := p.grownFromZero(estimate{4.5, 1.5, 10}, tilt, 0); got != tilt || p.tilt() != nil {
		t.Errorf("%+v, tilt %v", got, p.tilt())
	}
	if v, w := p.steep(), p.scale(); v[3] != w[3] || v[0] != w[0] {
		t.Errorf("%v, want %v", v, w)
	}
}

// Series that do not move, with errors as their budget says them: at points, of
// the check, and growing with the size. A test of 5 % finds 5 % of them moving
// where the budget is well known, and where every gauge scatters more or less
// than its budget by as much as eight degrees of freedom let it.
func TestAScaleThatDoesNotGrowIsFoundAsOftenAsTheLevelSays(t *testing.T) {
	draw := rand.New(rand.NewPCG(7, 7))
	const series, level = 6000, 0.05
	for _, c := range []struct {
		dof  float64
		true func() float64
	}{{1e6, func() float64 { return 1 }}, {8, func() float64 { return math.Sqrt(8 / chi2(draw, 8)) }}} {
		found := 0
		for range series {
			g := still(draw, 4, c.true())
			p := align(g, 0)
			zero, err := p.fit(p.shift(), 4, Prior{1, c.dof})
			if err != nil {
				t.Fatal(err)
			}
			e, _, err := p.growth(zero.slope(), Prior{1, c.dof})
			if err != nil {
				t.Fatal(err)
			}
			if chance, err := stat.TwoSided(e.size/e.u, e.dof); err != nil {
				t.Fatal(err)
			} else if chance <= level {
				found++
			}
		}
		if share := float64(found) / series; share < 0.042 || share > 0.058 {
			t.Errorf("budget with %v degrees of freedom: %.3f found, want 0.042 to 0.058", c.dof, share)
		}
	}
}

// Other blocks, whose errors grow with the size, bring one figure to shift and
// tilt, which do not know better together than either. A change that is nothing
// but the change of blocks is found as often as the level says.
func TestOtherBlocksMoveShiftAndTiltTogether(t *testing.T) {
	draw := rand.New(rand.NewPCG(11, 5))
	const series, level, times = 6000, 0.05, 0.1
	found := 0
	for range series {
		g := line(2, 0.02, 0, 0, func(int, float64) float64 { return 0 })
		g[1].Basis = "b"
		for i := range g {
			set := draw.NormFloat64()
			for j := range g[i].Points {
				q := &g[i].Points[j]
				q.Blocks = times * um * q.Nominal
				q.Error = um * (0.02*draw.NormFloat64() + times*q.Nominal*set)
			}
		}
		sure := Prior{1, 1e6}
		tests, err := align(g, 0).changes(Known{sure, sure, sure})
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range tests {
			if c.Of == theScale && c.raw <= level {
				found++
			}
		}
	}
	if share := float64(found) / series; share < 0.042 || share > 0.058 {
		t.Errorf("%.3f found, want 0.042 to 0.058", share)
	}
}

// still is so many checks of a gauge that does not move, each error drawn from
// its budget, times so much.
func still(draw *rand.Rand, n int, times float64) []Check {
	checks := line(n, 1, 0, 0, func(int, float64) float64 { return 0 })
	for i := range checks {
		alike, grown := draw.NormFloat64(), draw.NormFloat64()
		for j := range checks[i].Points {
			q := &checks[i].Points[j]
			q.Common = math.Hypot(0.8*um, 0.02*um*q.Nominal)
			q.Error = times * um * (draw.NormFloat64() + 0.8*alike + 0.02*q.Nominal*grown)
		}
	}
	return checks
}

func chi2(draw *rand.Rand, n int) (sum float64) {
	for range n {
		z := draw.NormFloat64()
		sum += z * z
	}
	return sum
}

// A zero that jumps and a scale that jumps both move the mean of the points;
// each is told by its own name.
func TestAChangeIsToldByWhatLeavesLess(t *testing.T) {
	for _, c := range []struct {
		error func(i int, x float64) float64
		words string
	}{
		{func(i int, _ float64) float64 { return 1.5 * float64(i) }, "zero changed by +1.5 µm since the check before"},
		{func(i int, x float64) float64 { return 0.12 * x * float64(i) }, "scale: the error at 25 mm changed by +3.0 µm since the check before"},
	} {
		a := assess(t, line(2, 0.05, 0.05, 0.05, c.error))
		if got := a.Line(micro()); !strings.HasPrefix(got, c.words) {
			t.Errorf("%q, want %q", got, c.words)
		}
	}
}

// Where a zero wanders steadily and a scale grows beside it, the band of 95 %
// holds what is observed five years on, at the smallest size and the largest.
func TestABandHoldsWhereZeroAndScaleBothMove(t *testing.T) {
	draw := rand.New(rand.NewPCG(3, 9))
	seen, held := 0.0, [2]float64{}
	for range 3000 {
		g := line(6, 0.2, 0, 0.5, func(year int, x float64) float64 { return float64(year) * (2 - 0.2*x) })
		for i := range g {
			alike := draw.NormFloat64()
			for j := range g[i].Points {
				g[i].Points[j].Error += um * (0.2*draw.NormFloat64() + 0.5*alike)
			}
		}
		o := Options{Known: Known{Prior{1, 1e6}, Prior{1, 1e6}, Prior{1, 1e6}}}
		a, err := Assess(g, o)
		if err != nil {
			t.Fatal(err)
		}
		if a.Zero == 0 || a.Scale == 0 {
			continue
		}
		p := align(g, 0)
		_, zero, err := p.trends(o.Known)
		if err != nil {
			t.Fatal(err)
		}
		f, err := p.forecaster(a, zero, o.Known)
		if err != nil {
			t.Fatal(err)
		}
		seen++
		alike := draw.NormFloat64()
		for k, j := range []int{0, 4} {
			c := f.at(j, 10)
			at := um * (10*(2-0.2*p.sizes[j]) + 0.2*draw.NormFloat64() + 0.5*alike)
			if math.Abs(at-c.Error) <= c.Half {
				held[k]++
			}
		}
	}
	if small, large := held[0]/seen, held[1]/seen; seen < 2500 || small < 0.93 || small > 0.98 || large < 0.93 || large > 0.98 {
		t.Errorf("%v series: %.3f and %.3f held, want about 0.95", seen, small, large)
	}
}
