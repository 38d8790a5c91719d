package certs_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/wring/calib"
	"example.org/wring/calib/assess"
	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
	"example.org/wring/certs/text"
	"example.org/wring/uncertainty/unit"
)

func of(text string) unit.Quantity {
	for _, d := range []unit.Dimension{unit.Length, unit.Mass, unit.Force, unit.Pressure, unit.Percent, unit.Acceleration, unit.PlaneAngle, unit.Temperature} {
		if q, err := unit.Parse(text, d, unit.Unit{}); err == nil {
			return q
		}
	}
	panic(text)
}

func typed(list ...string) []calib.Reading {
	var out []calib.Reading
	for _, t := range list {
		out = append(out, calib.Reading{Indication: of(t)})
	}
	return out
}

// paper puts a check of parts on a certificate. Everything in it is invented,
// and computed from what is invented.
func paper(t *testing.T, c calib.Check, b calib.Basis) certs.CertificateOf {
	t.Helper()
	c.Plan, c.Revision, c.Stage, c.Date, c.Person = b.Plan.Name, 1, calib.AsFound, calib.MustDate("2026-03-02"), "J. Inventor"
	b.Plan.Revision, b.Plan.Probability, b.Plan.Digits, b.Plan.Rule = 1, 0.95, 2, calib.Rule{Name: "guarded acceptance", Factor: 1}
	r, err := assess.Check(c, b)
	if err != nil {
		t.Fatal(err)
	}
	in := micrometer()
	in.Basis, in.Site = b, ""
	in.Kept = certs.KeptCheck{Sequence: 12, Recorded: time.Date(2026, 3, 2, 14, 3, 11, 0, time.UTC), Check: c, Result: r}
	return in
}

func instrument(id string, kind calib.StandardKind, rows ...[3]string) calib.StandardOnDay {
	s := calib.StandardOnDay{Standard: calib.Standard{ID: id, Kind: kind}, Certificate: calib.Certificate{Standard: id, Number: "X-" + id, Laboratory: "Laboratory of Nowhere, invented",
		Route: calib.ByAccredited, Accreditation: "N 001", Date: calib.MustDate("2025-06-12")}}
	for _, r := range rows {
		s.Certificate.Values = append(s.Certificate.Values, calib.Value{Nominal: of(r[0]), Deviation: of(r[1]), Expanded: of(r[2]), K: "2"})
	}
	return s
}

// footPaper is a foot of 10 mm at three openings, one of which presses too
// hard; latitude 0, where standard gravity matters most.
func footPaper(t *testing.T) certs.CertificateOf {
	openings := []unit.Quantity{of("1 mm"), of("3 mm"), of("5 mm")}
	b := calib.Basis{
		Gauge: calib.Gauge{ID: "THK-3", Kind: calib.ThicknessGauge, Unit: "mm", Low: of("0 mm"), High: of("10 mm"), Resolution: of("0.01 mm"), FootDiameter: of("10.00 mm"), FootExpanded: of("0.02 mm")}, Status: calib.InService,
		Plan: calib.Plan{Name: "FOOT", Title: "foot for leather", Foot: &calib.FootPlan{PartTerms: calib.PartTerms{Readings: 3, Minimum: 3, Unit: "g"}, Drive: calib.DeadWeight, Openings: openings,
			Band: calib.Band{Low: of("47.8 kPa"), High: of("50.4 kPa"), Origin: "the house's own"}, Friction: of("0.5 kPa"), Diameter: calib.Band{Low: of("9.95 mm"), High: of("10.05 mm"), Origin: "drawing 12"}}},
		Standards: []calib.StandardOnDay{instrument("BAL-1", calib.Balance, [3]string{"200 g", "0.02 g", "0.05 g"}, [3]string{"600 g", "0.10 g", "0.06 g"})},
		House:     calib.House{Latitude: of("0 °"), Height: of("0 m")},
	}
	c := calib.Check{Gauge: "THK-3", Standards: []string{"BAL-1"}, Foot: &calib.FootCheck{Instrument: "BAL-1"},
		Conditions: calib.Conditions{Gauge: of("21 °C"), Pressure: of("1013 hPa"), Humidity: of("50 %")}}
	for i, at := range openings {
		p := calib.PressPoint{At: at, Forward: typed("392.6 g", "392.8 g", "392.7 g"), Back: typed("393.4 g", "393.2 g", "393.3 g")}
		if i == 2 {
			p.Back = typed("404.4 g", "404.2 g", "404.3 g")
		}
		c.Foot.Points = append(c.Foot.Points, p)
	}
	return paper(t, c, b)
}

