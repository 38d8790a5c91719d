package main

import (
	"math"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// Each figure of a result, changed alone, is named with both values.
func TestADifferentResultIsNamedInWordsOfMeasurement(t *testing.T) {
	whole := func() calib.Result {
		return calib.Result{Verdict: "pass",
			Points: []calib.PointResult{{Nominal: unit.Whole(10), Reference: unit.Whole(10), Mean: unit.Ratio(10001, 1000), Error: unit.Ratio(1, 1000),
				Limit: unit.Ratio(4, 1000), S: 0.0002, Standard: 0.0005, DoF: 9, K: 2, Expanded: 0.001, Method: "exact", Ratio: 4, Conformance: 0.99, Verdict: "pass"}},
			Budget: []calib.BudgetRow{{Kind: "resolution", Name: "resolution", Distribution: "rectangular", Source: "s", U: []float64{0.0003}, C: []float64{1}, Unit: "mm"}}}
	}
	if got := compareResults(whole(), whole()); got != nil {
		t.Errorf("the same result differs: %q", got)
	}
	last := whole()
	last.Points[0].Expanded = math.Nextafter(last.Points[0].Expanded, 1)
	if got := compareResults(whole(), last); got != nil {
		t.Errorf("the last digit of a processor differs: %q", got)
	}
	for _, c := range []struct {
		change func(*calib.Result)
		want   string
	}{
		{func(r *calib.Result) { r.Verdict = "fail" }, "verdict: kept pass, computed fail"},
		{func(r *calib.Result) { r.Points[0].Error = unit.Ratio(2, 1000) }, "point 1, 10 mm: error of indication: kept 0.001 mm, computed 0.002 mm"},
		{func(r *calib.Result) { r.Points[0].Reference = unit.Whole(11) }, "point 1, 10 mm: reference value: kept 10 mm, computed 11 mm"},
		{func(r *calib.Result) { r.Points[0].Mean = unit.Whole(11) }, "point 1, 10 mm: mean indication: kept 10.001 mm, computed 11 mm"},
		{func(r *calib.Result) { r.Points[0].Limit = unit.Ratio(5, 1000) }, "point 1, 10 mm: maximum permissible error: kept 0.004 mm, computed 0.005 mm"},
		{func(r *calib.Result) { r.Points[0].Nominal = unit.Whole(11) }, "point 1, 10 mm: nominal size: kept 10 mm, computed 11 mm"},
		{func(r *calib.Result) { r.Points[0].S = 0.0003 }, "point 1, 10 mm: standard deviation of the readings: kept 0.2 µm, computed 0.3 µm"},
		{func(r *calib.Result) { r.Points[0].Standard = 0.0006 }, "point 1, 10 mm: standard uncertainty: kept 0.5 µm, computed 0.6 µm"},
		{func(r *calib.Result) { r.Points[0].DoF = 0 }, "point 1, 10 mm: effective degrees of freedom: kept 9, computed 0"},
		{func(r *calib.Result) { r.Points[0].K = 1.96 }, "point 1, 10 mm: coverage factor: kept 2, computed 1.96"},
		{func(r *calib.Result) { r.Points[0].Expanded = 0.0011 }, "point 1, 10 mm: expanded uncertainty: kept 1 µm, computed 1.1 µm"},
		{func(r *calib.Result) { r.Points[0].Expanded = math.NaN() }, "point 1, 10 mm: expanded uncertainty: kept 1 µm, computed NaN µm"},
		{func(r *calib.Result) { r.Points[0].Ratio = 3 }, "point 1, 10 mm: MPE/U: kept 4, computed 3"},
		{func(r *calib.Result) { r.Points[0].Conformance = 0.98 }, "point 1, 10 mm: probability to conform: kept 0.99, computed 0.98"},
		{func(r *calib.Result) { r.Points[0].Method = "t" }, "point 1, 10 mm: coverage: kept exact, computed t"},
		{func(r *calib.Result) { r.Points[0].Verdict = "fail" }, "point 1, 10 mm: verdict: kept pass, computed fail"},
		{func(r *calib.Result) { r.Points = nil }, "points: kept 1, computed 0"},
		{func(r *calib.Result) { r.Budget[0].U[0] = 0.0004 }, "point 1, 10 mm: contribution of resolution: kept 0.3 µm, computed 0.4 µm"},
		{func(r *calib.Result) { r.Budget[0].Source = "x" }, "point 1, 10 mm: contribution: kept resolution (s), computed resolution (x)"},
		{func(r *calib.Result) { r.Budget = nil }, "point 1, 10 mm: contributions: kept 1, computed 0"},
		{func(r *calib.Result) { r.Findings = []calib.Finding{{Gate: calib.GateReadings, Point: 1, Text: "x"}} }, "marks: kept none, computed point 1: too few readings: x"},
		{func(r *calib.Result) { r.Budget[0].Unit = "°C" }, "budget 1 unit: kept mm, computed °C"},
		{func(r *calib.Result) { r.LengthVerdict = "pass" }, "length_verdict: kept <nil>, computed pass"},
	} {
		now := whole()
		c.change(&now)
		if got := strings.Join(compareResults(whole(), now), " | "); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}
