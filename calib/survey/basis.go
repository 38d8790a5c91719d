package survey

import (
	"cmp"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A Basis is what a survey rests on, as it stood on that day.
type Basis struct {
	Gauge  calib.Gauge
	Status calib.Status
	Limits string     // of use, in the words of the status; empty where it has none
	Due    calib.Date // first day on which a check of the gauge is due; zero: on none
	Method Method
	Lot    Lot

	// Sizes is the gauge's last check of its length, Foot that of its foot; nil:
	// there is none on or before the day.
	Sizes *Checked
	Foot  *Checked
}

// A Checked is a kept check of the gauge.
type Checked struct {
	Entry  uint64 // of the journal, as sources name it
	Plan   calib.Plan
	Check  calib.Check
	Result calib.Result
}

// A size is the error of indication at one size, in mm.
type size struct{ at, err, u, dof float64 }

// sizes lists the errors that the last check found, ascending. Where that
// check subtracts the zero, the error there is none by its definition, known as
// well as at the first point (house rule).
func (b Basis) sizes() []size {
	if b.Sizes == nil {
		return nil
	}
	var out []size
	for _, p := range b.Sizes.Result.Points {
		out = append(out, size{p.Nominal.Float(), p.Error.Float(), p.Standard, p.DoF})
	}
	slices.SortFunc(out, func(a, b size) int { return cmp.Compare(a.at, b.at) })
	low := b.Gauge.Low.Inner().Float()
	if len(out) > 0 && b.Sizes.Plan.Zero == calib.ZeroSubtracted && out[0].at > low {
		out = slices.Insert(out, 0, size{low, 0, out[0].u, out[0].dof})
	}
	return out
}

// zeroOfErrors is the indication from which the errors of the last check count.
func (b Basis) zeroOfErrors() unit.Exact {
	if c := b.Sizes; c != nil && c.Plan.Zero == calib.ZeroRecorded && len(c.Check.Zero) > 0 {
		return meanOf(c.Check.Zero)
	}
	return b.Gauge.Low.Inner()
}

// A correction is the gauge's error at one size with what is known of it.
type correction struct {
	err    float64 // mm
	u      float64 // mm
	dof    float64 // 1 or more; 0 stands for infinite
	bend   float64 // mm, how far the error may lie off the straight line between two points
	beyond bool    // outside the sizes that were checked
}

// errorAt interpolates between the two test points about a size. The errors of
// neighbouring points share their standards, so their uncertainties are
// interpolated too and not combined in quadrature. Between the points the
// error may bend by as much as the nearer one is away, measured in the
// difference of the two (house rule): nothing at a test point.
func (b Basis) errorAt(at float64) correction {
	list := b.sizes()
	if len(list) == 0 {
		return correction{beyond: true}
	}
	last := list[len(list)-1]
	switch {
	case at <= list[0].at:
		return correction{list[0].err, list[0].u, list[0].dof, 0, at < list[0].at}
	case at >= last.at:
		return correction{last.err, last.u, last.dof, 0, at > last.at}
	}
	i := slices.IndexFunc(list, func(s size) bool { return s.at >= at })
	l, h := list[i-1], list[i]
	t := (at - l.at) / (h.at - l.at)
	c := correction{err: l.err + t*(h.err-l.err), u: l.u + t*(h.u-l.u), dof: fewer(l.dof, h.dof)}
	c.bend = min(t, 1-t) * max(h.err-l.err, l.err-h.err)
	return c
}

// fewer returns the smaller of two degrees of freedom, where 0 is infinite.
func fewer(a, b float64) float64 {
	if a == 0 || b != 0 && b < a {
		return b
	}
	return a
}

// within is the pooled s of readings at one point of the last check, in mm,
// with its degrees of freedom; 0, 0 where none was read twice.
func (b Basis) checkSpread() (s2, dof float64) {
	if b.Sizes == nil {
		return 0, 0
	}
	for i, p := range b.Sizes.Result.Points {
		if nu := float64(len(b.Sizes.Check.Points[i].Readings) - 1); nu > 0 {
			s2, dof = s2+nu*p.S*p.S, dof+nu
		}
	}
	if dof > 0 {
		s2 /= dof
	}
	return s2, dof
}

// A pressed is what the foot presses with at one opening, lowering, in the
// inner unit of the method's band.
type pressed struct{ at, value, u, dof float64 }

// pressWord is what a check of a foot calls a figure of that dimension.
func pressWord(d unit.Dimension) string {
	switch d {
	case unit.Pressure:
		return "pressure"
	case unit.Mass:
		return "load"
	default:
		return "force"
	}
}

// presses lists the figures of the last check of the foot in the dimension of
// the method's band; way is "lowering" or "lifting".
func (b Basis) presses(way string) []calib.Figure {
	if b.Foot == nil || b.Foot.Result.Foot == nil {
		return nil
	}
	d := b.Method.pressDimension()
	var out []calib.Figure
	for _, f := range b.Foot.Result.Foot.Figures {
		if f.Name == pressWord(d)+", "+way && f.Unit == unit.Inner(d).Symbol() {
			out = append(out, f)
		}
	}
	return out
}

// pressAt interpolates what the foot presses with, lowering, between the
// openings about a thickness; it is the direction in which a sheet is read.
func (b Basis) pressAt(at float64) (pressed, bool) {
	var list []pressed
	for _, f := range b.presses("lowering") {
		list = append(list, pressed{f.At.Inner().Float(), f.Value.Float(), f.Standard, f.DoF})
	}
	if len(list) == 0 {
		return pressed{}, false
	}
	slices.SortFunc(list, func(a, b pressed) int { return cmp.Compare(a.at, b.at) })
	i := slices.IndexFunc(list, func(p pressed) bool { return p.at >= at })
	switch {
	case i == 0:
		return list[0], true
	case i < 0:
		return list[len(list)-1], true
	}
	l, h := list[i-1], list[i]
	t := (at - l.at) / (h.at - l.at)
	return pressed{at, l.value + t*(h.value-l.value), l.u + t*(h.u-l.u), fewer(l.dof, h.dof)}, true
}