// loadPaper is a force gauge under two hung weights.
func loadPaper(t *testing.T) certs.CertificateOf {
	b := calib.Basis{
		Gauge: calib.Gauge{ID: "FG-7", Kind: calib.ForceMeter, Unit: "N", Low: of("0 N"), High: of("50 N"), Resolution: of("0.01 N")}, Status: calib.InService,
		Plan: calib.Plan{Name: "PULL", Title: "force gauges to 50 N", Load: &calib.LoadPlan{PartTerms: calib.PartTerms{Readings: 3, Minimum: 3, Unit: "N"}, Loads: []unit.Quantity{of("20 N"), of("50 N")}, Down: true,
			Limit: calib.LoadLimit{Error: of("1 %"), Hysteresis: of("0.5 %"), ZeroReturn: of("0.1 %"), Of: calib.OfFullScale, Origin: "the house's own"}}},
		Standards: []calib.StandardOnDay{instrument("WS-1", calib.WeightSet, [3]string{"2 kg", "5 mg", "10 mg"}, [3]string{"5 kg", "-8 mg", "25 mg"})},
		House:     calib.House{Gravity: of("9.8126 m/s²"), GravityExpanded: of("0.00004 m/s²")},
	}
	hung := func(n string) []calib.WeightUse { return []calib.WeightUse{{Standard: "WS-1", Nominal: of(n)}} }
	c := calib.Check{Gauge: "FG-7", Standards: []string{"WS-1"}, Load: &calib.LoadCheck{Zero: typed("0.00 N"), Return: typed("0.01 N"), Points: []calib.LoadPoint{
		{Load: of("20 N"), Weights: hung("2 kg"), Up: typed("19.60 N", "19.61 N", "19.60 N"), Down: typed("19.65 N", "19.66 N", "19.65 N")},
		{Load: of("50 N"), Weights: hung("5 kg"), Up: typed("48.99 N", "49.00 N", "49.01 N"), Down: typed("49.05 N", "49.06 N", "49.05 N")}}}}
	return paper(t, c, b)
}

// What the bench wrote beside a reading stands on the paper, whatever the part.
func TestTheCertificateOfPartsPrintsCommentsOnReadings(t *testing.T) {
	foot, load := footPaper(t), loadPaper(t)
	f, l := foot.Kept.Check.Foot, load.Kept.Check.Load
	f.Diameter, f.DiameterBy = typed("10.00 mm", "10.01 mm"), "MIC-2"
	f.Diameter[1].Comment = "across the mark"
	f.Points[0].Forward[1].Comment = "door slammed, read twice"
	f.Points[2].Back[2].Comment = "foot wiped"
	l.Zero[0].Comment = "tapped"
	l.Points[1].Up[0].Comment = "weight swung"
	l.Points[1].Down[2].Comment = "hook turned"
	l.Return[0].Comment = "after a minute"
	for _, p := range []struct {
		in   certs.CertificateOf
		want []string
	}{
		{foot, []string{"diameter, reading 2: across the mark", "1 mm lowering, reading 2: door slammed, read twice", "5 mm lifting, reading 3: foot wiped"}},
		{load, []string{"zero before, reading 1: tapped", "50 N up, reading 1: weight swung", "50 N down, reading 3: hook turned", "zero after, reading 1: after a minute"}},
	} {
		printed := strings.ReplaceAll(strings.Join(strings.Fields(setParts(t, p.in)), " "), "\u00a0", " ")
		for _, want := range p.want {
			if !strings.Contains(printed, want) {
				t.Errorf("%q is not on the certificate", want)
			}
		}
	}
}

func setParts(t *testing.T, in certs.CertificateOf) string {
	t.Helper()
	d, err := certs.Certificate(in)
	if err != nil {
		t.Fatal(err)
	}
	s, err := text.Render(d, 110)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestTheCertificateOfPartsReadsAsBefore(t *testing.T) {
	for name, in := range map[string]certs.CertificateOf{"foot": footPaper(t), "spring": springPaper(t), "load": loadPaper(t), "tester": testerPaper(t)} {
		path := filepath.Join("testdata", name+".txt")
		got := setParts(t, in)
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs; look at both, and rewrite with -update if the change is meant\ngot\n%s", path, got)
		}
	}
}

