package certs_test

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
	"example.org/wring/certs/text"
	"example.org/wring/uncertainty/unit"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func length(s string) unit.Quantity { return unit.Must(s, unit.Length) }

// exact reads a decimal in mm.
func exact(s string) unit.Exact { return length(s + " mm").Inner() }

// plan is that of an invented micrometer, its limits the house's own.
func plan() calib.Plan {
	p := calib.Plan{Name: "MIC-25", Revision: 3, Title: "outside micrometers 0 mm to 25 mm", Kind: calib.OutsideMicrometer,
		Method: "comparison with gauge blocks", Unit: "mm", Readings: 3, Minimum: 3, Zero: calib.ZeroRecorded,
		Limit:       calib.Limit{Value: length("4 µm"), Origin: "the house's own, for setting reed plates"},
		Rule:        calib.Rule{Name: "guarded acceptance", Factor: 1},
		Probability: 0.95, Digits: 2,
		Environment: calib.Environment{Low: unit.Must("19 °C", unit.Temperature), High: unit.Must("21 °C", unit.Temperature)}}
	for _, s := range []string{"2.5", "5.1", "7.7", "10.3", "12.9", "15.0", "17.6", "20.2", "22.8", "25.0"} {
		p.Points = append(p.Points, length(s+" mm"))
	}
	return p
}

// micrometer is a certificate about an invented gauge of an invented workshop.
// The figures were made up to look like those of a check, not computed.
func micrometer() certs.CertificateOf {
	p := plan()
	blocks := calib.Standard{ID: "GB-1", Kind: calib.BlockSet, Description: "steel, 87 pieces", Grade: "1", Serial: "0815"}
	k := certs.KeptCheck{Sequence: 412, Recorded: time.Date(2026, 3, 2, 14, 3, 11, 0, time.UTC), Check: calib.Check{
		Gauge: "MIC-014", Plan: p.Name, Revision: p.Revision, Stage: calib.AsFound, Date: calib.MustDate("2026-03-02"), Person: "J. Inventor",
		Conditions: calib.Conditions{Gauge: unit.Must("20.4 °C", unit.Temperature), Blocks: unit.Must("20.3 °C", unit.Temperature)},
		Standards:  []string{"GB-1", "TH-2"}, Condition: "clean, faces without nicks, ratchet even",
		Zero: []calib.Reading{{Indication: length("0.000 mm")}, {Indication: length("0.001 mm")}},
	}}
	var rows []calib.Value
	errs := []string{"0.0003", "-0.0007", "0.0000", "0.0012", "0.0018", "-0.0004", "0.0021", "0.0011", "0.0009", "-0.0002"}
	for i, nominal := range p.Points {
		mean := nominal.Inner().Add(exact(errs[i]))
		rows = append(rows, calib.Value{Nominal: nominal, Deviation: length("0 µm"), Expanded: length("0.10 µm"), K: "2"})
		k.Check.Points = append(k.Check.Points, calib.Point{Nominal: nominal, Blocks: []calib.BlockUse{{Standard: "GB-1", Nominal: nominal}},
			Readings: []calib.Reading{{Indication: length(mean.Text(3) + " mm")}, {Indication: length(mean.Text(3) + " mm")}, {Indication: length(mean.Text(3) + " mm")}}})
		k.Result.Points = append(k.Result.Points, calib.PointResult{Nominal: nominal.Inner(), Reference: nominal.Inner(), Mean: mean, Error: exact(errs[i]),
			Limit: exact("0.004"), Standard: 0.00056, K: 1.98, Expanded: 0.00111, Method: "exact", Ratio: 3.6, Conformance: 0.99991, Verdict: "pass"})
	}
	k.Result.Budget = []calib.BudgetRow{{Name: "repeatability"}, {Name: "resolution of the reading"}, {Name: "blocks of GB-1"}, {Name: "temperature difference gauge–blocks"}}
	k.Result.Verdict = "pass"
	return certs.CertificateOf{
		House: certs.House{Name: "Harmen & Zoon Bellows, invented", Address: []string{"Reed Lane 7, 1234 Inventum"}},
		Site:  "toolroom, hall 2, bench 3", Number: "VC-2026-0031", Issued: calib.MustDate("2026-03-03"), Paper: certs.A4, Program: "wring 0.1.0",
		Head: "journal 413 sha256:9f3c1d0b6a7e4c5588d2f1a0b3c4d5e6f7a8b9c0d1e2f30415263748596a7b8c",
		Basis: calib.Basis{Status: calib.InService, Plan: p,
			Gauge: calib.Gauge{ID: "MIC-014", Kind: calib.OutsideMicrometer, Maker: "Oblique Tool Works, invented", Type: "M25", Serial: "40-1187",
				Owner: "Harmen & Zoon Bellows, invented", Low: length("0 mm"), High: length("25 mm"), Resolution: length("0.001 mm"), Unit: "mm"},
			Standards: []calib.StandardOnDay{
				{Standard: blocks, Certificate: calib.Certificate{Standard: "GB-1", Number: "X-2025-104", Laboratory: "Laboratory of Nowhere, invented", Route: calib.ByAccredited,
					Accreditation: "N 001", Date: calib.MustDate("2025-06-12"), Due: calib.MustDate("2027-06-12"), Values: rows}},
				{Standard: calib.Standard{ID: "TH-2", Kind: calib.Thermometer, Description: "0.1 °C"}, Certificate: calib.Certificate{Standard: "TH-2", Number: "X-2025-311",
					Laboratory: "Laboratory of Nowhere, invented", Route: calib.ByAccredited, Accreditation: "N 001", Date: calib.MustDate("2025-09-01")}}}},
		Kept: k, Due: calib.MustDate("2027-03-02"),
	}
}

