package main

import (
	"math"
	"strings"
	"testing"
)

// Three times of size to the power 1.5, and one size alone (own).
func TestTheExponentIsThatOfAPower(t *testing.T) {
	g := growth{}
	for _, n := range []int{1000, 10_000, 100_000} {
		g.add("kept", n, 2e-6*math.Pow(float64(n), 1.5))
	}
	g.add("once", 1000, 1)
	var b strings.Builder
	g.write(&b, []int{1000, 10_000, 100_000})
	if !strings.HasSuffix(b.String(), "\nkept                                            1.50\n") || strings.Contains(b.String(), "once") {
		t.Errorf("growth is told as\n%s", b.String())
	}
}
