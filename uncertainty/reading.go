package uncertainty

import (
	"fmt"
	"math"

	"example.org/wring/uncertainty/stat"
)

// Readings evaluates repeated readings by type A (JCGM 100:2008, 4.2): their mean, and a t
// distribution about it of scale s/√n and n−1 degrees of freedom. It wants at least two finite readings.
func Readings(x []float64) (mean float64, d Distribution, err error) {
	s, err := stat.StdDev(x)
	if err != nil {
		return 0, Distribution{}, err
	}
	if mean, err = stat.Mean(x); err != nil {
		return 0, Distribution{}, err
	}
	n := float64(len(x))
	return mean, StudentT(s/math.Sqrt(n), n-1), nil
}

// Pooled is a mean of n ≥ 1 readings whose scatter is known from earlier ones: a t distribution of
// scale s/√n and the degrees of freedom of the pooled s (JCGM 100:2008, 4.2.4). n < 1 is refused on evaluation.
func Pooled(s, dof float64, n int) Distribution {
	if n < 1 {
		return Distribution{shape: ShapeT, wrong: fmt.Sprintf("mean of %d readings; want at least 1", n)}
	}
	return StudentT(s/math.Sqrt(float64(n)), dof)
}

// DoFOfUnreliability returns ν ≈ ½·(Δu/u)⁻² for a standard uncertainty that is itself known to
// the fraction unreliability, > 0 (JCGM 100:2008, G.4.2, eq. G.3): 0.25 gives 8. Zero gives +Inf.
func DoFOfUnreliability(unreliability float64) float64 {
	return 1 / (2 * unreliability * unreliability)
}

// Agreement returns E_n = |x₁ − x₂| / √(U₁² + U₂²) of two results with expanded uncertainties ≥ 0, all in one unit
// (ISO 13528:2022, 9.6). Results agree when it is at most 1. Of two exact results it is 0 or +Inf.
func Agreement(x1, U1, x2, U2 float64) float64 {
	if x1 == x2 {
		return 0
	}
	return math.Abs(x1-x2) / math.Hypot(U1, U2)
}
