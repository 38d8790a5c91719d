package formula

import "math"

// A function is what a name in a formula does to one number.
type function struct {
	name string
	// f is the value; slope gives the first three derivatives at x, of which y is f(x).
	f     func(x float64) float64
	slope func(x, y float64) (d1, d2, d3 float64)
}

// constants are names with a fixed value.
var constants = map[string]float64{"pi": math.Pi}

// functions are all that a formula may call. Angles are in radians.
var functions = []function{
	{"sqrt", math.Sqrt, func(x, y float64) (a, b, c float64) {
		return 1 / (2 * y), -1 / (4 * x * y), 3 / (8 * x * x * y)
	}},
	{"exp", math.Exp, func(_, y float64) (a, b, c float64) { return y, y, y }},
	{"log", math.Log, logSlope},
	{"ln", math.Log, logSlope},
	{"log10", math.Log10, func(x, y float64) (a, b, c float64) {
		a, b, c = logSlope(x, y)
		return a / math.Ln10, b / math.Ln10, c / math.Ln10
	}},
	{"sin", math.Sin, func(x, y float64) (a, b, c float64) { return math.Cos(x), -y, -math.Cos(x) }},
	{"cos", math.Cos, func(x, y float64) (a, b, c float64) { return -math.Sin(x), -y, math.Sin(x) }},
	{"tan", math.Tan, func(_, y float64) (a, b, c float64) {
		d := 1 + y*y
		return d, 2 * y * d, d * (2 + 6*y*y)
	}},
	{"asin", math.Asin, arcsineSlope},
	{"acos", math.Acos, func(x, y float64) (a, b, c float64) {
		a, b, c = arcsineSlope(x, y)
		return -a, -b, -c
	}},
	{"atan", math.Atan, func(x, _ float64) (a, b, c float64) {
		q := 1 / (1 + x*x)
		return q, -2 * x * q * q, (6*x*x - 2) * q * q * q
	}},
	{"sinh", math.Sinh, func(x, y float64) (a, b, c float64) { return math.Cosh(x), y, math.Cosh(x) }},
	{"cosh", math.Cosh, func(x, y float64) (a, b, c float64) { return math.Sinh(x), y, math.Sinh(x) }},
	{"tanh", math.Tanh, func(_, y float64) (a, b, c float64) {
		d := 1 - y*y
		return d, -2 * y * d, d * (6*y*y - 2)
	}},
	{"asinh", math.Asinh, func(x, _ float64) (a, b, c float64) {
		q := 1 / (1 + x*x)
		r := math.Sqrt(q)
		return r, -x * q * r, (2*x*x - 1) * q * q * r
	}},
	{"acosh", math.Acosh, func(x, _ float64) (a, b, c float64) {
		q := 1 / ((x - 1) * (x + 1))
		r := math.Sqrt(q)
		return r, -x * q * r, (2*x*x + 1) * q * q * r
	}},
	{"atanh", math.Atanh, func(x, _ float64) (a, b, c float64) {
		q := 1 / ((1 - x) * (1 + x))
		return q, 2 * x * q * q, (2 + 6*x*x) * q * q * q
	}},
}

func logSlope(x, _ float64) (a, b, c float64) { return 1 / x, -1 / (x * x), 2 / (x * x * x) }

func arcsineSlope(x, _ float64) (a, b, c float64) {
	q := 1 / ((1 - x) * (1 + x))
	r := math.Sqrt(q)
	return r, x * q * r, (1 + 2*x*x) * q * q * r
}
