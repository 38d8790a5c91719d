package certs

import (
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/certs/plot"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/unit"
)

// errorFigure draws the errors with their U over the range of the gauge,
// between the limits.
func (w *writing) errorFigure(k KeptCheck) (Figure, error) {
	u := w.unit.Symbol()
	limit := w.limitLine(k)
	if len(limit) < 2 {
		p := w.in.Basis.Plan
		return Figure{}, &MismatchError{w.in.Number, fmt.Sprintf("plan %s revision %d has no limit over the gauge's range", p.Name, p.Revision), "the plan by which the points were judged"}
	}
	p := plot.Plot{
		X:      plot.Axis{Quantity: "nominal size", Unit: u},
		Y:      plot.Axis{Quantity: "error of indication", Unit: u, Signed: true},
		Bands:  []plot.Band{{Kind: plot.Tolerance, Low: plot.Mirror(limit), High: limit}},
		Lines:  []plot.Line{{Kind: plot.Zero, Points: zeroLine(limit)}, {Label: "limit ±MPE", Points: limit}, {Points: plot.Mirror(limit)}},
		Series: w.series(k),
	}
	caption := "Bars: expanded uncertainty U."
	if r := w.rule(); (r.Kind == conformity.Guarded || r.Kind == conformity.FourVerdicts) && r.Factor > 0 {
		accept := w.acceptanceLine(k, limit, r.Factor)
		p.Bands = []plot.Band{
			{Label: "guard band", Kind: plot.Guard, Low: accept, High: limit},
			{Kind: plot.Guard, Low: plot.Mirror(limit), High: plot.Mirror(accept)},
			{Kind: plot.Tolerance, Low: plot.Mirror(accept), High: accept},
		}
		p.Lines = append(p.Lines, plot.Line{Label: "acceptance limit ±(MPE\u00a0−\u00a0" + timesU(r.Factor) + ")", Kind: plot.Acceptance, Points: accept},
			plot.Line{Kind: plot.Acceptance, Points: plot.Mirror(accept)})
	}
	return Figure{Title: "Errors of indication, " + string(k.Check.Stage), Plot: p, Caption: caption}, nil
}

func zeroLine(limit []plot.Vertex) []plot.Vertex {
	return []plot.Vertex{{X: limit[0].X}, {X: limit[len(limit)-1].X}}
}

// own converts an exact length to the gauge's unit, for drawing only.
func (w *writing) own(e unit.Exact) float64 { return w.unit.From(e).Float() }

// limitLine follows the plan's limit over the gauge's range, and beyond it to
// any point that was taken there.
func (w *writing) limitLine(k KeptCheck) []plot.Vertex {
	g, limit := w.in.Basis.Gauge, w.in.Basis.Plan.Limit
	sizes := []unit.Exact{g.Low.Inner(), g.High.Inner()}
	for _, p := range k.Result.Points {
		sizes = append(sizes, p.Nominal)
	}
	for _, r := range limit.Rows {
		sizes = append(sizes, r.UpTo.Inner())
	}
	if kink, ok := kinkOf(limit); ok {
		sizes = append(sizes, kink)
	}
	slices.SortFunc(sizes, unit.Exact.Cmp)
	sizes = slices.CompactFunc(sizes, func(a, b unit.Exact) bool { return a.Cmp(b) == 0 })
	low, high := lowest(g.Low.Inner(), k.Result), highest(g.High.Inner(), k.Result)
	var line []plot.Vertex
	for _, x := range sizes {
		if x.Cmp(low) < 0 || x.Cmp(high) > 0 {
			continue
		}
		// A table's row begins where the one before it ends: a step.
		if n := len(line); n > 0 && len(limit.Rows) > 0 {
			if y, ok := limit.At(x); ok && w.own(y) != line[n-1].Y {
				line = append(line, plot.Vertex{X: line[n-1].X, Y: w.own(y)})
			}
		}
		if y, ok := limit.At(x); ok {
			line = append(line, plot.Vertex{X: w.own(x), Y: w.own(y)})
		}
	}
	return line
}

// kinkOf is the size at which the growing limit leaves its floor.
func kinkOf(l calib.Limit) (unit.Exact, bool) {
	if l.AtLeast.IsZero() || l.PerLength.Inner().Sign() <= 0 {
		return unit.Exact{}, false
	}
	return l.AtLeast.Inner().Sub(l.Value.Inner()).Quo(l.PerLength.Inner()), true
}

func lowest(x unit.Exact, r calib.Result) unit.Exact {
	for _, p := range r.Points {
		if p.Nominal.Cmp(x) < 0 {
			x = p.Nominal
		}
	}
	return x
}

func highest(x unit.Exact, r calib.Result) unit.Exact {
	for _, p := range r.Points {
		if p.Nominal.Cmp(x) > 0 {
			x = p.Nominal
		}
	}
	return x
}

// acceptanceLine is the limit less factor·U, with U taken straight between the
// points and constant beyond the first and the last. Where nothing is left the
// line runs along zero.
func (w *writing) acceptanceLine(k KeptCheck, limit []plot.Vertex, factor float64) []plot.Vertex {
	line := make([]plot.Vertex, len(limit))
	for i, v := range limit {
		line[i] = plot.Vertex{X: v.X, Y: max(0, v.Y-factor*w.expandedAt(k.Result.Points, v.X))}
	}
	return line
}

// expandedAt is U at a size between the points; they need not be in order.
func (w *writing) expandedAt(points []calib.PointResult, x float64) float64 {
	var below, above *calib.PointResult
	for i := range points {
		p := &points[i]
		at := w.own(p.Nominal)
		if at <= x && (below == nil || p.Nominal.Cmp(below.Nominal) > 0) {
			below = p
		}
		if at >= x && (above == nil || p.Nominal.Cmp(above.Nominal) < 0) {
			above = p
		}
	}
	switch {
	case below == nil:
		return w.unit.FromFloat(above.Expanded)
	case above == nil || below == above:
		return w.unit.FromFloat(below.Expanded)
	}
	from, to := w.own(below.Nominal), w.own(above.Nominal)
	if from == to {
		return w.unit.FromFloat(below.Expanded)
	}
	share := (x - from) / (to - from)
	return w.unit.FromFloat(below.Expanded + share*(above.Expanded-below.Expanded))
}

// series groups the points by verdict, so that each verdict has its own mark
// and its word in the legend.
func (w *writing) series(k KeptCheck) (list []plot.Series) {
	for _, v := range []struct {
		verdict conformity.Verdict
		mark    plot.Mark
	}{
		{conformity.Pass, plot.Disc}, {conformity.ConditionalPass, plot.Ring}, {conformity.CannotDecide, plot.Square},
		{conformity.ConditionalFail, plot.Saltire}, {conformity.Fail, plot.Cross},
	} {
		s := plot.Series{Label: string(v.verdict), Mark: v.mark}
		for _, p := range k.Result.Points {
			if conformity.Verdict(p.Verdict) == v.verdict {
				s.Points = append(s.Points, plot.Point{X: w.own(p.Nominal), Y: w.own(p.Error), Bar: w.unit.FromFloat(p.Expanded)})
			}
		}
		if len(s.Points) > 0 {
			list = append(list, s)
		}
	}
	return list
}
