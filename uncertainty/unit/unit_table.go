package unit

import "math/big"

// Factors are exact. Inch, pound and pound-force: NIST SP 811 (2008),
// appendix B.8 (from memory, sure). The inch is 25.4 mm by definition.
var units = []Unit{
	{"mm", Length, rat("1"), nil, []string{"millimetre"}},
	{"µm", Length, rat("0.001"), nil, []string{"um", "μm", "micron"}},
	{"nm", Length, rat("0.000001"), nil, nil},
	{"cm", Length, rat("10"), nil, nil},
	{"m", Length, rat("1000"), nil, nil},
	{"in", Length, rat("25.4"), nil, []string{"inch", `"`}},
	{"thou", Length, rat("0.0254"), nil, []string{"mil"}},
	{"µin", Length, rat("0.0000254"), nil, []string{"uin", "μin"}},

	{"°C", Temperature, rat("1"), nil, []string{"C", "degC"}},
	{"°F", Temperature, rat("5/9"), rat("-160/9"), []string{"F", "degF"}},
	{"°C", TemperatureDifference, rat("1"), nil, []string{"C", "K", "degC"}},
	{"°F", TemperatureDifference, rat("5/9"), nil, []string{"F", "degF"}},

	{"ppm/°C", Expansion, rat("0.000001"), nil, []string{"ppm/C", "ppm/K", "µm/m/°C", "um/m/C", "um/m/K", "µm/m/K"}},
	{"ppm/°F", Expansion, rat("9/5000000"), nil, []string{"ppm/F"}},

	{"µm/m", Slope, rat("0.000001"), nil, []string{"um/m", "ppm"}},
	{"mm/m", Slope, rat("0.001"), nil, nil},
	{"µin/in", Slope, rat("0.000001"), nil, []string{"uin/in"}},

	{"%", Percent, rat("1"), nil, nil},
	{"m/s²", Acceleration, rat("1"), nil, []string{"m/s2", "m/s^2"}},
	{"°", PlaneAngle, rat("1"), nil, []string{"deg"}},

	{"N", Force, rat("1"), nil, nil},
	{"mN", Force, rat("0.001"), nil, nil},
	{"gf", Force, rat("0.00980665"), nil, nil},
	{"kgf", Force, rat("9.80665"), nil, nil},
	{"lbf", Force, rat("4.4482216152605"), nil, nil},
	{"ozf", Force, rat("0.2780138509537812"), nil, nil},
	{"kg", Mass, rat("1"), nil, nil},
	{"g", Mass, rat("0.001"), nil, nil},
	{"mg", Mass, rat("0.000001"), nil, nil},
	{"lb", Mass, rat("0.45359237"), nil, nil},
	{"kPa", Pressure, rat("1"), nil, nil},
	{"Pa", Pressure, rat("0.001"), nil, nil},
	{"bar", Pressure, rat("100"), nil, nil},
	{"psi", Pressure, rat("4.4482216152605/0.64516"), nil, nil}, // lbf over in², in kPa
	{"hPa", Pressure, rat("0.1"), nil, []string{"mbar"}},
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
