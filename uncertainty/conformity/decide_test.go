package conformity

import (
	"math"
	"math/big"
	"testing"
)

func rat(t *testing.T, s string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		t.Fatalf("%q is no number", s)
	}
	return r
}

func TestVerdictsOfEveryRule(t *testing.T) {
	// mark own: examples.md section 8, vectors; the rest follow from ILAC-G8:09/2019, 4.2 and JCGM 106:2012, 8.3.
	for _, c := range []struct {
		name  string
		rule  Rule
		error string
		U     float64
		want  Verdict
	}{
		{"within the acceptance limit", Four(1), "3.0", 1, Pass},
		{"in the inner guard band", Four(1), "3.5", 1, ConditionalPass},
		{"on the limit", Four(1), "4.0", 1, ConditionalPass},
		{"in the outer guard band", Four(1), "4.5", 1, ConditionalFail},
		{"on the end of the outer guard band", Four(1), "5.0", 1, ConditionalFail},
		{"beyond", Four(1), "5.1", 1, Fail},
		{"below, beyond", Four(1), "-5.1", 1, Fail},
		{"no acceptance zone", Four(1), "0", 4.5, CannotDecide},
		{"acceptance zone of no width", Four(1), "0", 4, CannotDecide},
		{"no acceptance zone, and outside by more than U", Four(1), "8.6", 4.5, Fail},
		{"no acceptance zone, and outside by U", Four(1), "8.5", 4.5, CannotDecide},
		{"guarded, on the acceptance limit", GuardedAcceptance(1), "-3", 1, Pass},
		{"guarded, in the guard band", GuardedAcceptance(1), "3.0000001", 1, Fail},
		{"guarded by 0.83 U", GuardedAcceptance(0.83), "3.17", 1, Pass},
		{"guarded, no acceptance zone", GuardedAcceptance(1), "4.1", 4.5, CannotDecide},
		{"guarded without U", GuardedAcceptance(1), "4", 0, Pass},
		{"simple, on the limit", SimpleAcceptance(), "4.000", 9, Pass},
		{"simple, the least beyond", SimpleAcceptance(), "4.000000000000000000001", 9, Fail},
		{"risk met: 2.5 % at MPE - 1.96 u", AtRisk(0.025), "3.02", 1, Pass},
		{"risk not met", AtRisk(0.025), "3.03", 1, Fail},
		{"risk never met", AtRisk(0.025), "0", 4, CannotDecide},
		{"risk never met, and surely outside", AtRisk(0.025), "8", 4, Fail},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := c.rule.Decide(Measured{Error: rat(t, c.error), Expanded: c.U}, Symmetric(big.NewRat(4, 1)))
			if err != nil {
				t.Fatal(err)
			}
			if d.Verdict != c.want {
				t.Errorf("%s of error %s with U %v against 4: %q, want %q", c.rule, c.error, c.U, d.Verdict, c.want)
			}
			if (d.Reason != "") != (c.want == CannotDecide) {
				t.Errorf("reason %q with verdict %q; want one exactly when nothing could be decided", d.Reason, d.Verdict)
			}
		})
	}
}

func TestOneSidedLimitNeverVanishes(t *testing.T) {
	d, err := GuardedAcceptance(1).Decide(Measured{Error: rat(t, "1"), Expanded: 4.5}, Limits{Upper: big.NewRat(4, 1)})
	if err != nil || d.Verdict != Fail || math.Abs(d.Ratio-4/4.5) > 1e-15 {
		t.Errorf("%+v, %v; want fail and a ratio of 4/4.5", d, err)
	}
	d, err = GuardedAcceptance(1).Decide(Measured{Error: rat(t, "-1"), Expanded: 4.5}, Limits{Upper: big.NewRat(4, 1)})
	if err != nil || d.Verdict != Pass {
		t.Errorf("%+v, %v; want a pass", d, err)
	}
}

func TestExactComparisonOnTheLimit(t *testing.T) {
	// 25.4 − 25.3 is not 0.1 in float64; in tenths of exact numbers it is.
	e := new(big.Rat).Sub(rat(t, "25.4"), rat(t, "25.3"))
	d, err := SimpleAcceptance().Decide(Measured{Error: e, Expanded: 0.01}, Symmetric(rat(t, "0.1")))
	if err != nil || d.Verdict != Pass {
		t.Errorf("error equal to its limit: %q, %v; want a pass", d.Verdict, err)
	}
	if math.Abs(d.Ratio-10) > 1e-12 || math.Abs(d.Conformance-0.5) > 1e-9 {
		t.Errorf("ratio %v and conformance %v; want 10 and 0.5", d.Ratio, d.Conformance)
	}
}

