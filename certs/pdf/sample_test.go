package pdf_test

import (
	"fmt"

	"example.org/wring/certs"
	"example.org/wring/certs/plot"
)

// sample is a certificate of an invented workshop about an invented gauge:
// every name, number and date in it was made up for this test.
func sample(paper certs.Paper) certs.Document {
	return certs.Document{
		Title: "Verification certificate", Number: "VC-2026-0031",
		Subject: "Outside micrometer MIC-014, 0 mm to 25 mm, 0.001 mm",
		House: certs.House{Name: "Harmen & Zoon Bellows, invented",
			Address: []string{"Reed Lane 7, 1234 Inventum", "Toolroom, hall 2"}},
		Paper: paper, Issued: "2026-03-03", Program: "wring 0.1.0",
		Head: "journal entry 412, head sha256:9f3c1d0b6a7e4c5588d2f1a0b3c4d5e6f7a8b9c0d1e2f30415263748596a7b8c",
		End:  "End of certificate",
		Foot: []string{"Relates only to the item named here. To be reproduced in full only, unless the house agrees in writing."},
		Parts: []certs.Part{
			certs.Outcome{Title: "Result as found", Word: "Pass", Lines: []string{
				"All 11 test points lie within the acceptance limit of ±2.9 µm (MPE 4.0 µm less the guard band r·U, r = 1).",
				"Largest error +1.8 µm at 20.2 mm; U = 1.1 µm, k = 2.00, coverage probability 95 %."}},
			certs.Facts{Title: "Item", Pairs: []certs.Fact{
				{Label: "Identity", Value: "MIC-014"}, {Label: "Kind", Value: "outside micrometer"},
				{Label: "Maker", Value: "Oblique Tool Works, invented"}, {Label: "Type", Value: "M25 digital"},
				{Label: "Serial number", Value: "40-1187"}, {Label: "Range", Value: "0 mm to 25 mm"},
				{Label: "Resolution", Value: "0.001 mm"}, {Label: "Owner", Value: "Harmen & Zoon Bellows, invented"},
				{Label: "Condition", Value: "clean, faces without nicks, ratchet even"}, {Label: "Received", Value: "2026-03-02"}}},
			certs.Facts{Title: "Check", Pairs: []certs.Fact{
				{Label: "Performed", Value: "2026-03-02"}, {Label: "Place", Value: "bench 3, toolroom, hall 2"},
				{Label: "Method", Value: "plan MIC-25, revision 3: comparison with gauge blocks"}, {Label: "Stage", Value: "as found; no adjustment, so also as left"},
				{Label: "Temperature", Value: "20.4 °C ± 0.3 °C (plan: 19 °C to 21 °C)"}, {Label: "Force", Value: "ratchet, 5 N to 10 N"},
				{Label: "Readings", Value: "3 at each of 11 points"}, {Label: "Decision rule", Value: "guarded acceptance, r = 1 (ILAC-G8:09/2019, 4.2.2)"}}},
			results(11), errorPlot(),
			readings(11), standards(),
			certs.Statement{Title: "Uncertainty", Paragraphs: []string{
				"The expanded uncertainty U is the combined standard uncertainty multiplied by the coverage factor k, for a coverage probability of 95 %, evaluated after JCGM 100:2008. The distribution of the sum of all contributions was computed exactly; ν_eff ≥ 87."}},
			certs.Statement{Title: "Conformity", Paragraphs: []string{
				"Limit: ±4.0 µm at every point, given by the house in the plan. A point passes if |e| ≤ MPE − r·U with r = 1. The rule was fixed in the plan before the check. P(conf.) is the probability that the error lies within the limit."}},
			certs.List{Title: "Marks and deviations", Items: []string{
				"None of the plan's gates was touched.", "Point 25.0 mm was read a fourth time; the first reading was taken with a burr on the block (kept as entry 409)."}},
			certs.Statement{Title: "Traceability", Paragraphs: []string{
				"The errors are traceable to the SI through the certificates of the standards listed above."}},
			certs.Statement{Title: "What this is not", Paragraphs: []string{
				"An internal verification of a toolroom: no accredited calibration and no verification under legal metrology. It says nothing about drift after the date of the check."}},
			certs.Signatures{Title: "Signed", People: []certs.Signature{
				{Role: "Performed by", Name: "J. Inventor", Date: "2026-03-02", Note: "entry 410"},
				{Role: "Released by", Name: "A. Fictitious-van der Nonesuch-Hypotheticalson the Younger, Dr", Date: "2026-03-03", Note: "entry 412"}}},
		},
	}
}

