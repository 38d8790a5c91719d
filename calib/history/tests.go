package history

import (
	"math"

	"example.org/wring/uncertainty/stat"
)

// What a hypothesis says moves.
const (
	theZero  = "zero"
	theScale = "scale"
	aPoint   = "point"
)

// A Test is one hypothesis that was looked at, with all that decided it.
type Test struct {
	Kind  string  // "trend" or "change"
	Of    string  // "zero", "scale" or "point"
	Point float64 // nominal size, mm, where one point was tested
	Size  float64 // what was tested: mm for a change, mm a year for a trend
	U     float64 // standard uncertainty of Size, in its unit, above 0

	T     float64 // Size/U
	DoF   float64 // degrees of freedom of T, 1 or more
	P     float64 // two-sided probability of such a T by chance, corrected by Holm for all tests of its family, 0 to 1
	Share float64 // share of the family's level that the test was given, 0 to 1

	raw float64
}

// Shares of a family's level among its hypotheses (house rule): a wandering
// zero and a growing scale are what gauges do, and neither is believed sooner
// than the other; one point that goes its own way (wear at a favourite size)
// must be plain to be believed.
type shares struct{ zero, scale, points float64 }

func changeShares() shares { return shares{0.4, 0.4, 0.2} }
func trendShares() shares  { return shares{0.425, 0.425, 0.15} }

func (s shares) of(what string) float64 {
	switch what {
	case theZero:
		return s.zero
	case theScale:
		return s.scale
	}
	return s.points
}

// family corrects the tests of one family together.
func family(kind string, list []Test) ([]Test, error) {
	if len(list) == 0 {
		return nil, nil
	}
	p, w := make([]float64, len(list)), make([]float64, len(list))
	for i := range list {
		raw, err := stat.TwoSided(list[i].T, list[i].DoF)
		if err != nil {
			return nil, err
		}
		p[i], w[i] = raw, list[i].Share
	}
	corrected, err := stat.Holm(p, w)
	for i := range list {
		list[i].Kind, list[i].P, list[i].raw = kind, corrected[i], p[i]
	}
	return list, err
}

func test(of string, size, u, dof, weight float64) (Test, bool) {
	if !(dof >= 1) {
		return Test{}, false
	}
	t := Test{Of: of, Size: size, U: u, DoF: dof, Share: weight}
	switch {
	case u > 0:
		t.T = size / u
	case size != 0: // a line without any scatter
		t.T = math.Inf(int(math.Copysign(1, size)))
	}
	if math.IsInf(t.T, 0) {
		t.T = math.Copysign(math.MaxFloat64, size)
	}
	return t, true
}

// named are the two modes by the names of what they tell apart.
func (p panel) named() []struct {
	of string
	v  mode
} {
	list := []struct {
		of string
		v  mode
	}{{theZero, p.shift()}}
	if v := p.steep(); v != nil {
		list = append(list, struct {
			of string
			v  mode
		}{theScale, v})
	}
	return list
}

// trends tests whether anything moves steadily; it wants three checks.
func (p panel) trends(known Known) (list []Test, zero fitted, err error) {
	if len(p.t) < 3 {
		return nil, fitted{}, nil
	}
	if zero, err = p.fit(p.shift(), len(p.t), known.Zero); err != nil {
		return nil, zero, err
	}
	list = listed(list, theZero, zero.slope(), trendShares())
	if growth, ok, err := p.growth(zero.slope(), known.Scale); err != nil {
		return nil, zero, err
	} else if ok {
		list = listed(list, theScale, growth, trendShares())
	}
	list = append(list, p.pointTrends(known.Point)...)
	list, err = family("trend", list)
	return list, zero, err
}

func listed(list []Test, of string, e estimate, s shares) []Test {
	if t, ok := test(of, e.size, e.u, e.dof, s.of(of)); ok {
		list = append(list, t)
	}
	return list
}

// weights are those of the checks in the lines of single points.
func (p panel) weights() []float64 {
	v := p.shift()
	w := make([]float64, len(p.t))
	for i := range w {
		w[i] = 1
		if !p.bare(v) {
			w[i] = 1 / v.variance(p, i)
		}
	}
	return w
}

