package pdf

import "slices"

// A box is a piece of a page that is never divided.
type box struct {
	height float64 // mm
	space  float64 // mm kept free above it, but not at the top of a page
	marks  []mark
	tied   bool // must stand on the same page as the box after it
	head   *box // set again first when this box begins a page: a table's heading
	opens  bool // begins a page
}

// A page is what is drawn on one sheet, in reading order.
type page struct{ marks []mark }

// flow fills pages from boxes.
type flow struct {
	sheet sheet
	later func() []mark // the head of every page but the first
	pages []page
	y     float64 // where the next box goes, mm from the upper edge
	top   float64 // where the text of this page began
}

// place sets boxes one group after the other; a group is a run of tied boxes
// with the one they are tied to.
func (f *flow) place(boxes []box) {
	for len(boxes) > 0 {
		n := 1
		for n < len(boxes) && boxes[n-1].tied {
			n++
		}
		f.group(boxes[:n])
		boxes = boxes[n:]
	}
}

func (f *flow) group(boxes []box) {
	need := f.gap(boxes[0])
	for i, b := range boxes {
		need += b.height
		if i > 0 {
			need += b.space
		}
	}
	if (boxes[0].opens || f.y+need > f.sheet.bottom) && f.y > f.top {
		f.turn(boxes[0])
	}
	for _, b := range boxes {
		// Only a group taller than a page comes to this break.
		if f.y+f.gap(b)+b.height > f.sheet.bottom && f.y > f.top {
			f.turn(b)
		}
		f.set(b)
	}
}

// room is the height left on the page.
func (f *flow) room() float64 { return f.sheet.bottom - f.y }

func (f *flow) gap(b box) float64 {
	if f.y == f.top {
		return 0
	}
	return b.space
}

// turn begins a page, and sets the heading again if next stands under one.
func (f *flow) turn(next box) {
	f.pages = append(f.pages, page{marks: f.later()})
	f.y, f.top = laterTop, laterTop
	if next.head != nil {
		f.set(*next.head)
	}
}

func (f *flow) set(b box) {
	f.y += f.gap(b)
	p := &f.pages[len(f.pages)-1]
	for _, m := range b.marks {
		p.marks = append(p.marks, m.moved(spot{f.sheet.left, f.y}))
	}
	f.y += b.height
}

// tie joins the first two and the last two boxes of a run, so that none stands
// alone at the foot or the head of a page.
func tie(run []box) []box {
	run = slices.Clone(run)
	if n := len(run); n > 1 {
		run[0].tied = true
		run[n-2].tied = true
	}
	return run
}
