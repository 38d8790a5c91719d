package limits

import (
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// Names before a class's number.
const (
	forceClassOf    = "ISO 7500-1 class "
	pressureClassOf = "EN 837-1 class "
)

// LoadClass returns the limits of a class of gauges under load by its full
// name, as "ISO 7500-1 class 1" or "EN 837-1 class 1.6".
func LoadClass(name string) (calib.LoadLimit, bool) {
	if class, ok := strings.CutPrefix(name, forceClassOf); ok {
		for _, r := range forceClasses {
			if r.name == class {
				return calib.LoadLimit{Class: name, Of: calib.OfReading,
					Error: hundredth(r.q), Repeatability: hundredth(r.b), Hysteresis: hundredth(r.v), ZeroReturn: hundredth(r.f),
					Origin: "ISO 7500-1, table 2 (from memory, sure; check against your copy)"}, true
			}
		}
	}
	if class, ok := strings.CutPrefix(name, pressureClassOf); ok && slices.Contains(pressureClasses, class) {
		limit := unit.Must(class+" %", unit.Percent)
		return calib.LoadLimit{Class: name, Of: calib.OfSpan, Error: limit, Hysteresis: limit,
			Origin: "EN 837-1:1996, accuracy class, of the span (from memory, sure; check against your copy)"}, true
	}
	return calib.LoadLimit{}, false
}

// LoadClasses lists the names that [LoadClass] knows.
func LoadClasses() []string {
	var out []string
	for _, r := range forceClasses {
		out = append(out, forceClassOf+r.name)
	}
	for _, c := range pressureClasses {
		out = append(out, pressureClassOf+c)
	}
	return out
}

// hundredth writes n · 0.01 % as a percentage.
func hundredth(n int64) unit.Quantity {
	percent, _ := unit.Lookup("%", unit.Percent)
	return unit.Of(unit.Ratio(n, 100), percent)
}
