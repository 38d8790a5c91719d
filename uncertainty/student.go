package uncertainty

import (
	"math"

	"example.org/wring/uncertainty/stat"
)

// A student is a t of finite degrees of freedom, scaled.
//
// Its characteristic function is z^μ·K_μ(z)/(2^(μ−1)Γ(μ)) with μ = ν/2 and z = √ν·scale·t. For odd
// ν that is exp(−z) times a polynomial. For other small ν the Bessel function's integral ∫ exp(−z cosh u) cosh(μu) du over
// u > 0 (DLMF 10.32.9) is summed by the trapezoidal rule. For large ν it is computed as what it is, a mixture of normals of variance
// e^(−s), with weights proportional to exp(−μ(e^s − 1 − s)) (the density of log χ²/ν), by the same rule over s.
type student struct {
	scale float64 // > 0
	nu    float64 // ≥ 1, finite

	norm   float64   // log of the density at 0, for scale 1
	poly   []float64 // of an odd ν: coefficients of 1, z, z², …
	weight []float64 // of another: the mixture's weights, sum 1 …
	half   []float64 // … and half the variance of each normal, for scale 1, descending
	norms  float64   // of small ν: step / (2^(μ−1)Γ(μ)) …
	hyper  []float64 // … cosh(jh) …
	growth []float64 // … and log cosh(μjh), of j = 0 half
}

const (
	polynomialUpTo = 61  // the greatest odd ν for which the polynomial is cheaper than the mixture
	integralUpTo   = 24  // the greatest other ν for which the integral is
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
	if s.nu <= integralUpTo {
		s.integral()
		return
	}
	s.mix()
}

// integral lays the nodes of the Bessel function's integral, as far as they matter for z ≥ leastArgument.
func (s *student) integral() {
	mu := s.nu / 2
	h := mixtureStep(mu)
	lg, _ := math.Lgamma(mu)
	s.norms = math.Log(h) - lg - (mu-1)*math.Ln2
	last := math.Acosh(-vanished*2/leastArgument) / h
	for j := 0.0; j <= last; j++ {
		e, u := math.Exp(j*h), mu*j*h
		s.hyper = append(s.hyper, (e+1/e)/2)
		log := u - math.Ln2
		if u < 20 { // beyond, cosh u is half exp u to the last digit
			log += math.Log1p(math.Exp(-2 * u))
		}
		s.growth = append(s.growth, log)
	}
	s.growth[0] -= math.Ln2 // the first node of the half line counts half
}

// leastArgument is the z below which the characteristic function is taken as 1, an error below 1e-15.
const leastArgument = 1e-16

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
	if s.hyper != nil {
		return s.bessel(z)
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

// bessel sums the integral for z. The logs of its terms rise to one top and fall from there ever faster.
func (s *student) bessel(z float64) float64 {
	if z < leastArgument {
		return 1
	}
	front := s.norms + s.nu/2*math.Log(z)
	sum, top := 0.0, math.Inf(-1)
	for j, c := range s.hyper {
		log := front - z*c + s.growth[j]
		top = math.Max(top, log)
		if log < top+vanished {
			break
		}
		if log > vanished {
			sum += math.Exp(log)
		}
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

// nearOne bounds 1 − char(t) for small t. It falls as ν grows with z held; it is 1 − exp(−z) ≤ z for ν = 1, and 1 − zK₁(z) ≤ ½z²(ln(2/z) + ½)
// for ν = 2 and z ≤ 1, since all further terms of the series (DLMF 10.31.1) are negative; and at most half the variance times t².
func (s *student) nearOne(t float64) float64 {
	z := math.Sqrt(s.nu) * s.scale * t
	bound := z
	if s.nu >= 2 && z <= 1 {
		bound = math.Min(bound, z*z/2*(math.Log(2/z)+0.5))
	}
	if s.nu > 2 {
		bound = math.Min(bound, z*z/(2*(s.nu-2)))
	}
	return bound
}

func (s *student) density(x float64) float64 {
	y := x / s.scale
	return math.Exp(s.norm-(s.nu+1)/2*math.Log1p(y*y/s.nu)) / s.scale
}

// reach returns an x with P(|X| > x) ≤ eps < 1. The density f falls at least as (x/s)^q, q = (ν+1)y²/(ν+y²) with
// y = x/scale, so that the tail is at most 2·y·f(y)/(q−1). From a y that is surely too far out, Newton's steps in log y come back.
func (s *student) reach(eps float64) float64 {
	target := math.Log(eps)
	y := math.Max(2, math.Exp((s.norm+math.Ln2+(s.nu+1)/2*math.Log(s.nu)-target)/s.nu))
	for range 8 {
		log, slope := s.tail(y)
		next := math.Max(2, y*math.Exp((target-log)/slope))
		if math.Abs(next-y) < 0.01*y {
			break
		}
		y = next
	}
	for {
		if log, _ := s.tail(y); log <= target {
			return y * s.scale
		}
		y *= 1.02
	}
}

// tail is the log of the bound on P(|X| > y·scale), y ≥ 2, and its slope in log y, roughly.
func (s *student) tail(y float64) (log, slope float64) {
	q := (s.nu + 1) * y * y / (s.nu + y*y)
	return math.Log(2*y/(q-1)) + s.norm - (s.nu+1)/2*math.Log1p(y*y/s.nu), 1 - q
}
