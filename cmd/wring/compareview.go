package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/agreement"
	"example.org/wring/certs"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// A comparisonAnswer is a comparison with its result as --json has it; sizes
// are in the unit that the result names.
type comparisonAnswer struct {
	Entry      uint64               `json:"entry,omitempty"` // 0 while it is not kept
	Comparison agreement.Comparison `json:"comparison"`
	Result     agreement.Result     `json:"result"`
	Withdrawn  uint64               `json:"withdrawn_by,omitempty"` // entry; 0 where it stands
}

// status is no where the parties do not agree.
func (a comparisonAnswer) status() error {
	if !a.Result.Agree {
		return errNo
	}
	return nil
}

func (a comparisonAnswer) unit() unit.Unit { return a.Comparison.Specimens[0].A.Size.Unit() }

func (a comparisonAnswer) name() string {
	return fmt.Sprintf("comparison of %s and %s", a.Comparison.A.Name, a.Comparison.B.Name) + yes(a.Entry > 0, fmt.Sprintf(", entry %d", a.Entry), "")
}

// rounded writes sizes in the comparison's unit to the last place of the first,
// which is an uncertainty and has two digits.
func (a comparisonAnswer) rounded(expanded float64, sizes ...float64) []string {
	u := a.unit()
	r, err := uncertainty.Round(u.FromFloat(expanded), 2)
	out := []string{r.Text}
	for _, s := range sizes {
		switch {
		case err != nil:
			out = append(out, significant(u.FromFloat(s), 4))
		default:
			out = append(out, r.Show(unit.FromFloat(u.FromFloat(s)).Rat()))
		}
	}
	return out
}

func signed(text string) string {
	if strings.HasPrefix(text, "-") || strings.Trim(text, "0.") == "" {
		return text
	}
	return "+" + text
}

func (a comparisonAnswer) write(out io.Writer) error {
	c := a.Comparison
	head := fmt.Sprintf("Comparison of %s and %s%s: %s, by %s.\n", c.A.Name, c.B.Name, yes(c.Title != "", ", "+c.Title, ""), c.Date, c.Person)
	text := strings.Join(a.method(), "\n") + "\n"
	if err := first(screen.Paragraph(out, head, "  "), screen.Paragraph(out, text, "  ")); err != nil {
		return err
	}
	t := a.specimens()
	if err := first(line(out, "%s", t.title), t.screen().Write(out), line(out, ""), screen.Paragraph(out, strings.Join(a.says(), "\n"), "  ")); err != nil {
		return err
	}
	if t := a.suspects(); len(t.rows) > 0 {
		return first(line(out, "\n%s", t.title), t.screen().Write(out), screen.Paragraph(out, suspectsNote, "  "))
	}
	return nil
}

const suspectsNote = "of variance: so much of the difference is to be expected of a line, where all claims are right. alone: how many of its own u it would be off, were it the only cause."

// method says first whether both used the same one.
func (a comparisonAnswer) method() []string {
	r, c := a.Result, a.Comparison
	out := []string{"Same method: " + string(r.Same) + "."}
	if c.A.Entry > 0 && c.B.Entry > 0 && strings.HasPrefix(c.A.Method, "plan ") {
		out = append(out, "Compared are the errors of both gauges' indications as they are, corrected for nothing.")
	}
	for _, d := range r.Differ {
		out = append(out, fmt.Sprintf("Another %s: %s %s, %s %s.", d.What, c.A.Name, d.A, c.B.Name, d.B))
	}
	if len(r.Unknown) > 0 {
		out = append(out, "Not known: "+strings.Join(r.Unknown, ", ")+".")
	}
	if r.Expected != nil {
		u := a.unit()
		out = append(out, fmt.Sprintf("The pressures alone make a difference of %s %s.", signed(significant(u.FromFloat(*r.Expected), 2)), u.Symbol()))
	}
	return out
}

func (a comparisonAnswer) specimens() studyTable {
	u, c := a.unit().Symbol(), a.Comparison
	t := studyTable{title: "Specimens: A is " + c.A.Name + ", B is " + c.B.Name, columns: []studyColumn{{title: "specimen", text: true}, {title: "A"}, {title: "U of A"}, {title: "B"}, {title: "U of B"},
		{title: "A − B", unit: u}, {title: "U", unit: u}, {title: "E_n"}}}
	for i, s := range a.Result.Specimens {
		x := c.Specimens[i]
		d := a.rounded(s.Expanded, s.Difference)
		av, bv := claimText(x.A), claimText(x.B)
		t.rows = append(t.rows, []string{s.Name, av[0], av[1], bv[0], bv[1], signed(d[1]), d[0], fixed(s.En, 2)})
	}
	return t
}

