package uncertainty

import "math"

// A student is a t of finite degrees of freedom, scaled.
//
// Its characteristic function is z^μ·K_μ(z)/(2^(μ−1)Γ(μ)) with μ = ν/2 and z = √ν·scale·t. For odd
// ν that is exp(−z) times a polynomial. For all others it is computed as what it is, a mixture of normals:
// with G of the gamma distribution of shape μ, E exp(−z²/4G) = ∫ exp(μv − e^v − z²e^(−v)/4) dv / Γ(μ), by
// the trapezoidal rule.
type student struct {
	scale float64 // > 0
	nu    float64 // ≥ 1, finite

	norm   float64   // log of the density at 0, for scale 1
	poly   []float64 // of an odd ν: coefficients of 1, z, z², …
	weight []float64 // of another: the mixture's weights …
	rate   []float64 // … and e^(−v)/4, descending
}

// polynomialUpTo is the greatest odd ν for which the polynomial is cheaper than the mixture.
const polynomialUpTo = 61

func (s *student) prepare() {
	a, _ := math.Lgamma((s.nu + 1) / 2)
	b, _ := math.Lgamma(s.nu / 2)
	s.norm = a - b - 0.5*math.Log(math.Pi*s.nu)
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

// mix lays the trapezoidal rule. It starts where what lies to the left has a probability below 1e-14, and ends
// where the integrand has vanished.
func (s *student) mix() {
	mu := s.nu / 2
	lg, _ := math.Lgamma(mu)
	h := mixtureStep(mu)
	at := func(v float64) float64 { return mu*v - math.Exp(v) - lg }
	middle := math.Log(mu)
	first := math.Floor((middle - s.width(mu, at)) / h)
	for k := first; ; k++ {
		v := k * h
		w := at(v)
		if v > middle && w < -40 {
			break
		}
		s.weight = append(s.weight, h*math.Exp(w))
		s.rate = append(s.rate, math.Exp(-v)/4)
	}
}

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

// width finds how far left of its middle the integrand matters.
func (s *student) width(mu float64, at func(float64) float64) float64 {
	d := 1 / math.Sqrt(mu)
	for at(math.Log(mu)-d)-math.Log(mu) > -34 {
		d *= 1.1
	}
	return d
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
	zz, sum := z*z, 0.0
	for j := len(s.weight) - 1; j >= 0; j-- {
		e := zz * s.rate[j]
		if e > 40 {
			break
		}
		sum += s.weight[j] * math.Exp(-e)
	}
	return sum
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
