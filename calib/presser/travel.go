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