// pointTrends tests the slopes of single points for what the modes leave.
func (p panel) pointTrends(prior Prior) []Test {
	w := p.weights()
	slope, rest, dof := p.slopes(w)
	if len(p.x) <= p.modes() {
		return nil
	}
	variance, total := p.pointVariance(prior, rest, dof)
	spread := spreadOf(p.t, w)
	var list []Test
	for j, r := range p.without(slope) {
		u := root(variance * (1 - p.leverage(j)) / spread)
		if t, ok := test(aPoint, r, u, total, trendShares().points/float64(len(p.x))); ok {
			t.Point = p.sizes[j]
			list = append(list, t)
		}
	}
	return list
}

// pointVariance pools the budget's variance at a point with what was seen.
func (p panel) pointVariance(prior Prior, seen, dof float64) (variance, total float64) {
	if !(p.own > 0) {
		return seen, dof
	}
	factor, total := prior.pooled(seen/p.own, dof)
	return factor * p.own, total
}

// spreadOf is Σw(t − t̄)² for weights that are scaled to a mean of 1.
func spreadOf(t, w []float64) float64 {
	sum, mean := 0.0, 0.0
	for i := range t {
		sum += w[i]
		mean += w[i] * t[i]
	}
	mean /= sum
	out := 0.0
	for i := range t {
		out += w[i] / sum * float64(len(t)) * (t[i] - mean) * (t[i] - mean)
	}
	return out
}

// changes tests whether anything moved between the last two checks. The
// scatter is pooled from the checks before the last, where they are three or
// more.
func (p panel) changes(known Known) ([]Test, error) {
	n := len(p.t)
	if n < 2 {
		return nil, nil
	}
	var list []Test
	for _, m := range p.named() {
		if p.bare(m.v) {
			continue
		}
		e := p.change(m.v, known.of(m.of))
		if m.of == theScale {
			together := p.correlation(func(v, w mode) float64 { return v.between(w, p, n-1, n-2) })
			e = p.grownFromZero(p.change(p.shift(), known.Zero), e, together)
		}
		list = listed(list, m.of, e, changeShares())
	}
	if len(p.x) > p.modes() && p.own > 0 {
		list = append(list, p.pointChanges(known.Point)...)
	}
	return family("change", list)
}

// moved is what each point did between the last two checks.
func (p panel) moved() []float64 {
	n := len(p.t)
	out := make([]float64, len(p.x))
	for j := range out {
		out[j] = p.cells[n-1][j].Error - p.cells[n-2][j].Error
	}
	return out
}

// told is the change to speak of, where both a shift and a growth from the zero
// pass: the one that leaves the points' own changes the less.
func (p panel) told(plainest *Test, list []Test) *Test {
	if plainest == nil || plainest.Of == aPoint {
		return plainest
	}
	of := theZero
	if shift, _ := p.simpler(p.moved()); shift == 0 {
		of = theScale
	}
	for i := range list {
		if list[i].Of == of && list[i].P <= ChangeLevel {
			return &list[i]
		}
	}
	return plainest
}

// change is what the mode's figure did between the last two checks.
func (p panel) change(v mode, prior Prior) estimate {
	n := len(p.t)
	factor, dof := p.scatterBefore(v, prior).pooled(0, 0)
	return estimate{v.of(p, n-1) - v.of(p, n-2), math.Sqrt(v.between(v, p, n-1, n-2) * factor), dof}
}

// scatterBefore is the prior for the last check: what was known, pooled with
// the scatter of the earlier checks about their line.
func (p panel) scatterBefore(v mode, prior Prior) Prior {
	n := len(p.t) - 1
	if n < 3 {
		return prior
	}
	f, err := p.fit(v, n, prior)
	if err != nil {
		return prior
	}
	factor, dof := prior.pooled(f.seen, f.dof)
	return Prior{factor, dof}
}

func (p panel) pointChanges(prior Prior) []Test {
	factor, dof := prior.pooled(0, 0)
	var list []Test
	for j, r := range p.without(p.moved()) {
		u := root(2 * p.own * factor * (1 - p.leverage(j)))
		if t, ok := test(aPoint, r, u, dof, changeShares().points/float64(len(p.x))); ok {
			t.Point = p.sizes[j]
			list = append(list, t)
		}
	}
	return list
}
