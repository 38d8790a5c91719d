package html

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"example.org/wring/certs"
)

func titleOf(p certs.Part) string {
	switch p := p.(type) {
	case certs.Outcome:
		return p.Title
	case certs.Facts:
		return p.Title
	case certs.Table:
		return p.Title
	case certs.Statement:
		return p.Title
	case certs.List:
		return p.Title
	case certs.Figure:
		return p.Title
	case certs.Signatures:
		return p.Title
	}
	return ""
}

// part writes one part as a section of its own, which its heading names.
func (w *writer) part(number int, p certs.Part) error {
	class, title := "", titleOf(p)
	switch p.(type) {
	case certs.Outcome:
		class = ` class="outcome told"`
	case certs.Facts, certs.Statement, certs.List, certs.Signatures: // read beside their title
		class = ` class="told"`
	}
	if s, ok := p.(certs.Statement); ok && s.Opens {
		class = ` class="opens"`
	}
	w.put(`<section id="part-%d"%s>`+"\n", number, class)
	if _, captioned := p.(certs.Table); !captioned && title != "" {
		w.put("<h2>%s</h2>\n", escape(title))
	}
	switch p := p.(type) {
	case certs.Outcome:
		w.line("word", p.Word)
		w.lines(p.Lines)
	case certs.Facts:
		w.facts(p.Pairs)
	case certs.Table:
		w.table(p, "")
	case certs.Statement:
		w.lines(p.Paragraphs)
	case certs.List:
		w.put("<ul>\n")
		for _, s := range p.Items {
			w.put("<li>%s</li>\n", escape(s))
		}
		w.put("</ul>\n")
	case certs.Figure:
		if err := w.figure(p); err != nil {
			return err
		}
	case certs.Signatures:
		w.facts(signed(p.People))
	default:
		return fmt.Errorf("part %T: no way to set it; want one of the parts of a document", p)
	}
	w.put("</section>\n")
	return nil
}

func (w *writer) lines(list []string) {
	for _, s := range list {
		w.line("", s)
	}
}

func (w *writer) facts(pairs []certs.Fact) {
	w.put("<dl>\n")
	for _, f := range pairs {
		w.put("<div><dt>%s</dt><dd>%s</dd></div>\n", escape(f.Label), escape(f.Value))
	}
	w.put("</dl>\n")
}

// signed puts what stands under a signature in one line.
func signed(people []certs.Signature) (pairs []certs.Fact) {
	for _, s := range people {
		value := s.Name
		for _, more := range []string{s.Date, s.Note} {
			if more != "" {
				value += ", " + more
			}
		}
		pairs = append(pairs, certs.Fact{Label: s.Role, Value: value})
	}
	return pairs
}

// table writes a table that is moved sideways by itself where the page is too
// narrow; the keyboard reaches it. Its first column names the row. A table
// without a title has the caption that is given.
func (w *writer) table(t certs.Table, caption string) {
	label := cmp.Or(t.Title, caption, t.Columns[0].Heading)
	w.put(`<div class="roll" role="region" tabindex="0" aria-label="%s">`+"\n<table>\n<caption>", escape(label))
	if t.Title != "" {
		w.put("<h2>%s</h2>", escape(t.Title))
	} else {
		w.put("%s", escape(label))
	}
	w.put("</caption>\n<thead>\n<tr>")
	for _, c := range t.Columns {
		heading := escape(c.Heading)
		if c.Unit != "" {
			heading += "<br/>" + escape(c.Unit)
		}
		w.put(`<th scope="col"%s>%s</th>`, classOf(c), heading)
	}
	w.put("</tr>\n</thead>\n<tbody>\n")
	after, short := widestAfter(t), shortColumns(t)
	for _, r := range t.Rows {
		w.row(t.Columns, r, after, short)
	}
	w.put("</tbody>\n</table>\n</div>\n")
	for _, n := range t.Notes {
		w.line("note", n)
	}
}

func (w *writer) row(columns []certs.Column, r certs.Row, after []int, short []bool) {
	lifted := ""
	if r.SetOff() {
		lifted = ` class="lifted"`
	}
	w.put("<tr%s>", lifted)
	for i, c := range columns {
		text := r.Cells[i]
		if c.Align == certs.Point {
			text = padded(text, after[i])
		}
		tag, scope := "td", ""
		if i == 0 {
			tag, scope = "th", ` scope="row"`
		}
		class := classOf(c)
		if class == "" {
			class = ` class="text"`
			if short[i] {
				class = ` class="short"`
			}
		}
		w.put("<%s%s%s>%s</%s>", tag, scope, class, escape(text), tag)
	}
	w.put("</tr>\n")
	if r.Remark != "" {
		w.put(`<tr class="remark"><td colspan="%d">%s</td></tr>`+"\n", len(columns), escape(r.Remark))
	}
}

func classOf(c certs.Column) string {
	if c.Align == certs.Left {
		return ""
	}
	return ` class="number"`
}

// shortText is how many characters a cell may have to stay in one line, so that
// no date or identity is broken at its hyphens (house rule).
const shortText = 24

// shortColumns are those in which every cell stays in one line.
func shortColumns(t certs.Table) []bool {
	short := make([]bool, len(t.Columns))
	for i := range short {
		short[i] = !slices.ContainsFunc(t.Rows, func(r certs.Row) bool { return utf8.RuneCountInString(r.Cells[i]) > shortText })
	}
	return short
}

// widestAfter is, for each column, how many characters stand after a decimal
// mark's place at most.
func widestAfter(t certs.Table) []int {
	widest := make([]int, len(t.Columns))
	for _, r := range t.Rows {
		for i, cell := range r.Cells {
			_, after := certs.CutPoint(cell)
			widest[i] = max(widest[i], len([]rune(after)))
		}
	}
	return widest
}

// padded fills a number up behind with blanks as wide as a mark and figures,
// so that marks stand under marks (Unicode 15, 6.2: U+2008 and U+2007; from
// memory).
func padded(cell string, after int) string {
	_, a := certs.CutPoint(cell)
	missing := after - len([]rune(a))
	switch {
	case missing <= 0:
		return cell
	case a == "":
		return cell + "\u2008" + strings.Repeat("\u2007", missing-1)
	}
	return cell + strings.Repeat("\u2007", missing)
}
