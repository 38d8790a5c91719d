package stat

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// normalFrom is the number of degrees of freedom from which the t distribution
// is taken as normal: the quantiles then differ by less than (z²+1)/(4ν) ≤ 5e-6
// of themselves for |z| ≤ 4.3. House rule; gonum's t quantile loses digits beyond.
const normalFrom = 1e6

// NormalCDF returns Φ(z), the probability that a standard normal variable is ≤ z.
// NaN in, NaN out.
func NormalCDF(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// NormalQuantile returns z with Φ(z) = p, for 0 < p < 1.
func NormalQuantile(p float64) (float64, error) {
	if !(p > 0 && p < 1) {
		return 0, fmt.Errorf("normal quantile: probability %v; want one between 0 and 1", p)
	}
	return -math.Sqrt2 * math.Erfcinv(2*p), nil
}

// TQuantile returns t with P(T ≤ t) = p for Student's t of nu degrees of freedom,
// 1 ≤ nu ≤ +Inf and 0 < p < 1; fractional nu is allowed. The two-sided factor
// t_p(ν) of JCGM 100:2008, table G.2, is TQuantile((1+p)/2, ν).
func TQuantile(p, nu float64) (float64, error) {
	if !(p > 0 && p < 1) {
		return 0, fmt.Errorf("t quantile: probability %v; want one between 0 and 1", p)
	}
	if !(nu >= 1) {
		return 0, fmt.Errorf("t quantile: %v degrees of freedom; want at least 1", nu)
	}
	if p < 0.5 {
		t, err := TQuantile(1-p, nu)
		return -t, err
	}
	switch {
	case nu == 1: // Cauchy
		return math.Tan(math.Pi * (p - 0.5)), nil
	case nu == 2:
		a := 4 * p * (1 - p)
		return 2 * (p - 0.5) * math.Sqrt(2/a), nil
	case nu >= normalFrom:
		return NormalQuantile(p)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.Quantile(p), nil
}

// TCDF returns P(T ≤ t) for Student's t of nu degrees of freedom, 1 ≤ nu ≤ +Inf.
func TCDF(t, nu float64) (float64, error) {
	if math.IsNaN(t) || !(nu >= 1) {
		return 0, fmt.Errorf("t distribution: t %v with %v degrees of freedom; want a number and at least 1", t, nu)
	}
	if nu >= normalFrom {
		return NormalCDF(t), nil
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}.CDF(t), nil
}

// ChiSquaredQuantile returns x with P(χ² ≤ x) = p for nu > 0 degrees of freedom, 0 < p < 1.
func ChiSquaredQuantile(p, nu float64) (float64, error) {
	if !(p > 0 && p < 1) {
		return 0, fmt.Errorf("chi-squared quantile: probability %v; want one between 0 and 1", p)
	}
	if !(nu > 0) || math.IsInf(nu, 0) {
		return 0, fmt.Errorf("chi-squared quantile: %v degrees of freedom; want a finite number above zero", nu)
	}
	return distuv.ChiSquared{K: nu}.Quantile(p), nil
}

// FQuantile returns x with P(F ≤ x) = p for nu1 and nu2 degrees of freedom,
// both finite and above zero, 0 < p < 1.
func FQuantile(p, nu1, nu2 float64) (float64, error) {
	if !(p > 0 && p < 1) {
		return 0, fmt.Errorf("quantile of F: probability %v; want one between 0 and 1", p)
	}
	if !(nu1 > 0) || !(nu2 > 0) || math.IsInf(nu1, 0) || math.IsInf(nu2, 0) {
		return 0, fmt.Errorf("quantile of F: %v and %v degrees of freedom; want finite numbers above zero", nu1, nu2)
	}
	return distuv.F{D1: nu1, D2: nu2}.Quantile(p), nil
}

// FSurvival returns P(F > x) for nu1 and nu2 degrees of freedom, finite and above zero.
func FSurvival(x, nu1, nu2 float64) (float64, error) {
	if math.IsNaN(x) || !(nu1 > 0) || !(nu2 > 0) || math.IsInf(nu1, 0) || math.IsInf(nu2, 0) {
		return 0, fmt.Errorf("distribution of F: F %v with %v and %v degrees of freedom; want a number and finite degrees above zero", x, nu1, nu2)
	}
	if x <= 0 {
		return 1, nil
	}
	if math.IsInf(x, 1) {
		return 0, nil
	}
	return distuv.F{D1: nu1, D2: nu2}.Survival(x), nil
}
