package uncertainty

import (
	"errors"
	"fmt"
	"math"

	"example.org/wring/uncertainty/formula"
)

// ErrNotLinear is returned when the exact distribution is asked of a model that is not a sum of its inputs.
var ErrNotLinear = errors.New("model is not a sum of its inputs; want method \"t\" or \"monte carlo\"")

// Parse reads a model over the names of the inputs. It is to be set as the budget's Model.
func (b Budget) Parse(model string) (*formula.Formula, error) {
	names := make([]string, len(b.Inputs))
	for i, in := range b.Inputs {
		names[i] = in.Name
	}
	return formula.Parse(model, names)
}

// local is a model near the estimates: its value, the sensitivities, and what the second order adds.
type local struct {
	value         float64
	sensitivities []float64
	// pairs[i][j] is the second-order part of u_c² of inputs i and j; nil where there is none.
	pairs [][]float64
}

// local expands the model. Second-order terms are taken of independent inputs only:
//
//	ΣΣ [½(∂²f/∂xᵢ∂xⱼ)² + ∂f/∂xᵢ·∂³f/∂xᵢ∂xⱼ²]·u²(xᵢ)u²(xⱼ)   (JCGM 100:2008, 5.1.2, note)
func (b Budget) local() (local, error) {
	n := len(b.Inputs)
	l := local{sensitivities: make([]float64, n)}
	if b.Model == nil {
		for i, in := range b.Inputs {
			l.sensitivities[i] = in.Sensitivity
			l.value += in.Sensitivity * in.Estimate
		}
		return l, nil
	}
	x, h := make([]float64, n), make([]float64, n)
	for i, in := range b.Inputs {
		x[i], h[i] = in.Estimate, in.Knowledge.Standard()
		if h[i] == 0 {
			h[i] = 1
		}
	}
	d, err := b.Model.Derive(x, h)
	if err != nil {
		return local{}, err
	}
	l.value = d.Value
	for i := range n {
		l.sensitivities[i] = d.First[i] / h[i]
	}
	if len(b.Correlations) > 0 {
		return l, nil
	}
	l.pairs = make([][]float64, n)
	for i := range n {
		l.pairs[i] = make([]float64, n)
		for j := range n {
			if b.Inputs[i].Knowledge.scale > 0 && b.Inputs[j].Knowledge.scale > 0 {
				l.pairs[i][j] = d.Second[i][j]*d.Second[i][j]/2 + d.First[i]*d.Third[i][j]
			}
		}
	}
	return l, nil
}

// checkLinear refuses a model whose exact distribution is not that of a sum.
func (b Budget) checkLinear() error {
	if b.Model == nil {
		return nil
	}
	if _, _, ok := b.Model.Linear(); !ok {
		return fmt.Errorf("model %q: %w", b.Model, ErrNotLinear)
	}
	return nil
}

// addSecondOrder puts the second-order parts into shares and u_c², each half to both inputs of a pair and with
// the lesser of their degrees of freedom (house rule). Where they would leave nothing of u_c² they are left out: the expansion does not hold there.
func (c *combined) addSecondOrder(pairs [][]float64) {
	largest := c.standard // no square overflows or vanishes once divided by this
	for i := range pairs {
		for _, v := range pairs[i] {
			largest = math.Max(largest, math.Sqrt(math.Abs(v)))
		}
	}
	if largest == 0 || math.IsInf(largest, 0) {
		return
	}
	first := c.standard / largest * (c.standard / largest)
	total, quartic := first, first*first/c.dof
	shares := make([]float64, len(c.lines))
	for i := range pairs {
		shares[i] += c.lines[i].Share * first
		for j, v := range pairs[i] {
			v /= largest
			v /= largest
			total += v
			shares[i] += v / 2
			shares[j] += v / 2
			quartic += v * v / math.Min(c.lines[i].DoF, c.lines[j].DoF)
		}
	}
	if !(total > 0) {
		return
	}
	for i := range shares {
		c.lines[i].Share = shares[i] / total
	}
	c.standard, c.dof = largest*math.Sqrt(total), math.Inf(1)
	if quartic > 0 {
		c.dof = math.Max(1, total*total/quartic)
	}
}
