package presser

import (
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// An opening is the mean of lowering and lifting at one opening.
type opening struct {
	at    unit.Quantity
	mean  unit.Exact    // on the instrument, in the inner unit of its dimension
	value unit.Exact    // of the figure
	lines []ledger.Line // without what all openings share with the instrument
}

// meanOf is the opening of two seen values; per is the figure's unit on one of
// the instrument's.
func meanOf(at unit.Quantity, n int, up, down seen, per float64) opening {
	f := less(up, down, fmt.Sprintf("lifting, opening %d", n), fmt.Sprintf("lowering, opening %d", n), per/2)
	sum := up.value.Add(down.value)
	return opening{at: at, mean: sum.Quo(unit.Whole(2)), value: sum.Mul(unit.Decimal(per / 2)), lines: f.lines}
}

// travel returns what the openings differ by: the largest less the smallest
// mean, and of a spring how it grows from each opening to the next, which must
// not be less than nothing: a spring that falls while it is opened is broken or
// binds (house rule).
func (b *bench) travel(all []opening, on calib.StandardOnDay, per float64, to unit.Dimension) ([]figure, error) {
	plan := b.basis.Plan.Foot
	by := func(a, b opening) int { return a.value.Cmp(b.value) }
	spread, err := b.between(slices.MaxFunc(all, by), slices.MinFunc(all, by), on, per, to)
	if err != nil || plan.Drive != calib.Spring {
		return []figure{spread.named("spread over the travel", unit.Quantity{}).within(nil, inner(plan.Spread))}, err
	}
	var out []figure
	all = slices.SortedFunc(slices.Values(all), func(a, b opening) int { return a.at.Inner().Cmp(b.at.Inner()) })
	for i, o := range all {
		if i == 0 {
			continue
		}
		grown, err := b.between(o, all[i-1], on, per, to)
		if err != nil {
			return nil, err
		}
		out = append(out, grown.named("growth", o.at).within(&unit.Exact{}, nil))
	}
	return append(out, spread.named("spread over the travel", unit.Quantity{}).within(nil, inner(plan.Spread))), nil
}

// setByTheGauge adds to each press of a spring what the setting of its opening
// makes of its force: half a step of the gauge (JCGM 100:2008, F.2.2.1) times
// how the spring grows there, from the opening before to the one after (house
// rule). Each is set anew, lowering and lifting.
func (b *bench) setByTheGauge(all []press) {
	order := make([]*press, len(all))
	for i := range all {
		order[i] = &all[i]
	}
	slices.SortFunc(order, func(a, b *press) int { return a.at.Inner().Cmp(b.at.Inner()) })
	middle := func(p *press) float64 { return p.down.value.Add(p.up.value).Float() / 2 }
	rates := make([]float64, len(order)) // of the instrument's unit, on one mm
	for i := range order {
		before, after := order[max(i-1, 0)], order[min(i+1, len(order)-1)]
		if mm := after.at.Inner().Sub(before.at.Inner()).Float(); mm > 0 {
			rates[i] = (middle(after) - middle(before)) / mm
		}
	}
	step := stepOfGauge(b.basis.Gauge)
	for i, p := range order {
		for _, s := range []*seen{&p.down, &p.up} {
			l := ledger.Line{Kind: calib.Resolution, Name: "opening, as the gauge shows it", Unit: innerOf(step.size), C: rates[i],
				Source: "half of one step of " + step.size.String() + ", " + step.by, What: uncertainty.Rectangular(step.size.Inner().Float() / 2)}
			s.own, s.lines = append(slices.Clone(s.own), l), append(slices.Clone(s.lines), l)
		}
	}
}

// between is one opening's mean less another's. The error of the instrument
// cancels where both are the same, and is taken to grow in proportion to what
// they differ by (house rule).
func (b *bench) between(x, y opening, on calib.StandardOnDay, per float64, to unit.Dimension) (figure, error) {
	var out figure
	out.Value, out.Unit = x.value.Sub(y.value), unit.Inner(to).Symbol()
	out.lines = slices.Clone(x.lines)
	if x.at.Same(y.at) {
		return out, nil
	}
	for _, l := range y.lines {
		l.C = -l.C
		out.lines = append(out.lines, l)
	}
	most := x.mean
	if y.mean.Abs().Cmp(most.Abs()) > 0 {
		most = y.mean
	}
	if most.IsZero() {
		return out, nil
	}
	e, err := errorAt(on, most)
	share := x.mean.Sub(y.mean).Quo(most).Float()
	out.lines = append(out.lines, ledger.Line{Kind: calib.InstrumentCalibration, Name: "calibration of " + on.Standard.ID + ", between the two",
		Source: "certificate " + on.Certificate.Number, Unit: unit.Inner(on.Standard.Kind.Dimension()).Symbol(), C: -share * per, What: uncertainty.Normal(e.u).WithDoF(e.dof)})
	return out, err
}