// failing is the same gauge with one point beyond its limit, one in the guard
// band, and marks.
func failing() certs.CertificateOf {
	in := micrometer()
	r := &in.Kept.Result
	set := func(i int, e, verdict string, p float64) {
		r.Points[i].Error, r.Points[i].Mean = exact(e), r.Points[i].Nominal.Add(exact(e))
		for j := range in.Kept.Check.Points[i].Readings {
			in.Kept.Check.Points[i].Readings[j].Indication = length(r.Points[i].Mean.Text(3) + " mm")
		}
		r.Points[i].Verdict, r.Points[i].Conformance = calib.Verdict(verdict), p
	}
	set(4, "0.0033", "fail", 0.89)
	set(6, "-0.0057", "fail", 0.0002)
	r.Verdict = "fail"
	r.Findings = []calib.Finding{
		{Gate: calib.GateEnvironment, Text: "21.4 °C; the plan wants 19 °C to 21 °C", Action: calib.Mark},
		{Gate: calib.GateReadings, Point: 3, Text: "2 of the 3 readings that the plan wants", Action: calib.Mark}}
	in.Kept.Check.Points[2].Readings = in.Kept.Check.Points[2].Readings[:2]
	in.Kept.Check.Points[6].Readings[1].Comment = "read twice, the same"
	in.Kept.Check.Remarks = "spindle stiff between 17 mm and 18 mm"
	return in
}

// inches is the gauge inherited with the building, read in inches.
func inches() certs.CertificateOf {
	in := micrometer()
	g := &in.Basis.Gauge
	g.ID, g.Unit, g.Low, g.High, g.Resolution = "MIC-101", "in", length("0 in"), length("1 in"), length("0.0001 in")
	in.Basis.Plan.Limit.Value = length("0.0002 in")
	in.Kept.Check.Gauge = "MIC-101"
	for i := range in.Kept.Check.Points {
		n := length(fmt.Sprintf("0.%d00 in", i))
		in.Kept.Check.Points[i] = calib.Point{Nominal: n, Blocks: []calib.BlockUse{{Standard: "GB-1", Nominal: length("2.54 mm")}}, Readings: []calib.Reading{{Indication: n}}}
		p := &in.Kept.Result.Points[i]
		p.Nominal, p.Reference, p.Limit = n.Inner(), n.Inner(), length("0.0002 in").Inner()
		p.Error = length("0.00012 in").Inner()
		p.Mean, p.Expanded = n.Inner().Add(p.Error), 0.0014
	}
	return in
}