// claimText writes a size and its U as they were handed in, or, where the
// program itself worked them out, rounded.
func claimText(v agreement.Value) []string {
	typed := []string{v.Size.String(), v.Expanded.String()}
	if len(typed[0])+len(typed[1]) <= 24 { // a person types no more
		return typed
	}
	r, err := uncertainty.Round(v.Expanded.Value().Float(), 2)
	if err != nil {
		return typed
	}
	symbol := " " + v.Size.Unit().Symbol()
	return []string{r.Show(v.Size.Value().Rat()) + symbol, r.Text + symbol}
}

// says is what the comparison comes to.
func (a comparisonAnswer) says() []string {
	r, u := a.Result, a.unit().Symbol()
	half := (r.High - r.Low) / 2
	d := a.rounded(half, r.Mean, r.Low, r.High)
	if half == 0 { // differences without scatter
		d = []string{"0", significant(a.unit().FromFloat(r.Mean), 3), significant(a.unit().FromFloat(r.Low), 3), significant(a.unit().FromFloat(r.High), 3)}
	}
	out := []string{fmt.Sprintf("%s − %s: %s %s, from %s to %s %s at 95 %% by %s.", a.Comparison.A.Name, a.Comparison.B.Name, signed(d[1]), u, signed(d[2]), signed(d[3]), u, r.By)}
	if a.Withdrawn > 0 {
		out = append(out, withdrawnText(a.Withdrawn))
	}
	for _, f := range r.Findings {
		out = append(out, "Marked: "+f+".")
	}
	return append(out, fmt.Sprintf("Largest |E_n| %s: they %s. E_n is the difference by its expanded uncertainty, ISO 13528; up to 1 they agree.", fixed(r.Worst, 2), r.Reading))
}

// suspects are the first few lines, where there is something to suspect.
func (a comparisonAnswer) suspects() studyTable {
	const most = 6
	t := studyTable{title: "Most likely behind the difference, first the likeliest",
		columns: []studyColumn{{title: "of", text: true}, {title: "line", text: true}, {title: "u", unit: a.unit().Symbol()}, {title: "of variance", unit: "%"}, {title: "alone", unit: "times u"}}}
	if a.Result.Agree {
		return t
	}
	for _, s := range a.Result.Suspects[:min(most, len(a.Result.Suspects))] {
		t.rows = append(t.rows, []string{s.Party, s.Name, significant(a.unit().FromFloat(s.Standard), 2), fixed(100*s.Share, 1), fixed(math.Min(s.Times, 9999), 1)})
	}
	return t
}

// document is the comparison as a paper.
func (a comparisonAnswer) document(house registry.Opening, head string, today calib.Date) certs.Document {
	doc := recordPaper("Comparison", fmt.Sprintf("A-%06d", a.Entry), a.name(), house, head, today)
	says := a.says()
	word := yes(a.Result.Agree, "They agree", "They do not agree")
	doc.Parts = []certs.Part{
		certs.Outcome{Title: "Result", Word: word, Lines: append([]string{says[len(says)-1]}, says[:len(says)-1]...)},
		certs.Statement{Title: "Method", Paragraphs: a.method()}, a.specimens().paper(),
	}
	if t := a.suspects(); len(t.rows) > 0 {
		doc.Parts = append(doc.Parts, t.paper(suspectsNote))
	}
	c := a.Comparison
	facts := certs.Facts{Title: "What was compared", Pairs: []certs.Fact{{Label: "A", Value: partyText(c.A)}, {Label: "B", Value: partyText(c.B)}, {Label: "Date", Value: c.Date.String()}, {Label: "By", Value: c.Person}}}
	for _, f := range []certs.Fact{{Label: "Title", Value: c.Title}, {Label: "Remarks", Value: c.Remarks}} {
		if f.Value != "" {
			facts.Pairs = append(facts.Pairs, f)
		}
	}
	doc.Parts = append(doc.Parts, facts)
	return doc
}

func partyText(p agreement.Party) string {
	var parts []string
	for _, s := range []string{p.Name, yes(p.Gauge != "", "gauge "+p.Gauge, ""), p.Instrument, yes(p.Method != "", "method "+p.Method, "")} {
		if s != "" {
			parts = append(parts, s)
		}
	}
	return strings.Join(parts, "; ")
}
