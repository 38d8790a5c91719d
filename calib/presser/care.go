package presser

import (
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// Masses from which on a person is warned where a plan states none (from
// memory, fairly sure, after usual guidance on lifting: 23 kg NIOSH in ideal
// conditions, 25 kg in British guidelines; local rules come first).
const (
	oneHand   = 10.0 // kg
	onePerson = 20.0 // kg
)

// UsualCare returns those masses, for one hand and for one person.
func UsualCare() (hand, person unit.Quantity) {
	return unit.Must(fmt.Sprintf("%g kg", oneHand), unit.Mass), unit.Must(fmt.Sprintf("%g kg", onePerson), unit.Mass)
}

// Cautions returns what a person must be told before a check of these parts
// begins: what the largest load is, worked out beforehand, and what its kind
// can do to them. weights are those that the check will use, at each load.
func Cautions(b calib.Basis, parts []calib.Part, weights [][]calib.WeightUse) []string {
	var out []string
	has := func(part calib.Part) bool {
		for _, p := range parts {
			if p == part {
				return true
			}
		}
		return false
	}
	if has(calib.FootPart) && b.Plan.Foot != nil {
		out = append(out, lifting(careOf(b), footMass(b))...)
		out = append(out, "A falling foot crushes: lower it by its lever or lift, never let it drop, and keep fingers out of the gap.")
	}
	if has(calib.ForcePart) && b.Plan.Force != nil {
		out = append(out, "Keep fingers out of the gap, and let springs go slowly: what lets go suddenly strikes.")
	}
	if has(calib.LoadPart) && b.Plan.Load != nil {
		heaviest := 0.0
		for _, uses := range weights {
			heaviest = max(heaviest, massOf(uses))
		}
		out = append(out, lifting(careOf(b), heaviest)...)
		out = append(out, loadCaution(b.Gauge))
	}
	if len(out) == 0 {
		return nil
	}
	return append(out, "These cautions stand in for no risk assessment: the rules of the place, and for pressure the work of those licensed for it, come first.")
}

func loadCaution(g calib.Gauge) string {
	if g.Kind.Dimension() == unit.Pressure {
		return "A pressurised tester stores energy: use fittings rated for the pressure, wear eye protection, bleed air from the liquid, never go beyond the gauge's range, " +
			"bring it to zero before anything is opened, keep off spinning weights, and never put oil on a gauge for oxygen."
	}
	return "Hung weights fall when a hook fails: hang them low over a soft base, nobody's feet or head under them, never beyond the gauge's range, and wear eye protection with springs."
}

// footMass is the mass that would press as the plan's band wants at most, kg; 0
// where the foot's area is needed and not known.
func footMass(b calib.Basis) float64 {
	value := 0.0
	for _, band := range b.Plan.Foot.AllBands() {
		value = max(value, band.Low.Inner().Float(), band.High.Inner().Float())
	}
	switch b.Plan.Foot.Dimension() {
	case unit.Mass:
		return value
	case unit.Force:
		return value / StandardGravity
	}
	area := b.Gauge.FootArea.Inner().Float()
	if d := b.Gauge.FootDiameter; !d.IsZero() {
		area = CircleArea(d.Inner().Float())
	}
	return value * area / kilopascals / StandardGravity
}

// careOf is what the plan states, and where it states nothing the house.
func careOf(b calib.Basis) calib.Care {
	care := b.Plan.Care
	if care.OneHand.IsZero() {
		care.OneHand = b.House.Care.OneHand
	}
	if care.OnePerson.IsZero() {
		care.OnePerson = b.House.Care.OnePerson
	}
	return care
}

// lifting warns of a mass in kg.
func lifting(c calib.Care, mass float64) []string {
	bound := func(q unit.Quantity, usual float64) float64 {
		if q.IsZero() {
			return usual
		}
		return q.Inner().Float()
	}
	switch hand, person := bound(c.OneHand, oneHand), bound(c.OnePerson, onePerson); {
	case mass > person:
		return []string{fmt.Sprintf("The largest load is %.3g kg, above the %.3g kg of one person: use a hoist, or split it, with two people and safety shoes.", mass, person)}
	case mass > hand:
		return []string{fmt.Sprintf("The largest load is %.3g kg, above the %.3g kg of one hand: lift it with both, close to the body, with safety shoes.", mass, hand)}
	}
	return nil
}
