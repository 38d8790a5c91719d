package uncertainty

import (
	"math"

	"example.org/wring/uncertainty/stat"
)

// A closedForm is a distribution known in a formula.
type closedForm struct {
	cdf   func(x float64) (probability, density float64)
	error float64
}

func (c closedForm) at(x float64) (probability, density float64) { return c.cdf(x) }
func (c closedForm) bound() float64                              { return c.error }

// closed returns the formula for sums that have one: a single part, or a few rectangles.
func (f *factors) closed() (law, bool) {
	if n := len(f.rect); n > 0 && n == f.count() {
		return f.spline()
	}
	if f.count() != 1 {
		return nil, false
	}
	c := closedForm{error: 1e-13}
	switch {
	case f.sigma > 0:
		c.cdf = f.normalAt
	case len(f.sine) == 1:
		c.cdf = f.arcsineAt
	case len(f.heavy) == 1:
		c.cdf = f.heavy[0].at
	default:
		c.cdf = f.curve[0].at
	}
	return c, true
}

func (f *factors) normalAt(x float64) (probability, density float64) {
	z := x / f.sigma
	return stat.NormalCDF(z), math.Exp(-z*z/2) / (f.sigma * math.Sqrt(2*math.Pi))
}

func (f *factors) arcsineAt(x float64) (probability, density float64) {
	a := f.sine[0]
	if x >= a {
		return 1, 0
	}
	return 0.5 + math.Asin(x/a)/math.Pi, 1 / (math.Pi * math.Sqrt((a-x)*(a+x)))
}

// at integrates the density ln((mid+give)/max(x, mid−give))/(4·give).
func (c curved) at(x float64) (probability, density float64) {
	low, high := c.mid-c.give, c.mid+c.give
	if x >= high {
		return 1, 0
	}
	top := math.Log1p(2*c.give/low) / (4 * c.give)
	if x <= low {
		return 0.5 + x*top, top
	}
	d := (high - x) / x
	rest := x * lessLog(d) // ∫ ln(high/s) ds from x to high
	return 1 - rest/(4*c.give), math.Log1p(d) / (4 * c.give)
}

// lessLog is d − ln(1+d) for d ≥ 0, by its series where the difference would lose digits.
func lessLog(d float64) float64 {
	if d > 0.1 {
		return d - math.Log1p(d)
	}
	sum, power := 0.0, -d
	for n := 2.0; n < 20; n++ {
		power *= -d
		sum += power / n
	}
	return sum
}

// mostRectangles limits the spline's 2^n terms.
const mostRectangles = 8

// spline is the distribution of n rectangles, P(S ≤ x) = Σ ±(x + Σ±aⱼ)₊ⁿ / (n!·Π2aⱼ) over all signs, where a term
// counts negative for an odd number of minus signs (Irwin–Hall for unequal widths). Its terms cancel: the rounding
// error is at most 2ⁿ⁺² ulp of the greatest term, and where that is too much there is no spline.
func (f *factors) spline() (law, bool) {
	n := len(f.rect)
	reach, volume := f.halfWidth(), 1.0
	for i, a := range f.rect {
		volume *= 2 * a * float64(i+1)
	}
	if n > mostRectangles {
		return nil, false
	}
	greatest := math.Pow(2*reach, float64(n)) / volume
	err := math.Ldexp(greatest, n+2) * 0x1p-53
	if !(err < aliasing) {
		return nil, false
	}
	return closedForm{error: err, cdf: func(x float64) (probability, density float64) {
		if x >= reach {
			return 1, 0
		}
		return f.splineAt(x, volume)
	}}, true
}

// splineAt sums the side of the knots that lie right of x: fewer and smaller terms for x ≥ 0.
func (f *factors) splineAt(x, volume float64) (probability, density float64) {
	n := len(f.rect)
	for signs := range 1 << n {
		knot, sign := -x, 1.0
		for j, a := range f.rect {
			if signs>>j&1 == 1 {
				knot, sign = knot-a, -sign
			} else {
				knot += a
			}
		}
		if knot > 0 {
			p := math.Pow(knot, float64(n-1))
			probability += sign * p * knot
			density += sign * p
		}
	}
	return 1 - probability/volume, density * float64(n) / volume
}
