package pdf

import "example.org/wring/certs"

// A sheet is the paper with its margins, in mm.
type sheet struct {
	width, height float64
	left, right   float64 // edges of the text
	bottom        float64 // lowest edge of the text; the foot lies below
}

// Margins, mm (house rules): printers reach all of it, and a file's holes fit
// into the left one.
const (
	leftMargin  = 22.0
	rightMargin = 18.0
	topMargin   = 14.0
	footMargin  = 10.0
	sideColumn  = 32.0 // width of the column of titles
	partSpace   = 3.4  // above a part
	tightSpace  = 1.6  // above a part, where that saves a page
	laterTop    = 22.5 // where the text of later pages begins
)

// sheetOf returns the paper's size: ISO 216, A4; 8.5 in × 11 in.
func sheetOf(p certs.Paper) sheet {
	s := sheet{width: 210, height: 297}
	if p == certs.Letter {
		s = sheet{width: 8.5 * 25.4, height: 11 * 25.4}
	}
	s.left, s.right = leftMargin, s.width-rightMargin
	return s
}

func (s sheet) measure() float64 { return s.right - s.left }
