package history

import (
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/stat"
)

// bandProbability is that of the forecast's interval (house rule, as U's).
const bandProbability = 0.95

// plain is the |t| from which a second mode is believed beside the first: in
// the choice of a model, not in the flag (house rule).
const plain = 3

// movement tells a moving zero from a growing scale: whichever of the two
// alone leaves the points' own slopes the less, and both where each is plain
// beside the other.
func (p panel) movement() (zero, scale float64) {
	w := p.weights()
	slope, rest, _ := p.slopes(w)
	a, b := p.straight(slope)
	if p.modes() == 2 && len(p.x) > 2 {
		variance := math.Max(rest, p.own) / spreadOf(p.t, w)
		s := p.spreadX()
		ua, ub := root(variance*(1/float64(len(p.x))+p.meanX()*p.meanX()/s)), root(variance/s)
		if math.Abs(a) > plain*ua && math.Abs(b) > plain*ub {
			return a, b
		}
	}
	return p.simpler(slope)
}

// simpler takes a figure of each point for a shift or for a growth from the
// zero, whichever of the two alone leaves the less.
func (p panel) simpler(figure []float64) (shift, growth float64) {
	v := p.scale()
	for j := range figure {
		shift += figure[j] / float64(len(figure))
		if v != nil {
			growth += v[j] * figure[j]
		}
	}
	left := func(a, b float64) (sum float64) {
		for j := range figure {
			d := figure[j] - a - b*p.x[j]
			sum += d * d
		}
		return sum
	}
	if v != nil && left(0, growth) < left(shift, 0) {
		return 0, growth
	}
	return shift, 0
}

// A forecaster knows the expected error at every point and how far an
// observation may be from it.
type forecaster struct {
	p               panel
	slope           []float64 // of each point, mm a year
	level           []float64 // of each point at the centre, mm
	shift           stat.Line // of the zero; its uncertainties grow with time
	moves           bool
	scaled, stepped bool    // scaled: the scale moves and the zero does not
	growth          float64 // standard uncertainty of the scale's trend, mm a year for each mm; 0 where it has none
	pivot           float64 // distance from the zero about which the scale turns, mm
	own, spread     float64
	typ             float64 // variance of a check's zero, mm²
	point           float64 // variance at a point beside it, mm²
	t               float64 // Student's factor; 0 where there are no degrees of freedom
	dof             float64
}

func (p panel) forecaster(a Assessment, zero fitted, known Known) (forecaster, error) {
	w := p.weights()
	f := forecaster{p: p, slope: make([]float64, len(p.x)), level: make([]float64, len(p.x)), moves: a.Trend != nil}
	own, rest, dof := p.slopes(w)
	if len(p.t) < 3 {
		var err error
		if zero, err = p.fit(p.shift(), len(p.t), known.Zero); err != nil {
			return f, err
		}
	}
	f.shift, f.typ, f.dof = zero.line, zero.line.S*zero.line.S*zero.typ, zero.line.DoF
	if len(p.x) > 1 {
		f.point, _ = p.pointVariance(known.Point, rest, dof)
	}
	for j := range p.x {
		if a.Trend != nil {
			f.slope[j] = a.Zero + a.Scale*p.x[j]
			if a.Trend.Of == aPoint && p.sizes[j] == a.Trend.Point {
				f.slope[j] = own[j]
			}
		}
		f.level[j] = p.level(j, w, a)
	}
	f.stepped = a.Change != nil && a.Trend == nil
	f.spread, f.own = spreadOf(p.t, w), math.NaN()
	if a.Trend != nil && a.Trend.Of == aPoint {
		f.own = a.Trend.Point
	}
	if a.Trend != nil && a.Scale != 0 {
		f.scaled = a.Zero == 0
		if err := f.turn(zero, known.Scale); err != nil {
			return f, err
		}
	}
	if f.dof >= 1 {
		var err error
		if f.t, err = stat.TQuantile((1+bandProbability)/2, f.dof); err != nil {
			return f, err
		}
	}
	return f, nil
}

