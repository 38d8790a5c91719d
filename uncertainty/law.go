package uncertainty

import "math"

// truncation and aliasing are what a law may err by leaving off the end of its integral, and by the
// discreteness of its nodes; together well below errorBound.
const (
	truncation = 2e-10
	aliasing   = 2e-10
)

// A plan is a way to a law, with what it will cost.
type plan struct {
	cost float64 // of laying the law and looking it up a dozen times, in nanoseconds, roughly
	look float64 // of looking it up once
	lay  func() law
}

// Rough costs in nanoseconds, on the machine this was written on.
const (
	charCost     = 20   // one part's characteristic function
	waveLook     = 3    // one node of a wave
	ladderLook   = 16   // one node of a ladder
	closedLook   = 60   // one closed form
	looks        = 12   // look-ups until a quantile stands
	averageLooks = 250  // look-ups of the rest for one of a peeled law
	worthPeeling = 2e6  // below this cost nothing else is tried
	mostNodes    = 3e6  // a law of more is not laid
	usualPeels   = 2    // parts peeled one after another
	mostPeels    = 3    // the same, where nothing else helps
	mostCost     = 2e10 // a law that would take longer than twenty seconds is not laid
)

// law picks the cheapest way to P(S ≤ x) for |x| ≤ upTo: a closed form where there is one, an inversion
// of the characteristic function, or peeling a part off first.
func (f *factors) law(upTo float64) law {
	best := f.plan(upTo, usualPeels)
	if best.cost > mostCost {
		best = f.plan(upTo, mostPeels)
	}
	if best.cost > mostCost {
		return unknown{}
	}
	return best.lay()
}

func (f *factors) plan(upTo float64, peels int) plan {
	if c, ok := f.closed(); ok {
		return plan{looks * closedLook, closedLook, func() law { return c }}
	}
	end := f.end()
	best := f.priced(f.waveNodes(upTo, end), end, waveLook, func() law { return f.wave(upTo, end) })
	if len(f.heavy) > 0 {
		other := f.priced(f.ladderNodes(upTo, end), end, ladderLook, func() law { return f.ladder(upTo, end) })
		best = cheaper(best, other)
	}
	if best.cost < worthPeeling || peels == 0 {
		return best
	}
	for _, p := range f.peelings() {
		best = cheaper(best, p.plan(upTo, peels))
	}
	return best
}

// priced is the plan of an inversion with so many nodes.
func (f *factors) priced(nodes, end, look float64, lay func() law) plan {
	if nodes > mostNodes {
		return plan{math.Inf(1), math.Inf(1), func() law { return unknown{} }}
	}
	return plan{nodes * (f.charCost(end) + looks*look), nodes * look, lay}
}

// unknown is the law of a sum for which no plan is within bounds.
type unknown struct{}

func (unknown) at(float64) (probability, density float64) { return math.NaN(), 0 }
func (unknown) bound() float64                            { return math.Inf(1) }

// charCost is what one value of the characteristic function costs, up to the end.
func (f *factors) charCost(end float64) float64 {
	cost := charCost * float64(f.count())
	for i := range f.heavy {
		cost += charCost / 2 * float64(min(20, len(f.heavy[i].weight)+len(f.heavy[i].hyper)))
	}
	for _, c := range f.curve {
		cost += charCost * 2 * gaussPoints * math.Min(mostCurvePanels, 1+c.give*end/8)
	}
	return cost
}

func (p peeling) plan(upTo float64, peels int) plan {
	edge := p.rest.reach(truncation)
	inner := p.rest.plan(math.Min(edge, upTo+p.width), peels-1)
	look := averageLooks * inner.look
	return plan{inner.cost + looks*look, look, func() law {
		return &peeled{part: p.part, edge: edge, rest: inner.lay()}
	}}
}

func cheaper(a, b plan) plan {
	if b.cost < a.cost {
		return b
	}
	return a
}

// end finds where the integral over t may stop.
func (f *factors) end() float64 {
	low, high := 0.0, 1.0
	for f.envelope(high).tail() > truncation {
		low, high = high, 2*high
	}
	for high-low > 0.02*high {
		mid := (low + high) / 2
		if f.envelope(mid).tail() > truncation {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}

// A wave inverts the characteristic function at equidistant nodes.
//
// The square wave of half period L is 1 on (0, L), 0 on (−L, 0) and has the Fourier series
// ½ + (2/π)·Σ sin((2k+1)πu/L)/(2k+1). Its mean at u = x − S is
//
//	½ + Σ 2φ(t_k)/(π(2k+1)) · sin(t_k·x),   t_k = (2k+1)π/L,
//
// which is P(S ≤ x) but for the cases |x − S| > L; nothing is approximated in the step. The
// error is at most P(|S| > L − |x|) plus the terms left off, and both are bounded
// (Davies 1973, Biometrika 60, 415, gives the like by Poisson's formula).
type wave struct {
	step   float64   // π/L
	weight []float64 // 2φ(t_k)/(π(2k+1))
	error  float64
}

func (f *factors) period(upTo float64) float64 { return upTo + f.reach(aliasing) }

func (f *factors) waveNodes(upTo, end float64) float64 {
	return end*f.period(upTo)/(2*math.Pi) + 1
}

func (f *factors) wave(upTo, end float64) *wave {
	w := &wave{step: math.Pi / f.period(upTo), error: truncation + aliasing + roundingAllowance}
	w.weight = make([]float64, int(f.waveNodes(upTo, end))+1)
	for k := range w.weight {
		odd := float64(2*k + 1)
		w.weight[k] = 2 * f.char(odd*w.step) / (math.Pi * odd)
	}
	return w
}

// roundingAllowance is for the rounding of the sums: a few thousand terms below 1, each good to 1e-16
// and characteristic functions good to 1e-12 over a range of t of perhaps e^25.
const roundingAllowance = 5e-11

// resync is after how many terms the rotating sine is computed afresh, so that its rounding stays below 1e-13.
const resync = 128

func (w *wave) at(x float64) (probability, density float64) {
	turnSin, turnCos := math.Sincos(2 * w.step * x)
	var sin, cos float64
	for k, weight := range w.weight {
		odd := float64(2*k + 1)
		if k%resync == 0 {
			sin, cos = math.Sincos(odd * w.step * x)
		}
		probability += weight * sin
		density += weight * odd * cos
		sin, cos = sin*turnCos+cos*turnSin, cos*turnCos-sin*turnSin
	}
	return 0.5 + probability, density * w.step
}

func (w *wave) bound() float64 { return w.error }
