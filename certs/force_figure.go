package certs

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/presser"
	"example.org/wring/certs/plot"
	"example.org/wring/uncertainty/unit"
)

// partFigures draw what a part has at its places: the judged figures over the
// opening or the load, and of a foot that is judged by its load or its force
// the pressure too, for that is what a thickness is taken with.
func (w *writing) partFigures(k KeptCheck, part calib.Part) []Figure {
	var judged, pressures []calib.Figure
	for _, f := range k.Result.Part(part).Figures {
		switch placed := !f.At.IsZero() && strings.Contains(f.Name, ", "); {
		case !placed:
		case f.Judged() && (part != calib.LoadPart || !f.Applied.IsZero()):
			judged = append(judged, f)
		case part == calib.FootPart && f.Unit == unit.Inner(unit.Pressure).Symbol():
			pressures = append(pressures, f)
		}
	}
	var out []Figure
	for _, list := range [][]calib.Figure{judged, pressures} {
		if picture, ok := w.partFigure(k, part, list); ok {
			out = append(out, picture)
		}
	}
	return out
}

// partFigure draws figures that stand at places. It reports false where there
// are fewer than two places.
func (w *writing) partFigure(k KeptCheck, part calib.Part, judged []calib.Figure) (Figure, bool) {
	if len(judged) == 0 {
		return Figure{}, false
	}
	y := presser.ShownIn(part, judged[0], w.in.Basis)
	x := w.unit
	if part != calib.LoadPart && x.Dimension() != unit.Length {
		return Figure{}, false
	}
	p := plot.Plot{X: plot.Axis{Quantity: strings.ToLower(atWord(part)), Unit: x.Symbol()}, Y: plot.Axis{Quantity: quantityWord(judged[0]), Unit: y.Symbol(), Signed: part == calib.LoadPart}}
	names, at := map[string]int{}, map[float64]bool{}
	var low, high []plot.Vertex
	for _, f := range judged {
		n, ok := names[f.Name]
		if !ok {
			n = len(p.Series)
			names[f.Name] = n
			p.Series = append(p.Series, plot.Series{Label: f.Name, Mark: plot.Mark(n)})
		}
		px := x.From(f.At.Inner()).Float()
		p.Series[n].Points = append(p.Series[n].Points, plot.Point{X: px, Y: y.From(f.Value).Float(), Bar: y.FromFloat(f.Expanded)})
		if !at[px] {
			at[px] = true
			low, high = limitAt(low, px, f.Low, y), limitAt(high, px, f.High, y)
		}
	}
	if len(at) < 2 {
		return Figure{}, false
	}
	if len(low) > 1 && len(high) > 1 {
		p.Bands = []plot.Band{{Kind: plot.Tolerance, Low: low, High: high}}
	}
	label := "limit"
	for _, l := range [][]plot.Vertex{low, high} {
		if len(l) > 1 {
			p.Lines = append(p.Lines, plot.Line{Label: label, Points: l})
			label = ""
		}
	}
	return Figure{Title: fmt.Sprintf("%s over the %s, %s", capital(quantityWord(judged[0])), strings.ToLower(atWord(part)), k.Check.Stage), Plot: p, Caption: "Bars: expanded uncertainty U."}, true
}

// limitAt adds a limit at a place, none where that side is open.
func limitAt(line []plot.Vertex, x float64, limit *unit.Exact, y unit.Unit) []plot.Vertex {
	if limit == nil {
		return line
	}
	v := plot.Vertex{X: x, Y: y.From(*limit).Float()}
	n, _ := slices.BinarySearchFunc(line, v, func(a, b plot.Vertex) int {
		switch {
		case a.X < b.X:
			return -1
		case a.X > b.X:
			return 1
		}
		return 0
	})
	return slices.Insert(line, n, v)
}

// quantityWord is what a figure's values are: "pressure" of "pressure, lowering".
func quantityWord(f calib.Figure) string {
	word, _, _ := strings.Cut(f.Name, ",")
	return word
}