func write(t *testing.T, in certs.CertificateOf) string {
	t.Helper()
	d, err := certs.LengthCertificate(in)
	if err != nil {
		t.Fatal(err)
	}
	s, err := text.Render(d, 110)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestTheCertificateReadsAsBefore(t *testing.T) {
	adjusted := failing()
	found := adjusted.Kept
	left := micrometer().Kept
	left.Check.Stage, left.Sequence = calib.AsLeft, 418
	left.Check.Conditions.Gauge = unit.Must("20.1 °C", unit.Temperature)
	adjusted.AsFound, adjusted.Kept = &found, left
	for name, in := range map[string]certs.CertificateOf{"pass": micrometer(), "fail": failing(), "adjusted": adjusted, "inches": inches()} {
		path := filepath.Join("testdata", name+".txt")
		got := write(t, in)
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

// Requirements 1.5 and 1.6 of the checklist: the item, and what must stand on
// the certificate for it.
func TestTheCertificateHasEveryItem(t *testing.T) {
	in := failing()
	in.Customer, in.Released, in.Received = "Reed plates, hall 4", "A. Fictitious", calib.MustDate("2026-03-01")
	flat := strings.Join(strings.Fields(write(t, in)), " ")
	for _, c := range []struct{ item, want string }{
		{"title", "VERIFICATION CERTIFICATE"},
		{"house and address", "Harmen & Zoon Bellows, invented Reed Lane 7, 1234 Inventum"},
		{"place of work", "Place toolroom, hall 2, bench 3"},
		{"number", "VC-2026-0031"}, {"end", "End of certificate"},
		{"customer", "For Reed plates, hall 4"},
		{"limit in short", "Limit of error (MPE): ±0.004 mm."},
		{"method and revision", "Plan MIC-25, revision 3: outside micrometers 0 mm to 25 mm."}, {"method in words", "25 mm. Comparison with gauge blocks."},
		{"owner, where the record names none", "Owner Harmen & Zoon Bellows, invented"},
		{"gauge", "MIC-014"}, {"serial number", "40-1187"}, {"condition", "clean, faces without nicks"},
		{"received", "Received 2026-03-01"}, {"performed", "Performed 2026-03-02"}, {"issued", "Issued 2026-03-03"},
		{"number of points and readings", "planned: 3 at each of 10 points"},
		{"relates only", "relates only to the item"}, {"in full only", "reproduced in full only"},
		{"results with U, k, limit, ratio, probability, verdict", "17.6 17.60000 17.59430 −0.0057 0.0011 1.98 ±0.004 3.6 < 0.1 fail"},
		{"raw readings", "17.594 17.594 17.594"}, {"blocks", "GB-1: 17.6"}, {"reading's comment", "17.6, reading 2: read twice, the same"},
		{"marks", "Environment outside the plan: 21.4 °C; the plan wants 19 °C to 21 °C."}, {"mark at a point", "Point 3, too few readings: 2 of the 3 readings"},
		{"remarks", "Remark: spindle stiff between 17 mm and 18 mm"},
		{"who performed", "Performed by: J. Inventor, 2026-03-02; journal entry 412"}, {"who released", "Released by: A. Fictitious"},
		{"conditions", "gauge 20.4 °C, blocks 20.3 °C"}, {"planned conditions", "19 °C to 21 °C"},
		{"traceability", "GB-1 gauge block set, steel, 87 pieces, grade 1, no. 0815 X-2025-104 Laboratory of Nowhere, invented, accredited laboratory, N 001 2025-06-12 2027-06-12"},
		{"no due date stated", "2025-09-01 none stated"},
		{"stage", "as found; no adjustment"},
		{"rule with its source", "guarded acceptance, guard band 1 U (ILAC-G8:09/2019, 4.2.2)"}, {"rule was agreed before", "fixed in revision 3 of the plan before the check"},
		{"risk", "false acceptance up to 2.3 %, false rejection up to 97.7 %."}, {"limit's origin", "the house's own, for setting reed plates"}, {"what the statement covers", "The statement covers every test point listed"},
		{"coverage probability", "coverage probability of 95 %"}, {"contributions", "repeatability, resolution of the reading, blocks of GB-1"},
		{"results from others", "No result comes from another house"}, {"what others supplied", "what others supplied are the certificates of the standards, and limits where their origin says so"},
		{"opinions", "No opinion or interpretation is given."}, {"no interval", "No interval is recommended"},
		{"what it is not", "no accredited calibration, and no verification under legal metrology"},
		{"program", "wring 0.1.0"}, {"head", "journal 413 sha256:9f3c"},
		{"the verdict", "[Fail]"}, {"tally", "10 test points: 8 pass, 2 fail."},
	} {
		if !strings.Contains(flat, c.want) {
			t.Errorf("%s: %q does not stand on the certificate", c.item, c.want)
		}
	}
}

// A gauge that fails throughout says so once, not under each of its rows.
func TestManyRowsThatDoNotPassAreExplainedOnce(t *testing.T) {
	const under, once = "Fail: error", "Rows in bold do not pass: e is held against the limit less U"
	for fails, want := range map[int]struct{ under, once, lifted int }{8: {8, 0, 0}, 9: {0, 1, 9}} {
		in := micrometer()
		for i := range fails {
			in.Kept.Result.Points[i].Verdict = "fail"
		}
		in.Kept.Result.Findings = []calib.Finding{{Gate: calib.GateReadings, Point: 3, Text: "two of three", Action: calib.Mark}}
		d, err := certs.LengthCertificate(in)
		if err != nil {
			t.Fatal(err)
		}
		lifted := 0
		for _, p := range d.Parts {
			if table, ok := p.(certs.Table); ok {
				for _, r := range table.Rows {
					if r.Lifted {
						lifted++
					}
				}
			}
		}
		got := strings.Join(strings.Fields(strings.ReplaceAll(write(t, in), "\u00a0", " ")), " ")
		if a, b := strings.Count(got, under), strings.Count(got, once); a != want.under || b != want.once || lifted != want.lifted {
			t.Errorf("%d fail: %d remarks, %d notes, %d rows lifted; want %+v in\n%s", fails, a, b, lifted, want, got)
		}
		if !strings.Contains(got, "oo few readings: two of three") {
			t.Error("what a gate marked at a point is lost")
		}
	}
}

// ISO/IEC 17025:2017, 7.8.2.1 c (from memory): the place, also when away from
// the house.
func TestThePlaceIsThatOfTheCheckBeforeThatOfTheHouse(t *testing.T) {
	in := micrometer()
	flat := func() string { return strings.Join(strings.Fields(write(t, in)), " ") }
	wants := func(want string) {
		t.Helper()
		if got := flat(); !strings.Contains(got, want) {
			t.Errorf("%q does not stand on\n%s", want, got)
		}
	}
	wants("Place toolroom, hall 2, bench 3")
	in.Kept.Check.Site = "at the press, hall 4"
	wants("Place at the press, hall 4")
	if strings.Contains(flat(), "bench 3") {
		t.Error("two places are stated for one check")
	}
	found := in.Kept
	found.Check.Site, in.Kept.Check.Stage = "", calib.AsLeft
	in.AsFound = &found
	wants("Place as found toolroom, hall 2, bench 3; as left at the press, hall 4")
	in.AsFound.Check.Site, in.Site = "at the press, hall 4", ""
	wants("Place at the press, hall 4")
	in.AsFound.Check.Site, in.Kept.Check.Site = "", ""
	wants("Place at the house's address")
}

func TestADueDateIsPrintedOnlyWhereItIsAgreed(t *testing.T) {
	in := micrometer()
	if strings.Contains(write(t, in), "2027-03-02") {
		t.Error("a due date that nobody agreed to is printed")
	}
	in.Basis.Gauge.DueAgreed = true
	if !strings.Contains(write(t, in), "Next due") || !strings.Contains(write(t, in), "2027-03-02") {
		t.Error("the agreed due date is not printed")
	}
}

func TestAStandardWithoutACertificateThatCountsIsSaidSo(t *testing.T) {
	in := micrometer()
	in.Basis.Standards[0].Certificate.Due = calib.MustDate("2026-03-01")
	in.Basis.Standards[1].Certificate = calib.Certificate{}
	got := write(t, in)
	for _, want := range []string{"The certificate does not cover the day of the check.", "No certificate counts on the day of the check.", "indicative only"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q does not stand on the certificate", want)
		}
	}
	if strings.Contains(got, "are traceable to the SI") {
		t.Error("a chain that does not hold is called traceable")
	}
	whole := write(t, micrometer())
	if strings.Contains(whole, "indicative only") || !strings.Contains(whole, "are traceable to the SI") {
		t.Error("a certificate with valid standards calls itself indicative")
	}
}

func TestAnotherLaboratoryIsBelievedByItsEvidence(t *testing.T) {
	in := micrometer()
	in.Basis.Standards[0].Certificate.Route = calib.ByEvidence
	if got := write(t, in); !strings.Contains(got, "Traceability is not shown for GB-1: no evidence is kept") {
		t.Error("a laboratory without evidence is called traceable")
	}
	in.Evidence = map[string]int{"GB-1": 1}
	if got := write(t, in); !strings.Contains(got, "are traceable to the SI") {
		t.Error("evidence that is kept does not count")
	}
}

func TestUndecidedIsNotCalledAFailure(t *testing.T) {
	in := micrometer()
	for i := range in.Kept.Result.Points {
		in.Kept.Result.Points[i].Verdict = "cannot be decided"
		in.Kept.Result.Points[i].Expanded = 0.006
	}
	in.Kept.Result.Verdict = "cannot be decided"
	got := write(t, in)
	if !strings.Contains(got, "[Cannot be decided with this uncertainty]") || strings.Contains(got, "fail") {
		t.Errorf("the certificate says\n%s", got)
	}
}

func TestPartsThatDoNotBelongTogetherAreRefused(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(*certs.CertificateOf)
		want  string
	}{
		{"other gauge", func(in *certs.CertificateOf) { in.Kept.Check.Gauge = "MIC-015" }, `the check is of "MIC-015", the gauge is "MIC-014"; want one gauge`},
		{"other revision", func(in *certs.CertificateOf) { in.Basis.Plan.Revision = 4 }, "the check followed MIC-25 revision 3, the plan given is MIC-25 revision 4; want the revision that was followed"},
		{"missing result", func(in *certs.CertificateOf) { in.Kept.Result.Points = in.Kept.Result.Points[1:] }, "10 points were checked and 9 have results; want one result for each point"},
		{"no points", func(in *certs.CertificateOf) { in.Kept.Result.Points, in.Kept.Check.Points = nil, nil }, "0 points were checked and 0 have results; want one result for each point"},
		{"issued before", func(in *certs.CertificateOf) { in.Issued = calib.MustDate("2026-03-01") }, "issued 2026-03-01, before the check of 2026-03-02; want a date of issue on or after it"},
		{"unit", func(in *certs.CertificateOf) { in.Basis.Gauge.Unit = "kg" }, `gauge MIC-014 is read in "kg"; want a unit of length`},
		{"verdict", func(in *certs.CertificateOf) { in.Kept.Result.Points[0].Verdict = "maybe" }, `the verdict on point 1 is "maybe"; want one that a rule gives`},
		{"stages", func(in *certs.CertificateOf) { k := in.Kept; in.AsFound = &k }, `the first check is "as found" and the second "as found"; want as found, then as left`},
		{"no limit", func(in *certs.CertificateOf) {
			in.Basis.Plan.Limit = calib.Limit{Origin: "none", Rows: []calib.LimitRow{{UpTo: length("-1 mm"), Value: length("1 µm")}}}
		}, "plan MIC-25 revision 3 has no limit over the gauge's range; want the plan by which the points were judged"},
	} {
		in := micrometer()
		c.spoil(&in)
		_, err := certs.LengthCertificate(in)
		var m *certs.MismatchError
		if !errors.As(err, &m) || err.Error() != `certificate "VC-2026-0031": `+c.want {
			t.Errorf("%s: %v; want %s", c.name, err, c.want)
		}
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), -1} {
		in := micrometer()
		in.Kept.Result.Points[1].Expanded = bad
		if _, err := certs.LengthCertificate(in); err == nil || !strings.HasPrefix(err.Error(), `certificate "VC-2026-0031": as found, point 2: rounding: expanded uncertainty`) {
			t.Errorf("U of %v: %v; want a refusal that names the point", bad, err)
		}
	}
}

