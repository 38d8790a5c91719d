package history

import (
	"math"
	"slices"

	"example.org/wring/calib"
)

// A panel holds the errors of several checks at the points they have in common.
type panel struct {
	start calib.Date // of the first check
	t     []float64  // of each check, years since start
	x     []float64  // of each point, distance from the zero, mm
	sizes []float64  // nominal sizes, mm
	cells [][]Point  // [check][point]
	basis []string   // of each check
	own   float64    // pooled variance at a point, with the resolution's, mm²
}

// align takes the newest full check's points and walks back, as long as checks
// hold at least half of them; intermediate checks count where they hold all.
// House rule: a plan that moves its points ends the series.
func align(checks []Check, low float64) panel {
	if len(checks) == 0 {
		return panel{}
	}
	newest := checks[len(checks)-1]
	for _, c := range slices.Backward(checks) {
		if !c.Intermediate {
			newest = c
			break
		}
	}
	sizes := nominals(newest)
	var taken []Check
	for _, c := range slices.Backward(checks) {
		held := intersect(sizes, c)
		switch {
		case len(held) == len(sizes):
		case c.Intermediate:
			continue
		case 2*len(held) >= len(sizes):
			sizes = held
		default:
			return panelOf(taken, sizes, low)
		}
		taken = append(taken, c)
	}
	return panelOf(taken, sizes, low)
}

func nominals(c Check) []float64 {
	var out []float64
	for _, p := range c.Points {
		if !slices.Contains(out, p.Nominal) {
			out = append(out, p.Nominal)
		}
	}
	return out
}

func intersect(sizes []float64, c Check) []float64 {
	have := nominals(c)
	var out []float64
	for _, s := range sizes {
		if slices.Contains(have, s) {
			out = append(out, s)
		}
	}
	return out
}

// panelOf sets checks, newest first, in the order of time. A size that a check
// has twice counts with its first.
func panelOf(taken []Check, sizes []float64, low float64) panel {
	p := panel{sizes: sizes}
	for _, s := range sizes {
		p.x = append(p.x, s-low)
	}
	sum, n := 0.0, 0
	for _, c := range slices.Backward(taken) {
		var row []Point
		for _, s := range sizes {
			i := slices.IndexFunc(c.Points, func(q Point) bool { return q.Nominal == s })
			if i < 0 {
				break // an intermediate check taken before the sizes shrank keeps all; another cannot be here
			}
			row = append(row, c.Points[i])
		}
		if len(row) < len(sizes) {
			continue
		}
		if len(p.t) == 0 {
			p.start = c.Date
		}
		p.t = append(p.t, c.Date.YearsSince(p.start))
		p.cells, p.basis = append(p.cells, row), append(p.basis, c.Basis)
		for _, q := range row {
			sum += q.Own*q.Own + q.Step*q.Step
			n++
		}
	}
	if n > 0 {
		p.own = sum / float64(n)
	}
	return p
}

// A mode is a weighting of the points: of their errors it makes one figure for
// each check.
type mode []float64

// shift is the mean over the points: what moves all of them alike.
func (p panel) shift() mode {
	return slices.Repeat(mode{1 / float64(len(p.x))}, len(p.x))
}

// scale is the growth with the distance from the zero, by least squares
// through it; nil where the points have no distances to tell. A shift moves it
// too.
func (p panel) scale() mode {
	square := 0.0
	for _, x := range p.x {
		square += x * x
	}
	if len(p.x) < 2 || !(square > 0) {
		return nil
	}
	v := make(mode, len(p.x))
	for j, x := range p.x {
		v[j] = x / square
	}
	return v
}

// tilt is the growth with the distance by least squares beside a shift, which
// does not move it; nil where the points have no distances to tell, or nothing
// is known of one point by itself.
func (p panel) tilt() mode {
	s := p.spreadX()
	if !(s > 0 && p.own > 0) {
		return nil
	}
	v, m := make(mode, len(p.x)), p.meanX()
	for j, x := range p.x {
		v[j] = (x - m) / s
	}
	return v
}

