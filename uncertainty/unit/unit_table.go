package unit

import "math/big"

// Factors are exact. Inch, pound, pound-force and ounces: NIST SP 811 (2008),
// appendix B.8 (from memory, sure). The inch is 25.4 mm by definition, the
// kilogram-force 9.80665 N by the standard gravity of the CGPM 1901. The ounce
// of leather is 1/64 in of thickness, the iron 1/48 in (ASTM D1814, 1.2, read;
// it prints truncated millimetres, the fractions are exact).
var units = []Unit{
	{symbol: "mm", dimension: Length, factor: rat("1"), also: []string{"millimetre"}},
	{symbol: "µm", dimension: Length, factor: rat("0.001"), also: []string{"um", "μm", "micron"}},
	{symbol: "nm", dimension: Length, factor: rat("0.000001")},
	{symbol: "cm", dimension: Length, factor: rat("10")},
	{symbol: "m", dimension: Length, factor: rat("1000")},
	{symbol: "in", dimension: Length, factor: rat("25.4"), also: []string{"inch", `"`}},
	{symbol: "thou", dimension: Length, factor: rat("0.0254"), also: []string{"mil"}},
	{symbol: "µin", dimension: Length, factor: rat("0.0000254"), also: []string{"uin", "μin"}},
	{symbol: "oz_leather", dimension: Length, factor: rat("25.4/64"), rare: true},
	{symbol: "iron", dimension: Length, factor: rat("25.4/48"), rare: true},

	{symbol: "°C", dimension: Temperature, factor: rat("1"), also: []string{"C", "degC"}},
	{symbol: "°F", dimension: Temperature, factor: rat("5/9"), offset: rat("-160/9"), also: []string{"F", "degF"}},
	{symbol: "°C", dimension: TemperatureDifference, factor: rat("1"), also: []string{"C", "K", "degC"}},
	{symbol: "°F", dimension: TemperatureDifference, factor: rat("5/9"), also: []string{"F", "degF"}},

	{symbol: "ppm/°C", dimension: Expansion, factor: rat("0.000001"), also: []string{"ppm/C", "ppm/K", "µm/m/°C", "um/m/C", "um/m/K", "µm/m/K"}},
	{symbol: "ppm/°F", dimension: Expansion, factor: rat("9/5000000"), also: []string{"ppm/F"}},
	{symbol: "µm/m", dimension: Slope, factor: rat("0.000001"), also: []string{"um/m", "ppm"}},
	{symbol: "mm/m", dimension: Slope, factor: rat("0.001")},
	{symbol: "µin/in", dimension: Slope, factor: rat("0.000001"), also: []string{"uin/in"}},
	{symbol: "%", dimension: Percent, factor: rat("1")},
	{symbol: "m/s²", dimension: Acceleration, factor: rat("1"), also: []string{"m/s2", "m/s^2"}},
	{symbol: "°", dimension: PlaneAngle, factor: rat("1"), also: []string{"deg"}},

	{symbol: "N", dimension: Force, factor: rat("1")},
	{symbol: "mN", dimension: Force, factor: rat("0.001")},
	{symbol: "kN", dimension: Force, factor: rat("1000")},
	{symbol: "gf", dimension: Force, factor: rat("0.00980665"), also: []string{"p", "pond"}},
	{symbol: "kgf", dimension: Force, factor: rat("9.80665"), also: []string{"kp"}},
	{symbol: "lbf", dimension: Force, factor: rat("4.4482216152605")},
	{symbol: "ozf", dimension: Force, factor: rat("4.4482216152605/16")},

	{symbol: "kg", dimension: Mass, factor: rat("1")},
	{symbol: "g", dimension: Mass, factor: rat("0.001")},
	{symbol: "mg", dimension: Mass, factor: rat("0.000001")},
	{symbol: "lb", dimension: Mass, factor: rat("0.45359237")},
	{symbol: "oz_mass", dimension: Mass, factor: rat("0.45359237/16"), also: []string{"oz_avdp"}},

	{symbol: "kPa", dimension: Pressure, factor: rat("1")},
	{symbol: "Pa", dimension: Pressure, factor: rat("0.001")},
	{symbol: "hPa", dimension: Pressure, factor: rat("0.1"), also: []string{"mbar"}},
	{symbol: "MPa", dimension: Pressure, factor: rat("1000")},
	{symbol: "bar", dimension: Pressure, factor: rat("100")},
	{symbol: "psi", dimension: Pressure, factor: rat("4.4482216152605/0.64516"), also: []string{"lbf/in²", "lbf/in2"}}, // lbf over in², in kPa
	{symbol: "gf/cm²", dimension: Pressure, factor: rat("0.0980665"), also: []string{"gf/cm2", "gf/cm^2"}},
	{symbol: "kgf/cm²", dimension: Pressure, factor: rat("98.0665"), also: []string{"kgf/cm2", "kgf/cm^2"}},

	{symbol: "kg/m³", dimension: Density, factor: rat("1"), also: []string{"kg/m3", "kg/m^3"}},
	{symbol: "g/cm³", dimension: Density, factor: rat("1000"), also: []string{"g/cm3", "g/cm^3"}},
	{symbol: "mm²", dimension: Area, factor: rat("1"), also: []string{"mm2", "mm^2"}},
	{symbol: "cm²", dimension: Area, factor: rat("100"), also: []string{"cm2", "cm^2"}},
	{symbol: "in²", dimension: Area, factor: rat("645.16"), also: []string{"in2", "in^2"}},
	{symbol: "1/kPa", dimension: PerPressure, factor: rat("1")},
	{symbol: "1/MPa", dimension: PerPressure, factor: rat("0.001")},
	{symbol: "1/Pa", dimension: PerPressure, factor: rat("1000")},
	{symbol: "ppm/MPa", dimension: PerPressure, factor: rat("0.000000001")},
	{symbol: "N/m", dimension: Tension, factor: rat("1")},
	{symbol: "mN/m", dimension: Tension, factor: rat("0.001")},
}

// An ambiguity is a symbol of the trade that means several things, which are
// then never told apart by guessing.
type ambiguity struct {
	symbols     []string
	found, want string
}

var ambiguities = []ambiguity{
	{[]string{"oz", "oz.", "ounce", "ounces"}, "an ounce of mass, of force or of leather thickness", "write oz_mass, ozf or oz_leather"},
	{[]string{"g/cm²", "g/cm2", "g/cm^2", "kg/cm²", "kg/cm2", "kg/cm^2"}, "a mass on an area, which is no pressure", "write gf/cm² or kgf/cm²"},
	{[]string{"pound", "pounds", "lbs", "#"}, "a pound of mass or of force", "write lb or lbf"},
	{[]string{"grams", "gram", "kilo", "kilos"}, "a mass or a force", "write g or gf, kg or kgf"},
}

// rat reads "a", "a/b" or "a/b/c"; the table above is its only user.
func rat(s string) *big.Rat {
	out := big.NewRat(1, 1)
	start, first := 0, true
	for i := 0; i <= len(s); i++ {
		if i < len(s) && s[i] != '/' {
			continue
		}
		part, ok := new(big.Rat).SetString(s[start:i])
		if !ok {
			panic("unit table: " + s)
		}
		if first {
			out.Set(part)
		} else {
			out.Quo(out, part)
		}
		start, first = i+1, false
	}
	return out
}
