package uncertainty

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/wring/uncertainty/formula"
)

// An Input is one line of a [Budget].
type Input struct {
	// Name says what varies, in a reader's words: "block certificate". Names of one budget differ.
	Name string
	// Estimate is the best estimate, in the unit of the input; finite.
	Estimate float64
	// Knowledge is the distribution about the estimate, in the unit of the input.
	Knowledge Distribution
	// Sensitivity is ∂f/∂x at the estimates, in measurand units per unit of the input; finite,
	// zero and negative allowed. It is not looked at when the budget has a model.
	Sensitivity float64
	// Source says where the figure came from: a certificate, a clause, "n = 5 readings".
	Source string
}

// A Correlation binds two inputs of a budget by name.
type Correlation struct {
	// A and B are names of two different inputs.
	A, B string
	// R is the correlation coefficient r(a, b), −1 … 1, without unit.
	R float64
}

// A Budget is a measurand as the sum of sensitivity times input, or as a formula of its inputs.
type Budget struct {
	Inputs       []Input
	Correlations []Correlation    // pairs not named are uncorrelated
	Model        *formula.Formula // over the inputs' names in their order, see [Budget.Parse]; nil for the sum
}

// A Method is a way from a budget to its coverage interval.
type Method string

const (
	Exact      Method = "exact"       // the distribution of the sum itself
	T          Method = "t"           // Welch–Satterthwaite and t (JCGM 100:2008, G.4)
	MonteCarlo Method = "monte carlo" // propagation by drawing (JCGM 101:2008)
)

// An InputError names the first line of a budget that cannot be used.
type InputError struct {
	Line   int    // 1-based place of the input, or of the correlation
	Name   string // as given; may be empty
	Reason string // what was found; what is wanted
}

func (e *InputError) Error() string {
	return fmt.Sprintf("input %d %q: %s", e.Line, e.Name, e.Reason)
}

// A Line is one input as it went into the statement.
type Line struct {
	Name, Distribution, Source string
	// Estimate is the best estimate in the unit of the input.
	Estimate float64
	// U is the standard uncertainty in the unit of the input, ≥ 0.
	U float64
	// DoF is the degrees of freedom of U, ≥ 1, or +Inf when exact.
	DoF float64
	// Sensitivity is in measurand units per unit of the input.
	Sensitivity float64
	// Contribution is |Sensitivity|·U, in the unit of the measurand, ≥ 0.
	Contribution float64
	// Share is the input's part of u_c², without unit. The shares of a budget sum to 1, or are
	// all 0 when nothing contributes; a correlated input can have a negative one.
	Share float64
}

// A Statement is the result of a budget. All values but K, DoF and Probability are in the unit of the measurand.
type Statement struct {
	// Estimate is the best estimate of the measurand.
	Estimate float64
	// Standard is the combined standard uncertainty u_c, ≥ 0. With [MonteCarlo] it is the standard deviation of the draws.
	Standard float64
	// FirstOrder is u_c without the terms of second order of a model, ≥ 0; otherwise equal to Standard.
	FirstOrder float64
	// DoF is ν_eff by Welch–Satterthwaite, not cut to a whole number; ≥ 1, or +Inf.
	DoF float64
	// K is the coverage factor Expanded/Standard; 0 when nothing contributes.
	K float64
	// Expanded is U, half the length of the coverage interval, ≥ 0.
	Expanded float64
	// Low and High are the ends of the coverage interval.
	Low, High float64
	// Probability is the coverage probability that was asked for, 0.5 … 0.9999.
	Probability float64
	Method      Method
	Lines       []Line      // in the order of the inputs
	Simulation  *Simulation // of [MonteCarlo]; nil otherwise
}

// Coverage probabilities outside these are refused: below a half nobody states an
// interval, and beyond 0.9999 no distribution of a budget is known well enough (house rule).
const (
	leastCoverage    = 0.5
	greatestCoverage = 0.9999
)

// Evaluate combines the inputs and expands the result to coverage probability p.
//
// It returns an [*InputError] naming the first line it cannot use. It never returns NaN.
//
// [MonteCarlo] draws with seed 1; see [Budget.Simulate] for another.
func (b Budget) Evaluate(p float64, m Method) (Statement, error) {
	return b.evaluate(p, m, Drawing{Seed: 1})
}

// EvaluateWhole is Evaluate by the [Exact] method with the distribution itself,
// for probabilities of its own.
func (b Budget) EvaluateWhole(p float64) (Statement, *Sum, error) {
	s, err := b.stated(p, Exact)
	if err != nil {
		return Statement{}, nil, err
	}
	sum, err := s.expandExact(b)
	if err != nil {
		return Statement{}, nil, err
	}
	return s, sum, nil
}

// stated combines the inputs; nothing is expanded yet.
func (b Budget) stated(p float64, m Method) (Statement, error) {
	if !(p >= leastCoverage && p <= greatestCoverage) {
		return Statement{}, fmt.Errorf("coverage probability: %v; want %v to %v", p, leastCoverage, greatestCoverage)
	}
	c, err := b.combine()
	if err != nil {
		return Statement{}, err
	}
	return Statement{Estimate: c.estimate, Standard: c.standard, FirstOrder: c.first, DoF: c.dof, Probability: p, Method: m, Lines: c.lines}, nil
}

func (b Budget) evaluate(p float64, m Method, d Drawing) (Statement, error) {
	s, err := b.stated(p, m)
	if err != nil {
		return Statement{}, err
	}
	switch m {
	case T:
		err = s.expandT()
	case Exact:
		_, err = s.expandExact(b)
	case MonteCarlo:
		err = s.expandByTrials(b, d)
	default:
		err = fmt.Errorf("method %q: not known; want %q, %q or %q", string(m), Exact, T, MonteCarlo)
	}
	if err != nil {
		return Statement{}, err
	}
	return s, nil
}

// check refuses the first input that cannot be used.
func (b Budget) check() error {
	if len(b.Inputs) == 0 {
		return errors.New("budget: no inputs; want at least one")
	}
	if b.Model != nil && !b.named(b.Model.Names()) {
		return errors.New("model: made for other inputs than the budget's; want it parsed by the budget")
	}
	seen := make(map[string]bool, len(b.Inputs))
	for i, in := range b.Inputs {
		reason := in.Knowledge.refusal()
		switch {
		case in.Name == "":
			reason = "no name; want one"
		case seen[in.Name]:
			reason = "name used twice; want every input named once"
		case math.IsNaN(in.Estimate) || math.IsInf(in.Estimate, 0):
			reason = fmt.Sprintf("estimate is %v; want a finite one", in.Estimate)
		case math.IsNaN(in.Sensitivity) || math.IsInf(in.Sensitivity, 0):
			reason = fmt.Sprintf("sensitivity is %v; want a finite one", in.Sensitivity)
		}
		if reason != "" {
			return &InputError{Line: i + 1, Name: in.Name, Reason: reason}
		}
		seen[in.Name] = true
	}
	return nil
}

// named reports whether the inputs have just these names, in this order.
func (b Budget) named(names []string) bool {
	return slices.EqualFunc(b.Inputs, names, func(in Input, name string) bool { return in.Name == name })
}