// The certificate of every kind of check can be set on both papers.
func TestEveryCertificateCanBePrinted(t *testing.T) {
	r, err := pdf.New()
	if err != nil {
		t.Fatal(err)
	}
	stepped := micrometer()
	stepped.Basis.Plan.Limit.Rows = []calib.LimitRow{{UpTo: length("10 mm"), Value: length("3 µm")}, {UpTo: length("25 mm"), Value: length("4 µm")}}
	sloped := micrometer()
	sloped.Basis.Plan.Limit = calib.Limit{Value: length("2 µm"), PerLength: unit.Must("100 µm/m", unit.Slope), AtLeast: length("3 µm"), Origin: "own"}
	for name, in := range map[string]certs.CertificateOf{"pass": micrometer(), "fail": failing(), "inches": inches(), "stepped": stepped, "sloped": sloped} {
		for _, paper := range []certs.Paper{certs.A4, certs.Letter} {
			in.Paper = paper
			d, err := certs.LengthCertificate(in)
			if err != nil {
				t.Fatal(err)
			}
			file, err := r.Render(d)
			if err != nil {
				t.Errorf("%s on %s: %v", name, paper, err)
			}
			if dir := os.Getenv("WRING_LOOK"); dir != "" {
				if err := os.WriteFile(filepath.Join(dir, name+"-"+string(paper)+".pdf"), file, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}
