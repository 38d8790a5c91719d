package limits

import (
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// Weight returns the maximum permissible error ± of OIML R 111-1:2004, table 1,
// in kg, of a weight's conventional mass by its class, E1 to M3, and its
// nominal mass. The table has 1, 2 and 5 times the powers of ten and nothing
// between: a weight of another nominal mass is refused, as is a class that the
// table does not define there.
func Weight(class string, nominal unit.Quantity) (unit.Exact, error) {
	n := slices.Index(calib.WeightClasses(), class)
	if n < 0 {
		return unit.Exact{}, fmt.Errorf("class %q: not one of OIML R 111-1; want E1 to M3", class)
	}
	for _, r := range weightRows {
		if nominal.Inner().Cmp(unit.Ratio(r.nominal, milligrams)) != 0 {
			continue
		}
		if r.mpe[n] == 0 {
			return unit.Exact{}, fmt.Errorf("%s: no weight of class %s in OIML R 111-1; want another class, or its own certificate", nominal, class)
		}
		return unit.Ratio(r.mpe[n], 1000*milligrams), nil
	}
	return unit.Exact{}, fmt.Errorf("%s: no nominal value of OIML R 111-1, so no class has a limit for it; want its own certificate, by weighing", nominal)
}

const milligrams = 1_000_000 // in a kilogram
