package screen

import (
	"cmp"
	"io"
	"slices"
	"strings"

	"example.org/wring/certs/plot"
)

// A Map is a plot of tiles in characters: across from left to right, along from
// the bottom up as on the paper, one line for each distance along.
type Map struct {
	Plot   plot.Plot
	Colour bool
}

// mapWidth leaves room for an indent (house rule).
const mapWidth = Width - 8

// Inks of the map (ECMA-48, 8.3.117, from memory): they only repeat what the
// marks beside the numbers say.
const (
	blueInk   = "\x1b[34m"
	yellowInk = "\x1b[33m"
	redInk    = "\x1b[31m"
	plainInk  = "\x1b[0m"
)

func inkOf(s plot.Shade) string {
	switch s {
	case plot.Below, plot.FarBelow:
		return blueInk
	case plot.Above, plot.FarAbove:
		return yellowInk
	case plot.Alarming:
		return redInk
	}
	return ""
}

// Write sets the numbers where they lie, each line behind an indent.
func (m Map) Write(w io.Writer) error {
	middle := func(t plot.Tile) plot.Vertex {
		return plot.Vertex{X: (t.Low.X + t.High.X) / 2, Y: (t.Low.Y + t.High.Y) / 2}
	}
	list := slices.Clone(m.Plot.Tiles)
	slices.SortStableFunc(list, func(a, b plot.Tile) int {
		p, q := middle(a), middle(b)
		return cmp.Or(cmp.Compare(q.Y, p.Y), cmp.Compare(p.X, q.X))
	})
	across, _ := m.Plot.Spans()
	var b strings.Builder
	for len(list) > 0 {
		n := 1
		for n < len(list) && middle(list[n]).Y == middle(list[0]).Y {
			n++
		}
		for _, row := range m.rows(list[:n], func(t plot.Tile) float64 { return (middle(t).X - across.Low) / (across.High - across.Low) }) {
			b.WriteString("  " + strings.TrimRight(row, " ") + "\n")
		}
		list = list[n:]
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// rows sets the tiles of one distance along on as many lines as they need not
// to touch; share says how far across each lies.
func (m Map) rows(list []plot.Tile, share func(plot.Tile) float64) []string {
	wide := 0
	for _, t := range list {
		wide = max(wide, length(t.Text))
	}
	var rows []string
	var ends []int // columns after the last characters
	for _, t := range list {
		at := int(share(t) * float64(mapWidth-wide))
		i := slices.IndexFunc(ends, func(end int) bool { return end < at })
		if i < 0 {
			rows, ends = append(rows, ""), append(ends, 0)
			i = len(rows) - 1
		}
		text := t.Text
		if ink := inkOf(t.Shade); m.Colour && ink != "" {
			text = ink + text + plainInk
		}
		rows[i] += strings.Repeat(" ", at-ends[i]) + text
		ends[i] = at + length(t.Text)
	}
	return rows
}
