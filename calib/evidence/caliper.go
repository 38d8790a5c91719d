package evidence

import (
	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// caliper is evaluated as any check of a caliper is: an indication of
// 150.10 mm on one block, by a plan that has the example's contributions.
func caliper(w *workings) {
	r, err := length.Evaluate(caliperCheck())
	w.note(err)
	if len(r.Points) == 1 {
		p := r.Points[0]
		w.put("error", p.Error.Float())
		w.put("U, exact", p.Expanded)
		w.put("U, full", p.Expanded*1000)
		w.put("u, full", p.Standard*1000)
		w.put("k of all, exact", p.K)
		w.put("k of all, full", p.K)
	}
	two := w.evaluate(sum(uncertainty.Rectangular(25), uncertainty.Rectangular(50)), 0.95, uncertainty.Exact)
	w.put("k of two inputs", two.K)
	w.put("k of two, full", two.K)
}

func caliperCheck() (calib.Check, calib.Basis) {
	of := func(d unit.Dimension) func(string) unit.Quantity {
		return func(s string) unit.Quantity { return unit.Must(s, d) }
	}
	size, expansion, warmth := of(unit.Length), of(unit.Expansion), of(unit.TemperatureDifference)
	steel := calib.Material{Name: "steel", Coefficient: expansion("11.5 ppm/°C"), HalfWidth: expansion("1 ppm/°C")}
	nominal := size("150 mm")
	plan := calib.Plan{Name: "S10", Revision: 1, Kind: calib.Caliper, Unit: "mm", Points: []unit.Quantity{nominal}, Readings: 1, Minimum: 1,
		Zero: calib.ZeroNone, Limit: calib.Limit{Value: size("0.2 mm"), Origin: "own"}, Rule: calib.Rule{Name: "simple acceptance"},
		Probability: 0.95, Digits: 1,
		Contributions: []calib.Contribution{
			{Kind: calib.Resolution, HalfWidth: size("25 µm")}, {Kind: calib.OtherEffect, Name: "block", HalfWidth: size("0.8 µm")},
			{Kind: calib.TemperatureDifference, HalfWidth: warmth("2 °C")}, {Kind: calib.Mechanical, HalfWidth: size("50 µm")},
		}}
	day := calib.MustDate("2026-03-02") // any day on which the block's certificate counts
	basis := calib.Basis{Plan: plan, Status: calib.InService,
		Gauge: calib.Gauge{ID: "S10", Kind: calib.Caliper, Unit: "mm", Low: size("0 mm"), High: nominal, Resolution: size("0.05 mm"), Material: steel},
		Standards: []calib.StandardOnDay{{
			Standard: calib.Standard{ID: "block", Kind: calib.Block, Grade: "1", Material: steel},
			Certificate: calib.Certificate{Standard: "block", Number: "S10", Date: day,
				Values: []calib.Value{{Nominal: nominal, Deviation: size("0 µm"), Expanded: size("0 µm"), K: "2"}}},
		}}}
	check := calib.Check{Gauge: "S10", Plan: "S10", Revision: 1, Stage: calib.AsFound, Date: day, Person: "S10", Standards: []string{"block"},
		Points: []calib.Point{{Nominal: nominal, Blocks: []calib.BlockUse{{Standard: "block", Nominal: nominal}},
			Readings: []calib.Reading{{Indication: size("150.10 mm")}}}}}
	return check, basis
}
