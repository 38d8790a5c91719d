package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/certs"
	"example.org/wring/certs/plot"
	"example.org/wring/certs/svg"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// mapShade is the shade that says on a picture what the mark beside the number
// says.
func mapShade(mark string) plot.Shade {
	switch mark {
	case "!":
		return plot.Alarming
	case "++":
		return plot.FarAbove
	case "+":
		return plot.Above
	case "--":
		return plot.FarBelow
	case "-":
		return plot.Below
	}
	return plot.Even
}

func shadeKeys() []plot.Key {
	return []plot.Key{{Shade: plot.FarBelow, Label: "-- below the mean by more than 2 U"}, {Shade: plot.Below, Label: "- below the mean by more than U"}, {Shade: plot.Even, Label: "within U of the mean"},
		{Shade: plot.Above, Label: "+ above it by more than U"}, {Shade: plot.FarAbove, Label: "++ above it by more than 2 U"}, {Shade: plot.Alarming, Label: "! outside the tolerance"}}
}

// Shares of a lot that a place without a grid takes on the map (house rule: as
// wide as its number).
const (
	spotWide = 0.10
	spotHigh = 0.07
)

// lotMap describes where on the lot which thickness was found. A lot whose
// size is not known is drawn by shares.
func (a surveyAnswer) lotMap() (plot.Plot, error) {
	p := plot.Plot{X: mapAxis("across", a.Lot.Width), Y: mapAxis("along", a.Lot.Length)}
	width, length := p.X.Range.High, p.Y.Range.High
	halfX, halfY := spotWide/2, spotHigh/2
	if g := a.Survey.Grid; g != nil {
		halfX, halfY = 0.5/float64(g.Columns), 0.5/float64(g.Rows)
	}
	used := map[plot.Shade]bool{}
	for _, r := range a.Result.Places {
		if r.X == nil {
			continue
		}
		x, y := *r.X, 0.5
		if r.Y != nil {
			y = *r.Y
		}
		mark := a.markOf(r)
		value, _ := inFigure(a.unit, r.Thickness)
		t := plot.Tile{Shade: mapShade(mark), Text: value + mark,
			Low:  plot.Vertex{X: max(0, x-halfX) * width, Y: max(0, y-halfY) * length},
			High: plot.Vertex{X: min(1, x+halfX) * width, Y: min(1, y+halfY) * length}}
		used[t.Shade] = true
		p.Tiles = append(p.Tiles, t)
	}
	if len(p.Tiles) == 0 {
		return p, fmt.Errorf("survey of %s: no place has a position; want a grid, or distances across", a.Survey.Lot)
	}
	for _, k := range shadeKeys() {
		if used[k.Shade] {
			p.Keys = append(p.Keys, k)
		}
	}
	return p, nil
}

func mapAxis(name string, size unit.Quantity) plot.Axis {
	if size.IsZero() {
		return plot.Axis{Quantity: name + ", share of the lot", Range: &plot.Range{High: 1}}
	}
	return plot.Axis{Quantity: name, Unit: "mm", Range: &plot.Range{High: size.Inner().Float()}}
}

// drawSurvey writes the map and the paper where they were asked for.
func (d desk) drawSurvey(c *cli.Context, a surveyAnswer) error {
	if file := c.String("svg"); file != "" {
		p, err := a.lotMap()
		if err != nil {
			return err
		}
		data, err := svg.Render("Thickness of "+a.Survey.Lot, p, drawnWidth, drawnHeight)
		if err != nil {
			return err
		}
		if err := writePaper(file, data, c.Bool("replace")); err != nil {
			return err
		}
	}
	if c.String("pdf") == "" {
		return nil
	}
	var house registry.Opening
	var head string
	if err := d.view(func(tx *registry.Tx) (err error) {
		if house, err = tx.House(); err != nil {
			return err
		}
		h, err := tx.Head()
		head = h.String()
		return err
	}); err != nil {
		return err
	}
	d.json = false // what --json says was said
	return d.setPaper(c, a.document(house, head), "survey of "+a.Survey.Lot)
}

