package length

import (
	"math"

	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

// A Scatter is how far readings of a gauge spread at one place, pooled over
// places and checks. All of it is in one unit. The zero value knows nothing.
type Scatter struct {
	squares float64 // sum of squared deviations, in the unit squared; 0 or more
	dof     float64 // degrees of freedom; 0 or more
}

// Add takes the readings of one place in.
func (s *Scatter) Add(readings []float64) {
	if sd, err := stat.StdDev(readings); err == nil {
		s.AddS(sd, len(readings))
	}
}

// AddS takes in the standard deviation of n readings, as a kept check has it.
func (s *Scatter) AddS(sd float64, n int) {
	if n > 1 && sd >= 0 && !math.IsInf(sd, 0) {
		s.squares += sd * sd * float64(n-1)
		s.dof += float64(n - 1)
	}
}

const (
	// strayLevel is the probability with which a reading of the same scatter is
	// asked about (house rule: once in some thirty checks of thirty readings).
	strayLevel = 0.001

	// strayDoF is the fewest degrees of freedom by which scatter is judged; with
	// fewer, the limit is the yardstick (house rule).
	strayDoF = 5

	// straySteps is how many steps of the reading a difference must exceed
	// before anybody is asked (house rule: two roundings make one step).
	straySteps = 2.001
)

// Stray reports whether a reading lies further from the mean of those before
// it at its place than scatter explains, and how far it lies. A mean of n and
// one more reading differ by s·√(1 + 1/n). The step of the reading sizes the
// least s. Nothing is stray where there is no reading before it.
func (s Scatter) Stray(reading float64, before []float64, step, limit float64) (off float64, stray bool) {
	mean, err := stat.Mean(before)
	if err != nil {
		return 0, false
	}
	off = reading - mean
	most := limit
	if s.dof >= strayDoF {
		t, err := stat.TQuantile(1-strayLevel/2, s.dof)
		if err != nil {
			return off, false
		}
		sd := math.Max(math.Sqrt(s.squares/s.dof), step/math.Sqrt(12)) // rectangular over one step, JCGM 100:2008, F.2.2.1
		most = t * sd * math.Sqrt(1+1/float64(len(before)))
	}
	return off, most > 0 && math.Abs(off) > math.Max(most, straySteps*step)
}

// Moved reports whether an error differs from that of an earlier check by more
// than the uncertainty of both, taken as equal (house rule).
func Moved(now, before, expanded, step float64) bool {
	return math.Abs(now-before) > math.Max(math.Sqrt2*expanded, straySteps*step)
}

// Running returns mean and spread, largest less smallest, of one or more
// readings, in the inner unit of their dimension.
func Running(readings []unit.Quantity) (mean, spread unit.Exact) {
	low, high, sum := readings[0].Inner(), readings[0].Inner(), unit.Exact{}
	for _, r := range readings {
		x := r.Inner()
		if x.Cmp(low) < 0 {
			low = x
		}
		if x.Cmp(high) > 0 {
			high = x
		}
		sum = sum.Add(x)
	}
	return sum.Quo(unit.Whole(int64(len(readings)))), high.Sub(low)
}

// LastPlace returns what one of the last digit of a reading is, in the inner
// unit of its dimension: the step of an instrument whose resolution no record
// has.
func LastPlace(q unit.Quantity) float64 {
	return q.Unit().Factor().Float() * math.Pow10(-q.Places())
}
