package uncertainty

import (
	"math"
	"slices"
)

// A peeled law takes one part X away and averages the law of the rest over it,
// P(S ≤ x) = E P(rest ≤ x − X). It is for sums in which few parts with edges matter and the rest are
// small, where the characteristic function falls too slowly to be inverted, and for x far out in a heavy tail,
// where it turns too fast; the average is plain in both cases.
type peeled struct {
	part any // what was peeled: rectangle, sine or *student
	rest law
	edge float64 // beyond it the rest has a probability below truncation
}

// rectangle and sine are peeled parts, by half-width and amplitude.
type (
	rectangle float64
	sine      float64
)

// A peeling is a part that may be taken away, how far it reaches, and the rest.
type peeling struct {
	part  any
	width float64
	rest  *factors
}

// peelings returns the parts that may be peeled: the widest rectangle, the widest sine, every curvilinear part and every t.
func (f *factors) peelings() []peeling {
	var all []peeling
	if len(f.rect) > 0 {
		rest := *f
		rest.rect = f.rect[1:]
		all = append(all, peeling{rectangle(f.rect[0]), f.rect[0], &rest})
	}
	if len(f.sine) > 0 {
		rest := *f
		rest.sine = f.sine[1:]
		all = append(all, peeling{sine(f.sine[0]), f.sine[0], &rest})
	}
	for i, c := range f.curve {
		rest := *f
		rest.curve = slices.Delete(slices.Clone(f.curve), i, i+1)
		all = append(all, peeling{c, c.mid + c.give, &rest})
	}
	for i := range f.heavy {
		rest := *f
		rest.heavy = slices.Delete(slices.Clone(f.heavy), i, i+1)
		all = append(all, peeling{&f.heavy[i], math.Inf(1), &rest})
	}
	return all
}

func (p *peeled) bound() float64 { return p.rest.bound() + truncation + roundingAllowance }

func (p *peeled) at(x float64) (probability, density float64) {
	switch part := p.part.(type) {
	case rectangle:
		return p.overRectangle(x, float64(part))
	case sine:
		return p.overSine(x, float64(part))
	case curved:
		return p.overCurved(x, part)
	case *student:
		return p.overStudent(x, part)
	}
	return math.NaN(), 0
}

// beyond returns P(rest > y) and the density at y, for y of either sign.
func (p *peeled) beyond(y float64) (probability, density float64) {
	switch {
	case y >= p.edge:
		return 0, 0
	case y <= -p.edge:
		return 1, 0
	case y < 0:
		return p.rest.at(-y)
	}
	probability, density = p.rest.at(y)
	return 1 - probability, density
}

// overRectangle averages over the rectangle. Within it, where x < a, the mirror images about 0 cancel and only what
// reaches from a−x to x+a is left: P = (x+a)/2a − (1/2a)·∫ P(rest > y) dy.
func (p *peeled) overRectangle(x, a float64) (probability, density float64) {
	if x >= a {
		q := quadrature{least: agreement, f: func(v float64) (float64, float64) { return p.beyond(x + a*v) }}
		lost, slope := q.integrate(-1, math.Min(1, (p.edge-x)/a))
		return 1 - lost/2, slope / 2
	}
	q := quadrature{least: agreement * a, f: p.beyond}
	lost, _ := q.integrate(a-x, math.Min(x+a, p.edge))
	right, _ := p.beyond(x + a)
	left, _ := p.beyond(x - a)
	return (x+a)/(2*a) - lost/(2*a), (left - right) / (2 * a)
}

// overSine averages over the phase of the sine: 1 − (1/π)·∫ P(rest > x − a·cos θ) dθ, 0 … π. Where the rest is surely
// above or below, the integrand is 1 or 0.
func (p *peeled) overSine(x, a float64) (probability, density float64) {
	angle := func(y float64) float64 { return math.Acos(math.Max(-1, math.Min(1, (x-y)/a))) }
	first, middle, last := angle(-p.edge), angle(0), angle(p.edge)
	q := quadrature{least: agreement, f: func(theta float64) (float64, float64) {
		return p.beyond(x - a*math.Cos(theta))
	}}
	lost, density := q.integrate(first, middle)
	more, rest := q.integrate(middle, last)
	return 1 - (first+lost+more)/math.Pi, (density + rest) / math.Pi
}