// document is a plain report of the survey.
func (a surveyAnswer) document(o registry.Opening, head string) certs.Document {
	s, r := a.Survey, a.Result
	number := a.Survey.Lot
	if a.Entry > 0 {
		number = fmt.Sprintf("S-%06d", a.Entry)
	}
	doc := recordPaper("Survey of thickness", number, s.Lot+", "+a.Lot.Material, o, head, s.Date)
	doc.End = "End of survey"
	value, expanded := inFigure(a.unit, r.Mean)
	mean := fmt.Sprintf("Mean of the lot %s ± %s %s (U, k = %s)%s.", value, expanded, a.unit.Symbol(), fixed(r.Mean.K, 2), a.judged(r.Mean, a.Lot.Mean))
	var says []string
	for _, x := range r.Trends {
		says = append(says, minusText(a.trendText(x)))
	}
	doc.Parts = []certs.Part{
		certs.Outcome{Title: "Result", Word: capitalised(cmp.Or(string(r.Verdict), "not judged")), Lines: []string{plainBlanks(mean)}},
		certs.Facts{Title: "Lot and method", Pairs: slices.DeleteFunc([]certs.Fact{{Label: "Lot", Value: s.Lot}, {Label: "Material", Value: a.Lot.Material}, {Label: "Supplier", Value: a.Lot.Supplier},
			{Label: "Tolerance of the mean", Value: pressText(a.Lot.Mean)}, {Label: "Tolerance of a place", Value: pressText(a.Lot.Place)}, {Label: "Rule", Value: a.Rule},
			{Label: "Method", Value: fmt.Sprintf("%s revision %d: %s (%s)", s.Method, s.Revision, a.Method.Source, a.Method.Mark)}, {Label: "Gauge", Value: fmt.Sprintf("%s, by check %d", s.Gauge, a.Sizes)},
			{Label: "Taken", Value: s.Date.String() + " by " + s.Person}}, func(f certs.Fact) bool { return f.Value == "" })},
	}
	if p, err := a.lotMap(); err == nil {
		doc.Parts = append(doc.Parts, certs.Figure{Title: "Map of the lot, thickness (" + a.unit.Symbol() + ")", Plot: p, Caption: "Signs beside the numbers say what the shades say. U is the expanded uncertainty of one place."})
	}
	doc.Parts = append(doc.Parts, a.placeTable(), certs.Statement{Title: "What the places say together", Paragraphs: append(says, a.remarks()...)})
	return doc
}

func plainBlanks(s string) string { return strings.ReplaceAll(s, "\u00a0", " ") }

// minusText has the minus sign of papers before numbers.
func minusText(s string) string {
	out := []rune(plainBlanks(s))
	for i := 1; i+1 < len(out); i++ {
		if out[i] == '-' && out[i-1] == ' ' && (out[i+1] >= '0' && out[i+1] <= '9' || out[i+1] == ' ') {
			out[i] = '\u2212'
		}
	}
	return string(out)
}

func (a surveyAnswer) placeTable() certs.Table {
	u := a.unit.Symbol()
	t := certs.Table{Title: "Places", Columns: []certs.Column{{Heading: "Place"}, {Heading: "Reading", Unit: u, Align: certs.Point}, {Heading: "Thickness", Unit: u, Align: certs.Point},
		{Heading: "U", Unit: u, Align: certs.Point}, {Heading: "k", Align: certs.Point}, {Heading: "Verdict"}},
		Notes: []string{fmt.Sprintf("U: expanded uncertainty, coverage probability %s %%. Thickness: reading less the gauge's error, referred to the method's pressure where its effect is known.", percentText(a.Probability))}}
	for _, p := range a.Result.Places {
		value, expanded := inFigure(a.unit, p.Thickness)
		t.Rows = append(t.Rows, certs.Row{Cells: []string{p.Name, a.at(p.Reading.Float()), value, expanded, fixed(p.Thickness.K, 2), string(p.Thickness.Verdict)}})
	}
	return t
}

// remarks are what a reader must know beside the figures.
func (a surveyAnswer) remarks() []string {
	r := a.Result
	var out []string
	if i := r.Interval; i != nil {
		out = append(out, fmt.Sprintf("At least %s %% of the lot lies between %s and %s %s, with %s %% confidence.", percentText(i.Share), a.at(i.Low), a.at(i.High), a.unit.Symbol(), percentText(i.Confidence)))
	}
	for _, t := range a.pressureText() {
		out = append(out, minusText(t))
	}
	for _, n := range r.Notes {
		out = append(out, "Note: "+n+".")
	}
	if a.Withdrawn > 0 {
		out = append(out, withdrawnText(a.Withdrawn))
	}
	for _, f := range r.Findings {
		out = append(out, "Marked: "+findingText(f)+".")
	}
	if r.Override != "" {
		out = append(out, "The gauge was used all the same: "+r.Override+".")
	}
	return out
}
