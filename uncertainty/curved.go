package uncertainty

import "math"

// mostCurvePanels is from where the sine integral is cheaper.
const mostCurvePanels = 4

// char returns the mean of sin(wt)/(wt) over half-widths w between mid−give and mid+give, by 16-point Gauss–Legendre
// in panels that reach at most 8 radians of wt to either side. The rule's remainder for cos ux, u ≤ 8, is
// u³²·(16!)⁴·2³³/(33·(32!)³) < 3e-16 (DLMF 3.5.19).
func (c curved) char(t float64) float64 {
	panels := math.Ceil(c.give * t / 8)
	if panels > mostCurvePanels {
		return (sineIntegral((c.mid+c.give)*t) - sineIntegral((c.mid-c.give)*t)) / (2 * c.give * t)
	}
	panels = math.Max(panels, 1)
	half, sum := c.give/panels, 0.0
	for w := c.mid - c.give + half; w < c.mid+c.give; w += 2 * half {
		for _, g := range gaussLegendre16 {
			sum += g.weight * (sinc((w+half*g.node)*t) + sinc((w-half*g.node)*t))
		}
	}
	return sum / (2 * panels)
}

// envelope bounds |char| from t on, by the narrowest rectangle's, and by the decay of the sine
// integral: |Si(u) − π/2| ≤ 1/u.
func (c curved) envelope(t float64) envelope {
	narrow := sincEnvelope((c.mid - c.give) * t)
	wide := envelope{math.Log(c.mid / (c.give * (c.mid - c.give) * (c.mid + c.give) * t * t)), 2}
	if wide.log < narrow.log {
		return wide
	}
	return narrow
}

// sineIntegral returns Si(u) for u ≥ 0: by its power series up to 4 (DLMF 6.6.5), beyond from the
// continued fraction of E₁(iu) (DLMF 6.5.6, 6.9.1).
func sineIntegral(u float64) float64 {
	if u <= 4 {
		term, sum := u, u
		for k := 1.0; math.Abs(term) > 1e-17*sum; k++ {
			term *= -u * u / (2 * k * (2*k + 1))
			sum += term / (2*k + 1)
		}
		return sum
	}
	z, frac := complex(0, u), complex(0, 0)
	for n := 60; n >= 1; n-- {
		k := complex(float64(n), 0)
		frac = k / (1 + k/(z+frac))
	}
	return math.Pi/2 + imag(complex(math.Cos(u), -math.Sin(u))/(z+frac))
}
