package screen

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
)

// A Chart is a drawing in characters: marks with bars over a level axis.
type Chart struct {
	Quantity string // and unit, above the drawing
	Marks    []ChartMark
	Limits   []float64            // values across the whole width, drawn through
	Breaks   []float64            // places on the level axis where the series begins anew
	Ends     [2]string            // what stands under the first and the last place
	Format   func(float64) string // of a value at the left edge
}

// A ChartMark is one value.
type ChartMark struct {
	X    float64 // along the level axis
	Y    float64 // value
	Bar  float64 // half-length of its bar, 0: none
	Mark rune
}

// chartRows is the height of the drawing in lines (house rule).
const chartRows = 15

// Write draws the chart in at most [Width] characters. A chart without marks,
// or with a value that is not finite, is not drawn.
func (c Chart) Write(w io.Writer) error {
	low, high, ok := c.span()
	if !ok {
		return nil
	}
	edge := 0
	label := make([]string, chartRows)
	for _, v := range append(slices.Clone(c.Limits), 0) {
		if r, in := row(v, low, high); in {
			label[r] = c.Format(v)
			edge = max(edge, length(label[r]))
		}
	}
	cols := Width - edge - 2
	cells := make([][]rune, chartRows)
	for r := range cells {
		cells[r] = []rune(strings.Repeat(" ", cols))
	}
	c.draw(cells, low, high)
	var b strings.Builder
	fmt.Fprintln(&b, strings.Repeat(" ", edge+2)+c.Quantity)
	for r := range cells {
		fmt.Fprintln(&b, strings.TrimRight(strings.Repeat(" ", edge-length(label[r]))+label[r]+" │"+string(cells[r]), " "))
	}
	fmt.Fprintln(&b, strings.Repeat(" ", edge+1)+"└"+strings.Repeat("─", cols))
	gap := max(1, cols-length(c.Ends[0])-length(c.Ends[1]))
	fmt.Fprintln(&b, strings.Repeat(" ", edge+2)+c.Ends[0]+strings.Repeat(" ", gap)+c.Ends[1])
	_, err := io.WriteString(w, b.String())
	return err
}

// span is the range of values that the drawing shows.
func (c Chart) span() (low, high float64, ok bool) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, v := range c.Limits {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	for _, m := range c.Marks {
		low, high = math.Min(low, m.Y-m.Bar), math.Max(high, m.Y+m.Bar)
	}
	if len(c.Marks) == 0 || math.IsInf(low, 0) || math.IsInf(high, 0) || math.IsNaN(low+high) {
		return 0, 0, false
	}
	if low == high {
		low, high = low-1, high+1
	}
	room := (high - low) / chartRows
	return low - room/2, high + room/2, true
}

// row is the line of a value, the highest first.
func row(v, low, high float64) (int, bool) {
	r := int(math.Round((high - v) / (high - low) * (chartRows - 1)))
	return r, r >= 0 && r < chartRows
}

// draw sets breaks first, then zero and limits, bars, and marks over all.
func (c Chart) draw(cells [][]rune, low, high float64) {
	first, last := c.Marks[0].X, c.Marks[0].X
	for _, m := range c.Marks {
		first, last = math.Min(first, m.X), math.Max(last, m.X)
	}
	col := func(x float64) int {
		if first == last {
			return len(cells[0]) / 2
		}
		return 1 + int(math.Round((x-first)/(last-first)*float64(len(cells[0])-3)))
	}
	for _, x := range c.Breaks {
		if x >= first && x <= last {
			for r := range cells {
				cells[r][col(x)] = '┊'
			}
		}
	}
	across := func(v float64, with rune) {
		if r, in := row(v, low, high); in {
			for i := range cells[r] {
				cells[r][i] = with
			}
		}
	}
	across(0, '·')
	for _, v := range c.Limits {
		across(v, '─')
	}
	for _, m := range c.Marks {
		top, _ := row(m.Y+m.Bar, low, high)
		bottom, _ := row(m.Y-m.Bar, low, high)
		for r := max(0, top); m.Bar > 0 && r <= min(chartRows-1, bottom); r++ {
			cells[r][col(m.X)] = '│'
		}
	}
	for _, m := range c.Marks {
		if r, in := row(m.Y, low, high); in {
			cells[r][col(m.X)] = m.Mark
		}
	}
}
