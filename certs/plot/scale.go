package plot

import (
	"math"
	"strconv"
	"strings"
)

// Shares of the span left free beyond the outermost value, so that a mark at
// the end does not sit on the frame (house rule).
const (
	freeX = 0.03
	freeY = 0.07
)

// span returns the range an axis shows: the given one, or that of the values
// with a little air. Values of one size get a span of their own size, or of 1.
func span(a Axis, values []float64, free float64) Range {
	if a.Range != nil {
		return *a.Range
	}
	low, high := values[0], values[0]
	for _, v := range values {
		low, high = min(low, v), max(high, v)
	}
	if !(Range{low, high}).wide() {
		room := max(math.Abs(high), 1)
		low, high = low-room/2, high+room/2
	}
	air := free * (high - low)
	return Range{low - air, high + air}
}

// extents gathers what either axis must have room for.
func (p Plot) extents() (xs, ys []float64) {
	line := func(vs []Vertex) {
		for _, v := range vs {
			xs, ys = append(xs, v.X), append(ys, v.Y)
		}
	}
	for _, b := range p.Bands {
		line(b.Low)
		line(b.High)
	}
	for _, l := range p.Lines {
		line(l.Points)
	}
	for _, t := range p.Tiles {
		line([]Vertex{t.Low, t.High})
	}
	for _, s := range p.Series {
		for _, pt := range s.Points {
			xs, ys = append(xs, pt.X), append(ys, pt.Y-pt.Bar, pt.Y+pt.Bar)
		}
	}
	return xs, ys
}

// Spans are the ranges that the axes show.
func (p Plot) Spans() (x, y Range) {
	xs, ys := p.extents()
	return span(p.X, xs, freeX), span(p.Y, ys, freeY)
}

// A Tick is one labelled place on an axis.
type Tick struct {
	At    float64 // in the unit of the axis
	Label string
}

// Ticks divides r into steps of 1, 2 or 5 times a power of ten, as a scale is
// read most easily: about the wanted number of ticks, and never fewer than
// two, for one tick is no scale. Minus is U+2212; signed puts a plus before
// positive values.
func Ticks(r Range, wanted int, signed bool) []Tick {
	rough := (r.High - r.Low) / float64(max(wanted, 2))
	step, exponent := niceStep(rough)
	first, last := multiples(r, step)
	for last-first < 1 {
		rough /= 2
		step, exponent = niceStep(rough)
		first, last = multiples(r, step)
	}
	places := max(0, -exponent)
	var ticks []Tick
	for i := first; i <= last; i++ {
		at := i * step
		label := strconv.FormatFloat(math.Abs(at), 'f', places, 64)
		switch {
		case i < 0:
			label = "\u2212" + label
		case i > 0 && signed:
			label = "+" + label
		}
		ticks = append(ticks, Tick{at, label})
	}
	return ticks
}

// multiples returns the first and the last multiple of the step in r, counted
// in steps: adding steps up would drift.
func multiples(r Range, step float64) (first, last float64) {
	return math.Ceil(r.Low/step - 1e-9), math.Floor(r.High/step + 1e-9)
}

// niceStep returns the smallest of 1, 2, 5 × 10ⁿ that is at least rough, and n.
func niceStep(rough float64) (step float64, exponent int) {
	exponent = int(math.Floor(math.Log10(rough)))
	power := math.Pow(10, float64(exponent))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= rough*(1-1e-9) {
			return m * power, exponent
		}
	}
	return 10 * power, exponent + 1
}

// Title is what stands along an axis: the quantity and its unit, divided by a
// slash as ISO 80000-1:2009, 7.1.4 (from memory) writes axes.
func (a Axis) Title() string {
	return strings.TrimSuffix(a.Quantity+" / "+a.Unit, " / ")
}
