package sheet

import (
	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// ReadPiston reads what the certificate of a dead-weight pressure tester states,
// as TOML; the package comment shows it. Refusals are [*LineError].
func ReadPiston(name string, data []byte) (calib.Piston, error) {
	f, err := openTOML(name, "a piston", data)
	if err != nil {
		return calib.Piston{}, err
	}
	none := unit.Unit{}
	p := calib.Piston{
		Area: aboveZero(f, f.need("area"), unit.Area, none), AreaExpanded: aboveZero(f, f.need("area_expanded"), unit.Area, none),
		Distortion: f.quantity(f.field("distortion"), unit.PerPressure, none), Expansion: f.quantity(f.field("expansion"), unit.Expansion, none),
		Carrier: aboveZero(f, f.field("carrier"), unit.Mass, none), CarrierExpanded: aboveZero(f, f.field("carrier_expanded"), unit.Mass, none),
		Head: f.quantity(f.field("head"), unit.Length, none), HeadHalfWidth: aboveZero(f, f.field("head_half_width"), unit.Length, none),
		Fluid: aboveZero(f, f.field("fluid"), unit.Density, none), FluidHalfWidth: aboveZero(f, f.field("fluid_half_width"), unit.Density, none),
		DistortionExpanded: aboveZero(f, f.field("distortion_expanded"), unit.PerPressure, none), ExpansionExpanded: aboveZero(f, f.field("expansion_expanded"), unit.Expansion, none),
		Tension: aboveZero(f, f.field("tension"), unit.Tension, none), TensionHalfWidth: aboveZero(f, f.field("tension_half_width"), unit.Tension, none),
	}
	k := f.need("k")
	if f.number(k, 0) <= 0 && f.fault.err == nil {
		f.refuse(k, "%q: want the coverage factor of the certificate, above 0", clip(k.Text))
	}
	p.K = k.Text
	switch {
	case f.has("head") && !f.has("fluid"):
		f.refuse(f.missing("fluid"), "nothing given; want the density of what the head is of")
	case f.has("carrier") != f.has("carrier_expanded"):
		f.refuse(f.missing("carrier"), "carrier and carrier_expanded go together; want both")
	}
	for _, of := range [][2]string{{"distortion", "distortion_expanded"}, {"expansion", "expansion_expanded"}, {"tension", "tension_half_width"}, {"fluid", "fluid_half_width"}} {
		if f.has(of[1]) && !f.has(of[0]) {
			f.refuse(f.field(of[1]), "%q belongs to %s, which is not given", clip(f.field(of[1]).Text), of[0])
		}
	}
	f.close()
	if f.fault.err != nil {
		return calib.Piston{}, f.fault.err
	}
	return p, nil
}
