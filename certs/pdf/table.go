package pdf

import (
	"fmt"
	"strings"

	"example.org/wring/certs"
)

// Distances in tables, mm (house rules).
const (
	leastGap   = 2.6  // between columns
	leastText  = 14.0 // to which a column of text may be narrowed
	mostWord   = 34.0 // of a column of text that a single word may claim
	cellAbove  = 0.36 // above and below the text of a cell
	remarkLead = "▪ " // before the remark of a row
)

// column is how wide one column came out, and where it stands.
type column struct {
	certs.Column
	x, width float64
	least    float64 // width to which it may be narrowed
	after    float64 // width of the widest text after the decimal mark
}

// grid is a table whose columns have been fitted.
type grid struct {
	*setter
	table   certs.Table
	columns []column
	cell    style
	heading style
}

// table sets the title, the heading, the rows and the notes. The heading is
// set again on every page the rows run on to.
func (s *setter) table(t certs.Table) ([]box, error) {
	g, err := s.fitted(t)
	if err != nil {
		return nil, err
	}
	title := s.tableTitle(t.Title)
	head := g.head()
	again := s.tableTitle(t.Title + " (continued)")
	repeat := box{height: again.height + head.height, marks: again.marks}
	for _, m := range head.marks {
		repeat.marks = append(repeat.marks, m.moved(spot{0, again.height}))
	}
	var rows []box
	for _, r := range t.Rows {
		b := g.row(r)
		b.head = &repeat
		rows = append(rows, b)
	}
	rows = tie(rows)
	w := s.sheet.measure()
	last := box{height: 0.6, marks: []mark{rule(0, w, 0, 0.25, petrol)}, tied: len(t.Notes) > 0}
	if len(rows) > 0 {
		rows[len(rows)-1].tied = true
	}
	title.tied, head.tied = true, true
	boxes := append([]box{title, head}, rows...)
	boxes = append(boxes, last)
	for _, n := range t.Notes {
		boxes = append(boxes, s.note(n))
	}
	return boxes, nil
}

func (s *setter) tableTitle(text string) box {
	b := box{space: s.space}
	for _, l := range s.broken(text, partStyle, s.sheet.measure()) {
		b.marks = append(b.marks, textMark{at: spot{0, b.height + partStyle.ascent()}, text: l, style: partStyle})
		b.height += partStyle.leading()
	}
	b.height += 0.6
	return b
}

func (s *setter) note(text string) box {
	var b box
	for _, l := range s.broken(text, noteStyle, s.sheet.measure()) {
		b.marks = append(b.marks, textMark{at: spot{0, b.height + noteStyle.ascent() + 0.5}, text: l, style: noteStyle})
		b.height += noteStyle.leading()
	}
	return b
}

// fitted finds the largest size at which the columns fit the page: columns of
// numbers are never broken, columns of text give way.
func (s *setter) fitted(t certs.Table) (grid, error) {
	w := s.sheet.measure()
	room := w - float64(len(t.Columns)-1)*leastGap
	for _, size := range cellSizes {
		g := grid{setter: s, table: t, cell: style{regular, size, black}, heading: style{regular, size - 0.6, grey}}
		// Headings on one line look calmer, if nothing has to give way for it.
		if _, wanted := g.measureColumns(g.wholeHeading); wanted <= room {
			g.spread(room)
			return g, nil
		}
		if least, _ := g.measureColumns(g.longestWord); least <= room {
			g.spread(room)
			return g, nil
		}
	}
	return grid{}, fmt.Errorf("table %q: %d columns are wider than the page; want fewer or narrower ones", t.Title, len(t.Columns))
}

// measureColumns gives every column the width it wants, with room for as much
// of its heading as the rule given takes, and returns the sum of those and of
// the least that the columns can do with.
func (g *grid) measureColumns(heading func(string) float64) (least, wanted float64) {
	g.columns = make([]column, len(g.table.Columns))
	for i, c := range g.table.Columns {
		g.columns[i] = g.natural(c, i, heading(c.Heading))
		least += g.columns[i].least
		wanted += g.columns[i].width
	}
	return least, wanted
}

func (g *grid) natural(c certs.Column, index int, heading float64) column {
	col := column{Column: c, width: max(heading, g.width(c.Unit, g.heading))}
	before, whole, word := 0.0, 0.0, 0.0
	for _, r := range g.table.Rows {
		cell := r.Cells[index]
		st := g.cellStyle(r)
		whole = max(whole, g.width(cell, st))
		word = max(word, g.longest(cell, st))
		if c.Align == certs.Point {
			b, a := certs.CutPoint(cell)
			before, col.after = max(before, g.width(b, st)), max(col.after, g.width(a, st))
		}
	}
	col.width = max(col.width, whole, before+col.after)
	col.least = col.width
	if c.Align == certs.Left {
		col.least = min(col.width, max(leastText, min(word, mostWord), g.longestWord(c.Heading)))
	}
	return col
}

