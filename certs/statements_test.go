package certs_test

import (
	"bytes"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
	"example.org/wring/uncertainty/unit"
)

// ISO/IEC 17025:2017, 7.8.6.1 (from memory) wants the risk with the rule. Figures
// of the normal distribution: own computation, Φ(−2) = 2.28 %, Φ(−1.66) = 4.85 %,
// Φ(−4) = 0.003 %.
func TestEveryRuleSaysWhichRisksItLeaves(t *testing.T) {
	for _, c := range []struct {
		rule  calib.Rule
		wants []string
	}{
		{calib.Rule{Name: "simple acceptance"}, []string{"A point passes if |e| ≤ MPE; U is not taken off the limit.", "false acceptance up to 50 %, false rejection up to 50 %."}},
		{calib.Rule{Name: "guarded acceptance", Factor: 1}, []string{"normal distribution and k = 2: false acceptance up to 2.3 %, false rejection up to 97.7 %."}},
		{calib.Rule{Name: "guarded acceptance", Factor: 0.83}, []string{"with r = 0.83", "false acceptance up to 4.8 %, false rejection up to 95.2 %."}},
		{calib.Rule{Name: "guarded acceptance", Factor: 2}, []string{"with r = 2", "false acceptance below 0.1 %, false rejection up to 100.0 %."}},
		{calib.Rule{Name: "four verdicts", Factor: 1}, []string{"false acceptance up to 2.3 % by pass, up to 50 % by conditional pass", "false rejection up to 2.3 % by fail, up to 50 % by conditional fail."}},
		{calib.Rule{Name: "by risk", Risk: 0.05}, []string{"at most 5 %.", "false acceptance up to 5 %, false rejection up to 95 %."}},
	} {
		in := micrometer()
		in.Basis.Plan.Rule = c.rule
		flat := oneLine(write(t, in))
		for _, want := range append(c.wants, "with no earlier knowledge of the item") {
			if !strings.Contains(flat, want) {
				t.Errorf("%v: %q does not stand in %q", c.rule, want, flat)
			}
		}
	}
}

// oneLine undoes the breaks of lines.
func oneLine(s string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(s, "\u00a0", " ")), " ")
}

// A set whose certificate lacks ten sizes is one sentence, and asks the reader of
// the paper for nothing.
func TestWhatIsNotTraceableIsOneSentenceForEachStandard(t *testing.T) {
	in := micrometer()
	rows := in.Basis.Standards[0].Certificate.Values
	rows[3].Expanded, rows[3].K = unit.Quantity{}, ""
	in.Basis.Standards[0].Certificate.Values = rows[3:]
	in.Basis.Standards[0].Certificate.Accreditation = ""
	in.Basis.Standards[1].Certificate = calib.Certificate{}
	flat := oneLine(write(t, in))
	for _, want := range []string{
		"Traceability is not shown for GB-1: 2.5 mm, 5.1 mm and 7.7 mm are not on certificate X-2025-104; " +
			"10.3 mm is without an uncertainty on certificate X-2025-104; no accreditation of Laboratory of Nowhere, invented is recorded.",
		"Traceability is not shown for TH-2: no certificate counts on 2026-03-02.",
	} {
		if !strings.Contains(flat, want) {
			t.Errorf("%q does not stand in\n%s", want, flat)
		}
	}
	if strings.Contains(flat, "; want") || strings.Count(flat, "Traceability is not shown") != 2 {
		t.Errorf("the paper asks for something, or repeats itself:\n%s", flat)
	}
}

// What a micrometer usually gets: five sizes, read three times. A third sheet
// would carry a signature alone.
func TestACertificateOfFivePointsTakesTwoSheets(t *testing.T) {
	r, err := pdf.New()
	if err != nil {
		t.Fatal(err)
	}
	short := micrometer()
	short.Basis.Plan.Points = short.Basis.Plan.Points[:5]
	short.Kept.Check.Points, short.Kept.Result.Points = short.Kept.Check.Points[:5], short.Kept.Result.Points[:5]
	for name, in := range map[string]certs.CertificateOf{"five points": short, "ten points": micrometer()} {
		in.Released = "A. Fictitious"
		d, err := certs.LengthCertificate(in)
		if err != nil {
			t.Fatal(err)
		}
		file, err := r.Render(d)
		if err != nil {
			t.Fatal(err)
		}
		if n := bytes.Count(file, []byte("<</Type /Page\n")); n != 2 {
			t.Errorf("%s: %d pages; want 2", name, n)
		}
	}
}
