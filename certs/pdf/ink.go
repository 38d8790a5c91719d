package pdf

import "example.org/wring/certs/typeface"

// ink names a colour of the palette.
type ink int

const (
	black ink = iota
	pitch     // all black, for codes
	grey
	hair
	petrol
	paleBand
	guardBand
	paleRow
	whitePaper
	farBelowTile
	belowTile
	aboveTile
	farAboveTile
	alarmingTile
	inkCount
)

// style is how a text looks.
type style struct {
	face typeface.Name
	size float64 // points
	ink  ink
}

// spot is a place on the page or in a box, in mm from the upper left corner.
type spot struct{ x, y float64 }

func (s spot) plus(d spot) spot { return spot{s.x + d.x, s.y + d.y} }

// A mark is one thing on a page: text, rule, area or dot.
type mark interface {
	moved(by spot) mark
	draw(w *fileWriter)
}

// textMark is a text; at is the left end of its baseline.
type textMark struct {
	at     spot
	text   string
	style  style
	turned bool // runs upwards from at
}

// ruleMark is a run of straight lines.
type ruleMark struct {
	path   []spot
	width  float64 // mm
	ink    ink
	dashed bool
}

// areaMark is a filled polygon.
type areaMark struct {
	corners []spot
	ink     ink
}

// dotMark is a circle, filled if it has no rim.
type dotMark struct {
	at     spot
	radius float64 // mm
	fill   ink
	rim    float64 // mm, width of the outline; 0: none
}

func (m textMark) moved(by spot) mark { m.at = m.at.plus(by); return m }
func (m dotMark) moved(by spot) mark  { m.at = m.at.plus(by); return m }
func (m ruleMark) moved(by spot) mark { m.path = shifted(m.path, by); return m }
func (m areaMark) moved(by spot) mark { m.corners = shifted(m.corners, by); return m }

func shifted(path []spot, by spot) []spot {
	moved := make([]spot, len(path))
	for i, s := range path {
		moved[i] = s.plus(by)
	}
	return moved
}

func rule(x1, x2, y, width float64, k ink) ruleMark {
	return ruleMark{path: []spot{{x1, y}, {x2, y}}, width: width, ink: k}
}

func rectangle(x1, y1, x2, y2 float64, k ink) areaMark {
	return areaMark{[]spot{{x1, y1}, {x2, y1}, {x2, y2}, {x1, y2}}, k}
}
