package pdf

import (
	"fmt"
	"strings"
	"time"

	"example.org/wring/certs"
	"example.org/wring/certs/archive"
	"example.org/wring/certs/code"
)

// Measures of labels (house rules, tried with a scanner program): mm and points.
const (
	labelEdge    = 1.0  // kept free on every side, for a cutter that wanders
	labelGap     = 1.2  // between code and text
	leastModule  = 0.25 // mm: two dots of a label printer of 203 dpi
	mostModule   = 0.6  // mm: larger is not read any better
	smallModule  = 0.38 // mm: three such dots
	mostScale    = 1.7
	comfortable  = 1.0  // scale down to which a large code goes before large letters
	leastScale   = 0.62 // at which the smallest text is 4.2 points high
	scaleStep    = 0.02
	seam         = 0.02 // that a row of a code reaches into the next
	labelCodeMax = 0.52 // of the width that a code may take
)

// A labelSize is how large a label's texts and code are set.
type labelSize struct {
	scale  float64 // of the texts
	module float64 // mm, at most
}

// The styles of a label at scale 1, in points.
const (
	bandSize     = 8.6
	identitySize = 10.5
	lineSize     = 6.8
	smallSize    = 6.8
)

// Labels sets labels on their stock, as a PDF/A-1b. The same run gives the same
// bytes. The error names what cannot be set: what [certs.LabelRun.Check] finds, a
// character without a glyph, a text that would have to be clipped.
func (r *Renderer) Labels(run certs.LabelRun) ([]byte, error) {
	if err := run.Check(); err != nil {
		return nil, err
	}
	run, err := run.MapText(r.settable)
	if err != nil {
		return nil, err
	}
	issued, err := time.Parse(time.DateOnly, run.Issued)
	if err != nil {
		return nil, fmt.Errorf("labels: date %q; want a date as 2026-03-02", run.Issued)
	}
	places, s, err := placesOf(run)
	if err != nil {
		return nil, err
	}
	var pages []page
	for i, l := range run.Labels {
		marks, err := r.label(l, run.Width, run.Height)
		if err != nil {
			return nil, fmt.Errorf("label of %s: %w", l.Identity, err)
		}
		if at := places[i]; at.page == len(pages) {
			pages = append(pages, page{})
		}
		p := &pages[len(pages)-1]
		for _, m := range marks {
			p.marks = append(p.marks, m.moved(places[i].corner))
		}
	}
	return r.write(archive.About{Title: run.Title, Author: run.House, Program: run.Maker, Language: language, Date: issued}, s, pages)
}

// labelPlace is where a label lies.
type labelPlace struct {
	page   int
	corner spot
}

// placesOf gives each label its place, row by row, and the page's size.
func placesOf(run certs.LabelRun) ([]labelPlace, sheet, error) {
	places := make([]labelPlace, len(run.Labels))
	st := run.Stock
	if st.Paper == "" {
		for i := range places {
			places[i].page = i
		}
		return places, sheet{width: run.Width, height: run.Height}, nil
	}
	s := sheetOf(st.Paper)
	across, down := max(st.Across, run.Width), max(st.Down, run.Height)
	fit := func(room, pitch, side float64) int { return max(0, int((room-side)/pitch+1e-9)+1) }
	left, top := st.Left, st.Top
	columns, rows := fit(s.width-left, across, run.Width), fit(s.height-top, down, run.Height)
	if left == 0 && top == 0 {
		left = (s.width - float64(columns-1)*across - run.Width) / 2
		top = (s.height - float64(rows-1)*down - run.Height) / 2
	}
	if columns*rows == 0 || left+run.Width > s.width || top+run.Height > s.height {
		return nil, s, fmt.Errorf("labels: none fits on %s from %g × %g mm on; want a corner nearer to the edge", st.Paper, left, top)
	}
	start := max(st.Start, 1)
	if start > columns*rows {
		return nil, s, fmt.Errorf("labels: start at place %d; want 1 to %d, for a sheet holds %d × %d", start, columns*rows, columns, rows)
	}
	for i := range places {
		n := start - 1 + i
		on := n % (columns * rows)
		places[i] = labelPlace{n / (columns * rows), spot{left + float64(on%columns)*across, top + float64(on/columns)*down}}
	}
	return places, s, nil
}

// label sets one label, its corner at the origin.
func (r *Renderer) label(l certs.Label, width, height float64) ([]mark, error) {
	m, err := code.QR(l.Code)
	if err != nil {
		return nil, err
	}
	if l.CodeOnly {
		return r.codeLabel(l, m, width, height)
	}
	scale := mostScale
	for _, module := range moduleSizes {
		for scale = mostScale; scale >= comfortable; scale -= scaleStep {
			if marks, ok := r.fullLabel(l, m, width, height, labelSize{scale, module}); ok {
				return marks, nil
			}
		}
	}
	for ; scale >= leastScale; scale -= scaleStep {
		if marks, ok := r.fullLabel(l, m, width, height, labelSize{scale, smallModule}); ok {
			return marks, nil
		}
	}
	return nil, fmt.Errorf("its texts and code have no room on %g × %g mm; want a larger label, or the form of a code alone", width, height)
}

