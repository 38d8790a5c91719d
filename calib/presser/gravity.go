package presser

import (
	"errors"
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
)

// StandardGravity is g₀ in m/s², exact (CGPM 1901; from memory, sure). A force
// gauge in kgf is built on it; a weight hangs in the gravity of its place.
const StandardGravity = 9.80665

// The WGS 84 ellipsoid: normal gravity at the equator in m/s², Somigliana's
// constant, first eccentricity squared (read), flattening, m = ω²a²b/GM and the
// semi-major axis in m (from memory, sure; checked against the printed vectors).
const (
	equatorGravity = 9.7803253359
	somigliana     = 0.00193185265241
	eccentricity2  = 0.00669437999013
	flattening     = 1 / 298.257223563
	rotation       = 0.00344978650684
	semiMajor      = 6378137.0
)

// gravityAnomaly is the half-width in m/s² within which the gravity of a place
// may differ from normal gravity (house rule; from memory, fairly sure: most
// places lie well inside).
const gravityAnomaly = 0.0005

// NormalGravity returns the WGS 84 gravity in m/s² at a latitude in degrees,
// north or south, and a height in m above the sea.
func NormalGravity(latitude, height float64) float64 {
	s := math.Pow(math.Sin(latitude*math.Pi/180), 2)
	surface := equatorGravity * (1 + somigliana*s) / math.Sqrt(1-eccentricity2*s)
	h := height / semiMajor
	return surface * (1 - 2*(1+flattening+rotation-2*flattening*s)*h + 3*h*h)
}

// errNoGravity is returned where a house has no gravity.
var errNoGravity = errors.New("gravity: the house has neither a measured value nor a latitude; want one of them, see wring house amend")

// GravityOf returns the gravity of a house's site: as it was measured, else the
// normal gravity of its latitude and height, from which a place may differ.
// A height that is not given is taken as 0 to 500 m, house rule.
func GravityOf(h calib.House) (calib.Environ, error) {
	if !h.Gravity.IsZero() {
		return calib.Environ{Value: h.Gravity.Inner().Float(), Standard: h.GravityExpanded.Inner().Float() / 2,
			Source: fmt.Sprintf("measured %s, U %s, k = 2", h.Gravity, h.GravityExpanded)}, nil
	}
	if h.Latitude.IsZero() {
		return calib.Environ{}, errNoGravity
	}
	height, spread, said := h.Height.Inner().Float()/millimetres, 0.0, "height "+h.Height.String()
	if h.Height.IsZero() {
		height, spread, said = 250, 250*freeAir, "height taken as 0 to 500 m"
	}
	a := gravityAnomaly + spread
	return calib.Environ{Value: NormalGravity(h.Latitude.Inner().Float(), height), HalfMost: a, Standard: uncertainty.Rectangular(a).Standard(),
		Source: fmt.Sprintf("WGS 84 at latitude %s, %s; a place may differ by ±%.4f m/s²", h.Latitude, said, a)}, nil
}

const (
	millimetres = 1000     // in a metre
	freeAir     = 3.086e-6 // decrease of gravity with height, 1/s² (from memory, sure)
)

// spreadOf is the distribution of a quantity of the surroundings.
func spreadOf(e calib.Environ) uncertainty.Distribution {
	if e.HalfMost > 0 {
		return uncertainty.Rectangular(e.HalfMost)
	}
	return uncertainty.Normal(e.Standard)
}
