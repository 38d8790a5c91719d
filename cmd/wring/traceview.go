package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/cmd/internal/screen"
)

func (a traceAnswer) write(out io.Writer) error {
	switch {
	case a.Survey != nil:
		return first(screen.Paragraph(out, a.title(), "  "), a.Survey.write(out), line(out, "\n%s", a.verdict()))
	case a.Check != nil:
		return first(a.writeChain(out), line(out, "\n%s", a.verdict()))
	}
	return first(a.writeChain(out), a.writeMadeWith(out), line(out, "\n%s", a.verdict()))
}

// writeChain says at which result a chain begins, and each of its links.
func (a traceAnswer) writeChain(out io.Writer) error {
	if err := line(out, "%s", a.title()); err != nil {
		return err
	}
	for _, l := range a.Links {
		if err := first(line(out, ""), screen.Facts(out, l.facts()...)); err != nil {
			return err
		}
		for _, b := range l.Breaks {
			if err := screen.Paragraph(out, "BREAK, "+string(b.Kind)+": "+b.Text, "  "); err != nil {
				return err
			}
		}
	}
	return nil
}

// title says at which result the chain begins.
func (a traceAnswer) title() string {
	switch {
	case a.Survey != nil:
		return a.Survey.title()
	case a.Check == nil:
		return a.Subject
	}
	c := a.Check
	text := fmt.Sprintf("%s, check of %s %s, %s: %s", c.Certificate, c.Gauge, c.Date, c.Stage, c.Verdict)
	if c.MostUM > 0 { // a check by force has no lengths
		text += ", U " + span(c.LeastUM, c.MostUM, "µm")
	}
	if c.AmendedBy > 0 {
		text += "; " + c.fate()
	}
	return text
}

// fate says what became of a check that counts no more.
func (c tracedCheck) fate() string {
	return fmt.Sprintf("%s by entry %d", yes(c.Withdrawn, "withdrawn", "amended"), c.AmendedBy)
}

func (a traceAnswer) verdict() string {
	if a.Unbroken {
		return "The chain is documented at every link."
	}
	return fmt.Sprintf("The chain is broken at %s.", plural(a.breaks(), "place"))
}

// span writes a range of two figures, three digits each.
func span(least, most float64, unit string) string {
	short := func(f float64) string { return strconv.FormatFloat(f, 'g', 3, 64) }
	if short(least) == short(most) {
		return short(most) + " " + unit
	}
	return short(least) + " to " + short(most) + " " + unit
}

func (l traceLink) facts() [][2]string {
	certificate, u := "", ""
	if l.Certificate != "" {
		certificate = fmt.Sprintf("%s of %s, %s (entry %d)", l.Certificate, l.Date, l.dueText(), l.Entry)
	}
	if r := l.Uncertainty; r != nil {
		u = fmt.Sprintf("%s, U/k of %s", span(r.Least, r.Most, r.Unit), plural(r.Rows, "value"))
	}
	facts := [][2]string{{"standard", l.name()}, {"used", sizes(l.Used)}, {"certificate", certificate}, {"laboratory", l.Laboratory},
		{"accreditation", l.Accreditation}, {"uncertainty", u}, {"route", routeText(l.Route)}, {"file", strings.Join(l.Files, ", ")}}
	for _, n := range l.Notes {
		facts = append(facts, [2]string{"note", n})
	}
	return facts
}

// sizes joins quantities, the unit of neighbours that share it once.
func sizes(list []string) string {
	var b strings.Builder
	for i, q := range list {
		number, unit, _ := strings.Cut(q, " ")
		if i+1 < len(list) && strings.HasSuffix(list[i+1], " "+unit) {
			b.WriteString(number + ", ")
			continue
		}
		b.WriteString(q)
		if i+1 < len(list) {
			b.WriteString(", ")
		}
	}
	return b.String()
}

func (l traceLink) name() string {
	text := l.Standard + ", " + string(l.Kind)
	if l.Description != "" {
		text += ", " + l.Description
	}
	if l.Serial != "" {
		text += ", no. " + l.Serial
	}
	return text
}

