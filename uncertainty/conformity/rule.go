package conformity

import (
	"fmt"
	"math"
)

// A Kind is the name of a decision rule.
type Kind string

const (
	Simple       Kind = "simple acceptance"  // ILAC-G8:09/2019, 4.2.1
	Guarded      Kind = "guarded acceptance" // ILAC-G8:09/2019, 4.2.2
	FourVerdicts Kind = "four verdicts"      // ILAC-G8:09/2019, 4.2.3
	ByRisk       Kind = "by risk"            // JCGM 106:2012, 9.3.2
)

// A Rule is a decision rule, agreed before the check.
type Rule struct {
	Kind Kind
	// Factor is r, the guard band in units of the expanded uncertainty: w = r·U, r ≥ 0, without unit.
	// It is used by guarded acceptance and four verdicts, and is zero otherwise.
	Factor float64
	// Risk is the greatest specific risk of false acceptance, above 0 and below 0.5, without unit.
	// It is used by risk alone, and is zero otherwise.
	Risk float64
}

// SimpleAcceptance accepts up to the limit itself.
func SimpleAcceptance() Rule { return Rule{Kind: Simple} }

// GuardedAcceptance accepts up to the limit less r·U.
func GuardedAcceptance(r float64) Rule { return Rule{Kind: Guarded, Factor: r} }

// Four tells pass, conditional pass, conditional fail and fail apart by guard bands r·U on both sides of the limit.
func Four(r float64) Rule { return Rule{Kind: FourVerdicts, Factor: r} }

// AtRisk accepts while the probability of not conforming, given what was measured, is at most risk.
func AtRisk(risk float64) Rule { return Rule{Kind: ByRisk, Risk: risk} }

// Check refuses a rule that is not one of these, or has numbers out of range.
func (r Rule) Check() error {
	switch r.Kind {
	case Simple:
		if r.Factor == 0 && r.Risk == 0 {
			return nil
		}
		return fmt.Errorf("%s: guard factor %v and risk %v; want neither", r.Kind, r.Factor, r.Risk)
	case Guarded, FourVerdicts:
		if r.Factor >= 0 && !math.IsInf(r.Factor, 0) && r.Risk == 0 {
			return nil
		}
		return fmt.Errorf("%s: guard factor %v and risk %v; want a factor not below zero and no risk", r.Kind, r.Factor, r.Risk)
	case ByRisk:
		if r.Risk > 0 && r.Risk < 0.5 && r.Factor == 0 {
			return nil
		}
		return fmt.Errorf("%s: risk %v and guard factor %v; want a risk between 0 and 0.5 and no factor", r.Kind, r.Risk, r.Factor)
	}
	return fmt.Errorf("decision rule %q: not known; want %q, %q, %q or %q", string(r.Kind), Simple, Guarded, FourVerdicts, ByRisk)
}

// Source names the clause the rule is taken from.
func (r Rule) Source() string {
	switch r.Kind {
	case Simple:
		return "ILAC-G8:09/2019, 4.2.1"
	case Guarded:
		return "ILAC-G8:09/2019, 4.2.2"
	case FourVerdicts:
		return "ILAC-G8:09/2019, 4.2.3"
	case ByRisk:
		return "JCGM 106:2012, 9.3.2"
	}
	return ""
}

// String says the rule in words: "guarded acceptance, guard band 1 U".
func (r Rule) String() string {
	switch r.Kind {
	case Guarded, FourVerdicts:
		return fmt.Sprintf("%s, guard band %v U", r.Kind, r.Factor)
	case ByRisk:
		return fmt.Sprintf("%s, at most %v %% false acceptance", r.Kind, r.Risk*100)
	}
	return string(r.Kind)
}

// A Verdict is what may be said.
type Verdict string

const (
	Pass            Verdict = "pass"
	ConditionalPass Verdict = "conditional pass"
	CannotDecide    Verdict = "cannot be decided"
	ConditionalFail Verdict = "conditional fail"
	Fail            Verdict = "fail"
)

// rank orders verdicts from good to bad; what is not a verdict is worst.
func (v Verdict) rank() int {
	switch v {
	case Pass:
		return 0
	case ConditionalPass:
		return 1
	case CannotDecide:
		return 2
	case ConditionalFail:
		return 3
	case Fail:
		return 4
	}
	return 5
}

// Known reports whether v is one of the five verdicts.
func (v Verdict) Known() bool { return v.rank() < 5 }

// Worst returns the worse of two verdicts, in the order pass, conditional pass, cannot be decided, conditional
// fail, fail. The place of "cannot be decided" is a house rule: it must neither hide behind a pass nor hide a fail.
func Worst(a, b Verdict) Verdict {
	if b.rank() > a.rank() {
		return b
	}
	return a
}
