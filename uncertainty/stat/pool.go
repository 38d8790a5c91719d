package stat

import (
	"math"

	"gonum.org/v1/gonum/mathext"
)

// A Pool gathers variances of several like things, each of few degrees of
// freedom, and says what is known from them of one more. The zero value is an
// empty pool.
type Pool struct {
	n       float64
	dof     float64 // Σν
	squares float64 // Σνs²
	e, e2   float64 // Σe, Σe² of the logarithms
	tri     float64 // Σψ′(ν/2)
}

// least keeps the logarithm of a variance that was found to be nothing, as
// rounding makes it, from deciding all: a share of the expected one (house rule).
const least = 0.01

// Add puts a variance s2 ≥ 0, found relative to what was expected, of dof > 0
// degrees of freedom into the pool; anything else is left out.
func (p *Pool) Add(s2, dof float64) { p.change(s2, dof, 1) }

// Remove is the inverse of Add, so that one can be held against the others.
func (p *Pool) Remove(s2, dof float64) { p.change(s2, dof, -1) }

func (p *Pool) change(s2, dof, sign float64) {
	if !(s2 >= 0) || !(dof > 0) || math.IsInf(s2, 0) || math.IsInf(dof, 0) {
		return
	}
	e := math.Log(math.Max(s2, least)) - mathext.Digamma(dof/2) + math.Log(dof/2)
	p.n += sign
	p.dof += sign * dof
	p.squares += sign * dof * s2
	p.e += sign * e
	p.e2 += sign * e * e
	p.tri += sign * trigamma(dof/2)
}

// Len returns how many variances are in the pool.
func (p Pool) Len() int { return int(math.Round(p.n)) }

// Prior returns the pooled variance (JCGM 100:2008, 4.2.4) and the degrees of
// freedom with which it stands for one more thing of the kind: fewer, the more
// the variances differ beyond chance (Smyth 2004, Statist. Appl. Genet. Mol.
// Biol. 3, 3, section 6.2). They are never more than those of the pool itself.
// It wants at least three variances, and returns 0, 0 of fewer.
func (p Pool) Prior() (s2, dof float64) {
	if p.n < 2.5 {
		return 0, 0
	}
	s2 = p.squares / p.dof
	mean := p.e / p.n
	excess := (p.e2-p.n*mean*mean)/(p.n-1) - p.tri/p.n
	if !(excess > 0) {
		return s2, p.dof
	}
	dof = 2 * trigammaInverse(excess)
	return math.Exp(mean + mathext.Digamma(dof/2) - math.Log(dof/2)), math.Min(p.dof, dof)
}

// trigamma is ψ′(x) = ζ(2, x), for x > 0.
func trigamma(x float64) float64 { return mathext.Zeta(2, x) }

// trigammaInverse solves ψ′(x) = y for y > 0 by Newton's method on 1/ψ′, which
// is nearly a straight line (Smyth 2004, appendix).
func trigammaInverse(y float64) float64 {
	x := 0.5 + 1/y
	for range 50 {
		t := trigamma(x)
		step := t * (1 - t/y) / (-2 * mathext.Zeta(3, x)) // ψ″(x) = −2ζ(3, x)
		x += step
		if math.Abs(step) < 1e-10*x {
			break
		}
	}
	return x
}
