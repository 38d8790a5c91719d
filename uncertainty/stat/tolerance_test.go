package stat

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// The factors, slopes and uncertainties of testdata/published/survey_oracle.csv
// come from SciPy and NumPy (own).
func TestToleranceFactorsAndFitsAgainstOtherLibraries(t *testing.T) {
	seen := map[string]int{}
	for _, r := range rows(t, "survey_oracle.csv") {
		kind, which, _ := strings.Cut(r[0], " ")
		var got float64
		var err error
		switch kind {
		case "tolerance":
			in := strings.Fields(r[1])
			got, err = ToleranceFactor(int(number(t, in[0])), number(t, in[1]), number(t, in[2]))
		case "several":
			got, err = severalOf(t, which, r[1])
		default:
			continue // the log law is the survey's
		}
		want := number(t, r[2])
		if err != nil || !(math.Abs(got-want) <= number(t, r[3])*math.Max(1e-3, math.Abs(want))) {
			t.Errorf("%s of %s: %.12g, %v; want %.12g", r[0], r[1], got, err, want)
		}
		seen[kind]++
	}
	if seen["tolerance"] < 5 || seen["several"] < 12 {
		t.Errorf("cases %v; want five factors and two fits", seen)
	}
}

func severalOf(t *testing.T, which, inputs string) (float64, error) {
	var columns [3][]float64
	var y []float64
	for row := range strings.SplitSeq(inputs, ";") {
		f := strings.Fields(row)
		for j := range columns {
			columns[j] = append(columns[j], number(t, f[j]))
		}
		y = append(y, number(t, f[3]))
	}
	v, err := FitSeveral(columns[:], y)
	if err != nil {
		return 0, err
	}
	what, j, _ := strings.Cut(which, " ")
	if what == "u" {
		return v.U[int(number(t, j))], nil
	}
	return v.Slope[int(number(t, j))], nil
}

// e-Handbook 7.2.6.3: 43 values, 90 % of the population with 99 % confidence,
// k₂ 2.217 (from memory). That is Howe's approximation,
// √(ν(1+1/n)·z²/χ²); the exact factor differs by less than 3 in a thousand.
func TestToleranceFactorOfTheHandbook(t *testing.T) {
	z, _ := NormalQuantile(0.95)
	chi, _ := ChiSquaredQuantile(0.01, 42)
	howe := z * math.Sqrt(42*(1+1/43.0)/chi)
	if math.Abs(howe-2.217) > 0.0005 {
		t.Errorf("Howe's formula gives %.4f; want 2.217", howe)
	}
	k, err := ToleranceFactor(43, 0.90, 0.99)
	if err != nil || math.Abs(k/howe-1) > 0.003 {
		t.Errorf("exact factor %.5f, %v; want it within 0.3 %% of %.5f", k, err, howe)
	}
}

// Law: more of the population, more confidence or fewer values widen the
// interval, and of very many values the factor is the normal quantile.
func TestToleranceFactorGrowsWithWhatIsAsked(t *testing.T) {
	at := func(n int, p, gamma float64) float64 {
		k, err := ToleranceFactor(n, p, gamma)
		if err != nil {
			t.Fatalf("%d %v %v: %v", n, p, gamma, err)
		}
		return k
	}
	k := at(10, 0.95, 0.95)
	for name, wider := range map[string]float64{"fewer values": at(9, 0.95, 0.95), "more of the population": at(10, 0.96, 0.95), "more confidence": at(10, 0.95, 0.96)} {
		if !(wider > k) {
			t.Errorf("%s: %v is not above %v", name, wider, k)
		}
	}
	z, _ := NormalQuantile(0.975)
	if far := at(1_000_000, 0.95, 0.5); math.Abs(far/z-1) > 1e-3 {
		t.Errorf("of a million values %v; want %v", far, z)
	}
	for _, bad := range []struct {
		n        int
		p, gamma float64
	}{{1, 0.9, 0.9}, {5, 1, 0.9}, {5, math.NaN(), 0.9}, {5, 0.9, math.NaN()}, {5, 0.9, 0}} {
		if k, err := ToleranceFactor(bad.n, bad.p, bad.gamma); err == nil {
			t.Errorf("%v: no refusal, %v", bad, k)
		}
	}
}

// The promise itself, by drawing: x̄ ± k₂·s holds the share in as many of the
// samples as the confidence says. 4000 samples of 8; the binomial standard
// deviation at 0.9 is 0.0047.
func TestToleranceIntervalHoldsWhatItPromises(t *testing.T) {
	const n, share, confidence, samples = 8, 0.8, 0.9, 4000
	k, err := ToleranceFactor(n, share, confidence)
	if err != nil {
		t.Fatal(err)
	}
	draw := rand.New(rand.NewPCG(7, 7))
	held := 0
	for range samples {
		x := make([]float64, n)
		for i := range x {
			x[i] = draw.NormFloat64()
		}
		m, _ := Mean(x)
		s, _ := StdDev(x)
		if NormalCDF(m+k*s)-NormalCDF(m-k*s) >= share {
			held++
		}
	}
	if got := float64(held) / samples; math.Abs(got-confidence) > 4*0.0047 {
		t.Errorf("held in %.4f of the samples; want %.2f", got, confidence)
	}
}

// Law: columns of noughts and ones that are orthogonal give differences of
// means, and a column that follows from others is refused.
func TestSeveralColumnsAreToldApart(t *testing.T) {
	a := []float64{0, 0, 1, 1, 0, 0, 1, 1}
	b := []float64{0, 1, 0, 1, 0, 1, 0, 1}
	y := make([]float64, len(a))
	for i := range y {
		y[i] = 5 - 0.3*a[i] + 0.02*b[i]
	}
	v, err := FitSeveral([][]float64{a, b}, y)
	if err != nil || math.Abs(v.Slope[0]+0.3) > 1e-12 || math.Abs(v.Slope[1]-0.02) > 1e-12 || v.S > 1e-12 {
		t.Errorf("slopes %v, s %v, %v", v.Slope, v.S, err)
	}
	sum := make([]float64, len(a))
	for i := range sum {
		sum[i] = a[i] + b[i]
	}
	for name, columns := range map[string][][]float64{"follows": {a, b, sum}, "constant": {make([]float64, 8)}, "short": {a[:7]}, "none": nil, "nan": {{0, 0, 1, 1, 0, 0, 1, math.NaN()}}} {
		if v, err := FitSeveral(columns, y); err == nil {
			t.Errorf("%s: no refusal, %v", name, v.Slope)
		}
	}
}
