package stat

import (
	"fmt"
	"math"
)

// A Weighted is a mean square times a coefficient.
type Weighted struct {
	Effect Effect
	// Times is the coefficient, without unit; below zero where the mean square is taken off.
	Times float64
}

// A Combination estimates a variance as a sum of independent mean squares, each times a coefficient, as the expected
// mean squares of an analysis of variance give it.
type Combination []Weighted

// Estimate returns the sum, in the square of the data's unit. One from which something is taken off may come out below
// zero, though no variance is.
func (c Combination) Estimate() float64 {
	sum := 0.0
	for _, w := range c {
		sum += w.part()
	}
	return sum
}

func (w Weighted) part() float64 { return w.Times * w.Effect.MeanSquare() }

// DoF returns the degrees of freedom that the estimate is worth (Satterthwaite 1946, Biometrics Bulletin 2, 110–114;
// from memory), the same as JCGM 100:2008, G.4.1, for one without terms taken off; 0 where the estimate is not above
// zero.
func (c Combination) DoF() float64 {
	estimate, sum := c.Estimate(), 0.0
	if !(estimate > 0) {
		return 0
	}
	for _, w := range c {
		if part := w.part() / estimate; part != 0 {
			sum += part * part / w.Effect.DoF
		}
	}
	return 1 / sum
}

// Interval returns bounds of the variance at confidence p, 0 < p < 1, by modified large samples: Graybill and Wang 1980,
// J. Am. Stat. Assoc. 75, 869–873, for sums; Ting, Burdick, Graybill, Jeyaratnam and Lu 1990, J. Stat. Comput. Simul.
// 35, 135–143, where something is taken off; both as gathered by Burdick, Borror and Montgomery 2005, appendix A (from
// memory, coverage held by simulation). For one mean square alone it is the exact interval by χ². A bound below zero
// is zero.
func (c Combination) Interval(p float64) (low, high float64, err error) {
	if !(p > 0 && p < 1) {
		return 0, 0, fmt.Errorf("interval of a variance: confidence %v; want one between 0 and 1", p)
	}
	b := bounds{tail: (1 - p) / 2}
	var plus, minus []side
	for _, w := range c {
		switch s := b.side(w); {
		case w.Times > 0:
			plus = append(plus, s)
		case w.Times < 0:
			minus = append(minus, s)
		}
	}
	below, above := b.spread(plus, minus, b.below), b.spread(minus, plus, b.above)
	if b.err != nil {
		return 0, 0, b.err
	}
	estimate := c.Estimate()
	return math.Max(0, estimate-math.Sqrt(below)), math.Max(0, estimate+math.Sqrt(above)), nil
}

// A side is one mean square with the two ends of its own interval.
type side struct {
	part float64 // coefficient's size times the mean square
	dof  float64
	g    float64 // part of the estimate that its lower end lies below it
	h    float64 // and its upper end above
}

// bounds holds the probability in one tail, and the first thing that went wrong.
type bounds struct {
	tail float64
	err  error
}

func (b *bounds) got(v float64, err error) float64 {
	if err != nil && b.err == nil {
		b.err = err
	}
	return v
}

func (b *bounds) side(w Weighted) side {
	s := side{part: math.Abs(w.part()), dof: w.Effect.DoF}
	s.g = b.g(s.dof)
	s.h = s.dof/b.got(ChiSquaredQuantile(b.tail, s.dof)) - 1
	return s
}

func (b *bounds) g(dof float64) float64 {
	return 1 - dof/b.got(ChiSquaredQuantile(1-b.tail, dof))
}

// spread returns the square of how far a bound lies from the estimate. The parts that draw the bound toward them by
// their lower ends come first, those by their upper ends second; cross is what one of each have in common.
func (b *bounds) spread(lower, upper []side, cross func(lower, upper side) float64) float64 {
	sum := 0.0
	for i, l := range lower {
		sum += l.g * l.g * l.part * l.part
		for _, u := range upper {
			sum += cross(l, u) * l.part * u.part
		}
		for _, o := range lower[i+1:] {
			if len(upper) > 0 {
				sum += b.alike(l, o) / float64(len(lower)-1) * l.part * o.part
			}
		}
	}
	for _, u := range upper {
		sum += u.h * u.h * u.part * u.part
	}
	return math.Max(0, sum)
}

// below is what a part that adds and one that takes off have in common in a lower bound, such that the bound is exact
// where the ratio of both is the quantile of F.
func (b *bounds) below(plus, minus side) float64 {
	f := b.got(FQuantile(1-b.tail, plus.dof, minus.dof))
	return ((f-1)*(f-1) - plus.g*plus.g*f*f - minus.h*minus.h) / f
}

// above is the same in an upper bound.
func (b *bounds) above(minus, plus side) float64 {
	f := b.got(FQuantile(b.tail, plus.dof, minus.dof))
	return ((1-f)*(1-f) - plus.h*plus.h*f*f - minus.g*minus.g) / f
}

// alike is what two parts of the same sign have in common.
func (b *bounds) alike(x, y side) float64 {
	n, g := x.dof+y.dof, b.g(x.dof+y.dof)
	return g*g*n*n/(x.dof*y.dof) - x.g*x.g*x.dof/y.dof - y.g*y.g*y.dof/x.dof
}