func (g *grid) wholeHeading(heading string) float64 { return g.width(heading, g.heading) }
func (g *grid) longestWord(heading string) float64  { return g.longest(heading, g.heading) }

func (g *grid) longest(text string, st style) (w float64) {
	for _, word := range strings.Split(text, " ") {
		w = max(w, g.width(word, st))
	}
	return w
}

// cellStyle lifts a row out by weight as well.
func (g *grid) cellStyle(r certs.Row) style {
	st := g.cell
	if r.SetOff() {
		st.face = bold
	}
	return st
}

// spread takes from columns of text what lacks, or shares out what is left
// over, and places the columns.
func (g *grid) spread(room float64) {
	total, slack := 0.0, 0.0
	for _, c := range g.columns {
		total += c.width
		slack += c.width - c.least
	}
	share := 0.0
	if n := len(g.columns); total <= room && n > 1 {
		share = (room - total) / float64(n-1)
	}
	x := 0.0
	for i := range g.columns {
		c := &g.columns[i]
		if total > room {
			c.width -= (total - room) * (c.width - c.least) / slack
		}
		c.x = x
		x += c.width + leastGap + share
	}
}

// head is the heading: names at the bottom, the unit under each.
func (g *grid) head() box {
	w := g.sheet.measure()
	lines := make([][]string, len(g.columns))
	most, units := 1, 0
	for i, c := range g.columns {
		lines[i] = g.broken(c.Heading, g.heading, max(c.width, g.longestWord(c.Heading)))
		most = max(most, len(lines[i]))
		if c.Unit != "" {
			units = 1
		}
	}
	b := box{marks: []mark{rule(0, w, 0, 0.25, petrol)}}
	top := 0.8 + g.heading.ascent()
	for i, c := range g.columns {
		for j, l := range lines[i] {
			y := top + float64(most-len(lines[i])+j)*g.heading.leading()
			b.marks = append(b.marks, g.edge(c, l, g.heading, y))
		}
		if c.Unit != "" {
			b.marks = append(b.marks, g.edge(c, c.Unit, g.heading, top+float64(most)*g.heading.leading()))
		}
	}
	b.height = 1.4 + float64(most+units)*g.heading.leading()
	b.marks = append(b.marks, rule(0, w, b.height, 0.25, petrol))
	return b
}

// edge sets a text along the edge of its column.
func (g *grid) edge(c column, text string, st style, y float64) textMark {
	if c.Align == certs.Left {
		return textMark{at: spot{c.x, y}, text: text, style: st}
	}
	return g.rightward(text, st, c.x+c.width, y)
}

// row sets one row; its remark stands under it, and both on a tint.
func (g *grid) row(r certs.Row) box {
	w := g.sheet.measure()
	st := g.cellStyle(r)
	var texts []mark
	most := 1
	for i, c := range g.columns {
		y := cellAbove + (st.leading()+st.figure())/2 // figures stand in the middle
		switch c.Align {
		case certs.Left:
			lines := g.broken(r.Cells[i], st, c.width)
			most = max(most, len(lines))
			for j, l := range lines {
				texts = append(texts, textMark{at: spot{c.x, y + float64(j)*st.leading()}, text: l, style: st})
			}
		case certs.Right:
			texts = append(texts, g.rightward(r.Cells[i], st, c.x+c.width, y))
		case certs.Point:
			before, _ := certs.CutPoint(r.Cells[i])
			x := c.x + c.width - c.after - g.width(before, st)
			texts = append(texts, textMark{at: spot{x, y}, text: r.Cells[i], style: st})
		}
	}
	b := box{height: 2*cellAbove + float64(most)*st.leading()}
	if r.Remark != "" {
		b.height += 0.6
		for _, l := range g.broken(remarkLead+r.Remark, g.cell, w-4) {
			texts = append(texts, textMark{at: spot{2, b.height - cellAbove + g.cell.ascent()}, text: l, style: g.cell})
			b.height += g.cell.leading()
		}
		b.height += 0.3
	}
	if r.SetOff() {
		b.marks = append(b.marks, rectangle(0, 0, w, b.height, paleRow))
	}
	b.marks = append(b.marks, texts...)
	b.marks = append(b.marks, rule(0, w, b.height, 0.1, hair))
	return b
}
