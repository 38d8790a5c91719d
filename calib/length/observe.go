package length

import (
	"errors"
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A PointError names what a check says at one point that cannot be worked
// with, whatever the plan's gates are.
type PointError struct {
	Point int // 1-based, in the order of the check
	Found string
	Want  string
}

func (e *PointError) Error() string {
	return fmt.Sprintf("point %d: %s; %s", e.Point, e.Found, e.Want)
}

// An observed point is what was seen at one size, exact, in mm.
type observed struct {
	nominal   unit.Exact
	mean      unit.Exact // of the indications, less the zero where it is subtracted
	reference unit.Exact // l_s·(1 + α_s·θ_s − α_g·θ_g)
	readings  []float64  // indications, mm
	stack     []stacked
}

// err is the error of indication e = x̄ − l_s·(1 + α_s·θ_s − α_g·θ_g).
func (o observed) err() unit.Exact { return o.mean.Sub(o.reference) }

// nominalMM is the length L that the contributions grow with.
func (o observed) nominalMM() float64 { return o.nominal.Float() }

// A stacked block is one of a stack, with its row of the certificate.
type stacked struct {
	use   calib.BlockUse
	value calib.Value
	from  calib.StandardOnDay
}

// Errors returns the error of indication at each point, in mm, as soon as there
// is a reading at it: without uncertainty, which may want more of them.
func Errors(c calib.Check, b calib.Basis) ([]unit.Exact, error) {
	points, err := observe(c, b)
	if err != nil {
		return nil, err
	}
	out := make([]unit.Exact, len(points))
	for i, o := range points {
		out[i] = o.err()
	}
	return out, nil
}

// observe works out every point of the check, without uncertainty.
func observe(c calib.Check, b calib.Basis) ([]observed, error) {
	zero, err := zeroOf(c, b)
	if err != nil {
		return nil, err
	}
	out := make([]observed, len(c.Points))
	for i, p := range c.Points {
		stack, err := stackOf(i+1, p, b)
		if err != nil {
			return nil, err
		}
		out[i] = observed{
			nominal:   p.Nominal.Inner(),
			mean:      mean(p.Readings).Sub(zero),
			reference: referenceOf(stack, c.Conditions, b.Gauge),
			readings:  indications(p.Readings),
			stack:     stack,
		}
	}
	return out, nil
}

// zeroOf is what is subtracted from every indication: the mean reading of the
// zero less the gauge's low end, or 0 where the plan does not subtract it. No
// gate can let a zero go that is subtracted and was not read.
func zeroOf(c calib.Check, b calib.Basis) (unit.Exact, error) {
	if b.Plan.Zero != calib.ZeroSubtracted {
		return unit.Exact{}, nil
	}
	if len(c.Zero) == 0 {
		return unit.Exact{}, errNoZero
	}
	return mean(c.Zero).Sub(b.Gauge.Low.Inner()), nil
}

// errNoZero is returned for a check that lacks the zero which its plan subtracts.
var errNoZero = errors.New("zero: not read; want it first, the plan subtracts it from every indication")

// stackOf finds each block of a point in its standard's certificate and holds
// their sum to the nominal size.
func stackOf(n int, p calib.Point, b calib.Basis) ([]stacked, error) {
	if len(p.Blocks) == 0 {
		return nil, &PointError{n, "no blocks", "want the blocks that make " + p.Nominal.String()}
	}
	var out []stacked
	sum := unit.Exact{}
	for i, use := range p.Blocks {
		from, ok := b.Find(use.Standard)
		if !ok {
			return nil, &PointError{n, fmt.Sprintf("blocks of %s, which is not among the standards used", use.Standard), "name it, or take others"}
		}
		value, ok := from.Certificate.Find(use.Nominal.Inner())
		if !ok {
			return nil, &PointError{n, fmt.Sprintf("block %s is not in %s", use.Nominal, use.Standard), "want a block of the set's certificate " + from.Certificate.Number}
		}
		for _, other := range p.Blocks[:i] {
			if other.Standard == use.Standard && other.Nominal.Same(use.Nominal) {
				return nil, &PointError{n, fmt.Sprintf("block %s of %s twice", use.Nominal, use.Standard), "a set holds each block once"}
			}
		}
		sum = sum.Add(use.Nominal.Inner())
		out = append(out, stacked{use, value, from})
	}
	if sum.Cmp(p.Nominal.Inner()) != 0 {
		u := p.Nominal.Unit()
		return nil, &PointError{n, fmt.Sprintf("the blocks make %s %s", u.From(sum).Shortest(), u.Symbol()), "want " + p.Nominal.String()}
	}
	return out, nil
}

// referenceOf is the length that the gauge ought to indicate: the stack's
// length at 20 °C corrected for the expansion of blocks and gauge. Where a
// temperature or a coefficient is not known there is no correction; a gate and
// the budget, not this function, answer for that.
func referenceOf(stack []stacked, at calib.Conditions, g calib.Gauge) unit.Exact {
	blocks, gauge := theta(at.BlocksAt()), theta(at.Gauge)
	alphaG := g.Material.Coefficient
	sum := unit.Exact{}
	for _, s := range stack {
		length := s.value.Length()
		sum = sum.Add(length)
		alphaS := s.from.Standard.Material.Coefficient
		if alphaS.IsZero() || alphaG.IsZero() {
			continue
		}
		growth := alphaS.Inner().Mul(blocks).Sub(alphaG.Inner().Mul(gauge))
		sum = sum.Add(length.Mul(growth))
	}
	return sum
}

// theta is the difference from the reference temperature of 20 °C (ISO 1;
// from memory, sure), 0 where none was read.
func theta(t unit.Quantity) unit.Exact {
	if t.IsZero() {
		return unit.Exact{}
	}
	return t.Inner().Sub(unit.Whole(20))
}

// mean is exact; of no readings it is 0.
func mean(readings []calib.Reading) unit.Exact {
	sum := unit.Exact{}
	for _, r := range readings {
		sum = sum.Add(r.Indication.Inner())
	}
	return sum.Quo(unit.Whole(int64(len(readings))))
}

func indications(readings []calib.Reading) []float64 {
	out := make([]float64, len(readings))
	for i, r := range readings {
		out[i] = r.Indication.Inner().Float()
	}
	return out
}
