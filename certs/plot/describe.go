package plot

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
)

// Describe says in a few words what a drawing of the plot shows, for who
// cannot see it: the axes, and how many points or tiles of which meaning. The
// numbers themselves stand elsewhere.
func (p Plot) Describe() string {
	var counted, lines []string
	for _, s := range p.Series {
		if n := len(s.Points); n > 0 {
			counted = append(counted, strings.TrimSpace(fmt.Sprintf("%d %s", n, s.Label)))
		}
	}
	tiles := map[Shade]int{}
	for _, t := range p.Tiles {
		tiles[t.Shade]++
	}
	for _, k := range p.Keys {
		if n := tiles[k.Shade]; n > 0 {
			counted = append(counted, fmt.Sprintf("%d %s", n, k.Label))
		}
	}
	for _, l := range p.Lines {
		if l.Label != "" {
			lines = append(lines, l.Label)
		}
	}
	text := p.Y.spoken() + " over " + p.X.spoken()
	if len(counted) > 0 {
		text += ": " + strings.Join(counted, ", ")
	}
	if len(lines) > 0 {
		text += "; lines: " + strings.Join(lines, ", ")
	}
	return text + "."
}

func (a Axis) spoken() string {
	if a.Unit == "" {
		return a.Quantity
	}
	return a.Quantity + " in " + a.Unit
}

// finestReading is the share of an axis that a drawing can be read to (house
// rule: a fifth of a millimetre on the broadest).
const finestReading = 1.0 / 1000

// Text writes a value of the axis: a date, or a number as the axis is, to what
// can be read off it where shown is the range that it shows.
func (a Axis) Text(v float64, shown Range) string {
	if a.Dates {
		return dateOf(v).Format(time.DateOnly)
	}
	places := max(0, int(math.Ceil(-math.Log10((shown.High-shown.Low)*finestReading))))
	text := strconv.FormatFloat(math.Abs(v), 'f', places, 64)
	switch zero := strings.Trim(text, "0.") == ""; {
	case v < 0 && !zero:
		return "\u2212" + text
	case v > 0 && !zero && a.Signed:
		return "+" + text
	}
	return text
}
