package uncertainty

import "math"

// A ladder inverts the characteristic function by Gauss–Legendre panels whose widths grow with t.
//
//	P(S ≤ x) = ½ + (1/π)·∫_0^∞ φ(t)·sin(xt)/t dt   (Gil-Pelaez 1951, φ even)
//
// It is for parts with heavy tails, where φ has a kink at 0 and a wave would need millions of
// nodes. φ is analytic to the right of 0. Each panel has its error bounded on a Bernstein ellipse inside
// the sector |arg z| ≤ 45°: there normal and t parts, being mixtures of normals, stay ≤ 1, the
// bounded ones ≤ exp(V·Im²z/2) with V their variance proxy, and |sin xz| ≤ exp(x·|Im z|).
type ladder struct {
	first  float64 // below it φ is taken as 1
	node   []float64
	weight []float64
	error  float64
}

const gaussPoints = 16

func (f *factors) ladderNodes(upTo, end float64) float64 {
	first := f.first(upTo)
	w := f.widest(upTo)
	return gaussPoints * (math.Log(math.Max(w/first, 3))/math.Log(3) + end/(2*w) + 1)
}

// first is the t below which taking φ as 1 costs less than a tenth of truncation: |1 − φ| ≤ Σ|1 − φᵢ|.
func (f *factors) first(upTo float64) float64 {
	t := 1.0
	for {
		short := (f.variance() + f.sigma*f.sigma) * t * t / 2
		for i := range f.heavy {
			short += f.heavy[i].nearOne(t)
		}
		if short*math.Max(upTo, 1)*t/math.Pi <= truncation/10 && upTo*t < 0.01 {
			return t
		}
		t /= 1.5
	}
}

// widest is the half-width of panels far from 0.
func (f *factors) widest(upTo float64) float64 {
	return 1 / (upTo/5 + math.Sqrt(f.variance())/1.5)
}

func (f *factors) ladder(upTo, end float64) *ladder {
	l := &ladder{first: f.first(upTo), error: truncation * 1.1}
	limit := f.widest(upTo)
	for left := l.first; left < end; {
		half := math.Min(left, limit)
		bound := f.panelBound(left+half, half, upTo)
		for bound > panelError {
			half *= 0.8
			bound = f.panelBound(left+half, half, upTo)
		}
		l.error += bound
		f.panel(l, left+half, half)
		left += 2 * half
	}
	l.error += roundingAllowance
	return l
}

// panelError is the bound on one panel; a ladder of a thousand panels stays below errorBound.
const panelError = 3e-13

// panelBound is (64/15)·M·ρ^(−2n)/(1−ρ^(−2)) times the half-width, for n+1 Gauss points and |f| ≤ M on
// the Bernstein ellipse of ρ (Trefethen, Approximation Theory and Approximation Practice, theorem 19.3);
// the least over a few ellipses.
func (f *factors) panelBound(centre, half, upTo float64) float64 {
	q := centre * centre / (half * half)
	widest := math.Sqrt(q + math.Sqrt(q*q-1)) // ρ² + ρ⁻² = 2q: the ellipse touches the lines at 45°
	least, v := math.Inf(1), f.variance()
	for rho := math.Min(widest, 12); rho > 1.5; rho *= 0.8 {
		y := half * (rho - 1/rho) / 2
		nearest := centre - half*(rho+1/rho)/2
		log := v*y*y/2 + upTo*y - 2*(gaussPoints-1)*math.Log(rho)
		least = math.Min(least, 64.0/15*half/(math.Pi*nearest)*math.Exp(log)/(1-1/(rho*rho)))
	}
	return least
}

func (f *factors) panel(l *ladder, centre, half float64) {
	for _, g := range gaussLegendre16 {
		for _, t := range [2]float64{centre - half*g.node, centre + half*g.node} {
			if phi := f.char(t); phi != 0 {
				l.node = append(l.node, t)
				l.weight = append(l.weight, half*g.weight*phi/math.Pi)
			}
		}
	}
}

func (l *ladder) at(x float64) (probability, density float64) {
	u := x * l.first
	probability = 0.5 + u*(1-u*u/18)/math.Pi // Si(u) of u < 0.01, error u⁵/600
	density = l.first / math.Pi
	for i, t := range l.node {
		sin, cos := math.Sincos(x * t)
		probability += l.weight[i] / t * sin
		density += l.weight[i] * cos
	}
	return probability, density
}

func (l *ladder) bound() float64 { return l.error }
