package uncertainty

import (
	"math"
	"slices"
)

// tIsNormalFrom is the number of degrees of freedom from which a t is taken as normal. Their distribution
// functions then differ by at most 0.16/ν (leading term of the Edgeworth expansion), 1.6e-10 here. House rule.
const tIsNormalFrom = 1e9

// factors is a sum of independent, centred, symmetric parts, sorted by the form of their characteristic
// functions. Its own is the product, real and even:
//
//	φ(t) = exp(−σ²t²/2) · Π sin(at)/(at) · Π J₀(at) · Π curvilinear · Π t
//
// A trapezoid, a triangle too, is the sum of two rectangles and is kept as such. All lengths
// are in one unit.
type factors struct {
	sigma float64   // of all normal parts together
	rect  []float64 // half-widths > 0, descending
	sine  []float64 // amplitudes > 0 of arcsine parts, descending
	curve []curved
	heavy []student
}

// curved is a rectangle of half-width between mid−give and mid+give, all equally likely; 0 < give < mid.
type curved struct{ mid, give float64 }

// add puts in the part c·X, X of distribution d. Zero widths drop out.
func (f *factors) add(d Distribution, c float64) {
	c = math.Abs(c)
	a := c * d.scale
	if a == 0 {
		return
	}
	switch {
	case d.tailed():
		f.addStudent(a, d.dof)
	case d.shape == ShapeNormal || d.shape == ShapeT:
		f.sigma = math.Hypot(f.sigma, a)
	case d.shape == ShapeRectangular, d.shape == ShapeTrapezoidal && d.extra == 1, d.shape == ShapeCurvilinear && d.extra == 0:
		f.rect = append(f.rect, a)
	case d.shape == ShapeTriangular:
		f.rect = append(f.rect, a/2, a/2)
	case d.shape == ShapeTrapezoidal:
		f.rect = append(f.rect, a*(1+d.extra)/2, a*(1-d.extra)/2)
	case d.shape == ShapeArcsine:
		f.sine = append(f.sine, a)
	case d.shape == ShapeCurvilinear:
		f.curve = append(f.curve, curved{mid: a, give: c * d.extra})
	}
}

// addStudent puts in a t; those of one degree of freedom (Cauchy) are one, with the sum of their scales.
func (f *factors) addStudent(scale, nu float64) {
	for i, s := range f.heavy {
		if nu == 1 && s.nu == 1 {
			f.heavy[i].scale += scale
			return
		}
	}
	f.heavy = append(f.heavy, student{scale: scale, nu: nu})
}

// settle sorts the parts and divides by their size, which it returns; 0 when there are none.
func (f *factors) settle() float64 {
	descending := func(a, b float64) int { return compare(b, a) }
	slices.SortFunc(f.rect, descending)
	slices.SortFunc(f.sine, descending)
	size := f.sigma
	f.each(func(u float64) { size = math.Hypot(size, u) })
	if size == 0 {
		return 0
	}
	f.sigma /= size
	for i := range f.rect {
		f.rect[i] /= size
	}
	for i := range f.sine {
		f.sine[i] /= size
	}
	for i := range f.curve {
		f.curve[i].mid /= size
		f.curve[i].give /= size
	}
	for i := range f.heavy {
		f.heavy[i].scale /= size
		f.heavy[i].prepare()
	}
	return size
}

// each calls fn with the standard uncertainty of every part but the normal one.
func (f *factors) each(fn func(u float64)) {
	for _, a := range f.rect {
		fn(a / math.Sqrt(3))
	}
	for _, a := range f.sine {
		fn(a / math.Sqrt2)
	}
	for _, c := range f.curve {
		fn(math.Hypot(c.mid/math.Sqrt(3), c.give/3))
	}
	for _, s := range f.heavy {
		fn(s.scale)
	}
}

// count is the number of parts.
func (f *factors) count() int {
	n := len(f.rect) + len(f.sine) + len(f.curve) + len(f.heavy)
	if f.sigma > 0 {
		n++
	}
	return n
}

// char returns φ(t), t ≥ 0.
func (f *factors) char(t float64) float64 {
	st := f.sigma * t
	phi := math.Exp(-st * st / 2)
	for _, a := range f.rect {
		phi *= sinc(a * t)
	}
	for _, a := range f.sine {
		phi *= math.J0(a * t)
	}
	for _, c := range f.curve {
		phi *= c.char(t)
	}
	if math.Abs(phi) < negligible { // |φ| ≤ 1 for every part that is left
		return 0
	}
	for i := range f.heavy {
		phi *= f.heavy[i].char(t)
	}
	return phi
}

// negligible is a characteristic function too small to matter beside errors of 1e-10.
const negligible = 1e-17

func sinc(u float64) float64 {
	if u < 1e-4 {
		return 1 - u*u/6
	}
	return math.Sin(u) / u
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// variance is Σ of the variances of the bounded parts, which also bounds them: for each of these
// shapes E exp(yX) ≤ exp(y²·var/2), the curvilinear one with its widest rectangle's variance.
func (f *factors) variance() float64 {
	v := 0.0
	for _, a := range f.rect {
		v += a * a / 3
	}
	for _, a := range f.sine {
		v += a * a / 2
	}
	for _, c := range f.curve {
		v += (c.mid + c.give) * (c.mid + c.give) / 3
	}
	return v
}

// halfWidth is the farthest the bounded parts reach together.
func (f *factors) halfWidth() float64 {
	w := 0.0
	for _, a := range f.rect {
		w += a
	}
	for _, a := range f.sine {
		w += a
	}
	for _, c := range f.curve {
		w += c.mid + c.give
	}
	return w
}

// reach returns an x with P(|S| > x) ≤ eps, by the union of a bound on the light parts and one on each t.
//
// Light parts: the bounded ones reach no farther than their half-widths, and bounded and
// normal together are below the normal tail bound 2exp(−x²/2V) of their variance proxy V (Chernoff).
func (f *factors) reach(eps float64) float64 {
	share := eps / float64(len(f.heavy)+1)
	tail := math.Sqrt(2 * math.Log(2/share))
	light := math.Min(tail*math.Sqrt(f.variance()+f.sigma*f.sigma), f.halfWidth()+tail*f.sigma)
	for i := range f.heavy {
		light += f.heavy[i].reach(share)
	}
	return light
}
