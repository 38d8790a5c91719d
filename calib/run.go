package calib

import (
	"fmt"
	"slices"
)

// A Way says which run of readings at a place is meant, where there are several.
type Way string

// The ways. At a point of length there is one run, and its way is empty.
const (
	WayZero     Way = "zero"     // of length, or before the first load
	WayForward  Way = "forward"  // lowering a foot, driving a spindle in
	WayBack     Way = "back"     // lifting it, letting it out
	WayUp       Way = "up"       // loads set on
	WayDown     Way = "down"     // loads taken off
	WayReturn   Way = "return"   // after the last load
	WayDiameter Way = "diameter" // of a foot
)

// A Run is one series of readings of a check: at one place, in one way.
type Run struct {
	Part  Part
	Point int    // counted from 1; 0 where the part has the run once
	Place string // size, opening or load as written, or what the run is of
	Way   Way

	// Readings points into the check.
	Readings *[]Reading
}

// Runs lists every run of a check, in the order in which they are taken. What
// they point to is the check's own.
func (c *Check) Runs() []Run {
	out := []Run{{Part: LengthPart, Place: "zero", Way: WayZero, Readings: &c.Zero}}
	for i := range c.Points {
		out = append(out, Run{LengthPart, i + 1, c.Points[i].Nominal.String(), "", &c.Points[i].Readings})
	}
	if c.Foot != nil {
		out = append(out, Run{Part: FootPart, Place: "diameter", Way: WayDiameter, Readings: &c.Foot.Diameter})
		out = append(out, pressRuns(FootPart, c.Foot.Points)...)
	}
	if c.Force != nil {
		out = append(out, pressRuns(ForcePart, c.Force.Points)...)
	}
	if l := c.Load; l != nil {
		out = append(out, Run{Part: LoadPart, Place: "zero", Way: WayZero, Readings: &l.Zero})
		for i := range l.Points {
			p := &l.Points[i]
			out = append(out, Run{LoadPart, i + 1, p.Load.String(), WayUp, &p.Up}, Run{LoadPart, i + 1, p.Load.String(), WayDown, &p.Down})
		}
		out = append(out, Run{Part: LoadPart, Place: "return", Way: WayReturn, Readings: &l.Return})
	}
	return out
}

func pressRuns(part Part, points []PressPoint) (out []Run) {
	for i := range points {
		p := &points[i]
		out = append(out, Run{part, i + 1, p.At.String(), WayForward, &p.Forward}, Run{part, i + 1, p.At.String(), WayBack, &p.Back})
	}
	return out
}

// Is reports whether two runs are the same one, of one check or of another.
func (r Run) Is(o Run) bool { return r.Part == o.Part && r.Point == o.Point && r.Way == o.Way }

// Word is the way in the words of a check sheet: a foot is lowered and lifted, a
// spindle driven in and out.
func (r Run) Word() string {
	switch {
	case r.Part == FootPart && r.Way == WayForward:
		return "lowering"
	case r.Part == FootPart && r.Way == WayBack:
		return "lifting"
	case r.Part == ForcePart && r.Way == WayForward:
		return "in"
	case r.Part == ForcePart && r.Way == WayBack:
		return "out"
	}
	return string(r.Way)
}

// String names the run as a person would.
func (r Run) String() string {
	switch {
	case r.Part == LengthPart:
		return r.Place
	case r.Point == 0:
		return fmt.Sprintf("%s, %s", r.Part, r.Place)
	}
	return fmt.Sprintf("%s, %s at %s", r.Part, r.Word(), r.Place)
}

// Clone returns a copy that shares nothing with the check that can be written to.
func (c Check) Clone() Check {
	c.Standards = slices.Clone(c.Standards)
	c.Points = slices.Clone(c.Points)
	for i := range c.Points {
		c.Points[i].Blocks = slices.Clone(c.Points[i].Blocks)
	}
	if c.Foot != nil {
		one := *c.Foot
		one.Points = slices.Clone(one.Points)
		c.Foot = &one
	}
	if c.Force != nil {
		one := *c.Force
		one.Points = slices.Clone(one.Points)
		c.Force = &one
	}
	if c.Load != nil {
		one := *c.Load
		one.Points = slices.Clone(one.Points)
		for i := range one.Points {
			one.Points[i].Weights = slices.Clone(one.Points[i].Weights)
		}
		c.Load = &one
	}
	for _, r := range c.Runs() {
		*r.Readings = slices.Clone(*r.Readings)
	}
	return c
}
