package presser

import (
	"math"

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
	out := b.throughPiston(*p, k, tester, force)
	return out, nil
}

// throughPiston turns a force on a piston into a pressure with its lines.
func (b *bench) throughPiston(p calib.Piston, k float64, tester calib.StandardOnDay, force applied) applied {
	c := cylinderOf(p)
	celsius, half, said := 20.0, pistonFar, "temperature not read, 20 °C taken"
	if t := b.check.Conditions.Gauge; !t.IsZero() {
		celsius, half, said = t.Inner().Float(), pistonNear, "read "+t.String()
	}
	g, air := *b.gravity, *b.air
	f := force.value.Float()
	pressure := c.Pressure(f, celsius, air.Value, g.Value)
	under := pressure - c.perMillimetre(air.Value, g.Value)*c.Head
	per := under / f // kPa/N
	other := unit.Decimal(c.Pressure(force.standard.Float(), celsius, air.Value, StandardGravity))
	out := applied{value: unit.Decimal(pressure), standard: &other, perKilogram: force.perKilogram * per}
	for _, l := range force.lines {
		l.C *= per
		out.lines = append(out.lines, l)
	}
	certificate := "certificate " + tester.Certificate.Number
	out.lines = append(out.lines, ledger.Line{Kind: calib.PistonArea, Name: "effective area of " + tester.Standard.ID, Source: certificate, Unit: "mm²",
		C: under / c.Area, What: uncertainty.Normal(p.AreaExpanded.Inner().Float() / k)})
	if c.Expansion != 0 {
		warm := ledger.Line{Kind: calib.PistonTemperature, Name: "temperature of the piston", Source: said, Unit: "°C", C: under * c.Expansion, What: uncertainty.Rectangular(half)}
		if own, ok := b.sizedBy(calib.PistonTemperature); ok {
			warm.Source, warm.What = ledger.SourceOf(own), ledger.Sized(own, 0)
		}
		out.lines = append(out.lines, warm)
	}
	if !p.HeadHalfWidth.IsZero() {
		out.lines = append(out.lines, ledger.Line{Kind: calib.PressureHead, Name: "head between piston and gauge", Source: certificate, Unit: "mm",
			C: -c.perMillimetre(air.Value, g.Value), What: uncertainty.Rectangular(p.HeadHalfWidth.Inner().Float())})
	}
	return out
}
