package main

import (
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
)

// A growth is how the time of each operation grows with the fleet: seconds by
// the number of gauges.
type growth map[string]map[int]float64

func (g growth) add(name string, size int, seconds float64) {
	if g[name] == nil {
		g[name] = map[int]float64{}
	}
	g[name][size] = seconds
}

// write prints the exponents, fitted by least squares over the logarithms.
func (g growth) write(out io.Writer, sizes []int) {
	if len(sizes) < 2 {
		return
	}
	fmt.Fprintf(out, "\nmedian time grows with the number of gauges, %d sizes from %d to %d, with the exponent\n", len(sizes), slices.Min(sizes), slices.Max(sizes))
	for _, name := range slices.Sorted(maps.Keys(g)) {
		if len(g[name]) < 2 {
			continue
		}
		fmt.Fprintf(out, "%-46s%6.2f\n", name, exponent(g[name]))
	}
}

// exponent is the slope of log time over log size.
func exponent(seconds map[int]float64) float64 {
	var n, x, y, xx, xy float64
	for _, size := range slices.Sorted(maps.Keys(seconds)) {
		lx, ly := math.Log(float64(size)), math.Log(seconds[size])
		n, x, y, xx, xy = n+1, x+lx, y+ly, xx+lx*lx, xy+lx*ly
	}
	return (n*xy - x*y) / (n*xx - x*x)
}
