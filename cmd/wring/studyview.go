package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/study"
	"example.org/wring/certs"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

// A studyAnswer is a study with its result as --json has it; sizes are in the
// unit that the result names.
type studyAnswer struct {
	Entry  uint64       `json:"entry,omitempty"` // 0 while it is not kept
	Study  study.Study  `json:"study"`
	Result study.Result `json:"result"`

	Withdrawn uint64 `json:"withdrawn_by,omitempty"` // entry; 0 where it stands

	gauge calib.Gauge
}

// A studyPlanAnswer is what --json says of a planned study.
type studyPlanAnswer struct {
	Gauge string       `json:"gauge"`
	Seed  uint64       `json:"seed"`
	Turns []study.Turn `json:"turns"`
}

// status is no where the process does not serve.
func (a studyAnswer) status() error {
	if a.Result.Reading == study.DoesNotServe || a.Result.Reading == study.Exceeds {
		return errNo
	}
	return nil
}

// significant writes a number with n significant digits, without an exponent.
func significant(f float64, n int) string {
	if f == 0 || math.IsInf(f, 0) || math.IsNaN(f) {
		return "0"
	}
	digits := strconv.FormatFloat(f, 'e', n-1, 64) // rounded first: 0.0999 is 0.10 to two
	_, exponent, _ := strings.Cut(digits, "e")
	power, _ := strconv.Atoi(exponent)
	return strconv.FormatFloat(f, 'f', max(n-1-power, 0), 64)
}

// in turns a size of the result into the gauge's unit.
func (a studyAnswer) in(size float64) float64 { return a.gauge.ReadIn().FromFloat(size) }

func (a studyAnswer) square(variance float64) float64 { return a.in(a.in(variance)) }

func (a studyAnswer) size(s float64) string { return significant(a.in(s), 3) }

func percentOf(share float64) string {
	if share > 0 && share < 0.001 {
		return "<0.1"
	}
	return fixed(100*share, 1)
}

func (a studyAnswer) name() string {
	return "study of " + a.Study.Gauge + yes(a.Entry > 0, fmt.Sprintf(", entry %d", a.Entry), "")
}

func (a studyAnswer) head() string {
	s := a.Study
	text := fmt.Sprintf("Study of %s%s: %d parts × %d operators × %d repeats, %s, led by %s", s.Gauge, yes(s.Title != "", ", "+s.Title, ""), len(s.Parts), len(s.Operators), s.Repeats, s.Date, s.Person)
	return text + yes(s.Process != "", ". "+capitalised(yes(s.Process == "", "-", s.Process)), "") + "."
}

// write sets the study for a person.
func (a studyAnswer) write(out io.Writer) error {
	if err := screen.Paragraph(out, a.head()+"\n", "  "); err != nil {
		return err
	}
	for _, t := range []studyTable{a.components(false), a.analysis(), a.operators()} {
		if err := first(line(out, "%s", t.title), t.screen().Write(out), line(out, "")); err != nil {
			return err
		}
	}
	return screen.Paragraph(out, strings.Join(append(a.notes(), a.says()...), "\n"), "  ")
}

// A studyTable is one of the tables, for screen and paper alike.
type studyTable struct {
	title   string
	columns []studyColumn
	rows    [][]string
}

type studyColumn struct {
	title, unit string
	text        bool
}

func (t studyTable) screen() screen.Table {
	var out screen.Table
	for _, c := range t.columns {
		align := screen.Decimal
		if c.text {
			align = screen.Left
		}
		out.Columns = append(out.Columns, screen.Column{Title: c.title + yes(c.unit != "", "\n"+c.unit, ""), Align: align})
	}
	for _, row := range t.rows {
		out.Add(row...)
	}
	return out
}

func (t studyTable) paper(notes ...string) certs.Table {
	out := certs.Table{Title: t.title, Notes: notes}
	for _, c := range t.columns {
		align := certs.Point
		if c.text {
			align = certs.Left
		}
		out.Columns = append(out.Columns, certs.Column{Heading: c.title, Unit: c.unit, Align: align})
	}
	for _, r := range t.rows {
		out.Rows = append(out.Rows, certs.Row{Cells: r})
	}
	return out
}

