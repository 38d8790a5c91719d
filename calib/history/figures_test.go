package history

import (
	"math"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A pressure of 48 to 52 kPa at two openings, and friction that has no lower
// bound: the first is followed about 50 kPa, the second not at all.
func TestAFigureIsFollowedAboutTheMiddleOfItsBand(t *testing.T) {
	exact := func(n int64) *unit.Exact { e := unit.Whole(n); return &e }
	var checks []Figures
	for i := range 3 {
		var r calib.PartResult
		for _, at := range []string{"1 mm", "5 mm"} {
			r.Figures = append(r.Figures, calib.Figure{Name: "pressure", Unit: "kPa", At: unit.Must(at, unit.Length),
				Value: unit.Ratio(int64(500+5*i), 10), Low: exact(48), High: exact(52), Standard: 0.1, Expanded: 0.2})
		}
		r.Figures = append(r.Figures, calib.Figure{Name: "friction", Unit: "kPa", High: exact(1)}, calib.Figure{Name: "spread", Unit: "kPa"})
		stage := calib.AsFound
		checks = append(checks, Figures{Entry: uint64(i + 1), Date: calib.MustDate("2026-01-05").AddMonths(12 * i), Stage: stage, Result: r})
	}
	list := Series(checks)
	if len(list) != 1 || list[0].Name != "pressure" || len(list[0].Checks) != 3 {
		t.Fatalf("%d series: %+v; want the one with a band", len(list), list)
	}
	last := list[0].Checks[2]
	if len(last.Points) != 2 || last.Points[1].Nominal != 5 || !near(last.Points[0].Error, 1, 1e-12) || last.Points[0].Limit != 2 || last.Points[0].Common != 0.1 {
		t.Errorf("%+v; want 1 kPa from the middle, of ±2", last.Points)
	}
	a, err := Assess(list[0].Checks, Options{Known: FromBudget()})
	line := a.Line(Units{Error: "kPa", ErrorPerMM: 1, Size: "mm", SizePerMM: 1, Shift: "all of it", Of: "distance from the middle of the band"})
	if err != nil || a.State != Moving || math.Abs(a.Zero-0.5) > 0.01 {
		t.Errorf("%s, %.3f kPa a year, %q, %v; want it moving by 0.5", a.State, a.Zero, line, err)
	}
	if want := "all of it has moved +1.0 kPa in 24 months; leaves ±2 kPa about 2029-"; len(line) < len(want) || line[:len(want)] != want {
		t.Errorf("%q; want it to begin %q", line, want)
	}
}
