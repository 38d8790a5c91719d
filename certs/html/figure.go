package html

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/wring/certs"
	"example.org/wring/certs/plot"
	"example.org/wring/certs/svg"
)

// Sizes of the two drawings of a figure, mm (house rules): one for a page that
// is broad enough, one whose texts can still be read on a telephone.
const (
	broadWidth, broadHeight   = 170, 74
	narrowWidth, narrowHeight = 80, 84
)

// figure writes a plot in both sizes, of which a page shows one, and its
// numbers for who cannot see it.
func (w *writer) figure(f certs.Figure) error {
	w.put(`<figure class="plot">` + "\n")
	for _, size := range []struct {
		class         string
		width, height float64
	}{{"broad", broadWidth, broadHeight}, {"narrow", narrowWidth, narrowHeight}} {
		drawing, err := svg.Render(f.Title, f.Plot, size.width, size.height)
		if err != nil {
			return fmt.Errorf("figure %q: %w", f.Title, err)
		}
		w.put(`<div class="%s">`+"\n%s</div>\n", size.class, drawing)
	}
	if f.Caption != "" {
		w.put("<figcaption>%s</figcaption>\n", escape(f.Caption))
	}
	w.put("</figure>\n")
	w.numbers(f)
	return nil
}

// numbers lists the points of a plot, or the tiles of a map.
func (w *writer) numbers(f certs.Figure) {
	p := f.Plot
	shownX, shownY := p.Spans()
	across := func(v float64) string {
		if p.X.Dates {
			return p.X.Text(v, shownX)
		}
		return figure(v)
	}
	bar := func(v float64) string {
		if v == 0 {
			return ""
		}
		return plot.Axis{}.Text(v, shownY)
	}
	t := certs.Table{Columns: []certs.Column{{Heading: "Mark"}, axisColumn(p.X.Quantity, p.X.Unit), axisColumn(p.Y.Quantity, p.Y.Unit), {Heading: "±", Unit: p.Y.Unit, Align: certs.Point}}}
	for _, s := range p.Series {
		for _, at := range s.Points {
			t.Rows = append(t.Rows, certs.Row{Cells: []string{s.Label, across(at.X), p.Y.Text(at.Y, shownY), bar(at.Bar)}})
		}
	}
	switch {
	case p.Columns:
		t.Columns = []certs.Column{axisColumn(p.X.Quantity, p.X.Unit), axisColumn(p.Y.Quantity, p.Y.Unit)}
		for _, at := range p.Tiles {
			t.Rows = append(t.Rows, certs.Row{Cells: []string{across((at.Low.X + at.High.X) / 2), at.Text}})
		}
	case len(p.Tiles) > 0:
		t.Columns = append(t.Columns[:0:0], certs.Column{Heading: "Value"}, axisColumn(p.X.Quantity, p.X.Unit), axisColumn(p.Y.Quantity, p.Y.Unit))
		for _, at := range p.Tiles {
			t.Rows = append(t.Rows, certs.Row{Cells: []string{at.Text, figure((at.Low.X + at.High.X) / 2), figure((at.Low.Y + at.High.Y) / 2)}})
		}
	}
	if len(t.Rows) == 0 {
		return
	}
	w.put("<details>\n<summary>The figure in numbers</summary>\n")
	w.table(t, f.Title+", in numbers")
	w.put("</details>\n")
}

func axisColumn(quantity, unit string) certs.Column {
	return certs.Column{Heading: quantity, Unit: unit, Align: certs.Point}
}

// figure writes a size as it was typed, to seven digits at most, with the sign
// that papers use.
func figure(v float64) string {
	return strings.Replace(strconv.FormatFloat(v, 'g', 7, 64), "-", "\u2212", 1)
}
