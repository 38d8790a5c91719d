package text

import (
	"strings"
	"unicode/utf8"

	"example.org/wring/certs"
)

// columnGap divides columns.
const columnGap = "  "

func (w *writer) table(t certs.Table) {
	columns := make([]column, len(t.Columns))
	for i, c := range t.Columns {
		columns[i] = fit(c, i, t.Rows)
	}
	headings := make([]string, len(columns))
	units := make([]string, len(columns))
	for i, c := range t.Columns {
		headings[i], units[i] = columns[i].edge(c.Heading), columns[i].edge(c.Unit)
	}
	w.line(strings.Join(headings, columnGap))
	if line := strings.Join(units, columnGap); strings.TrimSpace(line) != "" {
		w.line(line)
	}
	w.line(strings.Repeat("-", utf8.RuneCountInString(strings.Join(headings, columnGap))))
	for _, r := range t.Rows {
		cells := make([]string, len(columns))
		for i, c := range columns {
			cells[i] = c.cell(r.Cells[i])
		}
		w.line(strings.Join(cells, columnGap))
		if r.Remark != "" {
			w.wrapped("    ! ", r.Remark)
		}
	}
	for _, n := range t.Notes {
		w.wrapped("", n)
	}
}

// A column knows how many characters its cells need, and for decimal columns
// how many of them stand after the mark.
type column struct {
	align certs.Align
	width int
	after int
}

func fit(c certs.Column, index int, rows []certs.Row) column {
	col := column{align: c.Align}
	before := 0
	for _, r := range rows {
		cell := r.Cells[index]
		if c.Align == certs.Point {
			b, a := certs.CutPoint(cell)
			before, col.after = max(before, utf8.RuneCountInString(b)), max(col.after, utf8.RuneCountInString(a))
			continue
		}
		col.width = max(col.width, utf8.RuneCountInString(cell))
	}
	col.width = max(col.width, before+col.after, utf8.RuneCountInString(c.Heading), utf8.RuneCountInString(c.Unit))
	return col
}

// edge sets a heading along the edge of its column.
func (c column) edge(s string) string {
	if c.align == certs.Left {
		return padRight(s, c.width)
	}
	return padLeft(s, c.width)
}

func (c column) cell(s string) string {
	if c.align != certs.Point {
		return c.edge(s)
	}
	before, after := certs.CutPoint(s)
	return padLeft(before, c.width-c.after) + padRight(after, c.after)
}
