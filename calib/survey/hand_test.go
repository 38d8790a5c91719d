package survey

import (
	"math"
	"slices"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// whole is a survey that has everything: two and three readings at a place, a
// zero, a compression run that scatters by more than a step, a fall across.
func whole() (Survey, Basis) {
	s := gridded(3, "0.200 0.202", "0.199 0.200", "0.196 0.197",
		"0.201 0.201", "0.199 0.199 0.201", "0.197 0.196",
		"0.202 0.200", "0.198 0.199", "0.195 0.197",
		"0.201 0.203", "0.200 0.199", "0.198 0.197")
	s.Zero = readings("in", "0.001")
	for _, p := range [][2]string{{"5", "0.203"}, {"6", "0.200"}, {"7", "0.197"}, {"8", "0.197"}} {
		s.Compression = append(s.Compression, Press{unit.Must(p[0]+" psi", unit.Pressure), length(p[1] + " in")})
	}
	b := feltBasis()
	b.Sizes.Plan.Zero = calib.ZeroSubtracted
	return s, b
}

// Own: every figure worked out apart, in mpmath of 30 digits, from the formulas
// of the design: normal equations for the trends, the incomplete beta function
// for p, the double integral for k₂, variances summed line by line.
func TestAWholeSurveyAgreesWithArithmeticApart(t *testing.T) {
	s, b := whole()
	r := evaluated(t, s, b)
	near(t, "b", r.Pressure.B, -0.346681436097, 1e-11)
	near(t, "u(b)", r.Pressure.Standard, 0.0696661831365, 1e-11)
	near(t, "pressure verified", r.Pressure.Verified, 41.5103243333, 1e-8)
	near(t, "correction", r.Pressure.Correction, 0.00118613446821, 1e-11)
	near(t, "mean", r.Mean.Value.Float(), 5.02183480113, 2e-9)
	near(t, "u of the mean", r.Mean.Standard, 0.0188548986024, 1e-8)
	near(t, "s", r.S, 0.0516818553189, 2e-9)
	near(t, "within", r.Within.S, 0.0260431397532, 1e-12)
	near(t, "thickness at A1", r.Places[0].Thickness.Value.Float(), 5.07102613447, 2e-9)
	near(t, "u at A1, two readings", r.Places[0].Thickness.Standard, 0.0228468175305, 1e-8)
	near(t, "u at B2, three readings", r.Places[4].Thickness.Standard, 0.0202111001253, 1e-8)
	near(t, "median", r.Median.Float(), 5.03307853447, 2e-9)
	near(t, "range", r.Range.Float(), 0.1517904, 2e-9)
	near(t, "k₂", r.Interval.K, 3.174664297, 1e-8)
	near(t, "low", r.Interval.Low, 4.85776226, 1e-7)
	near(t, "high", r.Interval.High, 5.185907342, 1e-7)
	for i, want := range []struct{ effect, expanded, p, end, u float64 }{
		{-0.1170051, 0.0243081577478, 1.162585073e-5, 5.08033735113, 0.0132479000462},
		{0.01096264, 0.0266282526597, 0.7404590368, 5.01635348113, 0.0134248547586},
		{0.00385646341463, 0.0278969675714, 0.7580565686, 5.01883532959, 0.0153445844747},
	} {
		x := r.Trends[i]
		near(t, x.Name+": effect", x.Effect, want.effect, 5e-9)
		near(t, x.Name+": U", x.Expanded, want.expanded, 5e-9)
		near(t, x.Name+": p by Holm", x.P, want.p, 1e-7*want.p+1e-11)
		near(t, x.Name+": first end", x.Ends[0].Thickness.Value.Float(), want.end, 5e-9)
		near(t, x.Name+": u of it", x.Ends[0].Thickness.Standard, want.u, 1e-8)
	}
}

// Own, by hand: a fall of exactly a step from column to column leaves no
// scatter, and is known as readings of steps are: u = (step/√12)/√Σ(x−x̄)²,
// Σ = 6·(1/3)² over nine cells, t₉₅(5) = 2.570582, over ⅔ of the width.
func TestATrendOfWholeStepsIsKnownToAStep(t *testing.T) {
	b := feltBasis()
	for i := range b.Sizes.Result.Points {
		b.Sizes.Result.Points[i].Error = unit.Exact{}
	}
	r := evaluated(t, gridded(3, "0.201", "0.200", "0.199", "0.201", "0.200", "0.199", "0.201", "0.200", "0.199"), b)
	near(t, "U of the fall", r.Trends[0].Expanded, 2.570582*0.0254/math.Sqrt(12)/math.Sqrt(6.0/9)*2/3, 1e-7)
}

// Own: readings that scatter by half a step and more are rounded each for
// itself, so what rounding adds falls with their number; below that it stays.
func TestResolutionFallsWithPlacesOnlyWhereTheyScatter(t *testing.T) {
	for _, c := range []struct {
		typed []string
		share float64
	}{
		{[]string{"0.200", "0.201", "0.200", "0.201", "0.200", "0.201"}, 1 / math.Sqrt(6)}, // s 0.55 steps
		{[]string{"0.200", "0.200", "0.200", "0.201", "0.200", "0.200"}, 1},                // s 0.41 steps
	} {
		b := feltBasis()
		for i := range b.Sizes.Result.Points {
			b.Sizes.Result.Points[i].Error = unit.Exact{}
		}
		s := gridded(3, c.typed...)
		r := evaluated(t, s, b)
		i := slices.IndexFunc(r.Budget, func(l calib.BudgetRow) bool { return l.Kind == calib.Resolution })
		_, share, _ := r.Budget[i].At(0)
		near(t, "share of the resolution", share, c.share, 1e-12)
		U, err := takingOf(t, s, b).expandedOf(6)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "U of six places", U, r.Mean.Expanded, 1e-9)
	}
}

// The lot's verdict is the worse of the mean's and the places': a mean that
// fails is not saved by a wide tolerance of the places.
func TestTheWorseVerdictIsTheLots(t *testing.T) {
	for _, c := range []struct {
		mean, place [2]string
		want        calib.Verdict
	}{
		{[2]string{"0.190", "0.210"}, [2]string{"0.190", "0.210"}, "pass"},
		{[2]string{"0.205", "0.210"}, [2]string{"0.190", "0.210"}, "fail"},
		{[2]string{"0.190", "0.210"}, [2]string{"0.199", "0.210"}, "fail"},
	} {
		b := feltBasis()
		b.Lot.Mean = calib.Band{Low: length(c.mean[0] + " in"), High: length(c.mean[1] + " in")}
		b.Lot.Place = calib.Band{Low: length(c.place[0] + " in"), High: length(c.place[1] + " in")}
		if r := evaluated(t, gridded(3, "0.200", "0.201", "0.199", "0.200", "0.202", "0.198"), b); r.Verdict != c.want {
			t.Errorf("mean %v, places %v: %s; want %s", c.mean, c.place, r.Verdict, c.want)
		}
	}
}

// Own: of an even number of places the median is the middle of the two.
func TestMedianOfAnEvenNumberOfPlaces(t *testing.T) {
	b := feltBasis()
	for i := range b.Sizes.Result.Points {
		b.Sizes.Result.Points[i].Error = unit.Exact{}
	}
	r := evaluated(t, gridded(2, "0.198", "0.200", "0.203", "0.207", "0.199", "0.206"), b)
	near(t, "median in inches", r.Median.Float()/25.4, 0.2015, 1e-12)
}
