package uncertainty

import (
	"math/rand/v2"
	"testing"
)

// The distribution that comes with a statement is that of the budget, to the
// last bit, wherever it is asked (own).
func TestADistributionThatComesWithAStatementIsThatOfTheBudget(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for i := range 30 {
		b := randomBudget(r, 2+i%8, 3)
		s, sum, err := b.EvaluateWhole(0.95)
		if err != nil {
			t.Fatal(err)
		}
		for _, at := range []float64{0.3, 1, 1.7, 4, 9} {
			own, err := b.Sum()
			if err != nil {
				t.Fatal(err)
			}
			_, fresh, err := b.EvaluateWhole(0.95)
			if x := s.Estimate + at*s.Standard; err != nil || fresh.CDF(x) != own.CDF(x) || fresh.Between(-x, x/2) != own.Between(-x, x/2) {
				t.Errorf("budget %d at %v: %v and %v, %v", i, x, fresh.CDF(x), own.CDF(x), err)
			}
		}
		if sum.Centre() != s.Estimate {
			t.Errorf("budget %d: centre %v, want %v", i, sum.Centre(), s.Estimate)
		}
	}
}
