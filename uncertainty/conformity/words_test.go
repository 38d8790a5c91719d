package conformity

import (
	"math"
	"math/big"
	"testing"
)

func TestRulesSayThemselvesAndTheirSource(t *testing.T) {
	for _, c := range []struct {
		rule         Rule
		says, source string
	}{
		{SimpleAcceptance(), "simple acceptance", "ILAC-G8:09/2019, 4.2.1"},
		{GuardedAcceptance(1), "guarded acceptance, guard band 1 U", "ILAC-G8:09/2019, 4.2.2"},
		{Four(0.83), "four verdicts, guard band 0.83 U", "ILAC-G8:09/2019, 4.2.3"},
		{AtRisk(0.02), "by risk, at most 2 % false acceptance", "JCGM 106:2012, 9.3.2"},
		{Rule{Kind: "luck"}, "luck", ""},
	} {
		if c.rule.String() != c.says || c.rule.Source() != c.source {
			t.Errorf("%q from %q; want %q from %q", c.rule, c.rule.Source(), c.says, c.source)
		}
	}
	if Verdict("good").Known() || !CannotDecide.Known() {
		t.Error("five verdicts are known, and no other")
	}
	if got := Worst(Fail, "good"); got != "good" {
		t.Errorf("worst of a fail and what is no verdict: %q; want the latter, it must be seen", got)
	}
}

func TestRiskOfASingleLimit(t *testing.T) {
	// One limit at 4, u = 0.5, at most 5 %: accepted up to 4 − 1.645 u = 3.1776 (JCGM 106:2012, 8.3.3; digits own).
	upper := Limits{Upper: big.NewRat(4, 1)}
	for value, want := range map[float64]Verdict{3.177: Pass, 3.178: Fail, -100: Pass, 9: Fail} {
		d, err := AtRisk(0.05).Decide(Measured{Error: exact(value), Expanded: 1}, upper)
		if err != nil || d.Verdict != want {
			t.Errorf("%v: %q, %v; want %q", value, d.Verdict, err, want)
		}
	}
}

func TestGuardFactorsOfOneSidedRisk(t *testing.T) {
	// examples.md, section 8 (own): the guard band in units of U (k = 2) at which the risk is just met.
	for risk, factor := range map[float64]float64{0.05: 0.822427, 0.025: 0.979982, 0.01: 1.163174, 0.001: 1.545116} {
		for step, want := range map[float64]Verdict{1e-6: Pass, -1e-6: Fail} {
			d, err := AtRisk(risk).Decide(Measured{Error: exact(10 - factor - step), Expanded: 1}, Limits{Upper: big.NewRat(10, 1)})
			if err != nil || d.Verdict != want {
				t.Errorf("risk %v at %v U %+v below the limit: %q, %v; want %q", risk, factor, step, d.Verdict, err, want)
			}
		}
	}
}

type unknownDeviation struct{}

func (unknownDeviation) Between(float64, float64) float64 { return math.NaN() }

func TestUnknownProbabilityIsRefused(t *testing.T) {
	m := Measured{Error: big.NewRat(1, 1), Expanded: 1, Deviation: unknownDeviation{}}
	_, err := SimpleAcceptance().Decide(m, Symmetric(big.NewRat(4, 1)))
	if err == nil || err.Error() != "decision: the probability of conformance is not known; want a distribution that gives one" {
		t.Errorf("%v", err)
	}
}

func TestExactMeasurementDecidesWithoutDoubt(t *testing.T) {
	for value, want := range map[float64]float64{4: 1, 4.001: 0} {
		d, err := Four(1).Decide(Measured{Error: exact(value)}, Symmetric(big.NewRat(4, 1)))
		if err != nil || d.Conformance != want || !math.IsInf(d.Ratio, 1) || (d.Verdict == Pass) != (want == 1) {
			t.Errorf("%v with U = 0: %+v, %v", value, d, err)
		}
	}
}

func TestRisksRefuseWhatIsNoProcess(t *testing.T) {
	good := Process{Spread: 1, Standard: 1, Lower: -1, Upper: 1, AcceptLower: -1, AcceptUpper: 1}
	for name, change := range map[string]func(*Process){
		"no spread":      func(p *Process) { p.Spread = 0 },
		"NaN spread":     func(p *Process) { p.Spread = math.NaN() },
		"no uncertainty": func(p *Process) { p.Standard = 0 },
		"limits":         func(p *Process) { p.Lower = 2 },
		"acceptance":     func(p *Process) { p.AcceptUpper = math.NaN() },
		"mean":           func(p *Process) { p.Mean = math.Inf(1) },
	} {
		p := good
		change(&p)
		if _, _, err := p.Risks(); err == nil {
			t.Errorf("%s: %+v taken", name, p)
		}
	}
	if _, err := PriorSpread(1, 0.95, 0.6); err == nil {
		t.Error("a measurement that spreads more than what it measures; want it refused")
	}
	if _, err := PriorSpread(1, 1, 0.1); err == nil {
		t.Error("reliability of 1; want it refused")
	}
	open := Process{Spread: 1, Standard: 0.1, Lower: math.Inf(-1), Upper: 1, AcceptLower: math.Inf(-1), AcceptUpper: 1}
	c, p, err := open.Risks()
	if err != nil || !(c > 0.001 && c < 0.1) || !(p > c) {
		t.Errorf("one open side: %v and %v, %v", c, p, err)
	}
	both, _, _ := good.Risks()
	wide := good
	wide.AcceptLower, wide.AcceptUpper = -2, 2
	if more, _, _ := wide.Risks(); !(more > both) {
		t.Errorf("wider acceptance risks %v, not more than %v", more, both)
	}
}
