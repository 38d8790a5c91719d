package history

import (
	"cmp"
	"slices"

	"example.org/wring/calib"
)

// Series parts the checks of one part other than length, oldest first, into one
// series for each of its judged figures, as pressure on the way down and on the
// way up, in the order of their names. The errors of a series are distances
// from the middle of the figure's band, its limit half the band; both in the
// figure's unit and not in mm, as are its sizes, which are openings or loads.
// All of u counts as new at each check (house rule: the careful side). A figure
// that is bounded on one side only has no middle and no series.
func Series(checks []Figures) []FigureSeries {
	var out []FigureSeries
	for _, c := range checks {
		at := map[int]Check{}
		for _, f := range c.Result.Figures {
			if f.Low == nil || f.High == nil {
				continue
			}
			i := slices.IndexFunc(out, func(s FigureSeries) bool { return s.Name == f.Name && s.Unit == f.Unit })
			if i < 0 {
				i = len(out)
				out = append(out, FigureSeries{Name: f.Name, Unit: f.Unit})
			}
			low, high, value := f.Low.Float(), f.High.Float(), f.Value.Float()
			one, ok := at[i]
			if !ok {
				one = Check{Entry: c.Entry, Date: c.Date, Stage: c.Stage, Intermediate: c.Intermediate}
			}
			p := Point{Error: value - (low+high)/2, Limit: (high - low) / 2, Expanded: f.Expanded, Common: f.Standard}
			if !f.At.IsZero() {
				p.Nominal = f.At.Inner().Float()
			}
			one.Points = append(one.Points, p)
			at[i] = one
			out[i].Newest = f
		}
		for i, one := range at {
			out[i].Checks = append(out[i].Checks, one)
		}
	}
	slices.SortFunc(out, func(a, b FigureSeries) int { return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.Unit, b.Unit)) })
	return out
}

// Figures are what a check computed of one part.
type Figures struct {
	Entry        uint64
	Date         calib.Date
	Stage        calib.Stage
	Intermediate bool
	Result       calib.PartResult
}

// A FigureSeries is one figure of a part in time.
type FigureSeries struct {
	Name   string // "pressure, lowering"
	Unit   string // of its errors, limits and uncertainties
	Newest calib.Figure
	Checks []Check
}
