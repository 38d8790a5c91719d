package pdf

import (
	"fmt"
	"slices"

	"example.org/wring/certs"
)

// setter holds what all parts of one document are set with.
type setter struct {
	*Renderer
	doc   certs.Document
	sheet sheet
	spacing
	done [][]box // the parts that were set before, by their numbers; nil for one that was not
}

// A spacing is how generously a document is set, mm.
type spacing struct {
	space  float64 // above a part
	figure float64 // height of a plot
}

// set divides the document into pages, closer together and with lower plots if
// that saves one: a sheet that carries a signature alone is easily lost.
func (r *Renderer) set(d certs.Document) (best []page, err error) {
	before := make([][]box, len(d.Parts))
	for _, closer := range []spacing{{partSpace, figureHeight}, {tightSpace, figureHeight}, {tightSpace, figureLeast}} {
		pages, err := r.setWith(d, closer, before)
		if err != nil {
			return nil, err
		}
		if best == nil || len(pages) < len(best) {
			best = pages
		}
		if len(best) == 1 {
			break
		}
	}
	return best, nil
}

// setWith divides the document into pages. Parts that were set before, and in
// all but their distance will be the same, are taken from there, and left there.
func (r *Renderer) setWith(d certs.Document, closer spacing, before [][]box) ([]page, error) {
	s := &setter{Renderer: r, doc: d, sheet: sheetOf(d.Paper), spacing: closer, done: before}
	foot := s.foot()
	s.sheet.bottom = s.sheet.height - footMargin - foot.height - 3
	f := &flow{sheet: s.sheet, later: s.runningHead, pages: make([]page, 1), y: topMargin, top: topMargin}
	f.place([]box{s.face()})
	for n := 0; n < len(d.Parts); {
		boxes, taken, err := s.together(n, f.room())
		if err != nil {
			return nil, err
		}
		if n += taken; n == len(d.Parts) { // the end mark never stands alone on a page
			boxes[len(boxes)-1].tied = true
			boxes = append(boxes, s.end())
		}
		f.place(boxes)
	}
	if len(d.Parts) == 0 {
		f.place([]box{s.end()})
	}
	s.number(f.pages, foot)
	return f.pages, nil
}

// together sets the part of a number, with the signatures if they come next: on
// a page without a word of what was signed they are easily lost. It returns how
// many parts it took; room is the height left on the page, mm.
func (s *setter) together(n int, room float64) (boxes []box, taken int, err error) {
	for ; n+taken < len(s.doc.Parts); taken++ {
		if _, signs := s.doc.Parts[n+taken].(certs.Signatures); taken > 0 && !signs {
			break
		}
		set, err := s.partAt(n+taken, room)
		if err != nil {
			return nil, taken, err
		}
		if taken > 0 {
			boxes[len(boxes)-1].tied = true
		}
		boxes = append(boxes, set...)
	}
	return boxes, taken, nil
}

// partAt sets the part of a number, unless it was set before, and holds together
// what is short: only a figure hangs on the room that is left, mm.
func (s *setter) partAt(n int, room float64) ([]box, error) {
	p := s.doc.Parts[n]
	if s.done[n] == nil {
		boxes, err := s.part(p, room)
		if err == nil {
			err = s.dividable(boxes)
		}
		if _, fits := p.(certs.Figure); err != nil || fits {
			return boxes, err
		}
		s.done[n] = boxes
	}
	boxes := slices.Clone(s.done[n])
	boxes[0].space = s.space
	if _, rows := p.(certs.Table); !rows && total(boxes) < keptWhole {
		for i := range boxes[:len(boxes)-1] {
			boxes[i].tied = true
		}
	}
	return boxes, nil
}

// dividable refuses what would run over the foot of a page, and be lost there: a
// cell or a value is never divided.
func (s *setter) dividable(boxes []box) error {
	for _, b := range boxes {
		room := s.sheet.bottom - laterTop
		if b.head != nil {
			room -= b.head.height
		}
		if b.height > room {
			return fmt.Errorf("a text %.0f mm tall that is not divided; want at most %.0f mm, what a page holds of it", b.height, room)
		}
	}
	return nil
}

// face is the head of the first page: the house, the number, the title.
func (s *setter) face() box {
	w := s.sheet.measure()
	var b box
	y := houseStyle.ascent()
	const numberWidth = 62
	for _, l := range s.broken(s.doc.House.Name, houseStyle, w-numberWidth) {
		b.marks = append(b.marks, textMark{at: spot{0, y}, text: l, style: houseStyle})
		y += houseStyle.leading()
	}
	for _, a := range s.doc.House.Address {
		for _, l := range s.broken(a, addressStyle, w-numberWidth) {
			b.marks = append(b.marks, textMark{at: spot{0, y}, text: l, style: addressStyle})
			y += addressStyle.leading()
		}
	}
	right := labelStyle.ascent()
	b.marks = append(b.marks, s.rightward("Number", labelStyle, w, right))
	for _, l := range s.broken(s.doc.Number, numberStyle, numberWidth) {
		right += numberStyle.leading()
		b.marks = append(b.marks, s.rightward(l, numberStyle, w, right))
	}
	right += labelStyle.leading()
	b.marks = append(b.marks, s.rightward("issued "+s.doc.Issued, labelStyle, w, right))
	y = max(y, right) + 1.2
	b.marks = append(b.marks, s.scale(y)...)
	y += 6 + titleStyle.ascent()
	for _, l := range s.broken(s.doc.Title, titleStyle, w) {
		b.marks = append(b.marks, textMark{at: spot{0, y}, text: l, style: titleStyle})
		y += titleStyle.leading()
	}
	y -= titleStyle.leading() - subjectStyle.leading() - 1.5
	for _, l := range s.broken(s.doc.Subject, subjectStyle, w) {
		b.marks = append(b.marks, textMark{at: spot{0, y}, text: l, style: subjectStyle})
		y += subjectStyle.leading()
	}
	b.height = y - subjectStyle.leading() + 2
	return b
}

