package history

import (
	"math"
	"testing"
)

// A fleet's Monday morning is one of these for each gauge.
func BenchmarkAssessFiveChecksOfFivePoints(b *testing.B) {
	checks := line(5, 0.2, 0.3, 0.3, func(i int, x float64) float64 { return 0.3*float64(i) + 0.1*math.Sin(float64(i)+x) })
	for b.Loop() {
		if _, err := Assess(checks, Options{Known: FromBudget()}); err != nil {
			b.Fatal(err)
		}
	}
}
