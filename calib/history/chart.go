package history

import (
	"errors"
	"fmt"
	"math"

	"example.org/wring/uncertainty/stat"
)

// Widths of a control chart in standard deviations, and how many values its
// baseline wants and has at most, after which it is frozen (NISTIR 6969 SOP 9,
// from memory).
const (
	warningWidth = 2
	actionWidth  = 3
	Baseline     = 7
	mostBaseline = 25
)

// A Chart is the control chart of a check standard: of values that ought to
// stay where they are.
type Chart struct {
	Centre float64 // mean of the baseline, in the unit of the values
	S      float64 // their standard deviation, in that unit, above 0
	DoF    float64 // degrees of freedom of S, 1 or more
	By     string  // how S was found
}

// Warning and Action return the half-widths of the limits about the centre, in
// the unit of the values.
func (c Chart) Warning() float64 { return warningWidth * c.S }

// Action is where the process is taken to be out of control.
func (c Chart) Action() float64 { return actionWidth * c.S }

// NewChart draws a chart from the first 7 to 25 of the values, oldest first:
// centre and limits from their mean and experimental standard deviation. Later
// values are held against it and do not move it.
func NewChart(values []float64) (Chart, error) {
	baseline := values[:min(mostBaseline, len(values))]
	if len(baseline) < Baseline {
		return Chart{}, fmt.Errorf("control chart: %w", &stat.CountError{What: "values", Have: len(baseline), Want: Baseline})
	}
	m, err := stat.Mean(baseline)
	if err != nil {
		return Chart{}, err
	}
	s, err := stat.StdDev(baseline)
	return Chart{m, s, float64(len(baseline) - 1), "standard deviation of the baseline"}, positive(s, err)
}

var errNoScatter = errors.New("control chart: values without scatter; want values that differ")

// NewIndividualsChart draws a chart whose limits come from the mean moving
// range of two, so that a slow wander widens them less (ISO 7870-2:2013, chart
// for individuals; from memory).
func NewIndividualsChart(values []float64) (Chart, error) {
	if len(values) < Baseline {
		return Chart{}, fmt.Errorf("control chart: %w", &stat.CountError{What: "values", Have: len(values), Want: Baseline})
	}
	m, err := stat.Mean(values)
	if err != nil {
		return Chart{}, err
	}
	sum := 0.0
	for i := 1; i < len(values); i++ {
		sum += math.Abs(values[i] - values[i-1])
	}
	const rangeOfTwo = 2 / math.SqrtPi // d₂ for n = 2: E|x₁ − x₂|/σ of a normal variable
	s := sum / float64(len(values)-1) / rangeOfTwo
	return Chart{m, s, float64(len(values) - 1), "mean moving range of two"}, positive(s, nil)
}

func positive(s float64, err error) error {
	if err == nil && !(s > 0) {
		return errNoScatter
	}
	return err
}

// Runs looks for values and runs that break the chart.
func (c Chart) Runs(values []float64) []stat.Run {
	z := make([]float64, len(values))
	for i, v := range values {
		z[i] = (v - c.Centre) / c.S
	}
	return stat.Runs(z)
}

// ZeroSeries returns the zero of each check since the last adjustment, in mm:
// the mean error over the points that all of them have.
func ZeroSeries(checks []Check, zero float64) []float64 {
	segments := Segments(checks)
	if len(segments) == 0 {
		return nil
	}
	p := align(segments[len(segments)-1], zero)
	var out []float64
	for i := range p.t {
		out = append(out, p.shift().of(p, i))
	}
	return out
}

// A Shift compares the means of two groups of values.
type Shift struct {
	Pooled float64 // standard deviation within both groups, in the unit of the values
	T      float64 // difference of the means over its standard uncertainty, signed; new less old
	DoF    float64 // degrees of freedom, 1 or more
	Limit  float64 // |t| beyond which the mean has shifted, at a probability of 5 %, above 0
}

// Shifted reports whether the new values have another mean.
func (s Shift) Shifted() bool { return math.Abs(s.T) > s.Limit }

// CompareMeans tests by Student's t with the pooled standard deviation whether
// new values have the mean of old ones; each group wants at least two (NISTIR
// 6969, SOP 30; from memory).
func CompareMeans(old, fresh []float64) (Shift, error) {
	var means, s, dof [2]float64
	for i, x := range [][]float64{old, fresh} {
		var err error
		if s[i], err = stat.StdDev(x); err != nil {
			return Shift{}, err
		}
		means[i], _ = stat.Mean(x)
		dof[i] = float64(len(x) - 1)
	}
	pooled, total, err := stat.Pooled(s[:], dof[:])
	if err != nil {
		return Shift{}, err
	}
	if !(pooled > 0) {
		return Shift{}, errNoScatter
	}
	limit, err := stat.TQuantile((1+bandProbability)/2, total)
	u := pooled * math.Sqrt(1/float64(len(old))+1/float64(len(fresh)))
	return Shift{Pooled: pooled, T: (means[1] - means[0]) / u, DoF: total, Limit: limit}, err
}
