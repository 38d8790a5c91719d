package main

import (
	"cmp"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"example.org/wring/calib/survey"
)

// The map of a lot in text: as wide as the terminal leaves.
const mapWidth = 72

// Colours of the map at a terminal (ECMA-48, 8.3.117, from memory): they only
// repeat what the marks beside the numbers say.
const (
	blueInk   = "\x1b[34m"
	yellowInk = "\x1b[33m"
	redInk    = "\x1b[31m"
	plainInk  = "\x1b[0m"
)

// A spotText is a place as the map in text shows it.
type spotText struct {
	x, y float64 // shares of width and length
	text string  // number and mark
	ink  string
}

// markOf says how a place stands: outside the tolerance, or apart from the mean
// by more than the U of one place, or by more than twice that.
func (a surveyAnswer) markOf(p survey.PlaceResult) (mark, ink string) {
	off, U := p.Thickness.Value.Sub(a.Result.Mean.Value).Float(), p.Thickness.Expanded
	switch v := p.Thickness.Verdict; {
	case v != "" && !v.Passed():
		return "!", redInk
	case off > 2*U:
		return "++", yellowInk
	case off > U:
		return "+", yellowInk
	case off < -2*U:
		return "--", blueInk
	case off < -U:
		return "-", blueInk
	}
	return "", ""
}

// spots lists the places that have a position across the lot.
func (a surveyAnswer) spots() []spotText {
	var out []spotText
	for _, p := range a.Result.Places {
		if p.X == nil {
			continue
		}
		s := spotText{x: *p.X}
		if p.Y != nil {
			s.y = *p.Y
		}
		mark, ink := a.markOf(p)
		value, _ := inFigure(a.unit, p.Thickness)
		s.text, s.ink = value+mark, ink
		out = append(out, s)
	}
	return out
}

// writeMap draws where on the lot which thickness was found: across from left
// to right, along from the bottom up as on the paper, one line for each
// distance along.
func (a surveyAnswer) writeMap(out io.Writer, colour bool) error {
	list := a.spots()
	if len(list) == 0 {
		return nil
	}
	slices.SortStableFunc(list, func(p, q spotText) int { return cmp.Or(cmp.Compare(q.y, p.y), cmp.Compare(p.x, q.x)) })
	if err := line(out, "Map, %s; ! outside the tolerance, + and - apart from the mean by more than U,\n  ++ and -- by more than 2 U", a.unit.Symbol()); err != nil {
		return err
	}
	for len(list) > 0 {
		n := 1
		for n < len(list) && list[n].y == list[0].y {
			n++
		}
		for _, row := range mapRows(list[:n], colour) {
			if err := line(out, "  %s", strings.TrimRight(row, " ")); err != nil {
				return err
			}
		}
		list = list[n:]
	}
	return nil
}

// mapRows sets the places of one distance along on as many lines as they need
// not to touch.
func mapRows(list []spotText, colour bool) []string {
	wide := 0
	for _, s := range list {
		wide = max(wide, utf8.RuneCountInString(s.text))
	}
	type drawn struct {
		text string
		end  int // column after the last character
	}
	var rows []drawn
	for _, s := range list {
		width := utf8.RuneCountInString(s.text)
		at := int(s.x * float64(mapWidth-wide))
		i := slices.IndexFunc(rows, func(r drawn) bool { return r.end == 0 || r.end < at })
		if i < 0 {
			rows = append(rows, drawn{})
			i = len(rows) - 1
		}
		text := s.text
		if colour && s.ink != "" {
			text = s.ink + text + plainInk
		}
		rows[i].text += strings.Repeat(" ", at-rows[i].end) + text
		rows[i].end = at + width
	}
	var out []string
	for _, r := range rows {
		out = append(out, r.text)
	}
	return out
}
