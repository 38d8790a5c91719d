package presser

import (
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// Densities that conventional mass is defined by, in kg/m³ (OIML D 28:2004,
// read; OIML R 111-1:2004, 2.7).
const (
	conventionalAir     = 1.2
	conventionalDensity = 8000.0
)

// CIPM2007 returns the density of air in kg/m³ at a pressure in Pa, a
// temperature in °C and a relative humidity from 0 to 1, with 400 µmol/mol of
// carbon dioxide (A. Picard and others, Metrologia 45 (2008) 149; constants
// read in open code). It holds for 600 to 1100 hPa and 15 to 27 °C, with a
// relative standard uncertainty of 2.2e-5 (from memory, sure).
func CIPM2007(pressure, celsius, humidity float64) float64 {
	const gas, air, water = 8.314472, 28.96546e-3, 18.01528e-3 // J/(mol K), kg/mol, kg/mol
	p, t := pressure, celsius
	kelvin := t + 273.15
	enhancement := 1.00062 + 3.14e-8*p + 5.6e-7*t*t
	saturation := math.Exp(1.2378847e-5*kelvin*kelvin - 1.9121316e-2*kelvin + 33.93711047 - 6.3431645e3/kelvin)
	x := humidity * enhancement * saturation / p
	z := 1 - p/kelvin*(1.58123e-6-2.9331e-8*t+1.1043e-10*t*t+(5.707e-6-2.051e-8*t)*x+(1.9898e-4-2.376e-6*t)*x*x) +
		p*p/(kelvin*kelvin)*(1.83e-11-0.765e-8*x*x)
	return p * air / (z * gas * kelvin) * (1 - x*(1-water/air))
}

// ShortForm is the same by the approximation of OIML R 111-1:2004, E.3 (from
// memory, sure), for 900 to 1100 hPa, 10 to 30 °C and less than 80 %, with a
// relative standard uncertainty of 2e-4.
func ShortForm(pressure, celsius, humidity float64) float64 {
	return (0.34848*pressure/100 - 0.009*humidity*100*math.Exp(0.061*celsius)) / (273.15 + celsius)
}

// AirOf returns the density of the air of a check: computed where temperature,
// pressure and humidity were read, else 1.2 kg/m³ with what weather and the
// height of the site may make of it. Readings that no formula holds for are
// refused.
func AirOf(c calib.Conditions, h calib.House) (calib.Environ, error) {
	if c.Gauge.IsZero() || c.Pressure.IsZero() || c.Humidity.IsZero() {
		return usualAir(h.Height), nil
	}
	p, t, rh := c.Pressure.Inner().Float()*1000, c.Gauge.Inner().Float(), c.Humidity.Inner().Float()/100
	said := fmt.Sprintf("at %s, %s, %s", c.Gauge, c.Pressure, c.Humidity)
	switch {
	case !(rh >= 0 && rh <= 1):
		return calib.Environ{}, &PlaceError{"humidity", c.Humidity.String(), "want 0 to 100 %"}
	case p >= 60000 && p <= 110000 && t >= 15 && t <= 27:
		return readAir(CIPM2007, 2.2e-5, "CIPM-2007 "+said, p, t, rh), nil
	case p >= 90000 && p <= 110000 && t >= 10 && t <= 30 && rh < 0.8:
		return readAir(ShortForm, 2e-4, "OIML R 111-1 E.3 "+said, p, t, rh), nil
	}
	return calib.Environ{}, &PlaceError{"air", c.Pressure.String() + " at " + c.Gauge.String() + " and " + c.Humidity.String(),
		"want 600 to 1100 hPa and 15 to 27 °C, or 900 to 1100 hPa and 10 to 30 °C below 80 %; or leave the pressure out"}
}

// How well the instruments of a toolroom read the air: half-widths of
// rectangular distributions, in Pa, °C and 1 (house rule).
const (
	airPressureWidth    = 100.0
	airTemperatureWidth = 0.5
	airHumidityWidth    = 0.05
)

// readAir adds to a formula's own uncertainty what its three readings carry.
func readAir(formula func(p, t, rh float64) float64, relative float64, source string, p, t, rh float64) calib.Environ {
	rho := formula(p, t, rh)
	u := relative * rho
	for _, step := range [][3]float64{{airPressureWidth, 0, 0}, {0, airTemperatureWidth, 0}, {0, 0, airHumidityWidth}} {
		change := formula(p+step[0], t+step[1], rh+step[2]) - rho
		u = math.Hypot(u, uncertainty.Rectangular(math.Abs(change)).Standard())
	}
	return calib.Environ{Value: rho, Standard: u, Source: source}
}

// weather is the half-width, relative, of the density of air about its usual
// value at one place (house rule, after the 10 % of OIML R 111-1:2004, 10.2).
const weather = 0.1

// usualAir is 1.2 kg/m³, as far off as the air of the site's height may be. An
// unknown height is taken as one to 2000 m.
func usualAir(height unit.Quantity) calib.Environ {
	metres, said := height.Inner().Float()/millimetres, "height "+height.String()
	if height.IsZero() {
		metres, said = 2000, "any height to 2000 m"
	}
	// OIML R 111-1, annex E (from memory, fairly sure): ρ₀·exp(−ρ₀·g·h/p₀).
	there := conventionalAir * math.Exp(-conventionalAir*StandardGravity*metres/101325)
	a := weather*conventionalAir + math.Abs(conventionalAir-there)
	return calib.Environ{Value: conventionalAir, HalfMost: a, Standard: uncertainty.Rectangular(a).Standard(),
		Source: fmt.Sprintf("not read: 1.2 kg/m³, ±%.2f kg/m³ for weather and %s", a, said)}
}
