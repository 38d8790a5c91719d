package length

import (
	"cmp"
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// thermal returns the lines that come from temperature. With δθ = θ_s − θ_g,
// δα = α_s − α_g and the means θ̄, ᾱ of both, the model is
//
//	e = x̄ − l·(1 + ᾱ·δθ + δα·θ̄)
//
// to first order, as in JCGM 100:2008, H.1.2.
func (b bench) thermal(c calib.Contribution, o observed) ([]line, error) {
	alphaS, alphaG, err := b.coefficients(c, o)
	if err != nil {
		return nil, err
	}
	length := o.nominalMM()
	at := b.check.Conditions
	meanTheta := (theta(at.BlocksAt()).Float() + theta(at.Gauge).Float()) / 2
	switch c.Kind {
	case calib.TemperatureDifference:
		return []line{{Name: cmp.Or(c.Name, "temperature difference gauge–blocks"), Source: sourceOf(c), Unit: "°C",
			C: -length * (alphaS.Inner().Float() + alphaG.Inner().Float()) / 2, What: sized(c, observed{})}}, nil
	case calib.MeanTemperature:
		return []line{{Name: cmp.Or(c.Name, "temperature of gauge and blocks"), Source: sourceOf(c), Unit: "°C",
			C: -length * (alphaS.Inner().Float() - alphaG.Inner().Float()), What: sized(c, observed{})}}, nil
	default:
		return b.expansion(c, o, -length*meanTheta)
	}
}

// expansion returns the line of the difference of expansion coefficients and,
// beside it, that of its product with the uncertainty of the mean temperature:
// the second-order term that remains where θ̄ is near 0 (JCGM 100:2008, 5.1.2
// note and H.1.7). The product of two centred inputs is uncorrelated with
// both, so its variance simply adds; its shape is taken as normal (house rule).
func (b bench) expansion(c calib.Contribution, o observed, sensitivity float64) ([]line, error) {
	what, source, err := b.deltaAlpha(c, o)
	if err != nil {
		return nil, err
	}
	first := line{Name: cmp.Or(c.Name, "difference of expansion coefficients"), Source: source, Unit: "1/°C", C: sensitivity, What: what}
	uTheta := b.uMeanTemperature()
	if uTheta == 0 {
		return []line{first}, nil
	}
	second := line{Name: "expansion × temperature, second order", Source: "L·u(δα)·u(θ̄), JCGM 100 5.1.2 note", C: 1,
		What: uncertainty.Normal(o.nominalMM() * what.Standard() * uTheta)}
	return []line{first, second}, nil
}

// deltaAlpha is the plan's size, or the sum of two rectangular errors, those
// of the gauge's and the blocks' coefficients: a trapezoid (JCGM 100:2008,
// 4.3.9).
func (b bench) deltaAlpha(c calib.Contribution, o observed) (uncertainty.Distribution, string, error) {
	if c.Sized() {
		return sized(c, observed{}), sourceOf(c), nil
	}
	gauge := b.basis.Gauge.Material.HalfWidth
	widest := unit.Quantity{}
	for _, s := range o.stack {
		if h := s.from.Standard.Material.HalfWidth; widest.IsZero() || h.Inner().Cmp(widest.Inner()) > 0 {
			widest = h
		}
	}
	if gauge.IsZero() || widest.IsZero() {
		return uncertainty.Distribution{}, "", &SizeError{Kind: c.Kind, Found: "gauge or blocks have no half-width of the coefficient recorded", Want: "amend them, or give the plan a size"}
	}
	ag, as := gauge.Inner().Float(), widest.Inner().Float()
	source := "±" + gauge.String() + " of the gauge and ±" + widest.String() + " of the blocks"
	if ag+as == 0 {
		return uncertainty.Rectangular(0), source, nil
	}
	return uncertainty.Trapezoidal(ag+as, math.Abs(ag-as)/(ag+as)), source, nil
}

func (b bench) uMeanTemperature() float64 {
	for _, c := range b.basis.Plan.Contributions {
		if c.Kind == calib.MeanTemperature {
			return sized(c, observed{}).Standard()
		}
	}
	return 0
}

// coefficients returns those of the stack's longest block and of the gauge.
func (b bench) coefficients(c calib.Contribution, o observed) (blocks, gauge unit.Quantity, err error) {
	longest := o.stack[0]
	for _, s := range o.stack {
		if s.use.Nominal.Inner().Cmp(longest.use.Nominal.Inner()) > 0 {
			longest = s
		}
	}
	blocks, gauge = longest.from.Standard.Material.Coefficient, b.basis.Gauge.Material.Coefficient
	want := "amend it with its material, or leave the contribution out of the plan"
	switch {
	case gauge.IsZero():
		err = &SizeError{Kind: c.Kind, Found: b.basis.Gauge.ID + " has no coefficient of expansion", Want: want}
	case blocks.IsZero():
		err = &SizeError{Kind: c.Kind, Found: longest.from.Standard.ID + " has no coefficient of expansion", Want: want}
	}
	return blocks, gauge, err
}
