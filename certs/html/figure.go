package html

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/wring/certs"
	"example.org/wring/certs/svg"
)

// Sizes of the two drawings of a figure, mm (house rules): one for a page that
// is broad enough, one whose texts can still be read on a telephone.
const (
	broadWidth, broadHeight   = 170, 80
	narrowWidth, narrowHeight = 88, 88
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
		w.put(`<div class="%s" role="img" aria-label="%s">`+"\n%s</div>\n", size.class, escape(f.Title), drawing)
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
	t := certs.Table{Columns: []certs.Column{{Heading: "Mark"}, axisColumn(p.X.Quantity, p.X.Unit), axisColumn(p.Y.Quantity, p.Y.Unit), {Heading: "±", Unit: p.Y.Unit, Align: certs.Point}}}
	for _, s := range p.Series {
		for _, at := range s.Points {
			t.Rows = append(t.Rows, certs.Row{Cells: []string{s.Label, figure(at.X), figure(at.Y), figure(at.Bar)}})
		}
	}
	if len(p.Tiles) > 0 {
		t.Columns = append(t.Columns[:0:0], certs.Column{Heading: "Value"}, axisColumn(p.X.Quantity, p.X.Unit), axisColumn(p.Y.Quantity, p.Y.Unit))
		for _, at := range p.Tiles {
			t.Rows = append(t.Rows, certs.Row{Cells: []string{at.Text, figure((at.Low.X + at.High.X) / 2), figure((at.Low.Y + at.High.Y) / 2)}})
		}
	}
	if len(t.Rows) == 0 {
		return
	}
	w.put("<details>\n<summary>The figure in numbers</summary>\n")
	w.table(t)
	w.put("</details>\n")
}

func axisColumn(quantity, unit string) certs.Column {
	return certs.Column{Heading: quantity, Unit: unit, Align: certs.Point}
}

// figure writes a number of a plot, drawn to seven digits at most, with the
// sign that papers use.
func figure(v float64) string {
	return strings.Replace(strconv.FormatFloat(v, 'g', 7, 64), "-", "\u2212", 1)
}
