package screen

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/wring/certs/plot"
)

// A Drawing is a plot in characters, from the description that papers and
// pages have.
type Drawing struct {
	Plot plot.Plot
	Bars string // what the bars of the points are, for the legend
}

// Sizes of a drawing in characters (house rules).
const (
	drawnRows = 16 // without the axis
	perTick   = 14 // columns wanted for each tick of the level axis
	perTickUp = 3  // rows wanted for each of the upright one
	legendGap = "   "
)

// Characters of a drawing. None is told from another by colour.
const (
	limitRune      = '─'
	acceptanceRune = '╌'
	zeroRune       = '·'
	uprightRune    = '┊'
	barRune        = '│'
	guardRune      = '░'
)

func markRune(m plot.Mark) rune {
	switch m {
	case plot.Ring:
		return '○'
	case plot.Square:
		return '□'
	case plot.Saltire:
		return '×'
	case plot.Cross:
		return '■'
	}
	return '●'
}

// Write draws the plot in lines of at most [Width] characters. The error names
// what cannot be drawn.
func (d Drawing) Write(w io.Writer) error {
	if err := d.Plot.Check(); err != nil {
		return err
	}
	c := canvas{plot: d.Plot}
	c.x, c.y = d.Plot.Spans()
	labels := c.upright()
	c.clear(Width - c.edge - 2)
	c.guards()
	c.lines()
	c.points()
	var b strings.Builder
	blank := strings.Repeat(" ", c.edge+1)
	fmt.Fprintln(&b, blank, d.Plot.Y.Title())
	for r, cells := range c.cells {
		fmt.Fprintln(&b, strings.TrimRight(strings.Repeat(" ", c.edge-length(labels[r]))+labels[r]+" │"+string(cells), " "))
	}
	ruler, under := c.level()
	fmt.Fprintln(&b, blank+"└"+ruler)
	fmt.Fprintln(&b, strings.TrimRight(blank+" "+under, " "))
	fmt.Fprintln(&b, blank, d.Plot.X.Title())
	for _, line := range filled(d.legend()) {
		fmt.Fprintln(&b, line)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// filled sets entries one behind the other, in as many lines as they need; none is
// divided.
func filled(entries []string) (lines []string) {
	for _, e := range entries {
		if last := len(lines) - 1; last >= 0 && length(lines[last])+length(legendGap)+length(e) <= Width {
			lines[last] += legendGap + e
			continue
		}
		lines = append(lines, e)
	}
	return lines
}

// A canvas is the inner area of a drawing.
type canvas struct {
	plot  plot.Plot
	x, y  plot.Range
	edge  int // characters left of the upright axis
	cells [][]rune
}

func (c *canvas) clear(columns int) {
	c.cells = make([][]rune, drawnRows)
	for r := range c.cells {
		c.cells[r] = []rune(strings.Repeat(" ", columns))
	}
}

// row is the line of a value, the highest first; column is the place of one.
// Both may lie beyond the canvas.
func (c *canvas) row(v float64) int {
	return int(math.Round((c.y.High - v) / (c.y.High - c.y.Low) * (drawnRows - 1)))
}

func (c *canvas) column(v float64) int {
	return int(math.Round((v - c.x.Low) / (c.x.High - c.x.Low) * float64(len(c.cells[0])-1)))
}

func (c *canvas) set(row, column int, with rune) {
	if row >= 0 && row < len(c.cells) && column >= 0 && column < len(c.cells[row]) {
		c.cells[row][column] = with
	}
}

// upright labels the rows: the values of limits that are level first, then
// ticks where there is room between.
func (c *canvas) upright() []string {
	labels := make([]string, drawnRows)
	put := func(at float64, text string, apart int) {
		r := c.row(at)
		for i := max(0, r-apart); i <= min(drawnRows-1, r+apart); i++ {
			if labels[i] != "" {
				return
			}
		}
		if r >= 0 && r < drawnRows {
			labels[r] = text
			c.edge = max(c.edge, length(text))
		}
	}
	for _, l := range c.plot.Lines {
		level := !slices.ContainsFunc(l.Points, func(v plot.Vertex) bool { return v.Y != l.Points[0].Y })
		if at := l.Points[0].Y; l.Kind == plot.Limit && level {
			put(at, limitText(at, c.plot.Y.Signed), 0)
		}
	}
	for _, t := range c.plot.Y.Ticks(c.y, drawnRows/perTickUp) {
		put(t.At, strings.Replace(t.Label, "\u2212", "-", 1), 1)
	}
	return labels
}

// limitText writes a limit as it was agreed, to as many digits as any is stated
// to, so that what arithmetic left behind them is not shown (house rule: seven).
func limitText(at float64, signed bool) string {
	stated, _ := strconv.ParseFloat(strconv.FormatFloat(at, 'e', 6, 64), 64) // a number that was just written
	text := strconv.FormatFloat(stated, 'f', -1, 64)
	if signed && stated >= 0 {
		return "+" + text
	}
	return text
}

// level is the lower axis with its ticks, and their labels under it.
func (c *canvas) level() (ruler, under string) {
	line := []rune(strings.Repeat("─", len(c.cells[0])))
	for _, t := range c.plot.X.Ticks(c.x, len(line)/perTick) {
		at, label := c.column(t.At), strings.Replace(t.Label, "\u2212", "-", 1)
		if at < 0 || at >= len(line) {
			continue
		}
		from := min(max(0, at-length(label)/2), len(line)-length(label))
		if gap := from - length(under); gap > 0 || under == "" {
			line[at] = '┬'
			under += strings.Repeat(" ", max(0, gap)) + label
		}
	}
	return string(line), under
}

// along gives the height of a line at each column that it passes, and the
// upright pieces of it.
func (c *canvas) along(line []plot.Vertex, level func(column int, y float64), up func(column int, from, to float64)) {
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		from, to := c.column(a.X), c.column(b.X)
		if from == to {
			up(from, min(a.Y, b.Y), max(a.Y, b.Y))
			continue
		}
		for at := max(0, from); at <= min(to, len(c.cells[0])-1); at++ {
			level(at, a.Y+(b.Y-a.Y)*float64(at-from)/float64(to-from))
		}
	}
}

// guards fills what lies between the edges of a guard band.
func (c *canvas) guards() {
	for _, b := range c.plot.Bands {
		if b.Kind != plot.Guard {
			continue
		}
		low := map[int]float64{}
		c.along(b.Low, func(at int, y float64) { low[at] = y }, func(int, float64, float64) {})
		c.along(b.High, func(at int, y float64) {
			for r := max(0, c.row(y)); r <= min(drawnRows-1, c.row(low[at])); r++ {
				c.set(r, at, guardRune)
			}
		}, func(int, float64, float64) {})
	}
}

func lineRune(k plot.LineKind) rune {
	switch k {
	case plot.Acceptance:
		return acceptanceRune
	case plot.Zero:
		return zeroRune
	}
	return limitRune
}

// lines draws what matters most last: limits over all others.
func (c *canvas) lines() {
	order := slices.Clone(c.plot.Lines)
	slices.SortStableFunc(order, func(a, b plot.Line) int { return cmp.Compare(b.Kind, a.Kind) })
	for _, l := range order {
		c.along(l.Points, func(at int, y float64) { c.set(c.row(y), at, lineRune(l.Kind)) },
			func(at int, from, to float64) {
				for r := max(0, c.row(to)); r <= min(drawnRows-1, c.row(from)); r++ {
					c.set(r, at, uprightRune)
				}
			})
	}
}

// points draws all bars, then all marks over them.
func (c *canvas) points() {
	for _, s := range c.plot.Series {
		for _, p := range s.Points {
			for r := max(0, c.row(p.Y+p.Bar)); p.Bar > 0 && r <= min(drawnRows-1, c.row(p.Y-p.Bar)); r++ {
				c.set(r, c.column(p.X), barRune)
			}
		}
	}
	for _, s := range c.plot.Series {
		for _, p := range s.Points {
			c.set(c.row(p.Y), c.column(p.X), markRune(s.Mark))
		}
	}
}

// legend lists what was drawn and has a name.
func (d Drawing) legend() (list []string) {
	listed := func(with rune, label string) {
		if label != "" {
			list = append(list, string(with)+" "+label)
		}
	}
	bars := false
	for _, s := range d.Plot.Series {
		if len(s.Points) > 0 {
			listed(markRune(s.Mark), s.Label)
		}
		bars = bars || slices.ContainsFunc(s.Points, func(p plot.Point) bool { return p.Bar > 0 })
	}
	if bars {
		listed(barRune, d.Bars)
	}
	for _, l := range d.Plot.Lines {
		with := lineRune(l.Kind)
		if l.Points[0].X == l.Points[len(l.Points)-1].X {
			with = uprightRune
		}
		listed(with, l.Label)
	}
	for _, b := range d.Plot.Bands {
		if b.Kind == plot.Guard {
			listed(guardRune, b.Label)
		}
	}
	return list
}
