package certs

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/certs/plot"
)

// MapText returns a copy of the document in which every string has passed
// through change, in reading order. Place says where the string stands, in a
// reader's words: `table "Results", row 3, column "error"`. The first error of
// change is returned unchanged.
func (d Document) MapText(change func(place, text string) (string, error)) (Document, error) {
	m := mapper{change: change}
	m.put("title", &d.Title)
	m.put("number", &d.Number)
	m.put("subject", &d.Subject)
	m.put("house name", &d.House.Name)
	d.House.Address = m.list("address line", d.House.Address)
	m.put("date of issue", &d.Issued)
	parts := make([]Part, len(d.Parts))
	for i, p := range d.Parts {
		parts[i] = m.part(p)
	}
	d.Parts = parts
	m.put("end mark", &d.End)
	m.put("head of the journal", &d.Head)
	m.put("program", &d.Program)
	d.Foot = m.list("foot line", d.Foot)
	return d, m.err
}

// mapper keeps the first error, so that the walk reads as a list.
type mapper struct {
	change func(place, text string) (string, error)
	err    error
}

func (m *mapper) put(place string, s *string) {
	if m.err != nil || *s == "" {
		return
	}
	*s, m.err = m.change(place, *s)
}

func (m *mapper) list(place string, lines []string) []string {
	lines = slices.Clone(lines)
	for i := range lines {
		m.put(fmt.Sprintf("%s %d", place, i+1), &lines[i])
	}
	return lines
}

func (m *mapper) part(p Part) Part {
	switch p := p.(type) {
	case Outcome:
		at := fmt.Sprintf("outcome %q", p.Title)
		m.put(at+", title", &p.Title)
		m.put(at+", word", &p.Word)
		p.Lines = m.list(at+", line", p.Lines)
		return p
	case Facts:
		return m.facts(p)
	case Table:
		return m.table(p)
	case Statement:
		at := fmt.Sprintf("statement %q", p.Title)
		m.put(at+", title", &p.Title)
		p.Paragraphs = m.list(at+", paragraph", p.Paragraphs)
		return p
	case List:
		at := fmt.Sprintf("list %q", p.Title)
		m.put(at+", title", &p.Title)
		p.Items = m.list(at+", item", p.Items)
		return p
	case Figure:
		return m.figure(p)
	case Signatures:
		return m.signatures(p)
	}
	return p
}

func (m *mapper) facts(f Facts) Facts {
	at := fmt.Sprintf("facts %q", f.Title)
	m.put(at+", title", &f.Title)
	f.Pairs = slices.Clone(f.Pairs)
	for i := range f.Pairs {
		label := f.Pairs[i].Label
		m.put(fmt.Sprintf("%s, label %d", at, i+1), &f.Pairs[i].Label)
		m.put(fmt.Sprintf("%s, %q", at, label), &f.Pairs[i].Value)
	}
	return f
}

func (m *mapper) table(t Table) Table {
	at := fmt.Sprintf("table %q", t.Title)
	m.put(at+", title", &t.Title)
	t.Columns = slices.Clone(t.Columns)
	names := make([]string, len(t.Columns))
	for i := range t.Columns {
		c := &t.Columns[i]
		names[i] = c.Heading
		m.put(fmt.Sprintf("%s, heading %d", at, i+1), &c.Heading)
		m.put(fmt.Sprintf("%s, unit of column %d", at, i+1), &c.Unit)
	}
	t.Rows = slices.Clone(t.Rows)
	for i := range t.Rows {
		r := &t.Rows[i]
		r.Cells = slices.Clone(r.Cells)
		for j := range r.Cells {
			m.put(fmt.Sprintf("%s, row %d, column %q", at, i+1, strings.TrimSpace(nameAt(names, j))), &r.Cells[j])
		}
		m.put(fmt.Sprintf("%s, row %d, remark", at, i+1), &r.Remark)
	}
	t.Notes = m.list(at+", note", t.Notes)
	return t
}

// nameAt lets a row that is too long be walked; Check refuses it.
func nameAt(names []string, i int) string {
	if i < len(names) {
		return names[i]
	}
	return ""
}

func (m *mapper) figure(f Figure) Figure {
	at := fmt.Sprintf("figure %q", f.Title)
	m.put(at+", title", &f.Title)
	m.axis(at+", horizontal axis", &f.Plot.X)
	m.axis(at+", vertical axis", &f.Plot.Y)
	f.Plot.Bands = relabel(m, at+", band", f.Plot.Bands, func(b *plot.Band) *string { return &b.Label })
	f.Plot.Lines = relabel(m, at+", line", f.Plot.Lines, func(l *plot.Line) *string { return &l.Label })
	f.Plot.Series = relabel(m, at+", series", f.Plot.Series, func(s *plot.Series) *string { return &s.Label })
	m.put(at+", caption", &f.Caption)
	return f
}

func (m *mapper) axis(place string, a *plot.Axis) {
	m.put(place, &a.Quantity)
	m.put(place+", unit", &a.Unit)
}

func relabel[T any](m *mapper, place string, things []T, label func(*T) *string) []T {
	things = slices.Clone(things)
	for i := range things {
		m.put(fmt.Sprintf("%s %d", place, i+1), label(&things[i]))
	}
	return things
}

func (m *mapper) signatures(s Signatures) Signatures {
	at := fmt.Sprintf("signatures %q", s.Title)
	m.put(at+", title", &s.Title)
	s.People = slices.Clone(s.People)
	for i := range s.People {
		p := &s.People[i]
		place := fmt.Sprintf("%s, person %d", at, i+1)
		m.put(place+", role", &p.Role)
		m.put(place+", name", &p.Name)
		m.put(place+", date", &p.Date)
		m.put(place+", note", &p.Note)
	}
	return s
}
