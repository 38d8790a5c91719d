package presser

import "math"

// Weight returns the force in N with which a body of a conventional mass in kg
// and a density in kg/m³ hangs in air of a density in kg/m³ and a gravity in
// m/s². A body of the mass m weighs m·g·(1 − ρ_a/ρ); its conventional mass is
// m·(1 − 1.2/ρ)/(1 − 1.2/8000) (OIML D 28:2004).
func Weight(mass, density, air, gravity float64) float64 {
	return mass * gravity * (1 - conventionalAir/conventionalDensity) * (1 - air/density) / (1 - conventionalAir/density)
}

// perKilogram is the force in N on the pan of a balance that indicates one
// kilogram, where the balance was adjusted on its site with weights of the
// conventional density.
func perKilogram(gravity, air float64) float64 { return gravity * (1 - air/conventionalDensity) }

// CircleArea returns the area of a foot in mm² from its diameter in mm.
func CircleArea(diameter float64) float64 { return math.Pi / 4 * diameter * diameter }

// Pressure returns the pressure in kPa of a force in N on an area in mm².
func Pressure(force, area float64) float64 { return kilopascals * force / area }

const kilopascals = 1000 // in one N/mm²