// overCurved averages over the density of the curvilinear trapezoid, which is flat in the middle and has a kink at either end of that.
func (p *peeled) overCurved(x float64, c curved) (probability, density float64) {
	q := quadrature{least: agreement, f: func(v float64) (float64, float64) {
		_, weight := c.at(math.Abs(v))
		above, density := p.beyond(x - v)
		return weight * above, weight * density
	}}
	low, high, end := math.Max(x-p.edge, -c.mid-c.give), math.Min(x+p.edge, c.mid+c.give), c.mid-c.give
	knots := []float64{low, high}
	for _, k := range []float64{-end, end, x} {
		if low < k && k < high {
			knots = append(knots, k)
		}
	}
	slices.Sort(knots)
	within, _ := c.at(x + p.edge)
	lost := 1 - within
	for i := range knots[1:] {
		v, d := q.integrate(knots[i], knots[i+1])
		lost, density = lost+v, density+d
	}
	return 1 - lost, density
}

// overStudent averages over v = scale·sinh w of the t's density, which evens out its heavy tails:
// P(S > x) = P(T > x + edge) + ∫ f(v)·P(rest > x − v) dv.
func (p *peeled) overStudent(x float64, s *student) (probability, density float64) {
	at := func(v float64) float64 { return math.Asinh(v / s.scale) }
	q := quadrature{least: agreement, f: func(w float64) (float64, float64) {
		v := s.scale * math.Sinh(w)
		weight := s.density(v) * s.scale * math.Cosh(w)
		above, density := p.beyond(x - v)
		return weight * above, weight * density
	}}
	knots := []float64{at(x - p.edge), at(x + p.edge)}
	if x-p.edge < 0 {
		knots = append(knots, 0)
	}
	knots = append(knots, at(x))
	slices.Sort(knots)
	beyond, _ := s.at(x + p.edge)
	lost := 1 - beyond
	for i := range knots[1:] {
		v, d := q.integrate(knots[i], knots[i+1])
		lost, density = lost+v, density+d
	}
	return 1 - lost, density
}

// A quadrature integrates a function and its companion by the 15-point Kronrod rule, halving every interval
// until the rule and the 7-point one within it agree to least. Their difference overestimates the rule's error by many powers of ten where
// the function is smooth; where it has a kink, the interval shrinks until it cannot matter.
type quadrature struct {
	f     func(float64) (value, companion float64)
	least float64
}

// agreement is what the two rules may differ by in one interval. The better of them is then off by far less, unless there is a
// kink; and it is well above the rounding of the laws that are averaged, which no halving would mend.
const agreement = 1e-11

// deepest is how often an interval is halved; one that was cannot hold 1e-13 of a bounded integrand.
const deepest = 44

func (q quadrature) integrate(low, high float64) (value, companion float64) {
	if !(low < high) {
		return 0, 0
	}
	return q.within(low, high, deepest)
}

func (q quadrature) within(low, high float64, depth int) (value, companion float64) {
	middle, half := (low+high)/2, (high-low)/2
	gauss := 0.0
	for i, k := range kronrod15 {
		v, c := q.f(middle + half*k.node)
		if i > 0 {
			v2, c2 := q.f(middle - half*k.node)
			v, c = v+v2, c+c2
		}
		value += half * k.weight * v
		companion += half * k.weight * c
		gauss += half * k.gauss * v
	}
	if depth == 0 || math.Abs(value-gauss) <= q.least {
		return value, companion
	}
	value, companion = q.within(low, middle, depth-1)
	v, c := q.within(middle, high, depth-1)
	return value + v, companion + c
}