// turn fills in how the scale turns: from the zero where that stands still, and
// else about the mean of the points, where the zero's own trend is added to it.
func (f *forecaster) turn(zero fitted, prior Prior) error {
	if f.scaled {
		g, _, err := f.p.growth(zero.slope(), prior)
		f.growth = g.u
		return err
	}
	tilt, err := f.p.fit(f.p.steep(), len(f.p.t), prior)
	f.growth, f.pivot = tilt.line.USlope, f.p.meanX()
	return err
}

// level is the error at point j at the centre of the checks: their weighted
// mean, or, where it changed at the last check and has no trend, the last.
func (p panel) level(j int, w []float64, a Assessment) float64 {
	if a.Change != nil && a.Trend == nil {
		return p.latest()[j].Error
	}
	sum, total := 0.0, 0.0
	for i := range p.t {
		sum += w[i] * p.cells[i][j].Error
		total += w[i]
	}
	return sum / total
}

// at is the forecast for point j at time t, years since the start.
func (f forecaster) at(j int, t float64) Forecast {
	q := f.p.latest()[j]
	out := Forecast{Point: f.p.sizes[j], Expanded: q.Expanded, Limit: q.Limit, DoF: f.dof,
		Error: f.level[j] + f.slope[j]*(t-f.shift.Centre())}
	if f.t == 0 {
		out.Half = q.Expanded
		return out
	}
	n := float64(len(f.p.t))
	mean, point := f.shift.UMean(f.shift.Centre()), f.point*(1+1/n)
	switch {
	case f.moves:
		d := t - f.shift.Centre()
		if !f.scaled {
			mean = f.shift.UMean(t)
		}
		mean = math.Hypot(mean, (f.p.x[j]-f.pivot)*d*f.growth)
		if f.own == f.p.sizes[j] {
			point += f.point * d * d / f.spread
		}
	case f.stepped:
		mean, point = math.Sqrt(f.typ), 2*f.point
	}
	out.Half = f.t * math.Sqrt(f.typ+mean*mean+point)
	return out
}

// worst is the forecast at the point that comes nearest to its limit.
func (f forecaster) worst(t float64) Forecast {
	best := f.at(0, t)
	for j := 1; j < len(f.p.x); j++ {
		if g := f.at(j, t); g.Share() > best.Share() {
			best = g
		}
	}
	return best
}

// look fills in the forecast and the day on which the limit is reached.
func (a *Assessment) look(p panel, f forecaster) {
	last := p.t[len(p.t)-1]
	a.Forecast = f.worst(a.Due.YearsSince(p.start))
	a.distance = a.Forecast.Point - (p.sizes[0] - p.x[0])
	if !f.moves {
		return
	}
	day := func(doubt func(Forecast) float64) (d calib.Date) {
		t, ok := firstTime(func(t float64) bool {
			for j := range p.x {
				if g := f.at(j, t); g.Limit > 0 && math.Abs(g.Error)+doubt(g) >= g.Limit {
					return true
				}
			}
			return false
		}, last)
		if ok {
			d = p.start.AddDays(int(math.Floor(t * daysInYear)))
		}
		return d
	}
	a.Reaches = day(Forecast.doubt)
	a.Crosses = day(func(Forecast) float64 { return 0 })
}

// firstTime finds the first time from the start on, in years, at which
// something holds, to a day, looking month by month up to the horizon.
func firstTime(holds func(float64) bool, from float64) (float64, bool) {
	if holds(from) {
		return from, true
	}
	const month, day = 1.0 / 12, 1 / daysInYear
	for t := from; t < from+horizon; t += month {
		if !holds(t + month) {
			continue
		}
		low, high := t, t+month
		for high-low > day/8 {
			if mid := (low + high) / 2; holds(mid) {
				high = mid
			} else {
				low = mid
			}
		}
		return high, true
	}
	return 0, false
}
