package stat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/stat/distuv"
)

// ToleranceFactor returns k₂ of the two-sided statistical tolerance interval
// x̄ ± k₂·s: with confidence gamma it holds at least the share p of a normal
// population of which n values were taken. 0 < p, gamma < 1, n ≥ 2.
//
// It solves the condition itself,
//
//	∫ P(χ²_ν ≥ ν·r²(z)/k²) · φ_n(z) dz = γ,   Φ(z+r) − Φ(z−r) = p,
//
// with z the error of the mean in units of σ and ν = n − 1 (ISO 16269-6:2014,
// annex, clause from memory); the formula of Howe that handbooks print is an
// approximation to it.
func ToleranceFactor(n int, p, gamma float64) (float64, error) {
	if n < 2 {
		return 0, &CountError{What: "values", Have: n, Want: 2}
	}
	if !(p > 0 && p < 1) || !(gamma > 0 && gamma < 1) {
		return 0, fmt.Errorf("tolerance interval: share %v with confidence %v; want both between 0 and 1", p, gamma)
	}
	t := toleranceCondition{n: float64(n)}
	t.nodes(p)
	low, high := 1e-3, 1.0
	for t.confidence(high) < gamma {
		if high *= 2; high > 1e9 {
			return 0, fmt.Errorf("tolerance interval: no factor for %d values, share %v, confidence %v; want less of it", n, p, gamma)
		}
	}
	for range 200 { // halving reaches the last digit of a float64 long before
		mid := (low + high) / 2
		if mid == low || mid == high {
			break
		}
		if t.confidence(mid) < gamma {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2, nil
}

// A toleranceCondition holds the integral's nodes: r² and weight at each z.
type toleranceCondition struct {
	n       float64
	squares []float64 // r²
	weights []float64
}

// The integral runs over z from 0 to this many standard deviations of the
// mean, both sides being alike; beyond lies less than 1e-17. The number of
// nodes gives twelve digits (house rule, held by a test).
const (
	toleranceReach = 8.5
	toleranceNodes = 120
)

func (t *toleranceCondition) nodes(p float64) {
	z, w := make([]float64, toleranceNodes), make([]float64, toleranceNodes)
	quad.Legendre{}.FixedLocations(z, w, 0, toleranceReach)
	for i := range z {
		mean := z[i] / math.Sqrt(t.n)
		r := halfWidthHolding(mean, p)
		t.squares = append(t.squares, r*r)
		t.weights = append(t.weights, 2*w[i]*math.Exp(-z[i]*z[i]/2)/math.Sqrt(2*math.Pi))
	}
}

// confidence is the probability that x̄ ± k·s holds the share.
func (t *toleranceCondition) confidence(k float64) float64 {
	nu := t.n - 1
	chi := distuv.ChiSquared{K: nu}
	sum := 0.0
	for i, r2 := range t.squares {
		sum += t.weights[i] * chi.Survival(nu*r2/(k*k))
	}
	return sum
}

// halfWidthHolding solves Φ(z+r) − Φ(z−r) = p for r, by halving.
func halfWidthHolding(z, p float64) float64 {
	holds := func(r float64) float64 {
		return 0.5 * (math.Erf((z+r)/math.Sqrt2) - math.Erf((z-r)/math.Sqrt2))
	}
	low, high := 0.0, math.Abs(z)+10
	for range 100 {
		mid := (low + high) / 2
		if holds(mid) < p {
			low = mid
		} else {
			high = mid
		}
	}
	return (low + high) / 2
}