func TestConformanceProbability(t *testing.T) {
	for _, c := range []struct {
		name                                 string
		value, u, low, high, want, tolerance float64
	}{
		{"JCGM 106:2012, 7.4 (inputs read, result memory)", 13.6, 1.8, 12.5, 16.3, 0.662630, 5e-7},
		{"ISO 14253-1 note (own)", 3.2, 0.8, -4, 4, 0.841, 5e-4},
	} {
		m := Measured{Error: exact(c.value), Expanded: 2 * c.u, Deviation: Normal(c.u)}
		d, err := SimpleAcceptance().Decide(m, Limits{exact(c.low), exact(c.high)})
		if err != nil || math.Abs(d.Conformance-c.want) > c.tolerance {
			t.Errorf("%s: %v, %v; want %v", c.name, d.Conformance, err, c.want)
		}
	}
}

func TestGlobalRisks(t *testing.T) {
	// Mark: inputs read, results own (examples.md, section 8).
	c, p, err := Process{Mean: 1500, Spread: 0.12, Standard: 0.04, Lower: 1499.8, Upper: 1500.2,
		AcceptLower: 1499.82, AcceptUpper: 1500.18}.Risks()
	if err != nil || math.Abs(c-0.009878) > 5e-7 || math.Abs(p-0.069027) > 5e-7 {
		t.Errorf("resistors: %v, %v, %v; want 0.009878 and 0.069027", c, p, err)
	}
}

func TestRisksByRatioAndReliability(t *testing.T) {
	// Mark own: per cent of consumer's and producer's risk, for guard bands 0, 1.645 u and U = 2u;
	// computed with mpmath at 20 digits.
	for _, c := range []struct {
		ratio, reliable float64
		want            [3][2]float64
	}{
		{4, 0.95, [3][2]float64{{0.7704836, 1.448435}, {0.04543099, 7.671704}, {0.01877448, 9.853633}}},
		{4, 0.85, [3][2]float64{{1.687955, 2.352661}, {0.09455123, 11.04121}, {0.0387928, 13.73337}}},
		{2.5, 0.95, [3][2]float64{{0.8460837, 2.532793}, {0.05370944, 15.58684}, {0.02243313, 20.66949}}},
		{2.5, 0.85, [3][2]float64{{2.340241, 4.06093}, {0.1369855, 20.26581}, {0.05654368, 25.55147}}},
		{2, 0.85, [3][2]float64{{2.603851, 5.318597}, {0.1572899, 27.54234}, {0.06521204, 34.94688}}},
	} {
		u := 1 / c.ratio / 2
		prior, err := PriorSpread(1, c.reliable, u)
		if err != nil {
			t.Fatal(err)
		}
		for i, w := range []float64{0, 1.645 * u, 2 * u} {
			rc, rp, err := Process{Spread: prior, Standard: u, Lower: -1, Upper: 1, AcceptLower: w - 1, AcceptUpper: 1 - w}.Risks()
			if err != nil || math.Abs(100*rc-c.want[i][0]) > 2e-6 || math.Abs(100*rp-c.want[i][1]) > 1e-5 {
				t.Errorf("ratio %v, %v reliable, guard %v: %.4f %% and %.4f %%, %v; want %v", c.ratio, c.reliable, w, 100*rc, 100*rp, err, c.want[i])
			}
		}
	}
}

func TestWorstVerdictStands(t *testing.T) {
	order := []Verdict{Pass, ConditionalPass, CannotDecide, ConditionalFail, Fail}
	for i, a := range order {
		for j, b := range order {
			if got := Worst(a, b); got != order[max(i, j)] {
				t.Errorf("worst of %q and %q is %q", a, b, got)
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	good := Measured{Error: big.NewRat(1, 1), Expanded: 1}
	for _, c := range []struct {
		rule Rule
		m    Measured
		l    Limits
		want string
	}{
		{Rule{}, good, Symmetric(big.NewRat(4, 1)), `decision rule "": not known; want "simple acceptance", "guarded acceptance", "four verdicts" or "by risk"`},
		{GuardedAcceptance(-1), good, Symmetric(big.NewRat(4, 1)), "guarded acceptance: guard factor -1 and risk 0; want a factor not below zero and no risk"},
		{GuardedAcceptance(math.NaN()), good, Symmetric(big.NewRat(4, 1)), "guarded acceptance: guard factor NaN and risk 0; want a factor not below zero and no risk"},
		{AtRisk(0.5), good, Symmetric(big.NewRat(4, 1)), "by risk: risk 0.5 and guard factor 0; want a risk between 0 and 0.5 and no factor"},
		{SimpleAcceptance(), Measured{Expanded: 1}, Symmetric(big.NewRat(4, 1)), "decision: no error given; want the measured one"},
		{SimpleAcceptance(), Measured{Error: big.NewRat(1, 1), Expanded: math.NaN()}, Symmetric(big.NewRat(4, 1)), "decision: expanded uncertainty NaN; want a finite one, not below zero"},
		{SimpleAcceptance(), good, Limits{}, "decision: no limit given; want at least one"},
		{SimpleAcceptance(), good, Limits{big.NewRat(2, 1), big.NewRat(1, 1)}, "decision: lower limit 2 above upper limit 1; want them in order"},
	} {
		if _, err := c.rule.Decide(c.m, c.l); err == nil || err.Error() != c.want {
			t.Errorf("got %v\nwant %s", err, c.want)
		}
	}
}
