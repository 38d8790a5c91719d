package uncertainty

import (
	"errors"
	"fmt"
	"math"

	"example.org/wring/uncertainty/stat"
)

// errTooLarge is returned when contributions overflow.
var errTooLarge = errors.New("combined uncertainty: beyond the range of numbers; want inputs in a sensible unit")

// combined is a budget after the law of propagation.
type combined struct {
	lines    []Line
	estimate float64
	standard float64 // u_c
	first    float64 // u_c without terms of second order
	dof      float64 // ν_eff
}

// combine applies the law of propagation of uncertainty and Welch–Satterthwaite.
//
// u_c² = ΣΣ cᵢcⱼuᵢuⱼrᵢⱼ (JCGM 100:2008, 5.2.2, eq. 16); ν_eff is eq. G.2b. That equation is
// for independent inputs: inputs bound by correlation enter it as one, with the least of
// their degrees of freedom. For readings taken together, which have the same, this is exact; else it is a house rule.
func (b Budget) combine() (combined, error) {
	if err := b.check(); err != nil {
		return combined{}, err
	}
	r, err := b.correlate()
	if err != nil {
		return combined{}, err
	}
	at, err := b.local()
	if err != nil {
		return combined{}, err
	}
	c := combined{lines: make([]Line, len(b.Inputs)), estimate: at.value, dof: math.Inf(1)}
	largest := 0.0
	for i, in := range b.Inputs {
		d, sensitivity := in.Knowledge, at.sensitivities[i]
		c.lines[i] = Line{Name: in.Name, Distribution: d.Shape().String(), Source: in.Source, Estimate: in.Estimate,
			U: d.Standard(), DoF: d.DoF(), Sensitivity: sensitivity, Contribution: math.Abs(sensitivity) * d.Standard()}
		largest = math.Max(largest, c.lines[i].Contribution)
	}
	if math.IsInf(c.estimate, 0) || math.IsNaN(c.estimate) || math.IsInf(largest, 0) {
		return combined{}, errTooLarge
	}
	if largest > 0 {
		if err := c.share(r, largest); err != nil {
			return combined{}, err
		}
	}
	c.first = c.standard
	if at.pairs != nil {
		c.addSecondOrder(at.pairs)
	}
	return c, nil
}

// share fills u_c, the shares and ν_eff; contributions are divided by the largest first so
// that no square overflows or vanishes.
func (c *combined) share(r correlations, largest float64) error {
	total, quartic := 0.0, 0.0
	for _, group := range r.groups {
		variance, dof := 0.0, math.Inf(1)
		for _, i := range group {
			li := &c.lines[i]
			for _, j := range group {
				lj := c.lines[j]
				li.Share += signed(*li) / largest * signed(lj) / largest * r.at(i, j)
			}
			variance += li.Share
			if li.Contribution > 0 {
				dof = math.Min(dof, li.DoF)
			}
		}
		variance = math.Max(variance, 0)
		total += variance
		quartic += variance * variance / dof
	}
	c.standard = largest * math.Sqrt(total)
	if math.IsInf(c.standard, 0) {
		return errTooLarge
	}
	for i := range c.lines {
		if total > 0 {
			c.lines[i].Share /= total
		} else {
			c.lines[i].Share = 0
		}
	}
	if quartic > 0 {
		c.dof = total * total / quartic
	}
	return nil
}

// signed is the contribution with the sign of its sensitivity.
func signed(l Line) float64 { return math.Copysign(l.Contribution, l.Sensitivity) }

// expandT takes k from t of the next lower whole number of degrees of freedom (JCGM 100:2008,
// G.4.1, note 1).
func (s *Statement) expandT() error {
	if s.Standard == 0 {
		s.cover(0)
		return nil
	}
	// A sum of rounded quotients may fall a hair short of a whole number.
	whole := math.Max(1, math.Floor(s.DoF*(1+1e-12)))
	k, err := stat.TQuantile((1+s.Probability)/2, whole)
	if err != nil {
		return fmt.Errorf("coverage factor: %w", err)
	}
	s.K = k
	s.cover(k * s.Standard)
	return nil
}

// cover sets the interval of half-length U about the estimate.
func (s *Statement) cover(U float64) {
	s.Expanded, s.Low, s.High = U, s.Estimate-U, s.Estimate+U
}
