package length

import (
	"cmp"
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// thermal returns the lines that come from temperature. The model is
//
//	e = x̄ − l·(1 + α_s·θ_s − α_g·θ_g)
//
// whose temperatures are written, as in JCGM 100:2008, H.1.2, by their
// difference δθ = θ_s − θ_g and their mean θ̄.
func (b bench) thermal(c calib.Contribution, o observed) ([]line, error) {
	alphaS, alphaG, err := b.coefficients(c, o)
	if err != nil {
		return nil, err
	}
	length := o.nominalMM()
	switch c.Kind {
	case calib.TemperatureDifference:
		return []line{{Name: cmp.Or(c.Name, "temperature difference gauge–blocks"), Source: sourceOf(c), Unit: "°C",
			C: -length * (alphaS.Inner().Float() + alphaG.Inner().Float()) / 2, What: sized(c, observed{})}}, nil
	case calib.MeanTemperature:
		return []line{{Name: cmp.Or(c.Name, "temperature of gauge and blocks"), Source: sourceOf(c), Unit: "°C",
			C: -length * (alphaS.Inner().Float() - alphaG.Inner().Float()), What: sized(c, observed{})}}, nil
	default:
		return b.expansion(c, o)
	}
}

// expansion returns the lines of the coefficients of expansion. Where the plan
// sizes their difference δα it is one line of sensitivity −L·θ̄; else the two
// coefficients are two independent inputs, each with its own temperature.
//
// Beside them stands the product of δα with the uncertainty of the mean
// temperature: the second-order term that remains where θ̄ is near 0 (JCGM
// 100:2008, 5.1.2 note and H.1.7). The product of two centred inputs is
// uncorrelated with both, so its variance simply adds; its shape is taken as
// normal (house rule).
func (b bench) expansion(c calib.Contribution, o observed) ([]line, error) {
	thetaS, thetaG := b.thetas()
	length := o.nominalMM()
	out := []line{{Name: cmp.Or(c.Name, "difference of expansion coefficients"), Source: sourceOf(c), Unit: "1/°C",
		C: -length * (thetaS + thetaG) / 2}}
	uDelta := 0.0
	if c.Sized() {
		out[0].What = sized(c, observed{})
		uDelta = out[0].What.Standard()
	} else {
		blocks, gauge, err := b.halfWidths(c, o)
		if err != nil {
			return nil, err
		}
		out = []line{
			{Name: "expansion of the blocks", Source: "±" + blocks.String() + " of their coefficient", Unit: "1/°C", C: -length * thetaS, What: uncertainty.Rectangular(blocks.Inner().Float())},
			{Name: "expansion of the gauge", Source: "±" + gauge.String() + " of its coefficient", Unit: "1/°C", C: length * thetaG, What: uncertainty.Rectangular(gauge.Inner().Float())},
		}
		uDelta = math.Hypot(out[0].What.Standard(), out[1].What.Standard())
	}
	if uTheta := b.uMeanTemperature(); uTheta > 0 {
		out = append(out, line{Name: "expansion × temperature, second order", Source: "L·u(δα)·u(θ̄), JCGM 100 5.1.2 note", C: 1,
			What: uncertainty.Normal(length * uDelta * uTheta)})
	}
	return out, nil
}

// thetas returns the differences from 20 °C of blocks and gauge. Where no
// temperature was read they are not 0 but the furthest that the plan's
// environment allows (house rule: what was not looked at is not perfect).
func (b bench) thetas() (blocks, gauge float64) {
	at := b.check.Conditions
	if !at.Gauge.IsZero() {
		return theta(at.BlocksAt()).Float(), theta(at.Gauge).Float()
	}
	room := b.basis.Plan.Environment
	furthest := math.Max(math.Abs(theta(room.Low).Float()), math.Abs(theta(room.High).Float()))
	return furthest, furthest
}

// halfWidths returns the bounds of the coefficients' errors, of the blocks the
// widest in the stack.
func (b bench) halfWidths(c calib.Contribution, o observed) (blocks, gauge unit.Quantity, err error) {
	gauge = b.basis.Gauge.Material.HalfWidth
	for _, s := range o.stack {
		if h := s.from.Standard.Material.HalfWidth; blocks.IsZero() || h.Inner().Cmp(blocks.Inner()) > 0 {
			blocks = h
		}
	}
	if gauge.IsZero() || blocks.IsZero() {
		err = &SizeError{Kind: c.Kind, Found: "gauge or blocks have no half-width of the coefficient recorded", Want: "amend them, or give the plan a size"}
	}
	return blocks, gauge, err
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
