package survey

import (
	"math"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

// A slope is one direction in which a trend is looked for, with the share of
// it at which each place lies.
type slope struct {
	name        string
	first, last string
	at          []float64
}

// The level at which a trend is seen, all directions together (house rule).
const trendLevel = 0.05

// mostBorne is the share of half the tolerance from which on a trend matters
// (house rule: half of it, so that the rest is left for everything else).
const mostBorne = 0.5

// slopes lists the directions that the places can tell: those in which they
// differ.
func (t *taking) slopes() []slope {
	n := len(t.survey.Places)
	across, along, edge := make([]float64, 0, n), make([]float64, 0, n), make([]float64, 0, n)
	for i := range n {
		x, y := t.survey.where(i, t.basis.Lot)
		off := 0.0
		if x != nil {
			across, off = append(across, *x), math.Abs(2**x-1)
		}
		if y != nil {
			along = append(along, *y)
			if t.basis.Lot.Form == Sheet {
				off = max(off, math.Abs(2**y-1))
			}
		}
		if x != nil {
			edge = append(edge, off)
		}
	}
	var out []slope
	for _, s := range []slope{{"across", "left", "right", across}, {"along", "beginning", "end", along}, {"centre to edge", "centre", "edges", edge}} {
		if len(s.at) == n && slices.Max(s.at)-slices.Min(s.at) > 1e-9 {
			out = append(out, s)
		}
	}
	return out
}

// trends fits all directions at once, so that none is taken for another, and
// tests each; together they are corrected by Holm. Too few places to tell all
// of them are told fewer.
func (t *taking) trends(r *Result) error {
	list := t.slopes()
	var fit stat.Several
	for {
		if len(list) == 0 || len(t.thick) < len(list)+3 { // two left for the scatter (house rule)
			if len(list) > 1 {
				list = list[:len(list)-1]
				continue
			}
			return nil
		}
		var columns [][]float64
		for _, s := range list {
			columns = append(columns, s.at)
		}
		var err error
		if fit, err = stat.FitSeveral(columns, t.thick); err == nil {
			break
		}
		list = list[:len(list)-1]
	}
	// Readings of whole steps lie on a line by chance; what is known of them is
	// no better than the step (house rule).
	if least := t.step / math.Sqrt(12); fit.S < least {
		fit = fit.With(least)
	}
	var tests []float64
	for j := range list {
		p, err := stat.TwoSided(fit.Slope[j]/fit.U[j], fit.DoF)
		if err != nil {
			return err
		}
		tests = append(tests, p)
	}
	corrected, err := stat.Holm(tests, nil)
	if err != nil {
		return err
	}
	factor, err := stat.TQuantile((1+Coverage)/2, fit.DoF)
	if err != nil {
		return err
	}
	for j, s := range list {
		one, err := t.trend(s, fit, j, factor)
		if err != nil {
			return err
		}
		one.P = corrected[j]
		one.Seen = one.P < trendLevel
		one.weigh()
		r.Trends = append(r.Trends, one)
	}
	return nil
}

func (t *taking) trend(s slope, fit stat.Several, j int, factor float64) (Trend, error) {
	low, high := slices.Min(s.at), slices.Max(s.at)
	out := Trend{Name: s.name, Effect: fit.Slope[j] * (high - low), Expanded: factor * fit.U[j] * (high - low)}
	for k, at := range []float64{low, high} {
		off := at - fit.Centre[j]
		value := fit.Mean + fit.Slope[j]*off
		u := math.Hypot(fit.UMean(), off*fit.U[j])
		lines := append(t.common(value), line{kind: calib.Repeatability, name: "fit of the trend", unit: "mm", c: 1, u: u, dof: fit.DoF, source: "places about the trend"}.entry())
		f, err := t.end(value, lines)
		if err != nil {
			return out, err
		}
		out.Ends = append(out.Ends, End{[]string{s.first, s.last}[k], f})
	}
	if p := t.basis.Lot.Place; !p.Low.IsZero() && !p.High.IsZero() {
		half := p.High.Inner().Sub(p.Low.Inner()).Float() / 2
		if half > 0 {
			size := math.Abs(out.Effect)
			out.Share, out.Low, out.High = size/half, max(0, size-out.Expanded)/half, (size+out.Expanded)/half
		}
	}
	return out, nil
}

// end judges a fitted thickness, to the picometre as every thickness is.
func (t *taking) end(value float64, lines []ledger.Line) (calib.Figure, error) {
	return t.figure(-1, "fitted thickness", unit.Decimal(math.Round(value/finest)*finest), lines, t.basis.Lot.Place)
}

// weigh says whether a trend that was seen matters: it uses half of what the
// tolerance allows a place, or carries the fitted thickness to where it does
// not pass.
func (x *Trend) weigh() {
	judged := false
	passes := true
	for _, e := range x.Ends {
		judged = judged || e.Thickness.Judged()
		passes = passes && (!e.Thickness.Judged() || e.Thickness.Verdict.Passed())
	}
	switch {
	case !x.Seen || !judged:
	case x.Share >= mostBorne || !passes:
		x.Matters = Matters
	default:
		x.Matters = IsBorne
	}
	x.Unsure = x.Matters != "" && passes && x.Low < mostBorne && x.High >= mostBorne
}
