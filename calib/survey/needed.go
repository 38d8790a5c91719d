package survey

import (
	"math"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/uncertainty"
)

// mostPlaces is where the search for a number of places ends (house rule:
// nobody reads more).
const mostPlaces = 1000

// needed works out how many places the wanted uncertainty of the mean takes,
// if places scatter as these do: what all places share stays, what scatters
// falls with their number, and its t factor with it.
func (t *taking) needed(r *Result) error {
	if t.survey.Wanted.IsZero() || len(t.thick) < 2 {
		return nil
	}
	n := &Needed{Wanted: t.survey.Wanted.Inner().Float()}
	r.Needed = n
	var err error
	if n.Expanded, err = t.expandedOf(mostPlaces); err != nil || n.Expanded > n.Wanted {
		return err
	}
	low, high := 1, mostPlaces // one place has no scatter of its own
	for high-low > 1 {
		mid := (low + high) / 2
		U, err := t.expandedOf(mid)
		if err != nil {
			return err
		}
		if U > n.Wanted {
			low = mid
		} else {
			high = mid
		}
	}
	n.Places = high
	n.Expanded, err = t.expandedOf(high)
	return err
}

// expandedOf is U of the mean of n places, in mm, by the coverage that the mean
// itself has: of as many places as were read it is the mean's own U.
func (t *taking) expandedOf(n int) (float64, error) {
	share := 1.0
	if t.s >= t.step/2 {
		share = 1 / math.Sqrt(float64(n))
	}
	lines := append(t.common(t.mean.Float()), t.readingLine(share),
		line{kind: calib.Repeatability, name: "places, between and within", unit: "mm", c: 1, u: t.s / math.Sqrt(float64(n)), dof: float64(n - 1)}.entry())
	s, err := ledger.Budget(lines).Evaluate(Coverage, uncertainty.Exact)
	return s.Expanded, err
}
