package stat

import (
	"errors"
	"fmt"
	"math"
)

// ErrNotFinite is returned, wrapped with the place, when a datum is NaN or infinite.
var ErrNotFinite = errors.New("not a finite number; want finite numbers")

// A CountError says that there were fewer data than the question needs.
type CountError struct {
	What string // what was counted: "readings", "points", "groups"
	Have int
	Want int // the least that would do
}

func (e *CountError) Error() string {
	return fmt.Sprintf("%d %s; want at least %d", e.Have, e.What, e.Want)
}

// Mean returns the arithmetic mean of at least one finite number. The sum is
// taken of deviations from the first number and corrected once, so that data
// which agree in many leading digits keep their last ones.
func Mean(x []float64) (float64, error) {
	if err := finite("readings", 1, x); err != nil {
		return 0, err
	}
	return mean(x), nil
}

// StdDev returns the experimental standard deviation with divisor n−1
// (JCGM 100:2008, 4.2.2, eq. 4) of at least two finite numbers.
//
// It makes two passes and takes off the square of the deviations' own mean,
// which is zero but for rounding (Chan, Golub and LeVeque 1983, eq. 1.7).
func StdDev(x []float64) (float64, error) {
	if err := finite("readings", 2, x); err != nil {
		return 0, err
	}
	return math.Sqrt(squares(x, mean(x)) / float64(len(x)-1)), nil
}

// Pooled combines standard deviations s[i] of dof[i] degrees of freedom into
// one, s_p² = Σ νᵢsᵢ² / Σ νᵢ (JCGM 100:2008, H.5.2.2 and H.3.6 note), and returns the sum of
// the degrees of freedom with it. Every s must be ≥ 0 and every ν > 0.
func Pooled(s, dof []float64) (pooled, total float64, err error) {
	if len(s) == 0 || len(s) != len(dof) {
		return 0, 0, fmt.Errorf("pooled s: %d standard deviations with %d degrees of freedom; want as many of each, at least one",
			len(s), len(dof))
	}
	sum := 0.0
	for i, v := range s {
		if !(v >= 0) || math.IsInf(v, 0) {
			return 0, 0, fmt.Errorf("pooled s: standard deviation %d is %v; want a finite one, not below zero", i+1, v)
		}
		if !(dof[i] > 0) || math.IsInf(dof[i], 0) {
			return 0, 0, fmt.Errorf("pooled s: degrees of freedom %d are %v; want a finite number above zero", i+1, dof[i])
		}
		sum += dof[i] * v * v
		total += dof[i]
	}
	return math.Sqrt(sum / total), total, nil
}

// Correlation returns the estimated correlation coefficient of the means of two series of
// simultaneous readings (JCGM 100:2008, 5.2.3, eqs. 14 and 17), in −1 … 1. It wants at least
// two pairs and some scatter in both series.
func Correlation(x, y []float64) (float64, error) {
	if len(x) != len(y) {
		return 0, fmt.Errorf("correlation: %d and %d readings; want as many of each", len(x), len(y))
	}
	if err := finite("readings", 2, x, y); err != nil {
		return 0, err
	}
	mx, my := mean(x), mean(y)
	sxx, syy, sxy := squares(x, mx), squares(y, my), 0.0
	for i := range x {
		sxy += (x[i] - mx) * (y[i] - my)
	}
	if !(sxx > 0) || !(syy > 0) {
		return 0, errors.New("correlation: readings without scatter; want readings that differ")
	}
	return math.Max(-1, math.Min(1, sxy/math.Sqrt(sxx)/math.Sqrt(syy))), nil
}

// mean is Mean for numbers already known to be finite.
func mean(x []float64) float64 {
	first, sum := x[0], 0.0
	for _, v := range x {
		sum += v - first
	}
	m := first + sum/float64(len(x))
	rest := 0.0
	for _, v := range x {
		rest += v - m
	}
	return m + rest/float64(len(x))
}

// squares returns the corrected sum of squared deviations from m.
func squares(x []float64, m float64) float64 {
	sum, rest := 0.0, 0.0
	for _, v := range x {
		d := v - m
		sum += d * d
		rest += d
	}
	return math.Max(0, sum-rest*rest/float64(len(x)))
}

// finite wants at least least finite numbers in every series.
func finite(what string, least int, series ...[]float64) error {
	for _, x := range series {
		if len(x) < least {
			return &CountError{What: what, Have: len(x), Want: least}
		}
		for i, v := range x {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return fmt.Errorf("%s: number %d: %w", what, i+1, ErrNotFinite)
			}
		}
	}
	return nil
}
