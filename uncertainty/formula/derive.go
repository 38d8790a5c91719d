package formula

import (
	"math"
)

// A series is a truncated power series c₀ + c₁s + c₂s² + c₃s³ along a line through the inputs: differentiation without
// differences (Griewank and Walther, Evaluating Derivatives, chapter 13).
type series [4]float64

// Derivatives are a formula's partial derivatives at a point, each multiplied by the given scales of its inputs.
type Derivatives struct {
	// Value is f, in the unit of the formula.
	Value float64
	// First[i] is ∂f/∂xᵢ·hᵢ, in the unit of the formula, as are the others.
	First []float64
	// Second[i][j] is ∂²f/∂xᵢ∂xⱼ·hᵢhⱼ.
	Second [][]float64
	// Third[i][j] is ∂³f/∂xᵢ∂xⱼ²·hᵢhⱼ².
	Third [][]float64
}

// Derive computes all derivatives at x with scales h, one number for each name in both. The error is a [*DomainError].
func (f *Formula) Derive(x, h []float64) (Derivatives, error) {
	n := len(f.names)
	d := Derivatives{First: make([]float64, n), Second: square(n), Third: square(n)}
	var err error
	if d.Value, err = f.Value(x); err != nil {
		return d, err
	}
	along := make([]float64, n)
	for i := range n {
		along[i] = h[i]
		c, err := f.along(x, along)
		if err != nil {
			return d, err
		}
		d.First[i], d.Second[i][i], d.Third[i][i] = c[1], 2*c[2], 6*c[3]
		along[i] = 0
	}
	for i := range n {
		for j := range i {
			if err := f.mixed(d, x, h, i, j); err != nil {
				return d, err
			}
		}
	}
	return d, nil
}

// mixed fills the derivatives by xᵢ and xⱼ from the series along hᵢ+hⱼ and hᵢ−hⱼ:
// f_ij = (D²₊ − D²₋)/4, f_ijj = (D³₊ + D³₋ − 2f_iii)/6, f_iij = (D³₊ − D³₋ − 2f_jjj)/6.
func (f *Formula) mixed(d Derivatives, x, h []float64, i, j int) error {
	if h[i] == 0 || h[j] == 0 {
		return nil
	}
	along := make([]float64, len(x))
	along[i], along[j] = h[i], h[j]
	plus, err := f.along(x, along)
	if err != nil {
		return err
	}
	along[j] = -h[j]
	minus, err := f.along(x, along)
	if err != nil {
		return err
	}
	d.Second[i][j] = (plus[2] - minus[2]) / 2
	d.Second[j][i] = d.Second[i][j]
	d.Third[i][j] = plus[3] + minus[3] - d.Third[i][i]/3
	d.Third[j][i] = plus[3] - minus[3] - d.Third[j][j]/3
	return nil
}

// along computes the series of f(x + s·h).
func (f *Formula) along(x, h []float64) (series, error) {
	stack := make([]series, 0, f.depth)
	for _, s := range f.steps {
		n := len(stack)
		switch s.op {
		case push:
			stack = append(stack, series{s.value})
		case load:
			stack = append(stack, series{x[s.index], h[s.index]})
		case negate:
			for k := range stack[n-1] {
				stack[n-1][k] = -stack[n-1][k]
			}
		case call:
			g := functions[s.index]
			y := g.f(stack[n-1][0])
			d1, d2, d3 := g.slope(stack[n-1][0], y)
			stack[n-1] = stack[n-1].through(y, d1, d2, d3)
		default:
			stack = append(stack[:n-2], merge(s.op, stack[n-2], stack[n-1]))
		}
		for _, c := range stack[len(stack)-1] {
			if !finite(c) {
				return series{}, f.undefined(s, x, "no derivative of this operation")
			}
		}
	}
	return stack[0], nil
}

// through is the series of g(a), from g and its derivatives at a₀ (Faà di Bruno). A constant stays one even
// where g has no derivative.
func (a series) through(y, d1, d2, d3 float64) series {
	if a[1] == 0 && a[2] == 0 && a[3] == 0 {
		return series{y}
	}
	return series{y,
		d1 * a[1],
		d1*a[2] + d2*a[1]*a[1]/2,
		d1*a[3] + d2*a[1]*a[2] + d3*a[1]*a[1]*a[1]/6}
}

