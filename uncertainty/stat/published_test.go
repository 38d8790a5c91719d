package stat

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

const (
	published = "../../testdata/published/"
	built     = "../../calib/evidence/published/" // the figures that are built into the program, seen from published
)

// rows reads a CSV file of at least two lines, less its heading.
func rows(t *testing.T, name string) [][]string {
	t.Helper()
	text, err := os.ReadFile(published + name)
	if err != nil {
		t.Fatal(err)
	}
	all, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %d rows, %v; want some", name, len(all), err)
	}
	return all[1:]
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	if s == "inf" {
		return math.Inf(1)
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func column(t *testing.T, all [][]string, n int) []float64 {
	x := make([]float64, len(all))
	for i, r := range all {
		x[i] = number(t, r[n])
	}
	return x
}

func TestCertifiedReferenceData(t *testing.T) {
	for _, r := range rows(t, built+"strd_certified.csv") {
		set, what, want, tolerance := r[0], r[1], number(t, r[2]), number(t, r[3])
		got, err := certified(t, set, what)
		if err != nil {
			t.Fatal(err)
		}
		if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
			t.Errorf("%s, %s: %.15g, certified %.15g, off by %.1e of it, more than %g", set, what, got, want, math.Abs(got/want-1), tolerance)
		}
	}
}

func certified(t *testing.T, set, what string) (float64, error) {
	data := rows(t, built+"strd_"+set+".csv")
	switch set {
	case "norris":
		l, err := FitLine(column(t, data, 1), column(t, data, 0), nil, 0)
		return map[string]float64{"intercept": l.Intercept, "u(intercept)": l.UIntercept, "slope": l.Slope, "u(slope)": l.USlope, "s": l.S}[what], err
	case "noint1":
		b, u, s, err := FitProportional(column(t, data, 1), column(t, data, 0))
		return map[string]float64{"slope": b, "u(slope)": u, "s": s}[what], err
	case "sirstv", "smls01":
		groups := map[string][]float64{}
		var order []string
		for _, r := range data {
			if groups[r[0]] == nil {
				order = append(order, r[0])
			}
			groups[r[0]] = append(groups[r[0]], number(t, r[1]))
		}
		var all [][]float64
		for _, g := range order {
			all = append(all, groups[g])
		}
		a, err := OneWay(all)
		return map[string]float64{"between": a.Between, "within": a.Within, "F": a.F, "s": a.SWithin()}[what], err
	}
	if what == "mean" {
		return Mean(column(t, data, 0))
	}
	return StdDev(column(t, data, 0))
}

func TestFactorsOfTable(t *testing.T) {
	for _, r := range rows(t, built+"t_factors.csv") {
		nu, p, _ := strings.Cut(r[1], " ")
		share := number(t, p) / 100
		switch p { // they stand for 1, 2 and 3 standard deviations of a normal distribution
		case "68.27":
			share = math.Erf(1 / math.Sqrt2)
		case "95.45":
			share = math.Erf(math.Sqrt2)
		case "99.73":
			share = math.Erf(3 / math.Sqrt2)
		}
		got, err := TQuantile((1+share)/2, number(t, nu))
		if err != nil || !(math.Abs(got-number(t, r[2])) <= number(t, r[3])*(1+1e-9)) {
			t.Errorf("%s: t is %.6f, %v; printed %s", r[0], got, err, r[2])
		}
	}
}

func TestQuantilesAgainstThirtyDigits(t *testing.T) {
	// Mark own: mpmath, 30 digits.
	for _, c := range []struct{ p, nu, want float64 }{
		{0.975, 1, 12.7062047361747},
		{0.975, 2, 4.30265272974946},
		{0.975, 16.7, 2.11270642065959},
		{0.975, 39, 2.02269092003676},
		{0.995, 16, 2.9207816224251},
		{0.99995, 1, 6366.19767131594},
		{0.975, math.Inf(1), 1.95996398454005},
		{0.975, 2e6, 1.95996398454005},
	} {
		got, err := TQuantile(c.p, c.nu)
		if err != nil || !(math.Abs(got/c.want-1) < 2e-6) || c.nu < 1e6 && !(math.Abs(got/c.want-1) < 1e-12) {
			t.Errorf("t of %v at %v: %.15g, %v; want %.15g", c.nu, c.p, got, err, c.want)
		}
		low, err := TQuantile(1-c.p, c.nu)
		if err != nil || !(math.Abs(low+got) <= 1e-9*got) {
			t.Errorf("t of %v at %v: %v, %v; want the mirror image of %v", c.nu, 1-c.p, low, err, got)
		}
	}
	for _, c := range []struct{ got, want float64 }{
		// JCGM 100:2008, H.5: F₀.₉₅(9, 40) = 2.12 and F₀.₉₇₅ = 2.45 (read); digits own.
		{must(t)(FQuantile(0.95, 9, 40)), 2.1240292640167},
		{must(t)(FQuantile(0.975, 9, 40)), 2.45193921702993},
		{must(t)(ChiSquaredQuantile(0.95, 10)), 18.3070380532751},
		{must(t)(NormalQuantile(0.975)), 1.95996398454005},
		{must(t)(TCDF(2.5, 4)), 0.966616727594006},
		{must(t)(FSurvival(2.261519, 9, 40)), 0.0373968464934458},
	} {
		if !(math.Abs(c.got/c.want-1) < 1e-12) {
			t.Errorf("%.15g, want %.15g", c.got, c.want)
		}
	}
}

func must(t *testing.T) func(float64, error) float64 {
	return func(v float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Error(err)
		}
		return v
	}
}
