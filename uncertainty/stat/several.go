package stat

import (
	"fmt"
	"math"
)

// A Several is a least-squares fit y = Mean + Σ Slope[j]·(x_j − Centre[j]) of
// several columns at once. Units: y in the unit of the ordinates, each slope in
// that unit per unit of its column.
type Several struct {
	// Mean is the mean of y: the fit at the centres of all columns.
	Mean float64
	// S is the residual standard deviation in the unit of y, ≥ 0.
	S float64
	// DoF is the number of points less the columns less 1, ≥ 1.
	DoF float64

	Centre []float64 // mean of each column
	Slope  []float64 // in the unit of y per unit of the column
	U      []float64 // standard uncertainties of the slopes, in the same units

	n      float64
	factor []float64 // U over S of each slope
}

// UMean is the standard uncertainty of Mean, in the unit of y.
func (v Several) UMean() float64 { return v.S / math.Sqrt(v.n) }

// With returns the fit with another residual standard deviation s ≥ 0 of the
// same degrees of freedom.
func (v Several) With(s float64) Several {
	v.S = s
	v.U = make([]float64, len(v.factor))
	for j, f := range v.factor {
		v.U[j] = s * f
	}
	return v
}

// FitSeveral fits y to one or more columns of as many values each, with an
// intercept. It orthogonalises the centred columns twice (Gram–Schmidt with
// reorthogonalisation), so that no digits are lost to their likeness. Columns
// that follow from others, to one part in a million, are refused, and so are
// fewer points than columns and 2.
func FitSeveral(columns [][]float64, y []float64) (Several, error) {
	n, k := len(y), len(columns)
	if k == 0 || n < k+2 {
		return Several{}, &CountError{What: "points", Have: n, Want: k + 2}
	}
	if err := finite("points", n, append([][]float64{y}, columns...)...); err != nil {
		return Several{}, err
	}
	v := Several{Mean: mean(y), DoF: float64(n - k - 1), n: float64(n), Centre: make([]float64, k), Slope: make([]float64, k), factor: make([]float64, k)}
	q := make([][]float64, k)
	r := make([][]float64, k)
	for j, column := range columns {
		if len(column) != n {
			return Several{}, fmt.Errorf("fit: column %d of %d values for %d points; want as many", j+1, len(column), n)
		}
		v.Centre[j] = mean(column)
		q[j], r[j] = centred(column, v.Centre[j]), make([]float64, k)
		size := norm(q[j])
		for range 2 {
			for i := range j {
				d := dot(q[i], q[j])
				r[i][j] += d
				addTo(q[j], q[i], -d)
			}
		}
		r[j][j] = norm(q[j])
		if !(r[j][j] > size*likeness) {
			return Several{}, fmt.Errorf("fit: column %d follows from the others; want it left out", j+1)
		}
		for i := range q[j] {
			q[j][i] /= r[j][j]
		}
	}
	v.solve(q, r, centred(y, v.Mean))
	return v, nil
}

// likeness is the share of a column below which it is taken as made of others
// (house rule).
const likeness = 1e-6

// solve finds slopes, residual s and the inverse of R for their uncertainties.
func (v *Several) solve(q, r [][]float64, rest []float64) {
	k := len(q)
	b := make([]float64, k)
	for j := range q {
		b[j] = dot(q[j], rest)
		addTo(rest, q[j], -b[j])
	}
	inverse := make([][]float64, k) // of R, upper triangle
	for i := k - 1; i >= 0; i-- {
		inverse[i] = make([]float64, k)
		inverse[i][i] = 1 / r[i][i]
		for j := i + 1; j < k; j++ {
			sum := 0.0
			for m := i + 1; m <= j; m++ {
				sum += r[i][m] * inverse[m][j]
			}
			inverse[i][j] = -sum / r[i][i]
		}
	}
	for i := range k {
		v.Slope[i] = dot(inverse[i], b)
		v.factor[i] = norm(inverse[i])
	}
	*v = v.With(norm(rest) / math.Sqrt(v.DoF))
}

func centred(x []float64, m float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = x[i] - m
	}
	return out
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

func norm(a []float64) float64 { return math.Sqrt(dot(a, a)) }

func addTo(a, b []float64, factor float64) {
	for i := range a {
		a[i] += factor * b[i]
	}
}
