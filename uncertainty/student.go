package uncertainty

import (
	"math"

	"example.org/wring/uncertainty/stat"
)

// A student is a t of finite degrees of freedom, scaled.
//
// Its characteristic function is z^μ·K_μ(z)/(2^(μ−1)Γ(μ)) with μ = ν/2 and z = √ν·scale·t. For odd
// ν that is exp(−z) times a polynomial. For all others it is computed as what it is, a mixture of normals of variance
// e^(−s), with weights proportional to exp(−μ(e^s − 1 − s)) (the density of log χ²/ν), summed by the trapezoidal rule.
type student struct {
	scale float64 // > 0
	nu    float64 // ≥ 1, finite

	norm   float64   // log of the density at 0, for scale 1
	poly   []float64 // of an odd ν: coefficients of 1, z, z², …
	weight []float64 // of another: the mixture's weights, sum 1 …
	half   []float64 // … and half the variance of each normal, for scale 1, descending
}

const (
	polynomialUpTo = 61  // the greatest odd ν for which the polynomial is cheaper than the mixture
	mixtureFrom    = 1e4 // from this ν on the distribution function too is taken from the mixture: others lose digits
)

func (s *student) prepare() {
	s.norm = studentNorm(s.nu)
	if half := (s.nu - 1) / 2; half == math.Trunc(half) && s.nu <= polynomialUpTo {
		// c_j = n!·(2n−j)!·2^j / ((2n)!·(n−j)!·j!), n = (ν−1)/2 (DLMF 10.49.12).
		n := int(half)
		s.poly = make([]float64, n+1)
		s.poly[0] = 1
		for j := range n {
			s.poly[j+1] = s.poly[j] * 2 * float64(n-j) / (float64(2*n-j) * float64(j+1))
		}
		return
	}
	s.mix()
}

// studentNorm is log(Γ(μ+½)/(Γ(μ)√(πν))), μ = ν/2; for large ν by the asymptotic series of the quotient (DLMF 5.11.13),
// whose next term is below 1e-15, since the logarithms of the gamma functions lose digits.
func studentNorm(nu float64) float64 {
	mu := nu / 2
	if mu > 50 {
		r := 1 / mu
		return -0.5*math.Log(2*math.Pi) - r/8 + r*r*r/192 - r*r*r*r*r/640
	}
	a, _ := math.Lgamma(mu + 0.5)
	b, _ := math.Lgamma(mu)
	return a - b - 0.5*math.Log(math.Pi*nu)
}

// mix lays the trapezoidal rule over s, from where the weights have vanished to where they have vanished again.
func (s *student) mix() {
	mu := s.nu / 2
	h := mixtureStep(mu)
	log := func(v float64) float64 { return -mu * (math.Expm1(v) - v) }
	k := -1.0
	for log(k*h) > vanished {
		k--
	}
	total := 0.0
	for ; k < 0 || log(k*h) > vanished; k++ {
		w := math.Exp(log(k * h))
		total += w
		s.weight = append(s.weight, w)
		s.half = append(s.half, math.Exp(-k*h)/2)
	}
	for i := range s.weight {
		s.weight[i] /= total
	}
}

// vanished is the log of a weight too small to count beside 1e-13.
const vanished = -34

// mixtureError is the bound on the trapezoidal rule.
const mixtureError = 1e-12

// mixtureStep finds a step h small enough. On the lines Im v = ±d the integrand's absolute values add up to at most
// (cos d)^(−μ), for every z, so that the rule errs by less than 2(cos d)^(−μ)/(exp(2πd/h)−1) (Trefethen and Weideman 2014, SIAM Review 56, 385,
// theorem 5.1); the best d has tan d = 2π/(hμ).
func mixtureStep(mu float64) float64 {
	h := 0.4
	for {
		d := math.Atan(2 * math.Pi / (h * mu))
		if math.Ln2-mu*math.Log(math.Cos(d))-2*math.Pi*d/h <= math.Log(mixtureError/2) {
			return h
		}
		h *= 0.95
	}
}

// char returns the characteristic function at t ≥ 0.
func (s *student) char(t float64) float64 {
	z := math.Sqrt(s.nu) * s.scale * t
	if s.poly != nil {
		sum := 0.0
		for j := len(s.poly) - 1; j >= 0; j-- {
			sum = sum*z + s.poly[j]
		}
		return sum * math.Exp(-z)
	}
	tt, sum := s.scale*s.scale*t*t, 0.0
	for j := len(s.weight) - 1; j >= 0; j-- {
		e := tt * s.half[j]
		if e > 40 {
			break
		}
		sum += s.weight[j] * math.Exp(-e)
	}
	return sum
}

// at returns P(X ≤ x) and the density.
func (s *student) at(x float64) (probability, density float64) {
	y := x / s.scale
	if s.nu < mixtureFrom {
		p, err := stat.TCDF(y, s.nu)
		if err != nil {
			return math.NaN(), 0
		}
		return p, s.density(x)
	}
	for j, w := range s.weight {
		probability += w * stat.NormalCDF(y/math.Sqrt(2*s.half[j]))
	}
	return probability, s.density(x)
}

// envelope bounds char from t on: −d log φ/dz = K_{μ−1}(z)/K_μ(z) ≥ z/(m + √(m²+z²)), m = μ−½
// (Segura 2011, J. Math. Anal. Appl. 374, eq. 22; equality at μ = ½), integrated; z times it grows with z.
func (s *student) envelope(t float64) envelope {
	z := math.Sqrt(s.nu) * s.scale * t
	m := s.nu/2 - 0.5
	root := math.Hypot(m, z)
	log := m - root
	if m > 0 {
		log += m * math.Log1p((root-m)/(2*m))
	}
	return envelope{log, z * z / (m + root)}
}

// nearOne bounds 1 − char(t): by z for every ν ≥ 1, since K_{μ−1} ≤ K_μ for μ ≥ ½, and by half the variance times t² where there is one.
func (s *student) nearOne(t float64) float64 {
	z := math.Sqrt(s.nu) * s.scale * t
	if s.nu > 2 {
		return math.Min(z, z*z/(2*(s.nu-2)))
	}
	return z
}

func (s *student) density(x float64) float64 {
	y := x / s.scale
	return math.Exp(s.norm-(s.nu+1)/2*math.Log1p(y*y/s.nu)) / s.scale
}

// reach returns an x with P(|X| > x) ≤ eps. The density f falls at least as (x/s)^q, q = (ν+1)y²/(ν+y²) with
// y = x/scale, so that the tail is at most 2·y·f(y)/(q−1).
func (s *student) reach(eps float64) float64 {
	y := 2.0
	for {
		q := (s.nu + 1) * y * y / (s.nu + y*y)
		if q > 1 && math.Log(2*y/(q-1))+s.norm-(s.nu+1)/2*math.Log1p(y*y/s.nu) <= math.Log(eps) {
			return y * s.scale
		}
		y *= 1.05
	}
}