// scale is the rule under the house: a main scale in millimetres, true at full
// size, with a vernier of ten divisions on nine of them.
func (s *setter) scale(y float64) []mark {
	const fine, length = 0.12, 1.2
	marks := []mark{rule(0, s.sheet.measure(), y, 0.3, petrol)}
	for i := range 30 {
		tick := length
		if i%5 == 0 {
			tick = 1.5 * length
		}
		if i%10 == 0 {
			tick = 2 * length
		}
		x := float64(i)
		marks = append(marks, ruleMark{path: []spot{{x, y - 0}, {x, y - tick}}, width: fine, ink: petrol})
	}
	for i := range 11 {
		x := 10 + 0.9*float64(i)
		tick := length
		if i%5 == 0 {
			tick = 1.5 * length
		}
		marks = append(marks, ruleMark{path: []spot{{x, y}, {x, y + tick}}, width: fine, ink: petrol})
	}
	return marks
}

// runningHead stands at the top of every page but the first.
func (s *setter) runningHead() []mark {
	y := topMargin + runningStyle.ascent()
	left := s.sheet.left
	title := s.shortened(s.doc.Title+" · "+s.doc.Number, runningStyle, s.sheet.measure())
	marks := []mark{textMark{at: spot{left, y}, text: title, style: runningStyle}}
	const between, least = 6, 20 // mm
	if room := s.sheet.measure() - s.width(title, runningStyle) - between; room > least {
		marks = append(marks, s.rightward(s.shortened(s.doc.Subject, labelStyle, room), labelStyle, s.sheet.right, y))
	}
	return append(marks, rule(left, s.sheet.right, y+2, 0.3, petrol))
}

// rightward sets a text so that it ends at x.
func (r *Renderer) rightward(text string, st style, x, y float64) textMark {
	return textMark{at: spot{x - r.width(text, st), y}, text: text, style: st}
}

// end is the mark after which nothing belongs to the document.
func (s *setter) end() box {
	text := s.doc.End + " " + s.doc.Number
	w, t := s.sheet.measure(), s.width(text, endStyle)
	y := endStyle.ascent()
	from, to := (w-t)/2-3, (w+t)/2+3
	return box{height: endStyle.leading(), space: s.space, marks: []mark{
		rule(0, from, y-0.9, 0.2, petrol),
		textMark{at: spot{(w - t) / 2, y}, text: text, style: endStyle},
		rule(to, w, y-0.9, 0.2, petrol),
	}}
}

// foot is what stands at the foot of every page, but for the page's number.
func (s *setter) foot() box {
	w := s.sheet.measure()
	b := box{marks: []mark{rule(0, w, 0, 0.2, hair)}}
	y := 1.6 + footBold.ascent()
	b.marks = append(b.marks, textMark{at: spot{0, y}, text: s.doc.Number, style: footBold})
	y += 0.4
	for _, l := range s.doc.Foot {
		for _, l := range s.broken(l, footStyle, w) {
			y += footStyle.leading()
			b.marks = append(b.marks, textMark{at: spot{0, y}, text: l, style: footStyle})
		}
	}
	end := 0.0 // where the last line of the head ends
	for _, l := range s.broken(s.doc.Head, headStyle, w) {
		y += footStyle.leading()
		end = s.width(l, headStyle)
		b.marks = append(b.marks, textMark{at: spot{0, y}, text: l, style: headStyle})
	}
	const between = 6 // mm
	for _, l := range s.broken(s.doc.Program, footStyle, w) {
		if end > 0 && end+between+s.width(l, footStyle) > w {
			y += footStyle.leading()
		}
		b.marks = append(b.marks, s.rightward(l, footStyle, w, y))
		end = w
	}
	b.height = y + 0.5
	return b
}

// number sets the foot of every page, now that their count is known.
func (s *setter) number(pages []page, foot box) {
	at := spot{s.sheet.left, s.sheet.height - footMargin - foot.height}
	for i := range pages {
		for _, m := range foot.marks {
			pages[i].marks = append(pages[i].marks, m.moved(at))
		}
		text := fmt.Sprintf("page %d of %d", i+1, len(pages))
		pages[i].marks = append(pages[i].marks,
			s.rightward(text, footBold, s.sheet.right, at.y+1.6+footBold.ascent()))
	}
}
