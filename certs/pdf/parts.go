package pdf

import (
	"fmt"

	"example.org/wring/certs"
)

// part sets one part as boxes; room is the height left on the page, mm.
func (s *setter) part(p certs.Part, room float64) ([]box, error) {
	switch p := p.(type) {
	case certs.Outcome:
		return s.outcome(p), nil
	case certs.Facts:
		return s.beside(p.Title, s.facts(p)), nil
	case certs.Statement:
		boxes := s.beside(p.Title, s.paragraphs(p.Paragraphs, ""))
		boxes[0].opens = p.Opens
		return boxes, nil
	case certs.List:
		return s.beside(p.Title, s.paragraphs(p.Items, "–")), nil
	case certs.Table:
		return s.table(p)
	case certs.Figure:
		return s.figure(p, room)
	case certs.Signatures:
		return s.beside(p.Title, s.people(p)), nil
	}
	return nil, fmt.Errorf("part %T: no way to set it; want one of the parts of a document", p)
}

// beside sets a part's title in the side column and its boxes to the right of
// it, under one fine rule. The boxes were set in the room textRoom.
func (s *setter) beside(title string, boxes []box) []box {
	if len(boxes) == 0 {
		boxes = []box{{height: bodyStyle.leading()}}
	}
	boxes = append([]box{{height: 1.8, space: s.space, tied: true,
		marks: []mark{rule(0, s.sheet.measure(), 0, 0.12, hair)}}}, boxes...)
	for i := range boxes[1:] {
		b := &boxes[i+1]
		for j, m := range b.marks {
			b.marks[j] = m.moved(spot{sideColumn, 0})
		}
	}
	first := &boxes[1]
	lines := s.broken(title, partStyle, sideColumn-4)
	for i, l := range lines {
		y := bodyStyle.ascent() + float64(i)*partStyle.leading()
		first.marks = append([]mark{textMark{at: spot{0, y}, text: l, style: partStyle}}, first.marks...)
	}
	// A title of several lines must not run into the next part.
	if short := float64(len(lines))*partStyle.leading() - total(boxes[1:]); short > 0 {
		boxes[len(boxes)-1].height += short
	}
	return boxes
}

// keptWhole is the height under which a part is not divided, mm (house rule).
const keptWhole = 50.0

func total(boxes []box) (h float64) {
	for _, b := range boxes {
		h += b.height + b.space
	}
	return h
}

// textRoom is the width to the right of the side column.
func (s *setter) textRoom() float64 { return s.sheet.measure() - sideColumn }

// outcome sets the line most readers look for, between two strong rules.
func (s *setter) outcome(o certs.Outcome) []box {
	w := s.sheet.measure()
	b := box{space: s.space, marks: []mark{rule(0, w, 0, 0.5, petrol)}}
	y := 2.4
	title := s.broken(o.Title, partStyle, sideColumn-4)
	for i, l := range title {
		b.marks = append(b.marks, textMark{at: spot{0, y + wordStyle.ascent() + float64(i)*partStyle.leading()}, text: l, style: partStyle})
	}
	for _, l := range s.broken(o.Word, wordStyle, s.textRoom()) {
		b.marks = append(b.marks, textMark{at: spot{sideColumn, y + wordStyle.ascent()}, text: l, style: wordStyle})
		y += wordStyle.leading()
	}
	for _, l := range o.Lines {
		for _, l := range s.broken(l, bodyStyle, s.textRoom()) {
			b.marks = append(b.marks, textMark{at: spot{sideColumn, y + bodyStyle.ascent()}, text: l, style: bodyStyle})
			y += bodyStyle.leading()
		}
	}
	y += 1.6
	b.marks = append(b.marks, rule(0, w, y, 0.5, petrol))
	b.height = y
	return []box{b}
}