// components has a column for the variances themselves on paper, which is wider
// than a screen.
func (a studyAnswer) components(paper bool) studyTable {
	u, r := a.gauge.Unit, a.Result
	level := percentText(r.Probability) + " % from"
	t := studyTable{title: "Components of variance", columns: []studyColumn{{title: "component", text: true}, {title: "s", unit: u}, {title: level, unit: u}, {title: "to", unit: u}, {title: "ν"},
		{title: "of total", unit: "variance, %"}}}
	if r.Tolerance > 0 {
		t.columns = append(t.columns, studyColumn{title: fmt.Sprintf("%g s of", r.Multiple), unit: "toler., %"}, studyColumn{title: "from", unit: "%"}, studyColumn{title: "to", unit: "%"})
	}
	if paper {
		t.columns = slices.Insert(t.columns, 1, studyColumn{title: "variance", unit: u + "²"})
	}
	for _, c := range r.Shares {
		row := []string{c.Of, a.size(c.S), a.size(c.Low), a.size(c.High), yes(c.DoF > 0, fixed(c.DoF, 1), "–"), percentOf(c.OfTotal)}
		if r.Tolerance > 0 {
			row = append(row, percentOf(c.OfTolerance), fixed(100*c.LowOf, 0), fixed(100*c.HighOf, 0))
		}
		if paper {
			row = slices.Insert(row, 1, significant(a.square(c.Variance), 4))
		}
		t.rows = append(t.rows, row)
	}
	return t
}

func (a studyAnswer) analysis() studyTable {
	u := a.gauge.Unit + "²"
	t := studyTable{title: "Analysis of variance", columns: []studyColumn{{title: "line", text: true}, {title: "sum of squares", unit: u}, {title: "ν"}, {title: "mean square", unit: u},
		{title: "F"}, {title: "p"}, {title: "tested against", text: true}}}
	for _, l := range a.Result.Lines {
		row := []string{l.Of, significant(a.square(l.Squares), 4), fixed(l.DoF, 0), significant(a.square(l.MeanSquare), 4), "", "", ""}
		if l.Against != "" {
			row[4], row[5], row[6] = significant(l.F, 3), pText(l.P), l.Against
		}
		t.rows = append(t.rows, row)
	}
	return t
}

func pText(p float64) string {
	if p < 0.0001 {
		return "<0.0001"
	}
	return fixed(p, 4)
}

func (a studyAnswer) operators() studyTable {
	u := a.gauge.Unit
	t := studyTable{title: "Operators", columns: []studyColumn{{title: "operator", text: true}, {title: "mean", unit: u}, {title: "s of repeats", unit: u}}}
	places := a.gauge.Resolution.Places() + 1
	for _, o := range a.Result.Operators {
		t.rows = append(t.rows, []string{o.Name, fixed(a.in(o.Mean), places), a.size(o.S)})
	}
	return t
}

// notes say how to read the tables.
func (a studyAnswer) notes() []string {
	r := a.Result
	out := []string{
		"s: standard deviation; ν: degrees of freedom, for a variance those that it is worth (Satterthwaite). Reproducibility is operators and what they do otherwise from part to part; measurement is repeatability and reproducibility. Variances add up, standard deviations do not. Intervals: modified large samples.",
		capitalised(r.Why) + ".", capitalised(r.Against) + ".",
	}
	if a.Study.Seed > 0 {
		out = append(out, fmt.Sprintf("Order planned by seed %d.", a.Study.Seed))
	}
	return out
}

// says is what was marked, and what the study comes to.
func (a studyAnswer) says() []string {
	var out []string
	r := a.Result
	if a.Withdrawn > 0 {
		out = append(out, withdrawnText(a.Withdrawn))
	}
	for _, f := range r.Findings {
		out = append(out, "Marked: "+f+".")
	}
	if r.Categories > 0 {
		out = append(out, fmt.Sprintf("Classes of parts that can be told apart: %d (√2 · s of parts / s of measurement = %s; five is common practice).", r.Categories, significant(r.Ratio, 3)))
	}
	return append(out, a.reading())
}

