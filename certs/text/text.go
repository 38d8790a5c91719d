package text

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"example.org/wring/certs"
)

// narrowest is the least width that holds a label and a value (house rule).
const narrowest = 40

// Render sets the document in lines of at most width characters; only tables
// whose columns need more run wider, for a broken row cannot be read. The
// error is that of [certs.Document.Check], or names the width.
func Render(d certs.Document, width int) (string, error) {
	if err := d.Check(); err != nil {
		return "", err
	}
	if width < narrowest {
		return "", fmt.Errorf("document %q: width of %d characters; want at least %d", d.Number, width, narrowest)
	}
	w := &writer{width: width}
	w.face(d)
	for _, p := range d.Parts {
		w.part(p)
	}
	w.line("")
	w.line("--- " + d.End + " ---")
	w.line("")
	for _, f := range d.Foot {
		w.wrapped("", f)
	}
	w.line(d.Head)
	w.line(d.Program)
	return strings.TrimRight(w.String(), "\n") + "\n", nil
}

type writer struct {
	strings.Builder
	width int
}

func (w *writer) line(s string) {
	w.WriteString(strings.TrimRight(strings.ReplaceAll(s, "\u00a0", " "), " "))
	w.WriteByte('\n')
}

// wrapped writes a paragraph; lines after the first are indented like the lead.
func (w *writer) wrapped(lead, s string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(lead))
	for i, l := range wrap(s, w.width-len(indent)) {
		if i == 0 {
			w.line(lead + l)
			continue
		}
		w.line(indent + l)
	}
}

func (w *writer) face(d certs.Document) {
	w.line(d.House.Name)
	for _, a := range d.House.Address {
		w.line(a)
	}
	w.line("")
	w.line(strings.ToUpper(d.Title))
	w.line("Number " + d.Number)
	w.line(d.Subject)
	w.line("Issued " + d.Issued)
}

func (w *writer) heading(s string) {
	w.line("")
	if s != "" {
		w.line("== " + s)
	}
}

func (w *writer) part(p certs.Part) {
	switch p := p.(type) {
	case certs.Outcome:
		w.heading(p.Title)
		w.line("[" + p.Word + "]")
		for _, l := range p.Lines {
			w.wrapped("", l)
		}
	case certs.Facts:
		w.heading(p.Title)
		w.facts(p.Pairs)
	case certs.Table:
		w.heading(p.Title)
		w.table(p)
	case certs.Statement:
		w.heading(p.Title)
		for _, s := range p.Paragraphs {
			w.wrapped("", s)
		}
	case certs.List:
		w.heading(p.Title)
		for _, s := range p.Items {
			w.wrapped("- ", s)
		}
	case certs.Figure:
		w.heading(p.Title)
		w.figure(p)
	case certs.Signatures:
		w.heading(p.Title)
		for _, s := range p.People {
			w.wrapped("", strings.TrimSuffix(fmt.Sprintf("%s: %s, %s; %s", s.Role, s.Name, s.Date, s.Note), "; "))
		}
	}
}

func (w *writer) facts(pairs []certs.Fact) {
	const widest = 24 // characters given to labels; longer ones push their value
	label := 0
	for _, f := range pairs {
		label = max(label, min(widest, utf8.RuneCountInString(f.Label)))
	}
	for _, f := range pairs {
		w.wrapped(padRight(f.Label, label)+"  ", f.Value)
	}
}

// figure writes the points as numbers, for a plot in characters would hide
// what a comparison must see.
func (w *writer) figure(f certs.Figure) {
	p := f.Plot
	w.line(fmt.Sprintf("%s in %s over %s in %s", p.Y.Quantity, p.Y.Unit, p.X.Quantity, p.X.Unit))
	for _, b := range p.Bands {
		if b.Label != "" {
			w.line("band: " + b.Label)
		}
	}
	for _, l := range p.Lines {
		if l.Label == "" { // the mirror of a line that has one
			continue
		}
		w.line(fmt.Sprintf("line: %s, from %.4g to %.4g", l.Label, l.Points[0].Y, l.Points[len(l.Points)-1].Y))
	}
	for _, s := range p.Series {
		w.line("points: " + s.Label)
		for _, pt := range s.Points {
			w.line(fmt.Sprintf("  %10.4g  %+10.4g ± %.4g", pt.X, pt.Y, pt.Bar))
		}
	}
	if f.Caption != "" {
		w.wrapped("", f.Caption)
	}
}

func padRight(s string, width int) string {
	return s + strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s)))
}

func padLeft(s string, width int) string {
	return strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s))) + s
}

// wrap breaks at spaces; a word that is wider than the line stands alone.
func wrap(s string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Split(s, " ") {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	return append(lines, line)
}
