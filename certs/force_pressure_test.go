package certs_test

import (
	"testing"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/uncertainty/unit"
)

// testerPaper is a pressure gauge from -1 bar to 15 bar on a dead-weight tester,
// whose certificate is silent on the uncertainty of its expansion.
func testerPaper(t *testing.T) certs.CertificateOf {
	measure := func(text string, d unit.Dimension) unit.Quantity { return unit.Must(text, d) }
	pt := instrument("PT-1", calib.PressureTester)
	pt.Certificate.Piston = &calib.Piston{Area: measure("80.6 mm²", unit.Area), AreaExpanded: measure("0.008 mm²", unit.Area), K: "2",
		Distortion: measure("1 ppm/MPa", unit.PerPressure), DistortionExpanded: measure("0.1 ppm/MPa", unit.PerPressure), Expansion: measure("22 ppm/°C", unit.Expansion),
		Tension: measure("31 mN/m", unit.Tension), TensionHalfWidth: measure("3 mN/m", unit.Tension),
		Head: of("100 mm"), HeadHalfWidth: of("2 mm"), Fluid: measure("860 kg/m³", unit.Density), FluidHalfWidth: measure("20 kg/m³", unit.Density)}
	b := calib.Basis{
		Gauge: calib.Gauge{ID: "PG-2", Kind: calib.PressureGauge, Unit: "bar", Low: of("-1 bar"), High: of("15 bar"), Resolution: of("0.02 bar")}, Status: calib.InService,
		Plan: calib.Plan{Name: "PRESS", Title: "pressure gauges to 15 bar", Load: &calib.LoadPlan{PartTerms: calib.PartTerms{Readings: 1, Minimum: 1, Unit: "bar",
			Contributions: []calib.Contribution{{Kind: calib.Repeatability, PooledS: of("0.01 bar"), PooledDoF: 20}}}, Loads: []unit.Quantity{of("6 bar"), of("12 bar")}, Down: true,
			Limit: calib.LoadLimit{Error: of("1.6 %"), Hysteresis: of("1.6 %"), Of: calib.OfSpan, Class: "EN 837-1 class 1.6", Origin: "EN 837-1:1996, accuracy class, of the span (from memory, sure; check against your copy)"}}},
		Standards: []calib.StandardOnDay{instrument("WS-1", calib.WeightSet, [3]string{"5 kg", "-8 mg", "25 mg"}, [3]string{"10 kg", "12 mg", "50 mg"}), pt},
		House:     calib.House{Gravity: of("9.8126 m/s²"), GravityExpanded: of("0.00004 m/s²")},
	}
	hung := func(n string) []calib.WeightUse { return []calib.WeightUse{{Standard: "WS-1", Nominal: of(n)}} }
	c := calib.Check{Gauge: "PG-2", Standards: []string{"WS-1", "PT-1"}, Conditions: calib.Conditions{Gauge: of("22 °C"), Pressure: of("1013 hPa"), Humidity: of("50 %")},
		Load: &calib.LoadCheck{Tester: "PT-1", Points: []calib.LoadPoint{
			{Load: of("6 bar"), Weights: hung("5 kg"), Up: typed("6.10 bar"), Down: typed("6.14 bar")},
			{Load: of("12 bar"), Weights: hung("10 kg"), Up: typed("12.20 bar"), Down: typed("12.22 bar")}}}}
	return paper(t, c, b)
}

// springPaper is a spring gauge for leather with a band at each opening, judged
// by its force and too weak where it is opened far.
func springPaper(t *testing.T) certs.CertificateOf {
	in := footPaper(t)
	b, c := in.Basis, in.Kept.Check
	b.Plan.Foot = &calib.FootPlan{PartTerms: calib.PartTerms{Readings: 3, Minimum: 3, Unit: "N"}, Drive: calib.Spring, Openings: b.Plan.Foot.Openings}
	for i, band := range [][2]string{{"4 N", "5 N"}, {"6 N", "7 N"}, {"8 N", "9 N"}} {
		b.Plan.Foot.Bands = append(b.Plan.Foot.Bands, calib.OpeningBand{At: b.Plan.Foot.Openings[i], Band: calib.Band{Low: of(band[0]), High: of(band[1]), Origin: "the house's own"}})
	}
	b.Standards = []calib.StandardOnDay{instrument("FG-1", calib.ForceGauge, [3]string{"10 N", "0.02 N", "0.02 N"})}
	b.Standards[0].Standard.Resolution = of("0.01 N")
	c.Standards, c.Foot = []string{"FG-1"}, &calib.FootCheck{Instrument: "FG-1"}
	for i, f := range []string{"4.50 N", "6.50 N", "7.50 N"} {
		c.Foot.Points = append(c.Foot.Points, calib.PressPoint{At: b.Plan.Foot.Openings[i], Forward: typed(f, f, f), Back: typed(f, f, f)})
	}
	return paper(t, c, b)
}