// facts sets pairs in two columns, the first half of them on the left. Each
// column runs on by itself, so that a long value leaves no gap in the other;
// only where they are too tall to be kept on one page are they set row by row.
func (s *setter) facts(f certs.Facts) []box {
	const label, between, below = 22.0, 5.0, 0.3
	column := (s.textRoom() - between) / 2
	rows := (len(f.Pairs) + 1) / 2
	var boxes []box
	whole := box{}
	ends := [2]float64{} // of the columns
	for i := range rows {
		var row box
		for side := range 2 {
			j := i + side*rows
			if j >= len(f.Pairs) {
				continue
			}
			var b box
			s.fact(&b, f.Pairs[j], float64(side)*(column+between), label, column)
			row.marks, row.height = append(row.marks, b.marks...), max(row.height, b.height)
			for _, m := range b.marks {
				whole.marks = append(whole.marks, m.moved(spot{0, ends[side]}))
			}
			ends[side] += b.height + below
		}
		row.height += below
		boxes = append(boxes, row)
	}
	if whole.height = max(ends[0], ends[1]); len(f.Pairs) > 0 && whole.height < keptWhole {
		return []box{whole}
	}
	return tie(boxes)
}

// fact adds one pair to a row of facts, at x and within width.
func (s *setter) fact(b *box, f certs.Fact, x, label, width float64) {
	y := bodyStyle.ascent()
	put := func(text string, x, width float64, st style) {
		lines := s.broken(text, st, width)
		for i, l := range lines {
			b.marks = append(b.marks, textMark{at: spot{x, y + float64(i)*bodyStyle.leading()}, text: l, style: st})
		}
		b.height = max(b.height, float64(len(lines))*bodyStyle.leading())
	}
	put(f.Label, x, label-1.5, labelStyle)
	put(f.Value, x+label, width-label, bodyStyle)
}

// paragraphs sets texts one under the other, each line a box. A sign other
// than "" hangs before each text.
func (s *setter) paragraphs(texts []string, sign string) []box {
	var boxes []box
	indent := 0.0
	if sign != "" {
		indent = 3.5
	}
	for i, t := range texts {
		var run []box
		for j, l := range s.broken(t, textStyle, s.textRoom()-indent) {
			b := box{height: textStyle.leading()}
			if j == 0 && sign != "" {
				b.marks = append(b.marks, textMark{at: spot{0, textStyle.ascent()}, text: sign, style: textStyle})
			}
			if j == 0 && i > 0 {
				b.space = 0.9
			}
			b.marks = append(b.marks, textMark{at: spot{indent, textStyle.ascent()}, text: l, style: textStyle})
			run = append(run, b)
		}
		boxes = append(boxes, tie(run)...)
	}
	return boxes
}

// people sets signatures in rows of two, each with room to sign above it.
func (s *setter) people(g certs.Signatures) []box {
	const between, signing = 8.0, 8.5
	width := (s.textRoom() - between) / 2
	var boxes []box
	for i := 0; i < len(g.People); i += 2 {
		var b box
		for j, p := range g.People[i:min(i+2, len(g.People))] {
			x := float64(j) * (width + between)
			y := bodyStyle.ascent()
			put := func(text string, st style) {
				for _, l := range s.broken(text, st, width) {
					b.marks = append(b.marks, textMark{at: spot{x, y}, text: l, style: st})
					y += bodyStyle.leading()
				}
			}
			put(p.Role, labelStyle)
			y += signing - bodyStyle.leading()
			b.marks = append(b.marks, rule(x, x+width, y-bodyStyle.ascent()-0.6, 0.15, grey))
			y += 0.4
			put(p.Name, bodyStyle)
			put(joined(p.Date, p.Note), labelStyle)
			b.height = max(b.height, y-bodyStyle.ascent()+1)
		}
		boxes = append(boxes, b)
	}
	return boxes
}

func joined(date, note string) string {
	if date == "" || note == "" {
		return date + note
	}
	return date + ", " + note
}
