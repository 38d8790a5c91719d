package uncertainty

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// randomBudget draws n inputs of every shape, their contributions over three decades.
func randomBudget(r *rand.Rand, n int) Budget {
	b := Budget{}
	for i := range n {
		size := math.Pow(10, -3*r.Float64())
		dofs := []float64{1, 2, 3, 4, 5, 7, 8, 9, 12.7, 19, 24, 50}
		var d Distribution
		switch r.IntN(9) {
		case 0:
			d = Normal(size)
		case 1:
			d = Expanded(2*size, 2).WithDoF(dofs[r.IntN(len(dofs)-1)+1])
		case 2:
			d = StudentT(size, dofs[r.IntN(len(dofs)-1)+1])
		case 3:
			d = Rectangular(size)
		case 4:
			d = Triangular(size)
		case 5:
			d = Trapezoidal(size, r.Float64())
		case 6:
			d = Arcsine(size)
		case 7:
			d = Curvilinear(size, size*r.Float64()*0.5)
		case 8:
			d = Rectangular(size)
		}
		b.Inputs = append(b.Inputs, Input{Name: fmt.Sprintf("x%d", i+1), Knowledge: d, Sensitivity: 2*r.Float64() - 1})
	}
	return b
}

func TestTimesTrial(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	type rec struct {
		d time.Duration
		i int
	}
	var times []rec
	var bs []Budget
	for i := range 1000 {
		b := randomBudget(r, 10)
		bs = append(bs, b)
		t0 := time.Now()
		_, err := b.Evaluate(0.95, Exact)
		times = append(times, rec{time.Since(t0), i})
		if err != nil {
			t.Error(err)
		}
	}
	slices.SortFunc(times, func(a, b rec) int { return int(a.d - b.d) })
	t.Log(times[500].d, times[900].d, times[990].d, times[999].d)
	for _, k := range []int{500, 999, 998, 997, 996} {
		b := bs[times[k].i]
		c, _ := b.combine()
		s, _ := b.sum(c)
		s.half(.95)
		n := 0
		switch v := s.law.(type) {
		case *wave:
			n = len(v.weight)
		case *ladder:
			n = len(v.weight)
		}
		t.Logf("%T %d %g %v %v", s.law, n, s.upTo, s.parts.end(), times[k].d)
	}
}
