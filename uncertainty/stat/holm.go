package stat

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Holm corrects the p-values of several tests that are read together, so that
// the probability of even one false alarm among them stays at the level it is
// held against, whatever the tests have to do with each other (Holm 1979,
// Scand. J. Statist. 6, 65–70). The weights, above 0, share the level out, as
// in section 4 there; nil means equal ones. A corrected value stands at the
// place of its p, is never below it and at most 1.
func Holm(p, w []float64) ([]float64, error) {
	if w == nil {
		w = slices.Repeat([]float64{1}, len(p))
	}
	if len(p) == 0 || len(w) != len(p) {
		return nil, fmt.Errorf("correction of p-values: %d p-values and %d weights; want as many of each, at least one", len(p), len(w))
	}
	left, order := 0.0, make([]int, len(p))
	for i := range p {
		if !(p[i] >= 0 && p[i] <= 1) || !(w[i] > 0) || math.IsInf(w[i], 0) {
			return nil, fmt.Errorf("correction of p-values: p-value %d is %v with weight %v; want one from 0 to 1 and a finite weight above 0", i+1, p[i], w[i])
		}
		order[i] = i
		left += w[i]
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p[a]/w[a], p[b]/w[b]) })
	out, most := make([]float64, len(p)), 0.0
	for _, i := range order {
		most = math.Max(most, math.Min(1, math.Max(p[i], left*p[i]/w[i])))
		out[i] = most
		left -= w[i]
	}
	return out, nil
}

// TwoSided returns P(|T| ≥ |t|) for Student's t of nu degrees of freedom, 1 ≤ nu ≤ +Inf.
func TwoSided(t, nu float64) (float64, error) {
	tail, err := TCDF(-math.Abs(t), nu)
	return math.Min(1, 2*tail), err
}