func merge(o op, a, b series) series {
	switch o {
	case add:
		for k := range a {
			a[k] += b[k]
		}
		return a
	case subtract:
		for k := range a {
			a[k] -= b[k]
		}
		return a
	case multiply:
		return a.times(b)
	case divide:
		return a.over(b)
	}
	return a.to(b)
}

func (a series) times(b series) series {
	return series{a[0] * b[0],
		a[0]*b[1] + a[1]*b[0],
		a[0]*b[2] + a[1]*b[1] + a[2]*b[0],
		a[0]*b[3] + a[1]*b[2] + a[2]*b[1] + a[3]*b[0]}
}

func (a series) over(b series) series {
	var q series
	for k := range q {
		rest := a[k]
		for j := range k {
			rest -= q[j] * b[k-j]
		}
		q[k] = rest / b[0]
	}
	return q
}

// to is a^b. With a constant exponent the base may be negative or zero, as for any whole power.
func (a series) to(b series) series {
	y := math.Pow(a[0], b[0])
	if b[1] == 0 && b[2] == 0 && b[3] == 0 {
		p := b[0]
		return a.through(y, falling(a[0], p, 1), falling(a[0], p, 2), falling(a[0], p, 3))
	}
	log := a.through(math.Log(a[0]), 1/a[0], -1/(a[0]*a[0]), 2/(a[0]*a[0]*a[0]))
	return log.times(b).through(y, y, y, y)
}

// falling is the nth derivative of x^p.
func falling(x, p float64, n int) float64 {
	c := 1.0
	for k := range n {
		c *= p - float64(k)
	}
	if c == 0 {
		return 0
	}
	return c * math.Pow(x, p-float64(n))
}

func square(n int) [][]float64 {
	m := make([][]float64, n)
	for i := range m {
		m[i] = make([]float64, n)
	}
	return m
}

// Linear returns the constant and the coefficients if the formula is a sum of its quantities, each times
// a constant, as written; ok is false for any other, even one that simplifies to a sum.
func (f *Formula) Linear() (constant float64, coefficients []float64, ok bool) {
	var stack []affine
	for _, s := range f.steps {
		n := len(stack)
		switch s.op {
		case push:
			stack = append(stack, affine{constant: s.value, by: make([]float64, len(f.names))})
		case load:
			a := affine{by: make([]float64, len(f.names))}
			a.by[s.index] = 1
			stack = append(stack, a)
		case negate:
			stack[n-1].scale(-1)
		case call:
			a := &stack[n-1]
			if !a.fixed() {
				return 0, nil, false
			}
			a.constant = functions[s.index].f(a.constant)
		default:
			if !stack[n-2].merge(s.op, stack[n-1]) {
				return 0, nil, false
			}
			stack = stack[:n-1]
		}
	}
	return stack[0].constant, stack[0].by, true
}

// An affine is a constant and a coefficient for each name.
type affine struct {
	constant float64
	by       []float64
}

func (a *affine) fixed() bool {
	for _, c := range a.by {
		if c != 0 {
			return false
		}
	}
	return true
}

func (a *affine) scale(c float64) {
	a.constant *= c
	for i := range a.by {
		a.by[i] *= c
	}
}

// merge puts a∘b into a, if that is affine.
func (a *affine) merge(o op, b affine) bool {
	switch {
	case o == add || o == subtract:
		if o == subtract {
			b.scale(-1)
		}
		a.constant += b.constant
		for i := range a.by {
			a.by[i] += b.by[i]
		}
		return true
	case o == multiply && b.fixed():
		a.scale(b.constant)
		return true
	case o == multiply && a.fixed():
		b.scale(a.constant)
		*a = b
		return true
	case o == divide && b.fixed() && b.constant != 0:
		a.scale(1 / b.constant)
		return true
	case o == power && a.fixed() && b.fixed():
		a.constant = math.Pow(a.constant, b.constant)
		return true
	}
	return false
}
