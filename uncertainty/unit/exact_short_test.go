package unit

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

// What is written fast is what big numbers give (own).
func TestWhatIsWorkedOutInMachineWordsAgreesWithBigNumbers(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	numbers := []Exact{{}, Whole(math.MinInt64), Whole(math.MaxInt64), Whole(-1), Ratio(1, math.MaxInt64), Ratio(-5, 2), Ratio(5, 2), FromFloat(1e300), FromFloat(5e-324), FromFloat(0.00157), Ratio(math.MaxInt64, 3),
		{new(big.Rat).SetFrac64(1, 1<<62)}, {new(big.Rat).SetFrac(new(big.Int).SetUint64(math.MaxInt64), big.NewInt(499_999))}, Ratio(7, 1_000_000_000_000), Ratio(-97, 150_000), Ratio(1, 2_000_000), Ratio(-3, 2_000_000)}
	powers := []int64{1, 2, 3, 4, 5, 8, 10, 25, 40, 1000, 1_000_000, 150_000, 1 << 40}
	for range 20_000 {
		over, under := r.Int64()>>r.IntN(63), r.Int64()>>r.IntN(63)
		numbers = append(numbers, Ratio(over-under, powers[r.IntN(len(powers))]), FromFloat(r.NormFloat64()/1000))
	}
	for i, e := range numbers {
		for _, f := range []Exact{e, e.Neg(), numbers[(i+1)%len(numbers)], numbers[i%10], e.Add(Ratio(1, math.MaxInt64))} {
			if got, want := e.Cmp(f), e.rat().Cmp(f.rat()); got != want {
				t.Fatalf("%s beside %s: %d, want %d", e.rat(), f.rat(), got, want)
			}
		}
		slow := e.rat().RatString()
		if n, finite := e.rat().FloatPrec(); finite && n <= 30 {
			slow = e.rat().FloatString(n)
		}
		if got := e.Shortest(); got != slow {
			t.Fatalf("shortest of %s is %s, want %s", e.rat(), got, slow)
		}
		want, _ := new(big.Int).SetString(e.Mul(Whole(1_000_000)).Text(0), 10)
		if got, ok := e.Scaled(1_000_000); ok != want.IsInt64() || ok && got != want.Int64() {
			t.Fatalf("a million times %s is %d (%t), want %s", e.rat(), got, ok, want)
		}
	}
}