func (l traceLink) dueText() string {
	if l.Due.IsZero() {
		return "no due date stated"
	}
	return "due " + l.Due.String()
}

// routeText says how the laboratory reaches the SI. Here the chain of the
// registry ends: the rest is the laboratory's own.
func routeText(r calib.Route) string {
	switch r {
	case calib.ByInstitute:
		return "calibrated by a national institute, which realises the unit"
	case calib.ByAccredited:
		return "by an accredited laboratory, whose own chain to a national institute its accreditation assures"
	case calib.ByEvidence:
		return "by a laboratory that is not accredited; the evidence kept must show its chain to a national institute"
	}
	return string(r)
}

func (a traceAnswer) writeMadeWith(out io.Writer) error {
	if len(a.MadeWith) == 0 {
		return line(out, "\nnothing was checked with it yet")
	}
	t := screen.Table{Columns: []screen.Column{{Title: "check", Align: screen.Right}, {Title: "date"}, {Title: "gauge"}, {Title: "stage"},
		{Title: "verdict", Wrap: true}, {Title: "by"}, {Title: "with certificate", Wrap: true}, {Title: "amended by", Align: screen.Right}}}
	for _, c := range a.MadeWith {
		by := ""
		if c.AmendedBy > 0 {
			by = yes(c.Withdrawn, "withdrawn, ", "") + strconv.FormatUint(c.AmendedBy, 10)
		}
		t.Add(strconv.FormatUint(c.Entry, 10), c.Date.String(), c.Gauge, string(c.Stage), string(c.Verdict), c.By, a.counted(c.Counted), by)
	}
	return first(line(out, "\nmade with it:"), t.Write(out))
}

// counted names the certificate in an entry.
func (a traceAnswer) counted(entry uint64) string {
	for _, l := range a.Links {
		if entry > 0 && l.Entry == entry {
			return l.Certificate
		}
	}
	return "none"
}

func (a traceAnswer) document(today calib.Date) certs.Document {
	doc := recordPaper("Record of traceability", "trace of "+a.Subject, a.title(), a.house, a.head, today)
	doc.Parts = append(doc.Parts, certs.Statement{Title: "Chain", Paragraphs: []string{a.verdict()}})
	doc.Parts = append(doc.Parts, a.linkParts()...)
	if a.Survey != nil {
		doc.Parts = append(doc.Parts, a.Survey.parts()...)
	}
	if len(a.MadeWith) > 0 {
		doc.Parts = append(doc.Parts, a.madeWithTable())
	}
	return doc
}

// linkParts shows each link of a chain, with what breaks it.
func (a traceAnswer) linkParts() (parts []certs.Part) {
	for _, l := range a.Links {
		var pairs []certs.Fact
		for _, f := range l.facts() {
			if f[1] != "" {
				pairs = append(pairs, certs.Fact{Label: capitalised(f[0]), Value: f[1]})
			}
		}
		parts = append(parts, certs.Facts{Title: "Standard " + l.Standard, Pairs: pairs})
		if len(l.Breaks) > 0 {
			list := certs.List{Title: "Breaks at " + l.Standard}
			for _, b := range l.Breaks {
				list.Items = append(list.Items, capitalised(string(b.Kind))+": "+b.Text+".")
			}
			parts = append(parts, list)
		}
	}
	return parts
}

func (a traceAnswer) madeWithTable() certs.Table {
	t := certs.Table{Title: "Made with it", Columns: []certs.Column{{Heading: "Check", Align: certs.Right}, {Heading: "Date"}, {Heading: "Gauge"},
		{Heading: "Stage"}, {Heading: "Verdict"}, {Heading: "By"}, {Heading: "With certificate"}}}
	for _, c := range a.MadeWith {
		row := certs.Row{Cells: []string{strconv.FormatUint(c.Entry, 10), c.Date.String(), c.Gauge, string(c.Stage), string(c.Verdict), c.By, a.counted(c.Counted)}}
		if c.AmendedBy > 0 {
			row.Remark = capitalised(c.fate()) + "."
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