// What the certificate of a force must say beside that of a length: gravity,
// air, what it is not (house requirement 4.6 and 4.8).
func TestTheCertificateOfPartsHasEveryItem(t *testing.T) {
	for _, c := range []struct {
		in   certs.CertificateOf
		want []string
	}{
		{footPaper(t), []string{"[Fail]", "Foot pressure: fail. Rule: guarded acceptance, guard band 1 U (ILAC-G8:09/2019, 4.2.2).",
			"Readings planned, foot pressure: 3 at each of 3 openings, both ways", "Gravity 9.78033 m/s², u = 0.00029; WGS 84 at latitude 0 °, height 0 m; a place may differ by ±0.0005 m/s²",
			"Density of the air 1.1946 kg/m³, u = 0.0015; CIPM-2007 at 21 °C, 1013 hPa, 50 %", "Pressure over the opening, as found",
			"5 mm lifting 404.4 g, 404.2 g, 404.3 g", "BAL-1 balance X-BAL-1", "no verification under legal metrology", "calibration of BAL-1", "foot: drawing 12", "±0.5", "Standard gravity in place of the local one would have used up to 10 % of half the band.", "Fail: 50.33 kPa, limits 47.8 to 50.4 less U, U = 0.20 kPa"}},
		{loadPaper(t), []string{"[Pass]", "Applied load: pass.", "Readings planned, applied load: 3 at each of 2 loads, both ways", "false acceptance up to 2.3 %, false rejection up to 97.7 %.", "Gravity 9.812600 m/s², u = 0.000020; measured 9.8126 m/s², U 0.00004 m/s², k = 2",
			"Density of the air 1.20 kg/m³, u = 0.21; not read: 1.2 kg/m³, ±0.37 kg/m³ for weather and any height to 2000 m", "Error over the load, as found",
			"20 N WS-1: 2 kg up 19.60 N, 19.61 N, 19.60 N", "zero – after 0.01 N", "It certifies no lifting gear", "hysteresis", "zero return"}},
		{springPaper(t), []string{"[Fail]", "Fail: 7.485 N, limits 8 to 9 less U", "Force over the opening, as found", "Pressure over the opening, as found", "growth 5 mm", "limits from the house's own"}},
		{testerPaper(t), []string{"[Pass]", "Error over the load, as found", "The weights pressed through the piston of PT-1.", "effective area of PT-1", "distortion of PT-1", "surface tension of the liquid", "density of the fluid",
			"Not stated in the records and not counted: the uncertainty of the piston's expansion.", "It certifies no pressure equipment and no safety device.", "±0.256", "EN 837-1 class 1.6",
			"no accredited calibration, and no verification under legal metrology"}},
	} {
		flat := strings.Join(strings.Fields(setParts(t, c.in)), " ")
		for _, want := range c.want {
			want = strings.ReplaceAll(want, "\u00a0", " ")
			if !strings.Contains(strings.ReplaceAll(flat, "\u00a0", " "), want) {
				t.Errorf("%q does not stand on the certificate:\n%s", want, flat)
			}
		}
	}
}

func TestTheCertificateOfPartsIsSetOnPaper(t *testing.T) {
	r, err := pdf.New()
	if err != nil {
		t.Fatal(err)
	}
	for _, in := range []certs.CertificateOf{footPaper(t), springPaper(t), loadPaper(t), testerPaper(t)} {
		d, err := certs.Certificate(in)
		if err == nil {
			err = d.Check()
		}
		if err != nil {
			t.Fatal(err)
		}
		one, err1 := r.Render(d)
		two, err2 := r.Render(d)
		if err1 != nil || err2 != nil || string(one) != string(two) || len(one) < 10_000 {
			t.Errorf("%s: %d bytes, %v, %v", in.Number, len(one), err1, err2)
		}
	}
}

func TestPartsByForceThatDoNotBelongTogetherAreRefused(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*certs.CertificateOf)
		want   string
	}{
		{"another gauge", func(in *certs.CertificateOf) { in.Basis.Gauge.ID = "X" }, `certificate "VC-2026-0031": the check is of "THK-3", the gauge is "X"; want one gauge`},
		{"another plan", func(in *certs.CertificateOf) { in.Kept.Check.Revision = 4 }, `certificate "VC-2026-0031": the check followed FOOT revision 4, the plan given is FOOT revision 1; want the revision that was followed`},
		{"no result", func(in *certs.CertificateOf) { in.Kept.Result.Foot = nil }, `certificate "VC-2026-0031": the check records [foot pressure] and has results of []; want one result for each part`},
		{"no verdict", func(in *certs.CertificateOf) { in.Kept.Result.Foot.Verdict = "" }, `certificate "VC-2026-0031": the verdict on the part foot pressure is ""; want a part of the plan, with a verdict that a rule gives`},
		{"issued before", func(in *certs.CertificateOf) { in.Issued = calib.MustDate("2026-03-01") }, `certificate "VC-2026-0031": issued 2026-03-01, before the check of 2026-03-02; want a date of issue on or after it`},
	} {
		in := footPaper(t)
		c.change(&in)
		_, err := certs.Certificate(in)
		var bad *certs.MismatchError
		if !errors.As(err, &bad) || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
	if d, err := certs.Certificate(micrometer()); err != nil || len(d.Parts) == 0 {
		t.Errorf("a length alone: %v", err)
	}
}
