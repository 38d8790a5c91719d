package main

import (
	"io"

	"example.org/wring/calib/survey"
	"example.org/wring/cmd/internal/screen"
)

// markOf says how a place stands: outside the tolerance, or apart from the mean
// by more than the U of one place, or by more than twice that.
func (a surveyAnswer) markOf(p survey.PlaceResult) string {
	off, U := p.Thickness.Value.Sub(a.Result.Mean.Value).Float(), p.Thickness.Expanded
	switch v := p.Thickness.Verdict; {
	case v != "" && !v.Passed():
		return "!"
	case off > 2*U:
		return "++"
	case off > U:
		return "+"
	case off < -2*U:
		return "--"
	case off < -U:
		return "-"
	}
	return ""
}

// writeMap draws where on the lot which thickness was found, if that is known.
func (a surveyAnswer) writeMap(out io.Writer, colour bool) error {
	p, err := a.lotMap()
	if err != nil {
		return nil
	}
	return first(line(out, "Map, %s; ! outside the tolerance, + and - apart from the mean by more than U,\n  ++ and -- by more than 2 U", a.unit.Symbol()),
		screen.Map{Plot: p, Colour: colour}.Write(out))
}
