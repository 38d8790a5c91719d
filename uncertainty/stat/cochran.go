package stat

import (
	"fmt"
	"math"
)

// CochranLimit returns the largest share that one of several variances, each of the same degrees of freedom, may have
// in their sum: a larger one comes by chance with probability p at most, where all are of one kind (Cochran 1941, Ann.
// Eugenics 11, 47–52; ISO 5725-2:2019, 8.3.4; both from memory). The bound is by the share of one variance against the
// others, times their number. Variances at least 2, dof above 0, 0 < p < 1.
func CochranLimit(variances int, dof, p float64) (float64, error) {
	if variances < 2 {
		return 0, &CountError{What: "variances", Have: variances, Want: 2}
	}
	if !(p > 0 && p < 1) {
		return 0, fmt.Errorf("largest variance: probability %v; want one between 0 and 1", p)
	}
	n := float64(variances)
	f, err := FQuantile(1-p/n, dof, (n-1)*dof)
	if err != nil {
		return 0, err
	}
	if math.IsInf(f, 1) {
		return 1, nil
	}
	return f / (f + n - 1), nil
}