func (a studyAnswer) reading() string {
	r := a.Result
	c, _ := r.Find(study.OfMeasurement)
	if r.Tolerance == 0 {
		return "No tolerance was given: nothing is said of whether the process serves."
	}
	says := map[study.Reads]string{study.Serves: "The process serves", study.ServesWithCare: "The process serves with care", study.DoesNotServe: "The process does not serve", study.Exceeds: "The process exceeds the tolerance"}[r.Reading]
	return fmt.Sprintf("%s: %g s of the measurement are %s %% of the tolerance %s to %s (%s %% to %s %% at %s %% confidence). Up to 10 %% serves, up to 30 %% serves with care (common practice).",
		says, r.Multiple, percentOf(c.OfTolerance), a.Study.Low, a.Study.High, percentOf(c.LowOf), percentOf(c.HighOf), percentText(r.Probability))
}

// short is a size with its unit, as a list has room for.
func (a studyAnswer) short(s float64) string { return significant(a.in(s), 2) + " " + a.gauge.Unit }

// row is a study in one line of a list.
func (a studyAnswer) row() []string {
	r := a.Result
	repeat, _ := r.Find(study.OfRepeatability)
	people, _ := r.Find(study.OfReproducibility)
	all, _ := r.Find(study.OfMeasurement)
	short := map[study.Reads]string{study.Serves: "yes", study.ServesWithCare: "with care", study.DoesNotServe: "no", study.Exceeds: "exceeds it"}
	return []string{strconv.FormatUint(a.Entry, 10), a.Study.Date.String(), a.Study.Gauge, a.Study.Title, a.short(repeat.S), a.short(people.S),
		yes(r.Tolerance > 0, percentOf(all.OfTolerance), ""), yes(a.Withdrawn > 0, "withdrawn", short[r.Reading])}
}

// document is the study as a paper.
func (a studyAnswer) document(house registry.Opening, head string, today calib.Date) certs.Document {
	s := a.Study
	doc := recordPaper("Study of a measuring process", fmt.Sprintf("S-%06d", a.Entry), a.name(), house, head, today)
	facts := certs.Facts{Title: "What was studied", Pairs: []certs.Fact{{Label: "Gauge", Value: s.Gauge + ", " + string(a.gauge.Kind)}, {Label: "Title", Value: s.Title}, {Label: "Process", Value: s.Process},
		{Label: "Parts", Value: strings.Join(s.Parts, ", ")}, {Label: "Operators", Value: strings.Join(s.Operators, ", ")}, {Label: "Repeats", Value: strconv.Itoa(s.Repeats)},
		{Label: "Tolerance", Value: yes(a.Result.Tolerance > 0, s.Low.String()+" to "+s.High.String(), "none")}, {Label: "Date", Value: s.Date.String()}, {Label: "Led by", Value: s.Person}, {Label: "Remarks", Value: s.Remarks}}}
	facts.Pairs = slices.DeleteFunc(facts.Pairs, func(f certs.Fact) bool { return f.Value == "" })
	notes := a.notes()
	word := "No tolerance"
	if a.Result.Reading != "" {
		word = capitalised(string(a.Result.Reading))
	}
	says := a.says()
	slices.Reverse(says) // a paper says first what it comes to
	doc.Parts = []certs.Part{certs.Outcome{Title: "Result", Word: word, Lines: says}, facts, a.components(true).paper(notes[0]), a.analysis().paper(notes[1:]...), a.operators().paper(), a.readings()}
	return doc
}

// readings lists every reading in the order it stands in.
func (a studyAnswer) readings() certs.Table {
	t := certs.Table{Title: "Readings", Columns: []certs.Column{{Heading: "Part"}, {Heading: "Operator"}, {Heading: "Readings, in the order taken"}}}
	for _, part := range a.Study.Parts {
		for _, operator := range a.Study.Operators {
			var read []string
			for _, r := range a.Study.Readings {
				if r.Part == part && r.Operator == operator {
					read = append(read, r.Indication.String())
				}
			}
			t.Rows = append(t.Rows, certs.Row{Cells: []string{part, operator, strings.Join(read, ", ")}})
		}
	}
	return t
}
