package stat

import (
	"fmt"
	"math"
)

// mostTrials bounds the sum over outcomes (house rule: no group of like gauges
// has as many checks).
const mostTrials = 1_000_000

// BinomialCDF returns P(X ≤ x) for n trials of success probability p, by
// summing the exact terms, smallest first; 0 ≤ p ≤ 1, 0 ≤ n ≤ 1 000 000. Below
// x = 0 it is 0, from x = n on it is 1.
func BinomialCDF(x, n int, p float64) (float64, error) {
	if n < 0 || n > mostTrials || !(p >= 0 && p <= 1) {
		return 0, fmt.Errorf("binomial: %d trials of probability %v; want up to %d of a probability from 0 to 1", n, p, mostTrials)
	}
	switch {
	case x < 0:
		return 0, nil
	case x >= n, p == 0:
		return 1, nil
	case p == 1:
		return 0, nil
	case float64(x) > float64(n)*p: // sum the shorter tail
		upper, err := BinomialCDF(n-x-1, n, 1-p)
		return 1 - upper, err
	}
	sum := 0.0
	for k := range x + 1 {
		sum += math.Exp(logChoose(n, k) + float64(k)*math.Log(p) + float64(n-k)*math.Log1p(-p))
	}
	return math.Min(1, sum), nil
}

func logChoose(n, k int) float64 {
	a, _ := math.Lgamma(float64(n + 1))
	b, _ := math.Lgamma(float64(k + 1))
	c, _ := math.Lgamma(float64(n - k + 1))
	return a - b - c
}

// BinomialInterval returns the exact interval for the probability of an event
// that came x times of n, at a level above 0 and below 1, as 0.95: each end is
// the probability at which a result as far off has the chance (1 − level)/2
// (Clopper and Pearson, Biometrika 26 (1934) 404; from memory). The ends are
// shares from 0 to 1, found to 1e−12.
func BinomialInterval(x, n int, level float64) (low, high float64, err error) {
	if n < 1 || x < 0 || x > n || !(level > 0 && level < 1) {
		return 0, 0, fmt.Errorf("binomial interval: %d of %d at level %v; want 0 to n of at least 1, and a level between 0 and 1", x, n, level)
	}
	tail := (1 - level) / 2
	// cross finds where P(X ≤ k) falls to a value: it falls as p grows.
	cross := func(k int, to float64) (float64, error) {
		a, b := 0.0, 1.0
		for b-a > 1e-12 {
			p := (a + b) / 2
			got, err := BinomialCDF(k, n, p)
			if err != nil {
				return 0, err
			}
			if got > to {
				a = p
			} else {
				b = p
			}
		}
		return (a + b) / 2, nil
	}
	high = 1
	if x > 0 {
		if low, err = cross(x-1, 1-tail); err != nil {
			return 0, 0, err
		}
	}
	if x < n {
		high, err = cross(x, tail)
	}
	return low, high, err
}
