package history

import (
	"math"
	"slices"
	"strings"

	"example.org/wring/calib"
)

// A Check is what a series needs of one check of one part of a gauge. Lengths
// are in mm.
type Check struct {
	Entry        uint64
	Date         calib.Date
	Stage        calib.Stage
	Intermediate bool

	// Basis names what the reference values rest on: checks of one basis share
	// the errors of its certificates.
	Basis string

	Points []Point
}

// A Point is the error at one nominal size with the parts of its standard
// uncertainty that tell checks apart. What the gauge itself brings to every
// check alike, as its faces and its Abbe offset, is in none of them.
type Point struct {
	Nominal  float64 // mm
	Error    float64 // error of indication, mm
	Limit    float64 // maximum permissible error, mm, 0 or more
	Expanded float64 // U, mm, 0 or more

	Own    float64 // standard uncertainty, mm: new at each point of each check
	Step   float64 // standard uncertainty, mm: resolution of the reading
	Common float64 // standard uncertainty, mm: new at each check, alike at its points
	Blocks float64 // standard uncertainty, mm: shared by the checks of one basis
}

// Points parts the uncertainties of a result by what the checks of a gauge
// share. A result without a budget has all of its u taken as new at each check
// (house rule: the careful side).
func Points(r calib.Result) []Point {
	out := make([]Point, len(r.Points))
	for i, p := range r.Points {
		q := Point{Nominal: p.Nominal.Float(), Error: p.Error.Float(), Limit: p.Limit.Float(), Expanded: p.Expanded}
		q.part(r.Budget, i)
		if len(r.Budget) == 0 {
			q.Common = p.Standard
		}
		out[i] = q
	}
	return out
}

// Basis names the certificates that a result's reference values rest on, as its
// budget does.
func Basis(r calib.Result) string {
	var names []string
	for _, row := range r.Budget {
		if row.Kind == calib.Blocks {
			names = append(names, row.Name+", "+row.Source)
		}
	}
	slices.Sort(names)
	return strings.Join(slices.Compact(names), "; ")
}

// part adds up the budget's rows at point i, in quadrature. One resolution is
// counted for the check as a whole beside that of each point, whether the plan
// lists it or not: the zero is never set closer, and where no reading scatters
// all points are rounded alike (house rule; its size by JCGM 100:2008, F.2.2.1).
func (q *Point) part(rows []calib.BudgetRow, i int) {
	var own, step, common, zero, blocks float64
	for _, row := range rows {
		u, c, _ := row.At(i)
		v := c * c * u * u
		switch row.Kind {
		case calib.Repeatability:
			if c < 0 { // of the zero, which is subtracted
				common += v
			} else {
				own += v
			}
		case calib.Wringing:
			own += v
		case calib.Resolution:
			step += v
		case calib.ZeroResolution:
			zero += v
		case calib.Blocks:
			blocks += v
		case calib.Flatness, calib.Parallelism, calib.Mechanical, calib.ElasticEffect: // the gauge's own, at every check
		default:
			common += v
		}
	}
	q.Own, q.Step, q.Blocks = math.Sqrt(own), math.Sqrt(step), math.Sqrt(blocks)
	q.Common = math.Sqrt(common + math.Max(zero, step))
}

// Segments parts the checks at adjustments: an as-left check is the first of a
// segment, and as-found ones follow it. The order is that of the dates, of
// entries within a day. The last segment is the one that still runs.
func Segments(checks []Check) [][]Check {
	sorted := slices.Clone(checks)
	slices.SortStableFunc(sorted, func(a, b Check) int {
		switch {
		case a.Date.Before(b.Date):
			return -1
		case b.Date.Before(a.Date):
			return 1
		case a.Entry < b.Entry:
			return -1
		case a.Entry > b.Entry:
			return 1
		}
		return 0
	})
	var out [][]Check
	for _, c := range sorted {
		if len(out) == 0 || c.Stage == calib.AsLeft {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], c)
	}
	return out
}
