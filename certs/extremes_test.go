package certs_test

import (
	"encoding/xml"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
)

// long is a name of 60 characters.
func long(begins string) string {
	return (begins + strings.Repeat("-Nonesuch Hypotheticalson", 3))[:60]
}

// longNames is a check in which everything has a name of 60 characters, and the
// remarks are as long as a record takes.
func longNames() certs.CertificateOf {
	in := micrometer()
	in.House = certs.House{Name: long("Harmen and Zoon"), Address: []string{long("Reed Lane"), long("Inventum")}}
	in.Customer, in.Released, in.Site = long("Reed plates"), long("A. Fictitious"), long("Toolroom")
	g, c := &in.Basis.Gauge, &in.Kept.Check
	g.ID, g.Maker, g.Serial, g.Owner = "MIC"+strings.Repeat("-0123456789", 5)+"-X", long("Oblique Tool Works"), strings.Repeat("0123456789", 6), long("Owner")
	c.Gauge, c.Person, c.Condition = g.ID, long("J. Inventor"), long("worn")
	c.Remarks = strings.Repeat("the spindle is stiff between seventeen and eighteen; ", 8)[:400]
	s := &in.Basis.Standards[0]
	s.Standard.ID, s.Certificate.Number, s.Certificate.Laboratory = "GB"+strings.Repeat("-0123456789", 5)+"-01", long("CERT"), long("Laboratory")
	c.Standards[0] = s.Standard.ID
	for i := range c.Points {
		c.Points[i].Blocks[0].Standard = s.Standard.ID
	}
	return in
}

// hundredPoints repeats the ten points of a check over the range; every one
// fails where wanted.
func hundredPoints(fail bool) certs.CertificateOf {
	in := micrometer()
	plan, c, r := &in.Basis.Plan, &in.Kept.Check, &in.Kept.Result
	points, results := c.Points, r.Points
	plan.Points, c.Points, r.Points = nil, nil, nil
	for i := range 100 {
		n := length(fmt.Sprintf("%.2f mm", 0.25*float64(i+1)))
		p, q := points[i%10], results[i%10]
		if fail {
			q.Error, q.Verdict, q.Conformance, r.Verdict = exact(fmt.Sprintf("%.4f", 0.005+0.0001*float64(i%17))), "fail", 0.0001, "fail"
		}
		q.Nominal, q.Reference, q.Mean = n.Inner(), n.Inner(), n.Inner().Add(q.Error)
		p.Nominal, p.Blocks = n, []calib.BlockUse{{Standard: "GB-1", Nominal: length("1.005 mm")}, {Standard: "GB-1", Nominal: length("1.34 mm")}, {Standard: "GB-1", Nominal: n}}
		p.Readings = nil
		for range 3 {
			p.Readings = append(p.Readings, calib.Reading{Indication: length(q.Mean.Text(3) + " mm")})
		}
		plan.Points, c.Points, r.Points = append(plan.Points, n), append(c.Points, p), append(r.Points, q)
	}
	return in
}

// fourVerdicts has a point of each verdict, and the longest legend.
func fourVerdicts() certs.CertificateOf {
	in := failing()
	in.Basis.Plan.Rule = calib.Rule{Name: "four verdicts", Factor: 1}
	in.Kept.Result.Points[2].Verdict, in.Kept.Result.Points[4].Verdict = "conditional pass", "conditional fail"
	in.Replaces = &certs.Replaced{Number: "V-000410", Changes: []string{"Temperature of the gauge: 20.4 °C becomes 20.1 °C (keyed wrongly), A. Fictitious, 2026-03-03."}}
	in.Unreleased = true
	return in
}

// A placed word is one as a reader of the file finds it; points.
type placedWord struct {
	Left   float64 `xml:"xMin,attr"`
	Top    float64 `xml:"yMin,attr"`
	Right  float64 `xml:"xMax,attr"`
	Bottom float64 `xml:"yMax,attr"`
	Text   string  `xml:",chardata"`
}

type placedPage struct {
	Width  float64      `xml:"width,attr"`
	Height float64      `xml:"height,attr"`
	Words  []placedWord `xml:"word"`
}

// covers reports whether two words lie on each other: boxes reach above capitals
// and below the line, so that only their middles count.
func (w placedWord) covers(o placedWord) bool {
	const slack = 0.3 // points across
	inset := 0.3 * (w.Bottom - w.Top)
	return w.Left+slack < o.Right && o.Left+slack < w.Right && w.Top+inset < o.Bottom-inset && o.Top+inset < w.Bottom-inset
}

// On every certificate, however long its names and its tables, words stand within
// the margins of the sheet and none on another, as a reader of the file finds them.
func TestExtremeCertificatesAreSetWithNothingClippedOrOnAnother(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("pdftotext is not installed; on Debian it is in poppler-utils")
	}
	r, err := pdf.New()
	if err != nil {
		t.Fatal(err)
	}
	look := os.Getenv("WRING_LOOK")
	if look == "" {
		look = t.TempDir()
	}
	for name, in := range map[string]certs.CertificateOf{"long": longNames(), "hundred": hundredPoints(false), "hundred-fail": hundredPoints(true), "four": fourVerdicts(),
		"inches": inches(), "foot": footPaper(t), "spring": springPaper(t), "load": loadPaper(t), "tester": testerPaper(t)} {
		for _, paper := range []certs.Paper{certs.A4, certs.Letter} {
			in.Paper = paper
			d, err := certs.Certificate(in)
			if err != nil {
				t.Fatal(err)
			}
			file, err := r.Render(d)
			if err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(look, name+"-"+string(paper)+".pdf")
			if err := os.WriteFile(path, file, 0o644); err != nil {
				t.Fatal(err)
			}
			nothingCollides(t, path)
		}
	}
}

func nothingCollides(t *testing.T, path string) {
	t.Helper()
	out, err := exec.Command("pdftotext", "-bbox", path, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Pages []placedPage `xml:"body>doc>page"`
	}
	if err := xml.Unmarshal(out, &doc); err != nil || len(doc.Pages) == 0 {
		t.Fatalf("%s: %d pages, %v", path, len(doc.Pages), err)
	}
	const left, right, edge = 60, 49, 20 // points: 22 mm, 18 mm, less half a point of rounding
	for n, p := range doc.Pages {
		for i, w := range p.Words {
			if !(w.Left >= left && w.Right <= p.Width-right && w.Top >= edge && w.Bottom <= p.Height-edge) {
				t.Errorf("%s, page %d: %q reaches %.0f to %.0f across, %.0f to %.0f down", filepath.Base(path), n+1, w.Text, w.Left, w.Right, w.Top, w.Bottom)
			}
			for _, o := range p.Words[:i] {
				if w.covers(o) {
					t.Errorf("%s, page %d: %q stands on %q", filepath.Base(path), n+1, w.Text, o.Text)
				}
			}
		}
	}
}
