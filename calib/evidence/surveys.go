package evidence

import (
	"fmt"
	"math"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/survey"
	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

// factorOfHandbook is k₂ of 43 values, 90 % of a population with 99 %
// confidence: exact, as surveys take it, and by the formula that is printed.
func factorOfHandbook(w *workings) {
	const n, share, confidence = 43, 0.90, 0.99
	w.got("k₂")(stat.ToleranceFactor(n, share, confidence))
	w.got("k₂, exact, full")(stat.ToleranceFactor(n, share, confidence))
	z, err := stat.NormalQuantile((1 + share) / 2)
	w.note(err)
	chi, err := stat.ChiSquaredQuantile(1-confidence, n-1)
	w.note(err)
	w.put("k₂ by Howe's formula", z*math.Sqrt((n-1)*(1+1.0/n)/chi))
}

// feltSurvey is a lot of fifteen places and a gauge with an error and a foot;
// all of it is invented.
func feltSurvey() (survey.Survey, survey.Basis) {
	mm := func(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }
	kPa := func(s string) unit.Quantity { return unit.Must(s+" kPa", unit.Pressure) }
	b := survey.Basis{Status: calib.InService,
		Gauge: calib.Gauge{ID: "gauge", Kind: calib.ThicknessGauge, Unit: "mm", Low: mm("0"), High: mm("10"), Resolution: mm("0.001")},
		Sizes: &survey.Checked{Entry: 1, Plan: calib.Plan{Zero: calib.ZeroRecorded}, Result: calib.Result{Verdict: "pass"}},
		Foot:  &survey.Checked{Entry: 2, Result: calib.Result{Verdict: "pass", Foot: &calib.PartResult{Verdict: "pass"}}},
		Method: survey.Method{Name: "method", Revision: 1, Report: survey.ReportMean, Pressure: calib.Band{Low: kPa("38"), High: kPa("45")}, Nominal: kPa("40"),
			Places: survey.Places{Least: 9, Readings: 1}},
		Lot: survey.Lot{ID: "lot", Revision: 1, Form: survey.Sheet, Width: mm("300"), Length: mm("500"), Unit: "mm", Rule: calib.Rule{Name: "simple acceptance"}}}
	for _, p := range []struct{ at, err, press string }{{"4", "0.01", "40"}, {"6", "0.02", "44"}} {
		b.Sizes.Check.Points = append(b.Sizes.Check.Points, calib.Point{Nominal: mm(p.at), Readings: []calib.Reading{{Indication: mm(p.at)}}})
		b.Sizes.Result.Points = append(b.Sizes.Result.Points, calib.PointResult{Nominal: mm(p.at).Inner(), Error: mm(p.err).Inner(), Standard: 0.002, Verdict: "pass"})
		b.Foot.Result.Foot.Figures = append(b.Foot.Result.Foot.Figures, calib.Figure{Name: "pressure, lowering", At: mm(p.at), Unit: "kPa", Value: kPa(p.press).Inner(), Standard: 0.2})
	}
	s := survey.Survey{Lot: "lot", Method: "method", Revision: 1, Gauge: "gauge", Date: calib.MustDate("2026-07-01"), Grid: &survey.Grid{Columns: 3, Rows: 5}}
	for i, r := range strings.Fields("5.012 4.998 4.951 5.008 4.989 4.948 5.015 5.001 4.957 5.003 4.992 4.944 5.010 4.996 4.953") {
		s.Places = append(s.Places, survey.Place{Name: s.Grid.Cell(i%3, i/3), Readings: []calib.Reading{{Indication: mm(r)}}})
	}
	for step := range strings.FieldsSeq("1:5.412 2:5.305 5:5.158 10:5.049 20:4.941") {
		p, t, _ := strings.Cut(step, ":")
		s.Compression = append(s.Compression, survey.Press{Pressure: kPa(p), Reading: mm(t)})
	}
	return s, b
}

// surveyed works that lot out as the command survey does.
func surveyed(w *workings) {
	r, err := survey.Evaluate(feltSurvey())
	w.note(err)
	if err != nil || r.Pressure == nil || r.Interval == nil {
		return
	}
	w.put("log law, a", r.Pressure.A)
	w.put("log law, b", r.Pressure.B)
	w.put("log law, u(b)", r.Pressure.Standard)
	w.put("verified pressure", r.Pressure.Verified)
	w.put("∂T/∂p", r.Pressure.Slope)
	w.put("to the method's pressure", r.Pressure.Correction)
	w.put("mean", r.Mean.Value.Float())
	w.put("s of the places", r.S)
	w.put("k₂ of 15", r.Interval.K)
	w.put("95 % of the lot, from", r.Interval.Low)
	w.put("95 % of the lot, to", r.Interval.High)
	for _, t := range r.Trends {
		w.put("trend "+t.Name, t.Effect)
	}
}

// daysAsPlaces is JCGM 100:2008, H.5, worked out as a survey: each day a place,
// a microvolt as a tenth of a micrometre, with a gauge that has no error.
func daysAsPlaces(w *workings) {
	const scale = 1e-4 // mm for each µV
	s, b := feltSurvey()
	b.Gauge.Resolution = unit.Must("0.000001 mm", unit.Length)
	b.Method.Pressure, b.Method.Nominal, b.Method.Places = calib.Band{}, unit.Quantity{}, survey.Places{Least: 10, Readings: 5}
	for i := range b.Sizes.Result.Points {
		b.Sizes.Result.Points[i].Error, b.Sizes.Result.Points[i].Standard = unit.Exact{}, 0
	}
	s.Grid, s.Places, s.Compression = nil, nil, nil
	means, spreads := daysOfTheGuide()
	for i, m := range means {
		p := survey.Place{Name: fmt.Sprint(i + 1)}
		for _, k := range []float64{-1, -1, 0, 1, 1} {
			p.Readings = append(p.Readings, calib.Reading{Indication: unit.Must(fmt.Sprintf("%.12f mm", 5+(m+k*spreads[i])*scale), unit.Length)})
		}
		s.Places = append(s.Places, p)
	}
	r, err := survey.Evaluate(s, b)
	w.note(err)
	if err != nil || r.Between == nil {
		return
	}
	w.put("s of the places", r.S/scale)
	w.put("s within places", r.Within.S/scale)
	w.put("ν within places", r.Within.DoF)
	w.put("F", r.Between.F)
	w.put("s between places", r.Between.S/scale)
	w.put("u of the mean", r.Mean.Standard/scale)
}
