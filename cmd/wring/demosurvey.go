package main

import (
	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/survey"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// goodsIn tells the story of a delivery of pad felt: the gauge's foot is
// verified, the lot is surveyed and taken, the gauge falls, and is then found
// to read too much.
func (b *builder) goodsIn() []event {
	return []event{
		{"2025-12-08", "EK", b.footOfFeltGauge},
		{"2026-09-11", "JV", b.feltMethod},
		{"2026-09-14", "JV", b.feltLot},
		{"2026-09-14", "JV", b.feltSurvey},
	}
}

func typed(s string) sheet.Field { return sheet.Field{Text: s} }

func typedAll(list ...string) (out []sheet.Field) {
	for _, s := range list {
		out = append(out, typed(s))
	}
	return out
}

func (b *builder) footOfFeltGauge() error {
	s := &sheet.CheckSheet{Name: feltGauge, Gauge: typed(feltGauge), Plan: typed("foot-hand-lifted"), Date: typed("2025-12-08"), Person: typed("EK"),
		Standards: typedAll("BAL-1"), Foot: &sheet.PressSheet{}}
	for _, o := range demoOpenings {
		s.Foot.Points = append(s.Foot.Points, sheet.PressRow{At: typed(o.at), Forward: typedAll(o.lowering...), Back: typedAll(o.lifting...)})
	}
	_, err := b.logCheck(feltGauge, s)
	return err
}

func (b *builder) feltMethod() error {
	m, err := presetMethod("hand-lifted")
	if err != nil {
		return err
	}
	return b.enter(func(tx *registry.Tx) error { _, err := tx.AddMethod(m); return err })
}

func (b *builder) feltLot() error {
	in := func(s string) unit.Quantity { return unit.Must(s+" in", unit.Length) }
	mm := func(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }
	l := survey.Lot{ID: feltLot, Material: "wool felt for valve pads, 0.200 in", Supplier: "Felt mill of Nergensdam (invented)", Form: survey.Sheet, Width: mm("300"), Length: mm("500"),
		Unit: "in", Rule: demoHouse.Rule, Method: "hand-lifted",
		Mean:  calib.Band{Low: in("0.195"), High: in("0.205"), Origin: "agreed for the lot"},
		Place: calib.Band{Low: in("0.190"), High: in("0.210"), Origin: "agreed for the lot"}}
	return b.enter(func(tx *registry.Tx) error { _, err := tx.AddLot(l); return err })
}

func (b *builder) feltSurvey() error {
	s := &sheet.SurveySheet{Name: feltLot, Gauge: typed(feltGauge), Method: typed("hand-lifted"), Date: typed("2026-09-14"), Person: typed("JV"), Grid: typed("3x5"),
		Zero: typedAll("0.000"), Wanted: typed("0.0015"), Temperature: typed("20.5"), Humidity: typed("55")}
	for _, r := range demoFelt {
		s.Places = append(s.Places, sheet.SpotRow{Readings: typedAll(r...)})
	}
	for _, c := range demoCompression {
		s.Compression = append(s.Compression, sheet.PressStep{Pressure: typed(c[0]), Reading: typed(c[1])})
	}
	p := &surveying{sheet: s, lot: feltLot, day: calib.MustDate(s.Date.Text)}
	if err := p.lookUp(b.desk); err != nil {
		return err
	}
	job, err := p.resolve(b.desk)
	if err != nil {
		return err
	}
	return b.enter(func(tx *registry.Tx) error {
		_, err := tx.KeepSurvey(registry.KeptSurvey{Survey: job.survey, Basis: job.refs, Result: job.result})
		return err
	})
}
