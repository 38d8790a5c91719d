package stat

import (
	"math"
	"testing"
)

// Own: with none or all of n the binomial distribution has one term, and the
// end is (α/2)^(1/n) or its complement.
func TestTheExactIntervalOfAShareEndsWhereOneTermSaysSo(t *testing.T) {
	for _, n := range []int{1, 4, 10, 60} {
		end := math.Pow(0.025, 1/float64(n))
		for _, c := range []struct {
			x         int
			low, high float64
		}{{0, 0, 1 - end}, {n, end, 1}} {
			low, high, err := BinomialInterval(c.x, n, 0.95)
			if err != nil || math.Abs(low-c.low) > 1e-9 || math.Abs(high-c.high) > 1e-9 {
				t.Errorf("%d of %d: %v to %v, %v; want %v to %v", c.x, n, low, high, err, c.low, c.high)
			}
		}
	}
}

// Own: at each end a result as far off has the chance that was asked for, and
// what is true of x of n is true of its complement.
func TestTheExactIntervalLeavesHalfOfTheDoubtOnEachSide(t *testing.T) {
	for _, n := range []int{2, 7, 31} {
		for x := 1; x < n; x++ {
			low, high, err := BinomialInterval(x, n, 0.9)
			if err != nil {
				t.Fatal(err)
			}
			above, _ := BinomialCDF(x-1, n, low)
			below, _ := BinomialCDF(x, n, high)
			if math.Abs(1-above-0.05) > 1e-8 || math.Abs(below-0.05) > 1e-8 {
				t.Errorf("%d of %d: tails %v and %v; want 0.05", x, n, 1-above, below)
			}
			l, h, _ := BinomialInterval(n-x, n, 0.9)
			if math.Abs(l-(1-high)) > 1e-9 || math.Abs(h-(1-low)) > 1e-9 {
				t.Errorf("%d of %d: the complement has %v to %v, this %v to %v", x, n, l, h, low, high)
			}
		}
	}
	for _, bad := range []struct {
		x, n  int
		level float64
	}{{0, 0, 0.95}, {-1, 3, 0.95}, {4, 3, 0.95}, {1, 3, 1}, {1, 3, math.NaN()}} {
		if _, _, err := BinomialInterval(bad.x, bad.n, bad.level); err == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
}
