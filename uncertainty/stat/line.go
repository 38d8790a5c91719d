package stat

import (
	"errors"
	"fmt"
	"math"
)

// A Line is a straight line y = Intercept + Slope·(x − Origin) fitted by least
// squares, with what is needed to predict from it. Units: y in the unit of the
// ordinates, Slope in that unit per unit of x.
type Line struct {
	// Origin is the x from which Intercept is counted, as given to FitLine.
	Origin float64
	// Intercept is the fitted y at Origin, in the unit of y.
	Intercept float64
	// Slope is in the unit of y per unit of x.
	Slope float64
	// S is the residual standard deviation in the unit of y (for unit weight); zero if all points lie on the line.
	S float64
	// DoF is the number of points less 2, ≥ 0. With 0 every uncertainty of the line is unknown and given as 0.
	DoF float64
	// UIntercept and USlope are the standard uncertainties, in the units of Intercept and Slope.
	UIntercept, USlope float64
	// R is the correlation of Intercept and Slope, −1 … 1.
	R float64

	centre float64 // weighted mean of x
	weight float64 // Σw
	spread float64 // Σw(x−centre)²
}

// FitLine fits a straight line to at least two points at two different x. The
// weights w are relative, > 0; nil means equal weights (1 each). The covariance
// is JCGM 100:2008, H.3.2, eq. H.13, written about the mean of x so that no digits are lost.
func FitLine(x, y, w []float64, origin float64) (Line, error) {
	if len(x) != len(y) || (w != nil && len(w) != len(x)) {
		return Line{}, fmt.Errorf("line: %d x, %d y and %d weights; want as many of each", len(x), len(y), len(w))
	}
	if err := finite("points", 2, x, y); err != nil {
		return Line{}, err
	}
	if math.IsNaN(origin) || math.IsInf(origin, 0) {
		return Line{}, fmt.Errorf("line: origin: %w", ErrNotFinite)
	}
	weights := make([]float64, len(x))
	for i := range weights {
		weights[i] = 1
		if w != nil {
			weights[i] = w[i]
		}
		if !(weights[i] > 0) || math.IsInf(weights[i], 0) {
			return Line{}, fmt.Errorf("line: weight %d is %v; want a finite one above zero", i+1, weights[i])
		}
	}
	return fit(x, y, weights, origin)
}

func fit(x, y, w []float64, origin float64) (Line, error) {
	l := Line{Origin: origin, DoF: float64(len(x) - 2)}
	mx, my := weightedMean(x, w), weightedMean(y, w)
	sxy := 0.0
	for i := range x {
		l.weight += w[i]
		l.spread += w[i] * (x[i] - mx) * (x[i] - mx)
		sxy += w[i] * (x[i] - mx) * (y[i] - my)
	}
	if !(l.spread > 0) {
		return Line{}, errors.New("line: all points at one x; want at least two different ones")
	}
	l.centre, l.Slope = mx, sxy/l.spread
	l.Intercept = my + l.Slope*(origin-mx)
	if l.DoF > 0 {
		rest := 0.0
		for i := range x {
			d := (y[i] - my) - l.Slope*(x[i]-mx)
			rest += w[i] * d * d
		}
		l.S = math.Sqrt(rest / l.DoF)
	}
	l.USlope = l.S / math.Sqrt(l.spread)
	l.UIntercept = l.UMean(origin)
	lever := (origin - mx) / math.Sqrt(l.spread)
	l.R = lever / math.Sqrt(1/l.weight+lever*lever)
	return l, nil
}

// At returns the fitted y at x.
func (l Line) At(x float64) float64 { return l.Intercept + l.Slope*(x-l.Origin) }

// UMean returns the standard uncertainty of the line itself at x, in the unit of y.
func (l Line) UMean(x float64) float64 {
	return l.S * math.Sqrt(1/l.weight+(x-l.centre)*(x-l.centre)/l.spread)
}

// UPrediction returns the standard uncertainty of one further observation of unit
// weight at x: the line's own and the scatter of an observation, in the unit of y.
func (l Line) UPrediction(x float64) float64 { return math.Hypot(l.UMean(x), l.S) }

// With returns the line with another residual standard deviation for unit
// weight, s ≥ 0, of other degrees of freedom: one that is known beforehand, or
// pooled with what is. Slope and intercept stay, their uncertainties follow.
func (l Line) With(s, dof float64) Line {
	l.S, l.DoF = s, dof
	l.USlope = s / math.Sqrt(l.spread)
	l.UIntercept = l.UMean(l.Origin)
	return l
}

// Centre returns the weighted mean of x, where the line is known best.
func (l Line) Centre() float64 { return l.centre }

// FitProportional fits y = b·x through the origin and returns b, its standard
// uncertainty and the residual standard deviation of n−1 degrees of freedom. It
// wants at least two points, one of them off x = 0.
func FitProportional(x, y []float64) (slope, uSlope, s float64, err error) {
	if len(x) != len(y) {
		return 0, 0, 0, fmt.Errorf("line through zero: %d x and %d y; want as many of each", len(x), len(y))
	}
	if err := finite("points", 2, x, y); err != nil {
		return 0, 0, 0, err
	}
	sxx, sxy := 0.0, 0.0
	for i := range x {
		sxx += x[i] * x[i]
		sxy += x[i] * y[i]
	}
	if !(sxx > 0) {
		return 0, 0, 0, errors.New("line through zero: all points at x = 0; want one elsewhere")
	}
	slope = sxy / sxx
	rest := 0.0
	for i := range x {
		d := y[i] - slope*x[i]
		rest += d * d
	}
	s = math.Sqrt(rest / float64(len(x)-1))
	return slope, s / math.Sqrt(sxx), s, nil
}

// weightedMean is corrected once for rounding, as mean is.
func weightedMean(x, w []float64) float64 {
	m := x[0]
	for range 2 {
		sum, total := 0.0, 0.0
		for i := range x {
			sum += w[i] * (x[i] - m)
			total += w[i]
		}
		m += sum / total
	}
	return m
}