// of returns the mode's figure at check i.
func (v mode) of(p panel, i int) float64 {
	sum := 0.0
	for j := range v {
		sum += v[j] * p.cells[i][j].Error
	}
	return sum
}

// fresh is the variance of the mode's figure at check i from what is new at
// each check.
func (v mode) fresh(p panel, i int) float64 { return v.covariance(v, p, i) }

// covariance is that of the figures of two modes at check i, from what is new
// at each check.
func (v mode) covariance(w mode, p panel, i int) float64 {
	own := 0.0
	for j := range v {
		own += v[j] * w[j]
	}
	level, grown := parted(p.cells[i])
	alikeV, sizeV := v.sums(p)
	alikeW, sizeW := w.sums(p)
	return own*p.own + level*alikeV*alikeW + grown*sizeV*sizeW
}

// sums are the mode's figures of what is 1 at every point, and of the sizes.
func (v mode) sums(p panel) (ones, sizes float64) {
	for j := range v {
		ones += v[j]
		sizes += v[j] * p.sizes[j]
	}
	return ones, sizes
}

// parted tells, in the variance that one check brings to all its points, what
// is alike at all of them from what grows with the size, as what temperature
// brings does: the second by least squares, the first so that both together are
// nowhere less than what the budget says.
func parted(row []Point) (level, grown float64) {
	n, mean, square := float64(len(row)), 0.0, 0.0
	for _, q := range row {
		mean += q.Nominal * q.Nominal / n
		square += q.Common * q.Common / n
	}
	a, b := 0.0, 0.0
	for _, q := range row {
		d := q.Nominal*q.Nominal - mean
		a += d * d
		b += d * (q.Common*q.Common - square)
	}
	if a > 0 && b > 0 {
		grown = b / a
	}
	for _, q := range row {
		level = math.Max(level, q.Common*q.Common-grown*q.Nominal*q.Nominal)
	}
	return level, grown
}

// borrowed is the covariance of the figures of two modes from the certificates
// of the check's basis. Among checks of one basis it is shared and drops out.
// The errors of the blocks are taken as alike or as each its own, whichever
// makes the more of it.
func (v mode) borrowed(w mode, p panel, i int) float64 {
	sumV, sumW, each := 0.0, 0.0, 0.0
	for j := range v {
		a, b := v[j]*p.cells[i][j].Blocks, w[j]*p.cells[i][j].Blocks
		sumV, sumW = sumV+a, sumW+b
		each += a * b
	}
	return max(0, sumV*sumW, each)
}

// variance is that of check i within the whole series.
func (v mode) variance(p panel, i int) float64 { return v.within(v, p, i) }

// within is the covariance of the figures of two modes at check i within the
// whole series. Where the series has more than one basis, the part that g checks
// of one basis share is counted as if it were new at each, g times: by Cauchy and
// Schwarz no weighting of the checks can make more of it.
func (v mode) within(w mode, p panel, i int) float64 {
	like := 0.0
	for _, b := range p.basis {
		if b == p.basis[i] {
			like++
		}
	}
	if int(like) == len(p.basis) {
		return v.covariance(w, p, i)
	}
	return v.covariance(w, p, i) + like*v.borrowed(w, p, i)
}

// between is the covariance of what the figures of two modes did from one check
// to another, without the part that both checks share.
func (v mode) between(w mode, p panel, i, k int) float64 {
	sum := v.covariance(w, p, i) + v.covariance(w, p, k)
	if p.basis[i] != p.basis[k] {
		sum += v.borrowed(w, p, i) + v.borrowed(w, p, k)
	}
	return sum
}

// bare reports whether nothing is known beforehand of the scatter.
func (p panel) bare(v mode) bool {
	for i := range p.t {
		if v.fresh(p, i) > 0 {
			return false
		}
	}
	return true
}

func (p panel) latest() []Point { return p.cells[len(p.cells)-1] }

func root(v float64) float64 { return math.Sqrt(math.Max(0, v)) }