func results(n int) certs.Table {
	t := certs.Table{Title: "Results, as found", Columns: []certs.Column{
		{Heading: "Nominal size", Unit: "mm", Align: certs.Point}, {Heading: "Reference", Unit: "mm", Align: certs.Point},
		{Heading: "Mean indication", Unit: "mm", Align: certs.Point}, {Heading: "Error e", Unit: "µm", Align: certs.Point},
		{Heading: "U", Unit: "µm", Align: certs.Point}, {Heading: "k", Align: certs.Point},
		{Heading: "Limit", Unit: "µm", Align: certs.Point}, {Heading: "P(conf.)", Unit: "%", Align: certs.Point}, {Heading: "Verdict"}},
		Notes: []string{"Reference: length of the gauge block or stack at 20 °C, from its certificate. Error: mean indication less reference, corrected for temperature."}}
	for i := range n {
		e := float64(i%7)*0.6 - 1.2
		r := certs.Row{Cells: []string{fmt.Sprintf("%.1f", 2.5*float64(i)), fmt.Sprintf("%.5f", 2.5*float64(i)+0.00004),
			fmt.Sprintf("%.4f", 2.5*float64(i)+e/1000), fmt.Sprintf("%+.1f", e), "1.1", "2.00", "±4.0", "> 99.9", "pass"}}
		if i == 3 {
			r.Remark = "Marked: temperature 21.2 °C during these readings, beyond the plan's 21 °C."
		}
		t.Rows = append(t.Rows, r)
	}
	return t
}

func readings(n int) certs.Table {
	t := certs.Table{Title: "Readings as typed", Columns: []certs.Column{
		{Heading: "Nominal size", Unit: "mm", Align: certs.Point}, {Heading: "Blocks"},
		{Heading: "1", Unit: "mm", Align: certs.Point}, {Heading: "2", Unit: "mm", Align: certs.Point}, {Heading: "3", Unit: "mm", Align: certs.Point}}}
	for i := range n {
		x := 2.5 * float64(i)
		t.Rows = append(t.Rows, certs.Row{Cells: []string{fmt.Sprintf("%.1f", x), "1.005 + 1.34 + 6 + 50", fmt.Sprintf("%.3f", x), fmt.Sprintf("%.3f", x+0.001), fmt.Sprintf("%.3f", x)}})
	}
	return t
}

func standards() certs.Table {
	return certs.Table{Title: "Standards used", Columns: []certs.Column{
		{Heading: "Standard"}, {Heading: "Description"}, {Heading: "Certificate"}, {Heading: "Laboratory"}, {Heading: "Date"}, {Heading: "Due"}},
		Rows: []certs.Row{
			{Cells: []string{"GB-1", "gauge block set, steel, 87 pieces, grade 1", "X-2025-104", "Laboratory of Nowhere and the Adjacent Invented Provinces, Ltd", "2025-06-12", "2027-06-12"}},
			{Cells: []string{"TH-2", "thermometer, 0.1 °C", "X-2025-311", "Laboratory of Nowhere", "2025-09-01", "2026-09-01"}}}}
}

func errorPlot() certs.Figure {
	limit := []plot.Vertex{{X: 0, Y: 4}, {X: 25, Y: 4}}
	accept := []plot.Vertex{{X: 0, Y: 2.9}, {X: 25, Y: 2.9}}
	in := plot.Series{Label: "error with U, within", Mark: plot.Disc}
	for i := range 11 {
		in.Points = append(in.Points, plot.Point{X: 2.5 * float64(i), Y: float64(i%7)*0.6 - 1.2, Bar: 1.1})
	}
	out := plot.Series{Label: "beyond the limit", Mark: plot.Cross, Points: []plot.Point{{X: 13, Y: 4.9, Bar: 1.1}}}
	mid := plot.Series{Label: "within the guard band", Mark: plot.Ring, Points: []plot.Point{{X: 16, Y: -3.4, Bar: 1.1}}}
	return certs.Figure{Title: "Error of indication over the range", Caption: "Bars: expanded uncertainty U.", Plot: plot.Plot{
		X: plot.Axis{Quantity: "nominal size", Unit: "mm"}, Y: plot.Axis{Quantity: "error", Unit: "µm", Signed: true},
		Bands: []plot.Band{{Label: "guard band", Kind: plot.Guard, Low: plot.Mirror(limit), High: limit}, {Label: "accepted", Low: plot.Mirror(accept), High: accept}},
		Lines: []plot.Line{{Kind: plot.Zero, Points: []plot.Vertex{{X: 0}, {X: 25}}},
			{Label: "MPE", Points: limit}, {Points: plot.Mirror(limit)},
			{Label: "acceptance limit", Kind: plot.Acceptance, Points: accept}, {Kind: plot.Acceptance, Points: plot.Mirror(accept)}},
		Series: []plot.Series{in, mid, out}}}
}
