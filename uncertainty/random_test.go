package uncertainty

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// randomBudget draws n inputs of every shape, their widths spread over three decades and their degrees of freedom over those
// a bench knows; least is the least of them.
func randomBudget(r *rand.Rand, n int, least float64) Budget {
	b := Budget{}
	for i := range n {
		b.Inputs = append(b.Inputs, Input{Name: fmt.Sprintf("x%d", i+1), Estimate: r.NormFloat64(),
			Knowledge: randomDistribution(r, math.Pow(10, -3*r.Float64()), least), Sensitivity: 2*r.Float64() - 1})
	}
	return b
}

func randomDistribution(r *rand.Rand, size, least float64) Distribution {
	dofs := []float64{2, 3, 4, 5, 7, 8, 9, 12.7, 18, 19, 24, 50, 1000}
	dof := math.Max(least, dofs[r.IntN(len(dofs))])
	switch r.IntN(8) {
	case 0:
		return Normal(size)
	case 1:
		return Expanded(2*size, 2).WithDoF(dof)
	case 2:
		return StudentT(size, dof)
	case 3:
		return Triangular(size)
	case 4:
		return Trapezoidal(size, r.Float64())
	case 5:
		return Arcsine(size)
	case 6:
		return Curvilinear(size, size*r.Float64()/2)
	}
	return Rectangular(size)
}
