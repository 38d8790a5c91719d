package presser

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// Propose returns weights of the sets on the bench that make a load: the
// heaviest first that does not go beyond it, each once. Their nominal masses
// come within half a per cent of it, or within the five that a load may be off
// where the sets have nothing lighter. tester is the piston's standard, empty
// where the weights are set on or hung from the gauge itself.
func Propose(load unit.Quantity, tester string, b calib.Basis) ([]calib.WeightUse, error) {
	target, err := massFor(load, tester, b)
	if err != nil {
		return nil, err
	}
	var have []calib.WeightUse
	var sets []string
	for _, s := range b.Standards {
		if s.Standard.Kind != calib.WeightSet {
			continue
		}
		sets = append(sets, s.Standard.ID)
		for _, v := range s.Certificate.Values {
			have = append(have, calib.WeightUse{Standard: s.Standard.ID, Nominal: v.Nominal, Mark: v.Serial})
		}
	}
	if len(sets) == 0 {
		return nil, fmt.Errorf("load %s: no weight set is named; want --standard STANDARD, or standards in the sheet", load)
	}
	slices.SortStableFunc(have, func(a, b calib.WeightUse) int { return b.Nominal.Inner().Cmp(a.Nominal.Inner()) })
	var out []calib.WeightUse
	left := target
	for _, w := range have {
		if m := w.Nominal.Inner().Float(); m <= left+target*closeEnough && left > target*closeEnough {
			out, left = append(out, w), left-m
		}
	}
	if off := nearLoad().Float() * target; len(out) == 0 || left > off {
		return nil, fmt.Errorf("load %s: no weights of %s make %.4g kg within 5 %%; want a set that does, or other loads", load, strings.Join(sets, " and "), target)
	}
	return out, nil
}

// closeEnough is how near, relative, proposed weights come to a load where the
// set allows it (house rule; the load itself is worked out from them).
const closeEnough = 0.005

// massFor is the mass in kg that makes a load.
func massFor(load unit.Quantity, tester string, b calib.Basis) (float64, error) {
	value := load.Inner().Float()
	switch load.Unit().Dimension() {
	case unit.Mass:
		return value, nil
	case unit.Force:
		return value / StandardGravity, nil
	}
	s, ok := b.Find(tester)
	if !ok || s.Certificate.Piston == nil {
		return 0, &PlaceError{"tester", "none with an effective area is named", "want a dead-weight pressure tester with its piston"}
	}
	p := s.Certificate.Piston
	return value*p.Area.Inner().Float()/kilopascals/StandardGravity - p.Carrier.Inner().Float(), nil
}
