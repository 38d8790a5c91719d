package ledger

import (
	"cmp"
	"fmt"
	"math"
	"strconv"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/conformity"
)

// Fewest is the number of readings from which a standard deviation of their
// own is taken; below it the pooled one is (house rule, after JCGM 100:2008,
// 4.2.4).
const Fewest = 3

// A SizeError names a contribution that nothing sizes.
type SizeError struct {
	Kind  calib.ContributionKind
	Found string
	Want  string
}

func (e *SizeError) Error() string { return fmt.Sprintf("%s: %s; %s", e.Kind, e.Found, e.Want) }

// Sized makes the distribution that a plan itself states, in the inner unit of
// its size; growth, in the same unit, is added to the size.
func Sized(c calib.Contribution, growth float64) uncertainty.Distribution {
	dof := math.Inf(1)
	if c.DoF > 0 {
		dof = c.DoF
	}
	switch {
	case !c.Standard.IsZero():
		return uncertainty.Normal(c.Standard.Inner().Float() + growth).WithDoF(dof)
	case !c.Expanded.IsZero():
		return uncertainty.Expanded(c.Expanded.Inner().Float()+growth, c.K).WithDoF(dof)
	}
	a := c.HalfWidth.Inner().Float() + growth
	switch c.Shape {
	case "triangular":
		return uncertainty.Triangular(a).WithDoF(dof)
	case "arcsine":
		return uncertainty.Arcsine(a).WithDoF(dof)
	case "normal":
		return uncertainty.Normal(a).WithDoF(dof)
	default:
		return uncertainty.Rectangular(a).WithDoF(dof)
	}
}

// SourceOf says whose figure a contribution's size is.
func SourceOf(c calib.Contribution) string { return cmp.Or(c.Source, "the plan") }

// Repeated sizes the repeatability of a mean of readings x, in their unit: by
// their own s from [Fewest] readings on, else by the pooled s of c.
func Repeated(c calib.Contribution, x []float64) (uncertainty.Distribution, string, error) {
	if len(x) >= Fewest {
		_, d, err := uncertainty.Readings(x)
		return d, fmt.Sprintf("s/√n of %d readings", len(x)), err
	}
	return Pooled(c, len(x))
}

// Pooled sizes the repeatability of a mean of n readings by the pooled s of c
// (JCGM 100:2008, 4.2.4).
func Pooled(c calib.Contribution, n int) (uncertainty.Distribution, string, error) {
	if c.PooledS.IsZero() {
		return uncertainty.Distribution{}, "", &SizeError{c.Kind, fmt.Sprintf("fewer than %d readings and no pooled s in the plan", Fewest),
			fmt.Sprintf("take %d readings, or give the plan a pooled s", Fewest)}
	}
	dof := c.PooledDoF
	if dof == 0 {
		dof = math.Inf(1)
	}
	source := fmt.Sprintf("pooled s %s, %d readings", c.PooledS, n)
	if c.Source != "" {
		source += "; " + c.Source
	}
	return uncertainty.Pooled(c.PooledS.Inner().Float(), dof, n), source, nil
}

// Certified returns u = U/k of a certificate's row, in the inner unit, and its
// degrees of freedom.
func Certified(v calib.Value) (u, dof float64, err error) {
	k, err := Factor(v.K)
	if err != nil {
		return 0, 0, err
	}
	dof = math.Inf(1)
	if v.DoF != "" {
		if dof, err = strconv.ParseFloat(v.DoF, 64); err != nil || !(dof >= 1) {
			return 0, 0, fmt.Errorf("degrees of freedom %q; want 1 or more, or nothing", v.DoF)
		}
	}
	return v.Expanded.Inner().Float() / k, dof, nil
}

// Factor reads the coverage factor of a certificate as typed.
func Factor(typed string) (float64, error) {
	k, err := strconv.ParseFloat(typed, 64)
	if err != nil || !(k > 0) || math.IsInf(k, 0) {
		return 0, fmt.Errorf("k %q; want the coverage factor of its certificate, above 0", typed)
	}
	return k, nil
}

// RuleOf returns a plan's decision rule in the form that decides, or says what
// is wrong with it.
func RuleOf(r calib.Rule) (conformity.Rule, error) {
	rule := conformity.Rule{Kind: conformity.Kind(r.Name), Factor: r.Factor, Risk: r.Risk}
	return rule, rule.Check()
}
