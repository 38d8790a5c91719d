package stat

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func near(got, want, tolerance float64) bool { return math.Abs(got-want) <= tolerance }

func TestTwentyTemperatures(t *testing.T) {
	// JCGM 100:2008, 4.4.3, table 1 (read); unrounded values own.
	x := []float64{96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68,
		100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72}
	m, err := Mean(x)
	if err != nil || !near(m, 100.145, 1e-12) {
		t.Errorf("mean %v, %v; want 100.145", m, err)
	}
	s, err := StdDev(x)
	if err != nil || !near(s, 1.48884448, 5e-9) || !near(s/math.Sqrt(20), 0.33291575, 5e-9) {
		t.Errorf("s %v, %v; want 1.48884448 and 0.33291575 of the mean", s, err)
	}
}

func TestThermometerLine(t *testing.T) {
	// JCGM 100:2008, H.3 (read); unrounded values own.
	x := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	y := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	l, err := FitLine(x, y, nil, 20)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name                          string
		got, printed, half, unrounded float64
	}{
		{"intercept at 20 degrees", l.Intercept, -0.1712, 5e-5, -0.171203790},
		{"u(intercept)", l.UIntercept, 0.0029, 5e-5, 0.002877598},
		{"slope", l.Slope, 0.00218, 5e-6, 0.002182698},
		{"u(slope)", l.USlope, 0.00067, 5e-6, 0.000667939},
		{"correlation", l.R, -0.930, 5e-4, -0.930429603},
		{"s", l.S, 0.0035, 5e-5, 0.003497564},
		{"correction at 30 degrees", l.At(30), -0.1494, 5e-5, -0.149376813},
		{"its uncertainty", l.UMean(30), 0.0041, 5e-5, 0.004138596},
	} {
		if !near(c.got, c.printed, c.half) || !near(c.got, c.unrounded, 5.1e-10) {
			t.Errorf("%s: %.9f, printed %v, unrounded %v", c.name, c.got, c.printed, c.unrounded)
		}
	}
	if l.DoF != 9 {
		t.Errorf("%v degrees of freedom, want 9", l.DoF)
	}
	if !near(l.UPrediction(30), math.Hypot(l.UMean(30), l.S), 1e-15) {
		t.Errorf("one more observation is uncertain by %v", l.UPrediction(30))
	}
}

func TestVoltageStandardOverTenDays(t *testing.T) {
	// JCGM 100:2008, H.5 (read), in µV above 10 V; unrounded values own.
	means := []float64{172, 116, 13, 144, 106, 31, 60, 125, 163, 41}
	within := []float64{60, 77, 111, 101, 67, 93, 80, 73, 88, 86}
	four := []float64{4, 4, 4, 4, 4, 4, 4, 4, 4, 4}
	m := must(t)(Mean(means))
	s := must(t)(StdDev(means))
	pooled, dof, err := Pooled(within, four)
	if err != nil || !near(m, 97.1, 1e-12) || !near(s, 57.089501, 5e-7) || !near(pooled, 84.886984, 5e-7) || dof != 40 {
		t.Errorf("mean %v, s of means %v, pooled %v of %v, %v; want 97.1, 57.089501, 84.886984 of 40", m, s, pooled, dof, err)
	}
	f := 5 * s * s / (pooled * pooled)
	between := math.Sqrt((5*s*s - pooled*pooled) / 5)
	if !near(f, 2.261519, 5e-7) || !near(between, 42.638611, 5e-7) || !near(s/math.Sqrt(10), 18.053285, 5e-7) {
		t.Errorf("F %v, between days %v, s of the mean %v; want 2.261519, 42.638611, 18.053285", f, between, s/math.Sqrt(10))
	}
}

func TestAnalysisOfVarianceOfTheSameTenDays(t *testing.T) {
	// Days with these means and standard deviations: the published F again, through OneWay.
	means := []float64{172, 116, 13, 144, 106, 31, 60, 125, 163, 41}
	within := []float64{60, 77, 111, 101, 67, 93, 80, 73, 88, 86}
	var days [][]float64
	for i, m := range means {
		d := within[i] * math.Sqrt(2) // readings m−d, m, m, m, m+d have this s
		days = append(days, []float64{m - d, m, m, m, m + d})
	}
	a, err := OneWay(days)
	if err != nil || !near(a.F, 2.261519, 5e-7) || !near(a.SWithin(), 84.886984, 5e-7) || !near(a.SBetween(), 42.638611, 5e-7) ||
		a.DoFBetween != 9 || a.DoFWithin != 40 || a.PerGroup != 5 {
		t.Errorf("%+v, %v", a, err)
	}
}

func TestSimultaneousReadingsCorrelate(t *testing.T) {
	// JCGM 100:2008, H.2 (read); unrounded values own.
	v := []float64{5.007, 4.994, 5.005, 4.990, 4.999}
	i := []float64{19.663, 19.639, 19.640, 19.685, 19.678}
	phi := []float64{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}
	for _, c := range []struct {
		x, y []float64
		want float64
	}{{v, i, -0.35531122}, {v, phi, 0.85762421}, {i, phi, -0.64511122}} {
		if r := must(t)(Correlation(c.x, c.y)); !near(r, c.want, 5e-9) {
			t.Errorf("r %v, want %v", r, c.want)
		}
	}
}

