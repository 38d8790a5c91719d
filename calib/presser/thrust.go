package presser

import (
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// forceResult works out the measuring force of a ratchet, a friction thimble or
// a spindle: at each place, on the way in and out, and how it spreads.
func forceResult(c calib.Check, basis calib.Basis) (*calib.PartResult, error) {
	b, err := newBench(calib.ForcePart, c, basis)
	if err != nil {
		return nil, err
	}
	on, err := b.used("force", c.Force.Instrument, calib.Balance, calib.ForceGauge)
	if err != nil {
		return nil, err
	}
	per, err := b.rate(on.Standard.Kind.Dimension(), unit.Force, foot{})
	if err != nil {
		return nil, err
	}
	plan := basis.Plan.Force
	var figures, apart []figure
	for _, p := range c.Force.Points {
		place := "force: at " + p.At.String()
		in, err := b.see(place+", in", on, p.Forward)
		if err != nil {
			return nil, err
		}
		one, err := b.as(unit.Force, in, foot{})
		if err != nil {
			return nil, fmt.Errorf("%s: %w", place, err)
		}
		figures = append(figures, one.named("force, in", p.At).within(inner(plan.Band.Low), inner(plan.Band.High)))
		if len(p.Back) == 0 {
			continue
		}
		out, err := b.see(place+", out", on, p.Back)
		if err != nil {
			return nil, err
		}
		if one, err = b.as(unit.Force, out, foot{}); err != nil {
			return nil, fmt.Errorf("%s: %w", place, err)
		}
		figures = append(figures, one.named("force, out", p.At).within(inner(plan.Band.Low), inner(plan.Band.High)))
		way := less(in, out, "in", "out", per)
		way.Unit = unit.Inner(unit.Force).Symbol()
		apart = append(apart, way.named("difference of directions", p.At).within(around(plan.Difference)))
	}
	spread := b.spreadOf(c.Force.Points, stepOn(on.Standard, together(c.Force.Points)), per)
	figures = append(append(figures, apart...), spread.named("spread of the readings", unit.Quantity{}).within(nil, inner(plan.Spread)))
	done, err := b.conclude(figures)
	if err != nil {
		return nil, err
	}
	done.Notes = append(done.Notes, adjustedOnSite(on)...)
	return done, nil
}

// spreadOf is the largest less the smallest single force, both ways; what is
// uncertain of it is the step of the instrument, twice.
func (b *bench) spreadOf(points []calib.PressPoint, on step, per float64) figure {
	all := together(points)
	by := func(a, b calib.Reading) int { return a.Indication.Inner().Cmp(b.Indication.Inner()) }
	width := slices.MaxFunc(all, by).Indication.Inner().Sub(slices.MinFunc(all, by).Indication.Inner())
	var out figure
	out.Unit, out.Value = unit.Inner(unit.Force).Symbol(), width
	if per != 1 {
		out.Value = width.Mul(unit.Decimal(per))
	}
	l := b.resolution(calib.Resolution, "resolution of the two readings", on)
	l.C = per
	l.What = uncertainty.Triangular(on.size.Inner().Float()) // the difference of two rectangular ones (JCGM 100:2008, 4.3.9)
	out.lines = append(out.lines, l)
	return out
}

// together are all readings of a part, both ways.
func together(points []calib.PressPoint) []calib.Reading {
	var all []calib.Reading
	for _, p := range points {
		all = append(append(all, p.Forward...), p.Back...)
	}
	return all
}
