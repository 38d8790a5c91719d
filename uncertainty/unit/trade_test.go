package unit

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// NIST SP 811 (2008), appendix B.8 (memory, sure); leather ounce and iron: ASTM
// D1814, 1.2 (read), the fractions of an inch.
func TestUnitsOfForceMassAndPressureAreExact(t *testing.T) {
	for _, c := range []struct {
		text  string
		d     Dimension
		inner string
	}{
		{"1 N", Force, "1"}, {"1 mN", Force, "0.001"}, {"1 gf", Force, "0.00980665"}, {"1 kgf", Force, "9.80665"},
		{"1 lbf", Force, "4.4482216152605"}, {"1 ozf", Force, "0.27801385095378125"}, {"1 kN", Force, "1000"},
		{"1 g", Mass, "0.001"}, {"1 mg", Mass, "0.000001"}, {"1 kg", Mass, "1"}, {"1 lb", Mass, "0.45359237"}, {"1 oz_mass", Mass, "0.028349523125"},
		{"1 Pa", Pressure, "0.001"}, {"1 hPa", Pressure, "0.1"}, {"1 bar", Pressure, "100"}, {"1 MPa", Pressure, "1000"},
		{"1 gf/cm2", Pressure, "0.0980665"}, {"1 kgf/cm²", Pressure, "98.0665"},
		{"1 oz_leather", Length, "0.396875"}, {"8oz_leather", Length, "3.175"}, {"9 iron", Length, "4.7625"},
		{"8 g/cm3", Density, "8000"}, {"1 in²", Area, "645.16"}, {"1 1/MPa", PerPressure, "0.001"}, {"1 ppm/MPa", PerPressure, "0.000000001"},
	} {
		q, err := Parse(c.text, c.d, Unit{})
		if err != nil || q.Inner().Shortest() != c.inner {
			t.Errorf("%s = %s (%v), want %s", c.text, q.Inner().Shortest(), err, c.inner)
		}
	}
	if sixteen := Must("16 ozf", Force); !sixteen.Same(Must("1 lbf", Force)) {
		t.Error("16 ozf are not 1 lbf")
	}
}

func TestAnOunceIsNeverGuessed(t *testing.T) {
	const oz = `an ounce of mass, of force or of leather thickness; write oz_mass, ozf or oz_leather`
	for _, c := range []struct {
		text string
		d    Dimension
		want string
	}{
		{"6 oz", Mass, `"6 oz": ` + oz}, {"6 oz", Force, `"6 oz": ` + oz}, {"6oz", Length, `"6oz": ` + oz},
		{"500 g/cm2", Pressure, `"500 g/cm2": a mass on an area, which is no pressure; write gf/cm² or kgf/cm²`},
		{"2 lbs", Force, `"2 lbs": a pound of mass or of force; write lb or lbf`},
		{"6 ozf", Mass, `"6 ozf": a force; want a mass`},
		{"6 oz_mass", Force, `"6 oz_mass": a mass; want a force`},
		{"6 oz_leather", Mass, `"6 oz_leather": a length; want a mass`},
	} {
		if _, err := Parse(c.text, c.d, Unit{}); err == nil || err.Error() != c.want {
			t.Errorf("%q as %s: %v\nwant %s", c.text, c.d, err, c.want)
		}
	}
	for _, a := range ambiguities {
		for _, s := range a.symbols {
			if kinds := kindsOf(s); len(kinds) > 0 {
				t.Errorf("%q is ambiguous and a unit of %v", s, kinds)
			}
		}
	}
}

func TestParseAnyReadsWhatAnInstrumentMayIndicate(t *testing.T) {
	gram, _ := Lookup("g", Mass)
	weighed := []Dimension{Mass, Force}
	for _, c := range []struct{ text, want string }{
		{"393.1", "393.1 g"}, {"393.1 g", "393.1 g"}, {"3.85 N", "3.85 N"}, {"13.9 ozf", "13.9 ozf"},
	} {
		if q, err := ParseAny(c.text, weighed, gram); err != nil || q.String() != c.want {
			t.Errorf("%q reads as %q, %v; want %q", c.text, q, err, c.want)
		}
	}
	for _, c := range []struct {
		text     string
		fallback Unit
		want     string
	}{
		{"393 mm", gram, `"393 mm": a length; want a mass or a force`},
		{"393", Unit{}, `"393": no unit; write one of kg, g, mg, lb, oz_mass, N, mN, kN, gf, kgf, lbf, ozf after it`},
		{"393 stone", gram, `"393 stone": "stone" is no unit known here; want one of kg, g, mg, lb, oz_mass, N, mN, kN, gf, kgf, lbf, ozf`},
		{"3,85 N", gram, `"3,85 N": a decimal comma; write 3.85`},
		{"14 oz", gram, `"14 oz": an ounce of mass, of force or of leather thickness; write oz_mass, ozf or oz_leather`},
	} {
		_, err := ParseAny(c.text, weighed, c.fallback)
		var bad *SyntaxError
		if !errors.As(err, &bad) || err.Error() != c.want {
			t.Errorf("%q: %v\nwant %s", c.text, err, c.want)
		}
	}
	if _, err := ParseAny("1", nil, gram); err == nil {
		t.Error("a quantity of no dimension is read")
	}
}

// Law: stored text comes back with its dimension, so a symbol belongs to one
// dimension only, temperatures apart.
func TestASymbolBelongsToOneDimension(t *testing.T) {
	for _, u := range units {
		for _, s := range append([]string{u.symbol}, u.also...) {
			if kinds := kindsOf(s); len(kinds) != 1 && !strings.HasSuffix(u.symbol, "C") && !strings.HasSuffix(u.symbol, "F") {
				t.Errorf("%q is a unit of %v", s, kinds)
			}
		}
	}
}

func TestEveryDimensionHasAnInnerUnit(t *testing.T) {
	for _, c := range []struct {
		d    Dimension
		want string
	}{
		{Length, "mm"}, {Force, "N"}, {Mass, "kg"}, {Pressure, "kPa"}, {Density, "kg/m³"}, {Area, "mm²"}, {Percent, "%"},
		{Acceleration, "m/s²"}, {TemperatureDifference, "°C"}, {Temperature, "°C"}, {PerPressure, "1/kPa"}, {Expansion, ""}, {Tension, "N/m"},
	} {
		if got := Inner(c.d).Symbol(); got != c.want {
			t.Errorf("%s: %q, want %q", c.d, got, c.want)
		}
	}
}

func TestDecimalMeansTheFloatInItsShortestForm(t *testing.T) {
	for _, c := range []struct {
		f    float64
		want string
	}{{0.1, "0.1"}, {-49.0612, "-49.0612"}, {1e-9, "0.000000001"}, {0, "0"}, {math.NaN(), "0"}, {math.Inf(1), "0"}} {
		if got := Decimal(c.f); got.Shortest() != c.want || !math.IsNaN(c.f) && !math.IsInf(c.f, 0) && got.Float() != c.f {
			t.Errorf("%v is kept as %s, want %s", c.f, got.Shortest(), c.want)
		}
	}
}
