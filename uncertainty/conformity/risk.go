package conformity

import (
	"fmt"
	"math"

	"example.org/wring/uncertainty/stat"
)

// A Process is what is known of gauges of a kind before one is measured, and how they are
// measured and judged; all in one unit.
type Process struct {
	// Mean and Spread are the mean and standard deviation of true errors over the kind (normal prior), Spread > 0.
	Mean, Spread float64
	// Standard is the standard uncertainty of the measurement, > 0.
	Standard float64
	// Lower and Upper are the tolerance limits; ±Inf leaves a side open.
	Lower, Upper float64
	// AcceptLower and AcceptUpper are the acceptance limits; ±Inf leaves a side open.
	AcceptLower, AcceptUpper float64
}

// Risks returns the global consumer's risk, that an item is accepted and does not conform, and the global
// producer's risk, that it is rejected and conforms; each 0 … 1 (JCGM 106:2012, 9.5, eqs. 18 to 20).
func (p Process) Risks() (consumer, producer float64, err error) {
	if !(p.Spread > 0) || !(p.Standard > 0) || !(p.Lower < p.Upper) || !(p.AcceptLower < p.AcceptUpper) ||
		math.IsInf(p.Spread, 0) || math.IsInf(p.Standard, 0) || math.IsNaN(p.Mean) || math.IsInf(p.Mean, 0) {
		return 0, 0, fmt.Errorf("risk: prior %v and %v, uncertainty %v, limits %v to %v, acceptance %v to %v; "+
			"want spreads above zero and limits in order", p.Mean, p.Spread, p.Standard, p.Lower, p.Upper, p.AcceptLower, p.AcceptUpper)
	}
	// Beyond nine spreads the prior holds less than 1e-18.
	low, high := p.Mean-9*p.Spread, p.Mean+9*p.Spread
	consumer = p.integrate(low, math.Min(p.Lower, high), p.accepted) + p.integrate(math.Max(p.Upper, low), high, p.accepted)
	producer = p.integrate(math.Max(p.Lower, low), math.Min(p.Upper, high), func(x float64) float64 { return 1 - p.accepted(x) })
	return consumer, producer, nil
}

// accepted is the probability that an item of true value x is accepted.
func (p Process) accepted(x float64) float64 {
	return phi((p.AcceptUpper-x)/p.Standard) - phi((p.AcceptLower-x)/p.Standard)
}

// integrate weighs g with the prior from low to high by Simpson's rule, in steps of a
// fiftieth of the narrower spread: an error of about 1e-10.
func (p Process) integrate(low, high float64, g func(float64) float64) float64 {
	if !(low < high) {
		return 0
	}
	n := 2 * int(math.Min(1e6, math.Ceil(25*(high-low)/math.Min(p.Spread, p.Standard))))
	step, sum := (high-low)/float64(n), 0.0
	for i := range n + 1 {
		x := low + float64(i)*step
		weight := 2 * float64(1+i%2)
		if i == 0 || i == n {
			weight = 1
		}
		z := (x - p.Mean) / p.Spread
		sum += weight * g(x) * math.Exp(-z*z/2)
	}
	return sum * step / 3 / (p.Spread * math.Sqrt(2*math.Pi))
}

// PriorSpread returns the standard deviation u₀ of true errors of mean zero that makes the share reliable of measured
// errors lie within ±limit, limit/z((1+reliable)/2) = √(u₀² + u²) (practice of the Z540.3 handbook; value from memory).
func PriorSpread(limit, reliable, standard float64) (float64, error) {
	z, err := stat.NormalQuantile((1 + reliable) / 2)
	if err != nil {
		return 0, err
	}
	observed := limit / z
	if !(observed > standard) || !(standard >= 0) {
		return 0, fmt.Errorf("prior: errors spread by %v with a measurement of %v; want the measurement the smaller", observed, standard)
	}
	return math.Sqrt((observed - standard) * (observed + standard)), nil
}

func phi(z float64) float64 { return stat.NormalCDF(z) }