// leastRoomy is the scale down to which a text may be added that could be left
// out (house rule: 5 points are read at arm's length, 4.2 are not).
const leastRoomy = 0.74

// HasRoom reports whether a label would hold all of its texts in letters that
// are read at arm's length.
func (r *Renderer) HasRoom(l certs.Label, width, height float64) bool {
	run, err := certs.LabelRun{Labels: []certs.Label{l}}.MapText(r.settable)
	if err != nil {
		return false
	}
	m, err := code.QR(l.Code)
	if err != nil {
		return false
	}
	_, ok := r.fullLabel(run.Labels[0], m, width, height, labelSize{leastRoomy, smallModule})
	return ok
}

// moduleFor is the width of a code's module in so much room, at most so wide;
// false where it would not be read.
func moduleFor(m code.Matrix, room, most float64) (float64, bool) {
	module := min(room/float64(len(m)), most)
	return module, module >= leastModule
}

// codeLabel is for gauges that have room for no more: a code, with the identity
// under it where that fits.
func (r *Renderer) codeLabel(l certs.Label, m code.Matrix, width, height float64) ([]mark, error) {
	const quiet = 2 * code.Quiet
	name := style{regular, 4.6, black}
	below := name.leading()
	if r.width(l.Identity, name) > width-2*0.5 || min(width, height-below)/float64(len(m)+quiet) < leastModule {
		below = 0
	}
	module := min(min(width, height-below)/float64(len(m)+quiet), mostModule)
	if module < leastModule {
		return nil, fmt.Errorf("its code of %d modules has no room on %g × %g mm; want %.1f mm at least", len(m), width, height, leastModule*float64(len(m)+quiet))
	}
	side := module * float64(len(m))
	marks := codeMarks(m, spot{(width - side) / 2, (height - below - side) / 2}, module)
	if below > 0 {
		marks = append(marks, textMark{at: spot{(width - r.width(l.Identity, name)) / 2, height - below + name.ascent() - 0.4}, text: l.Identity, style: name})
	}
	return marks, nil
}

// fullLabel sets a label in a size, and reports whether all of it fits.
func (r *Renderer) fullLabel(l certs.Label, m code.Matrix, width, height float64, size labelSize) ([]mark, bool) {
	var marks []mark
	scale := size.scale
	top := labelEdge
	if l.Word != "" {
		band := style{bold, bandSize * scale, whitePaper}
		tall := band.leading() + 0.6
		if r.width(l.Word, band) > width-2*labelEdge {
			return nil, false
		}
		marks = append(marks, rectangle(0, 0, width, tall, black), textMark{at: spot{labelEdge, band.ascent() + 0.6}, text: l.Word, style: band})
		top = tall + 0.9
	}
	room := height - top - labelEdge
	module, ok := moduleFor(m, min(room, labelCodeMax*width), size.module)
	if !ok {
		return nil, false
	}
	// The white around the code: the label's edge and the gap beside it count.
	side := module * float64(len(m))
	if white := code.Quiet * module; labelEdge < white {
		module = min(module, (min(room+2*labelEdge, labelCodeMax*width+2*labelEdge))/float64(len(m)+2*code.Quiet))
		if side = module * float64(len(m)); module < leastModule {
			return nil, false
		}
	}
	edge := max(labelEdge, code.Quiet*module)
	marks = append(marks, codeMarks(m, spot{width - edge - side, top + (room-side)/2}, module)...)
	text, ok := r.labelText(l, width-2*labelEdge-side-max(labelGap, edge)-(edge-labelEdge), room, scale)
	for _, t := range text {
		marks = append(marks, t.moved(spot{labelEdge, top}))
	}
	return marks, ok
}

// labelText sets the texts beside the code, each whole.
func (r *Renderer) labelText(l certs.Label, width, height, scale float64) (marks []mark, fits bool) {
	y := 0.0
	put := func(text string, st style, most int) bool {
		least := st
		least.size *= leastScale / scale
		for _, word := range strings.Split(text, " ") {
			// A date is set smaller before it is divided.
			if r.width(word, st) > width && r.width(word, least) <= width {
				return false
			}
		}
		lines := r.broken(text, st, width)
		for _, line := range lines {
			marks = append(marks, textMark{at: spot{0, y + st.ascent()}, text: line, style: st})
			y += st.leading()
		}
		return len(lines) <= most
	}
	fits = put(l.Identity, style{bold, identitySize * scale, black}, 1+len(l.Identity)/16)
	for _, line := range l.Lines {
		fits = put(line, style{regular, lineSize * scale, black}, 1+len(line)/14) && fits
	}
	fits = put(l.Foot, style{regular, smallSize * scale, black}, 2) && fits
	return marks, fits && y <= height
}

// codeMarks draws the dark modules of each row, runs of them in one. They reach
// a little into the row below, or a screen would draw seams between rows.
func codeMarks(m code.Matrix, corner spot, module float64) (marks []mark) {
	for y, row := range m {
		for x := 0; x < len(row); x++ {
			from := x
			for x < len(row) && row[x] {
				x++
			}
			if x > from {
				marks = append(marks, rectangle(corner.x+float64(from)*module, corner.y+float64(y)*module, corner.x+float64(x)*module, corner.y+float64(y+1)*module+seam, pitch))
			}
		}
	}
	return marks
}
