package uncertainty

import (
	"fmt"
	"math"
)

// A Shape is the family of a distribution. Every shape here is symmetric about its estimate.
type Shape int

const (
	shapeNone Shape = iota // the zero Distribution; refused
	ShapeNormal
	ShapeT
	ShapeRectangular
	ShapeTriangular
	ShapeTrapezoidal
	ShapeArcsine
	ShapeCurvilinear
)

// String returns the trade's word for the shape.
func (s Shape) String() string {
	switch s {
	case ShapeNormal:
		return "normal"
	case ShapeT:
		return "t"
	case ShapeRectangular:
		return "rectangular"
	case ShapeTriangular:
		return "triangular"
	case ShapeTrapezoidal:
		return "trapezoidal"
	case ShapeArcsine:
		return "arcsine"
	case ShapeCurvilinear:
		return "curvilinear trapezoid"
	}
	return "unstated"
}

// A Distribution is what is known of an input about its best estimate, in the unit of
// the input. It is a plain value; bad parameters are kept and refused by
// [Budget.Evaluate] with the input's name. The zero value is refused.
type Distribution struct {
	shape Shape
	scale float64 // u for normal and t, half-width a for the others; ≥ 0
	extra float64 // beta of a trapezoid, half-width of a curvilinear limit
	dof   float64 // 0 stands for "exact" so that the zero value needs no care; ≥ 1 otherwise
	wrong string  // what a constructor found wrong; empty otherwise
}

// Normal is a normal distribution of standard uncertainty u ≥ 0.
func Normal(u float64) Distribution { return Distribution{shape: ShapeNormal, scale: u} }

// Expanded is a normal distribution known by an expanded uncertainty U ≥ 0 and its
// coverage factor k > 0, as a certificate states them: u = U/k (JCGM 100:2008, 4.3.3).
func Expanded(U, k float64) Distribution {
	if !(k > 0) || math.IsInf(k, 0) {
		return Distribution{shape: ShapeNormal, wrong: fmt.Sprintf("coverage factor k is %v; want one above zero", k)}
	}
	return Distribution{shape: ShapeNormal, scale: U / k}
}

// StudentT is a scaled t distribution: scale ≥ 0 is the GUM's standard uncertainty (s/√n of a
// type A evaluation), dof ≥ 1 may be fractional; +Inf makes it normal.
func StudentT(scale, dof float64) Distribution {
	return Distribution{shape: ShapeT, scale: scale}.WithDoF(dof)
}

// Rectangular is uniform over ±a, a ≥ 0: u = a/√3 (JCGM 100:2008, 4.3.7).
func Rectangular(a float64) Distribution { return Distribution{shape: ShapeRectangular, scale: a} }

// Triangular is the symmetric triangle over ±a, a ≥ 0: u = a/√6 (JCGM 100:2008, 4.3.9).
func Triangular(a float64) Distribution { return Distribution{shape: ShapeTriangular, scale: a} }

// Trapezoidal is the symmetric trapezoid over ±a, a ≥ 0, with a top of half-width beta·a,
// 0 ≤ beta ≤ 1: u = a·√((1+beta²)/6) (JCGM 100:2008, 4.3.9, eq. 9a).
func Trapezoidal(a, beta float64) Distribution {
	return Distribution{shape: ShapeTrapezoidal, scale: a, extra: beta}
}

// Arcsine is the distribution of a sine of amplitude a ≥ 0 and unknown phase, U-shaped over
// ±a: u = a/√2 (JCGM 101:2008, 6.4.6).
func Arcsine(a float64) Distribution { return Distribution{shape: ShapeArcsine, scale: a} }

// Curvilinear is a rectangle over ±a whose limits are themselves known only to ±inexact,
// 0 ≤ inexact < a (or both zero): u² = a²/3 + inexact²/9 (JCGM 101:2008, 6.4.3).
func Curvilinear(a, inexact float64) Distribution {
	return Distribution{shape: ShapeCurvilinear, scale: a, extra: inexact}
}

// WithDoF returns d with nu degrees of freedom, nu ≥ 1 or +Inf for "exact".
func (d Distribution) WithDoF(nu float64) Distribution {
	switch {
	case math.IsInf(nu, 1):
		d.dof = 0
	case nu >= 1:
		d.dof = nu
	default:
		d.wrong = fmt.Sprintf("degrees of freedom are %v; want at least 1", nu)
	}
	return d
}

// Shape returns the family.
func (d Distribution) Shape() Shape { return d.shape }

// DoF returns the degrees of freedom, ≥ 1, or +Inf when u is taken as exact.
func (d Distribution) DoF() float64 {
	if d.dof == 0 {
		return math.Inf(1)
	}
	return d.dof
}

// HalfWidth returns the distance from the estimate beyond which nothing lies, in the unit of the
// input: +Inf for normal and t of u > 0.
func (d Distribution) HalfWidth() float64 {
	switch d.shape {
	case ShapeNormal, ShapeT:
		if d.scale == 0 {
			return 0
		}
		return math.Inf(1)
	case ShapeCurvilinear:
		return d.scale + d.extra
	}
	return d.scale
}

// Standard returns the standard uncertainty in the unit of the input, ≥ 0. For t and type A
// inputs it is the scale s/√n.
func (d Distribution) Standard() float64 {
	a := d.scale
	switch d.shape {
	case ShapeRectangular:
		return a / math.Sqrt(3)
	case ShapeTriangular:
		return a / math.Sqrt(6)
	case ShapeTrapezoidal:
		return a * math.Sqrt((1+d.extra*d.extra)/6)
	case ShapeArcsine:
		return a / math.Sqrt2
	case ShapeCurvilinear:
		return math.Hypot(a/math.Sqrt(3), d.extra/3)
	}
	return a
}

// refusal says what is wrong with d and what is wanted, or is empty.
func (d Distribution) refusal() string {
	name := "half-width"
	switch d.shape {
	case shapeNone:
		return "no distribution; want one, such as normal with u or rectangular with half-width"
	case ShapeNormal, ShapeT:
		name = "standard uncertainty"
	}
	switch {
	case d.wrong != "":
		return d.wrong
	case !(d.scale >= 0) || math.IsInf(d.scale, 0):
		return fmt.Sprintf("%s is %v; want a finite one, not below zero", name, d.scale)
	case d.shape == ShapeTrapezoidal && !(d.extra >= 0 && d.extra <= 1):
		return fmt.Sprintf("beta of the trapezoid is %v; want 0 to 1", d.extra)
	case d.shape == ShapeCurvilinear && !(d.extra >= 0 && (d.extra < d.scale || d.extra == 0)):
		return fmt.Sprintf("inexactness of the limits is %v; want 0 up to less than the half-width %v", d.extra, d.scale)
	}
	return ""
}

// tailed reports whether exact and Monte Carlo treat d as a t of finite ν (JCGM 101:2008, 6.4.9.7).
func (d Distribution) tailed() bool {
	return (d.shape == ShapeNormal || d.shape == ShapeT) && d.dof != 0 && d.dof < tIsNormalFrom
}
