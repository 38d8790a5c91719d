package history

import (
	"math"

	"example.org/wring/uncertainty/stat"
)

// A fitted mode is its line in time with the pooled scatter.
type fitted struct {
	mode mode
	line stat.Line // figure of the mode in mm over years, unit weight: the budget's variance
	typ  float64   // mean variance of a check's figure, mm²: the budget's
	seen float64   // χ² of the checks about their line over its degrees of freedom
	dof  float64   // of seen
}

// fit draws the line through the mode's figures at the first n checks, weighted
// by their variances; without any the weights are equal and the scatter about
// the line is all that is known.
func (p panel) fit(v mode, n int, prior Prior) (fitted, error) {
	bare := p.bare(v)
	y, w := make([]float64, n), make([]float64, n)
	f := fitted{mode: v}
	for i := range n {
		y[i], w[i] = v.of(p, i), 1
		if !bare {
			w[i] = 1 / v.variance(p, i)
		}
		f.typ += 1 / w[i] / float64(n)
	}
	if bare {
		prior = Prior{}
	}
	var err error
	if f.line, err = stat.FitLine(p.t[:n], y, w, p.t[0]); err != nil {
		return f, err
	}
	f.seen, f.dof = f.line.S*f.line.S, f.line.DoF
	factor, dof := prior.pooled(f.seen, f.dof)
	f.line = f.line.With(math.Sqrt(factor), dof)
	return f, nil
}

// slopes returns each point's own slope in mm a year, by the weights of the
// shift, and what is left at each check and point when its line and the modes
// of the check are taken out: variance of one figure, mm², and its degrees of
// freedom.
func (p panel) slopes(weight []float64) (slope []float64, rest, dof float64) {
	slope = make([]float64, len(p.x))
	left := make([][]float64, len(p.t))
	for i := range left {
		left[i] = make([]float64, len(p.x))
	}
	for j := range p.x {
		y := make([]float64, len(p.t))
		for i := range y {
			y[i] = p.cells[i][j].Error
		}
		l, err := stat.FitLine(p.t, y, weight, p.t[0])
		if err != nil {
			return slope, 0, 0
		}
		slope[j] = l.Slope
		for i := range y {
			left[i][j] = y[i] - l.At(p.t[i])
		}
	}
	free := float64(len(p.x) - p.modes())
	if dof = float64(len(p.t)-2) * free; dof <= 0 {
		return slope, 0, 0
	}
	sum := 0.0
	for i := range left {
		for _, r := range p.without(left[i]) {
			sum += r * r
		}
	}
	return slope, sum / dof, dof
}

// modes is how many of the two the points can tell apart.
func (p panel) modes() int {
	if p.spreadX() > 0 {
		return 2
	}
	return 1
}

func (p panel) meanX() float64 {
	sum := 0.0
	for _, x := range p.x {
		sum += x
	}
	return sum / float64(len(p.x))
}

func (p panel) spreadX() float64 {
	m, sum := p.meanX(), 0.0
	for _, x := range p.x {
		sum += (x - m) * (x - m)
	}
	return sum
}

// without takes out of one figure for each point what is alike at all of them
// and what grows straight with the size.
func (p panel) without(y []float64) []float64 {
	a, b := p.straight(y)
	out := make([]float64, len(y))
	for j := range y {
		out[j] = y[j] - a - b*p.x[j]
	}
	return out
}

// straight fits y = a + b·x over the points; b is 0 where they have one size.
func (p panel) straight(y []float64) (a, b float64) {
	for _, v := range y {
		a += v / float64(len(y))
	}
	s := p.spreadX()
	if !(s > 0) {
		return a, 0
	}
	m := p.meanX()
	for j, v := range y {
		b += (p.x[j] - m) * (v - a) / s
	}
	return a - b*m, b
}

// leverage is how much of a figure at point j the modes take up, 0 to 1.
func (p panel) leverage(j int) float64 {
	h := 1 / float64(len(p.x))
	if s := p.spreadX(); s > 0 {
		h += (p.x[j] - p.meanX()) * (p.x[j] - p.meanX()) / s
	}
	return h
}
