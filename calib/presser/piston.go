package presser

import (
	"math"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// A Cylinder is a piston in its cylinder, as numbers.
type Cylinder struct {
	Area       float64 // effective area at 20 °C and no pressure, mm²
	Distortion float64 // λ, 1/kPa
	Expansion  float64 // αp + αc, 1/°C
	Head       float64 // of the piston's level above the gauge's, mm
	Fluid      float64 // density, kg/m³
}

// Pressure returns the pressure in kPa at the gauge's level under a force in N
// on the piston, at a temperature in °C, an air density in kg/m³ and a gravity
// in m/s²:
//
//	p = F / (A·(1 + λ·p)·(1 + α·(t − 20 °C))) + (ρ_f − ρ_a)·g·h
//
// (EURAMET cg-3, version 1.0, from memory, sure). The pressure under the piston
// stands on both sides; the positive root of the quadratic is taken.
func (c Cylinder) Pressure(force, celsius, air, gravity float64) float64 {
	p := kilopascals * force / (c.Area * (1 + c.Expansion*(celsius-20)))
	if c.Distortion != 0 {
		p = 2 * p / (1 + math.Sqrt(1+4*c.Distortion*p))
	}
	return p + c.perMillimetre(air, gravity)*c.Head
}

// perMillimetre is the pressure of one mm of the fluid, kPa.
func (c Cylinder) perMillimetre(air, gravity float64) float64 {
	return (c.Fluid - air) * gravity / millimetres / kilopascals
}

func cylinderOf(p calib.Piston) Cylinder {
	return Cylinder{Area: p.Area.Inner().Float(), Distortion: p.Distortion.Inner().Float(), Expansion: p.Expansion.Inner().Float(),
		Head: p.Head.Inner().Float(), Fluid: p.Fluid.Inner().Float()}
}

// How far the piston may be from the temperature that was read, and from 20 °C
// where none was: half-widths in °C (house rule).
const (
	pistonNear = 1.0
	pistonFar  = 5.0
)

// asPressure is what the weights press with through a piston.
func (b *bench) asPressure(loads []load) (applied, error) {
	const place = "tester"
	tester, err := b.used(place, b.check.Load.Tester, calib.PressureTester)
	if err != nil {
		return applied{}, err
	}
	p := tester.Certificate.Piston
	if p == nil {
		return applied{}, &PlaceError{place, tester.Standard.ID + ": its certificate states no effective area", "want a certificate entered with its piston"}
	}
	k, err := ledger.Factor(p.K)
	if err != nil {
		return applied{}, err
	}
	if !p.Carrier.IsZero() {
		carrier := loadOf(tester)
		carrier.mass, carrier.calibrated = p.Carrier.Inner(), p.CarrierExpanded.Inner().Float()/k
		loads = append(loads[:len(loads):len(loads)], carrier)
	}
	force, err := b.asForce(loads)
	if err != nil {
		return applied{}, err
	}
	b.pulled(*p, "certificate "+tester.Certificate.Number, &force)
	return b.throughPiston(*p, k, tester, force), nil
}

// circumference is that of a round piston in mm, from its area in mm².
func circumference(area float64) float64 { return 2 * math.Sqrt(math.Pi*area) }

// pulled adds what the surface tension of the liquid pulls the piston down
// with, σ·C, to the force on it.
func (b *bench) pulled(p calib.Piston, certificate string, force *applied) {
	around := circumference(p.Area.Inner().Float()) / millimetres
	pull := unit.Decimal(p.Tension.Inner().Float() * around)
	force.value = force.value.Add(pull)
	other := force.standard.Add(pull)
	force.standard = &other
	if !p.TensionHalfWidth.IsZero() {
		force.lines = append(force.lines, ledger.Line{Kind: calib.SurfaceTension, Name: "surface tension of the liquid", Source: certificate, Unit: unit.Inner(unit.Tension).Symbol(),
			C: -around, What: uncertainty.Rectangular(p.TensionHalfWidth.Inner().Float())})
	}
}

// throughPiston turns a force on a piston into a pressure with its lines.
func (b *bench) throughPiston(p calib.Piston, k float64, tester calib.StandardOnDay, force applied) applied {
	c := cylinderOf(p)
	warmth := b.warmth()
	g, air := *b.gravity, *b.air
	f := force.value.Float()
	pressure := c.Pressure(f, warmth.celsius, air.Value, g.Value)
	under := pressure - c.perMillimetre(air.Value, g.Value)*c.Head
	per := under / f // kPa/N
	other := unit.Decimal(c.Pressure(force.standard.Float(), warmth.celsius, air.Value, StandardGravity))
	out := applied{value: unit.Decimal(pressure), standard: &other, perKilogram: force.perKilogram * per}
	for _, l := range force.lines {
		l.C *= per
		out.lines = append(out.lines, l)
	}
	out.lines = append(out.lines, b.areaLines(p, k, tester, under, warmth)...)
	out.lines = append(out.lines, headLines(p, c, "certificate "+tester.Certificate.Number, g.Value, air.Value)...)
	b.leftOut(p)
	return out
}

// A warmth is the temperature of a piston.
type warmth struct {
	celsius float64 // °C
	half    float64 // half-width of a rectangular distribution, °C
	said    string
}

func (b *bench) warmth() warmth {
	if t := b.check.Conditions.Gauge; !t.IsZero() {
		return warmth{t.Inner().Float(), pistonNear, "read " + t.String()}
	}
	return warmth{20, pistonFar, "temperature not read, 20 °C taken"}
}

// areaLines are those of the effective area and of what changes it, for a
// pressure under the piston in kPa.
func (b *bench) areaLines(p calib.Piston, k float64, tester calib.StandardOnDay, under float64, w warmth) []ledger.Line {
	c, certificate := cylinderOf(p), "certificate "+tester.Certificate.Number
	out := []ledger.Line{{Kind: calib.PistonArea, Name: "effective area of " + tester.Standard.ID, Source: certificate, Unit: "mm²",
		C: under / c.Area, What: uncertainty.Normal(p.AreaExpanded.Inner().Float() / k)}}
	if u := p.DistortionExpanded.Inner().Float(); u > 0 {
		// p·(1 + λ·p) = const, so ∂p/∂λ = −p²/(1 + 2·λ·p).
		out = append(out, ledger.Line{Kind: calib.PistonDistortion, Name: "distortion of " + tester.Standard.ID, Source: certificate, Unit: unit.Inner(unit.PerPressure).Symbol(),
			C: under * under / (1 + 2*c.Distortion*under), What: uncertainty.Normal(u / k)})
	}
	if c.Expansion == 0 {
		return out
	}
	warm := ledger.Line{Kind: calib.PistonTemperature, Name: "temperature of the piston", Source: w.said, Unit: "°C", C: under * c.Expansion, What: uncertainty.Rectangular(w.half)}
	if own, ok := b.sizedBy(calib.PistonTemperature); ok {
		warm.Source, warm.What = ledger.SourceOf(own), ledger.Sized(own, 0)
	}
	out = append(out, warm)
	if u := p.ExpansionExpanded.Inner().Float(); u > 0 {
		// Near 20 °C the first-order term goes and the product of both
		// uncertainties remains (JCGM 100:2008, 5.1.2 note).
		off := math.Hypot(w.celsius-20, warm.What.Standard())
		out = append(out, ledger.Line{Kind: calib.PistonExpansion, Name: "expansion of " + tester.Standard.ID, Source: certificate, Unit: "1/°C", C: under * off, What: uncertainty.Normal(u / k)})
	}
	return out
}

// headLines are those of the fluid between piston and gauge.
func headLines(p calib.Piston, c Cylinder, certificate string, gravity, air float64) []ledger.Line {
	var out []ledger.Line
	if !p.HeadHalfWidth.IsZero() {
		out = append(out, ledger.Line{Kind: calib.PressureHead, Name: "head between piston and gauge", Source: certificate, Unit: "mm",
			C: -c.perMillimetre(air, gravity), What: uncertainty.Rectangular(p.HeadHalfWidth.Inner().Float())})
	}
	if !p.FluidHalfWidth.IsZero() && c.Head != 0 {
		out = append(out, ledger.Line{Kind: calib.PressureHead, Name: "density of the fluid", Source: certificate, Unit: "kg/m³",
			C: -gravity * c.Head / millimetres / kilopascals, What: uncertainty.Rectangular(p.FluidHalfWidth.Inner().Float())})
	}
	return out
}

// leftOut notes what the piston's record is silent on and the budget therefore
// lacks.
func (b *bench) leftOut(p calib.Piston) {
	const gas = 100 // kg/m³; no liquid of a tester is as light (house rule)
	for _, c := range []struct {
		lacks bool
		what  string
	}{
		{p.Distortion.IsZero(), "the piston's distortion by the pressure"},
		{!p.Distortion.IsZero() && p.DistortionExpanded.IsZero(), "the uncertainty of the piston's distortion"},
		{p.Expansion.IsZero(), "the piston's expansion by the temperature"},
		{!p.Expansion.IsZero() && p.ExpansionExpanded.IsZero(), "the uncertainty of the piston's expansion"},
		{p.Tension.IsZero() && !(p.Fluid.Inner().Float() > 0 && p.Fluid.Inner().Float() < gas), "the surface tension of the liquid"},
		{!p.Tension.IsZero() && p.TensionHalfWidth.IsZero(), "the uncertainty of the surface tension"},
		{p.Head.IsZero(), "the head between piston and gauge"},
		{!p.Head.IsZero() && p.HeadHalfWidth.IsZero(), "the uncertainty of the head"},
		{p.Head.Inner().Sign() != 0 && p.FluidHalfWidth.IsZero(), "the uncertainty of the fluid's density"},
	} {
		if c.lacks && !slices.Contains(b.lacking, c.what) {
			b.lacking = append(b.lacking, c.what)
		}
	}
}
