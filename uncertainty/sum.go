package uncertainty

import (
	"errors"
	"fmt"
	"math"
	"sync"
)

// errorBound is the greatest absolute error of a probability that a [Sum] may give.
const errorBound = 1e-9

// ErrDependent is returned, wrapped with the name, when correlated inputs are not all normal, or all t of the same degrees
// of freedom: without their joint distribution being stated their sum has none.
var ErrDependent = errors.New("correlated with another shape or other degrees of freedom; want normal inputs with the same degrees of freedom, or method \"t\"")

// A Sum is the distribution of a linear budget of independent inputs. It is symmetric about its
// centre. Its methods may be called from several goroutines.
type Sum struct {
	centre float64
	size   float64 // unit of parts, in the unit of the measurand; 0 when nothing varies
	parts  *factors
	far    float64 // beyond it lies less than a quarter of errorBound, in size

	mu   sync.Mutex
	law  law     // the last one laid
	upTo float64 // |x| it was laid for, in size
}

// A law is a symmetric distribution about zero that was laid for |x| up to some reach.
type law interface {
	// at returns P(S ≤ x) and the density at x, for 0 ≤ x ≤ the reach it was laid for.
	at(x float64) (probability, density float64)
	// bound is the greatest absolute error of the probability.
	bound() float64
}

// Sum returns the exact distribution of the measurand. Inputs without width drop out; normal inputs
// correlated with each other are one normal. Others that are correlated are refused with [ErrDependent].
func (b Budget) Sum() (*Sum, error) {
	if err := b.checkLinear(); err != nil {
		return nil, err
	}
	c, err := b.combine()
	if err != nil {
		return nil, err
	}
	return b.sum(c)
}

func (b Budget) sum(c combined) (*Sum, error) {
	r, err := b.correlate()
	if err != nil {
		return nil, err
	}
	f := &factors{}
	for _, group := range r.groups {
		if len(group) == 1 {
			i := group[0]
			f.add(b.Inputs[i].Knowledge, c.lines[i].Sensitivity)
			continue
		}
		joint, err := b.joint(group)
		if err != nil {
			return nil, err
		}
		variance := 0.0
		for _, i := range group {
			variance += c.lines[i].Share
		}
		f.add(StudentT(c.standard*math.Sqrt(math.Max(variance, 0)), joint), 1)
	}
	s := &Sum{centre: c.estimate, size: f.settle(), parts: f}
	s.far = f.reach(errorBound / 4)
	return s, nil
}

// joint returns the degrees of freedom that all inputs of a correlated group share. They are then taken as jointly
// normal, or as jointly t like the means of readings taken together (JCGM 102:2011, 5.3.2), whose sums are normal or t again.
func (b Budget) joint(group []int) (dof float64, err error) {
	dof = b.Inputs[group[0]].Knowledge.DoF()
	for _, i := range group {
		d := b.Inputs[i].Knowledge
		if (d.shape != ShapeNormal && d.shape != ShapeT) || d.DoF() != dof {
			return 0, fmt.Errorf("input %d %q: %w", i+1, b.Inputs[i].Name, ErrDependent)
		}
	}
	return dof, nil
}

// About returns the same distribution about another centre, in the unit of the measurand.
func (s *Sum) About(centre float64) *Sum {
	return &Sum{centre: centre, size: s.size, parts: s.parts, far: s.far}
}

// Centre returns the median, which is the best estimate, in the unit of the measurand.
func (s *Sum) Centre() float64 { return s.centre }

// CDF returns P(Y ≤ x), x in the unit of the measurand, with an absolute error of at most 1e-9. It is NaN for NaN, and
// where no way within bounds of time and memory leads to it: t of ν near 1 beside parts a millionth as wide, far out.
func (s *Sum) CDF(x float64) float64 {
	d := x - s.centre
	switch {
	case math.IsNaN(d):
		return math.NaN()
	case s.size == 0 && d < 0:
		return 0
	case s.size == 0:
		return 1
	case d < 0:
		return 1 - s.upper(-d/s.size)
	}
	return s.upper(d / s.size)
}

// Between returns P(low ≤ Y ≤ high), both in the unit of the measurand, with twice the error of [Sum.CDF]; ±Inf
// leaves a side open. It is 0 when low > high.
func (s *Sum) Between(low, high float64) float64 {
	if s.size == 0 && low <= s.centre && s.centre <= high {
		return 1
	}
	return math.Max(0, s.CDF(high)-s.CDF(low))
}

// Quantile returns the x with P(Y ≤ x) = p, in the unit of the measurand, for p between (1−0.9999)/2 and (1+0.9999)/2.
func (s *Sum) Quantile(p float64) (float64, error) {
	if !(math.Abs(2*p-1) <= greatestCoverage) {
		return 0, fmt.Errorf("quantile: probability %v; want %v to %v", p, (1-greatestCoverage)/2, (1+greatestCoverage)/2)
	}
	if p < 0.5 {
		q, err := s.half(1 - 2*p)
		return s.centre - q, err
	}
	q, err := s.half(2*p - 1)
	return s.centre + q, err
}

// upper is P(S ≤ x) of the centred sum, x ≥ 0 in its own size.
func (s *Sum) upper(x float64) float64 {
	if x >= s.far {
		return 1
	}
	p, _ := s.lay(x).at(x)
	return math.Min(1, p)
}

// lay returns a law good for |x|.
func (s *Sum) lay(x float64) law {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.law == nil || x > s.upTo {
		s.law, s.upTo = s.parts.law(x), x
	}
	return s.law
}

// half returns half the length of the symmetric interval that covers p, in the unit of the measurand.
func (s *Sum) half(p float64) (float64, error) {
	if s.size == 0 || p == 0 {
		return 0, nil
	}
	high := s.parts.reach(1 - p)
	l := s.lay(high)
	if !(l.bound() <= errorBound) {
		return 0, fmt.Errorf("coverage interval: known to %.1g of probability only; want %g, or method %q", l.bound(), errorBound, MonteCarlo)
	}
	return s.size * solve(l, (1+p)/2, high), nil
}

// solve finds x in 0 … high with P(S ≤ x) = p by Newton's steps kept inside a shrinking bracket. A step that
// goes nowhere although p is not reached is not believed: the density has peaks that its nodes may miss.
func solve(l law, p, high float64) float64 {
	low, x := 0.0, math.Min(high, 2)
	for range 400 {
		f, density := l.at(x)
		if f > p {
			high = x
		} else {
			low = x
		}
		if math.Abs(f-p) < 1e-13 || high-low <= 1e-15*high {
			return x
		}
		next := x - (f-p)/density
		still := math.Abs(next-x) <= 1e-15*x
		if still && math.Abs(f-p) < aliasing/10 {
			return x
		}
		if still || !(next > low && next < high) {
			next = (low + high) / 2
		}
		x = next
	}
	return x
}

// expandExact covers p with the distribution of the sum itself, and returns it.
func (s *Statement) expandExact(b Budget) (*Sum, error) {
	if err := b.checkLinear(); err != nil {
		return nil, err
	}
	sum, err := b.sum(combined{lines: s.Lines, estimate: s.Estimate, standard: s.Standard})
	if err != nil {
		return nil, err
	}
	U, err := sum.half(s.Probability)
	if err != nil {
		return nil, err
	}
	if s.Standard > 0 {
		s.K = U / s.Standard
	}
	s.cover(U)
	return sum.About(sum.centre), nil // its law is laid for the reach that is asked for, as that of Budget.Sum
}