func TestLineDoesNotMoveWithItsOrigin(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	for range 100 {
		x, y, w := make([]float64, 6), make([]float64, 6), make([]float64, 6)
		for i := range x {
			x[i], y[i], w[i] = 1000+r.Float64(), r.NormFloat64(), 0.5+r.Float64()
		}
		a, errA := FitLine(x, y, w, 0)
		b, errB := FitLine(x, y, w, 1000.5)
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		for _, at := range []float64{1000, 1000.7, 1003} {
			if !near(a.At(at), b.At(at), 1e-8) || !near(a.UMean(at), b.UMean(at), 1e-12) {
				t.Errorf("at %v: %v ± %v and %v ± %v", at, a.At(at), a.UMean(at), b.At(at), b.UMean(at))
			}
		}
	}
}

func TestRepeatedPointCountsAsItsWeight(t *testing.T) {
	a, errA := FitLine([]float64{0, 1, 2, 2}, []float64{0.1, 1.2, 1.9, 1.9}, nil, 0)
	b, errB := FitLine([]float64{0, 1, 2}, []float64{0.1, 1.2, 1.9}, []float64{1, 1, 2}, 0)
	if errA != nil || errB != nil || !near(a.Slope, b.Slope, 1e-14) || !near(a.Intercept, b.Intercept, 1e-14) {
		t.Errorf("%+v and %+v, %v, %v; want the same line", a, b, errA, errB)
	}
}

func TestRefusalsSayWhatIsWanted(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	first := func(_ float64, err error) error { return err }
	_, _, pooled := Pooled([]float64{1, 2}, []float64{4})
	_, _, negative := Pooled([]float64{-1}, []float64{4})
	_, _, freedom := Pooled([]float64{1}, []float64{nan})
	_, vertical := FitLine([]float64{1, 1}, []float64{1, 2}, nil, 0)
	_, weight := FitLine([]float64{1, 2}, []float64{1, 2}, []float64{1, 0}, 0)
	_, uneven := FitLine([]float64{1, 2}, []float64{1}, nil, 0)
	_, origin := FitLine([]float64{1, 2}, []float64{1, 2}, nil, inf)
	_, _, _, zero := FitProportional([]float64{0, 0}, []float64{1, 2})
	_, equal := OneWay([][]float64{{1, 1}, {1, 1}})
	_, single := OneWay([][]float64{{1}, {2}})
	_, group := OneWay([][]float64{{1, 2}})
	for _, c := range []struct {
		err  error
		want string
	}{
		{first(Mean(nil)), "0 readings; want at least 1"},
		{first(StdDev([]float64{1})), "1 readings; want at least 2"},
		{first(Mean([]float64{1, nan})), "readings: number 2: not a finite number; want finite numbers"},
		{first(Correlation([]float64{1, 2}, []float64{1})), "correlation: 2 and 1 readings; want as many of each"},
		{first(Correlation([]float64{1, 2}, []float64{3, 3})), "correlation: readings without scatter; want readings that differ"},
		{pooled, "pooled s: 2 standard deviations with 1 degrees of freedom; want as many of each, at least one"},
		{negative, "pooled s: standard deviation 1 is -1; want a finite one, not below zero"},
		{freedom, "pooled s: degrees of freedom 1 are NaN; want a finite number above zero"},
		{vertical, "line: all points at one x; want at least two different ones"},
		{weight, "line: weight 2 is 0; want a finite one above zero"},
		{uneven, "line: 2 x, 1 y and 0 weights; want as many of each"},
		{origin, "line: origin: not a finite number; want finite numbers"},
		{zero, "line through zero: all points at x = 0; want one elsewhere"},
		{equal, "analysis of variance: all data are equal; want data with scatter"},
		{single, "2 data; want at least 3"},
		{group, "1 groups; want at least 2"},
		{first(TQuantile(0.975, 0.999)), "t quantile: 0.999 degrees of freedom; want at least 1"},
		{first(TQuantile(0.975, nan)), "t quantile: NaN degrees of freedom; want at least 1"},
		{first(TQuantile(1, 5)), "t quantile: probability 1; want one between 0 and 1"},
		{first(TCDF(nan, 5)), "t distribution: t NaN with 5 degrees of freedom; want a number and at least 1"},
		{first(NormalQuantile(0)), "normal quantile: probability 0; want one between 0 and 1"},
		{first(ChiSquaredQuantile(0.5, 0)), "chi-squared quantile: 0 degrees of freedom; want a finite number above zero"},
		{first(FQuantile(0.5, 1, inf)), "quantile of F: 1 and +Inf degrees of freedom; want finite numbers above zero"},
		{first(FSurvival(1, 0, 1)), "distribution of F: F 1 with 0 and 1 degrees of freedom; want a number and finite degrees above zero"},
	} {
		if c.err == nil || c.err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", c.err, c.want)
		}
		if c.err != nil && strings.Contains(c.err.Error(), "\n") {
			t.Errorf("%q is more than one line", c.err)
		}
	}
	var count *CountError
	if _, err := StdDev(nil); !errors.As(err, &count) || count.Want != 2 {
		t.Errorf("%v; want a count error of 2", err)
	}
}

func TestQuantileReturnsItsArgument(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for range 500 {
		p, nu := 0.001+0.998*r.Float64(), 1+100*r.Float64()
		x := must(t)(TQuantile(p, nu))
		if back := must(t)(TCDF(x, nu)); !near(back, p, 1e-11) {
			t.Errorf("t of %v: quantile of %v has probability %v", nu, p, back)
		}
		z := must(t)(NormalQuantile(p))
		if back := NormalCDF(z); !near(back, p, 1e-14) {
			t.Errorf("normal quantile of %v has probability %v", p, back)
		}
	}
}
