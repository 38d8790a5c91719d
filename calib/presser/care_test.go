package presser

import (
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// ISO 9863-1 presses 200 kPa on 25 cm²: 500 N, 51 kg (own arithmetic; the
// pressure read, the foot from memory, sure).
func TestAHeavyFootIsSaidBeforehand(t *testing.T) {
	s := leather()
	s.basis.Gauge.FootDiameter, s.basis.Gauge.FootArea = unit.Quantity{}, of("25 cm²")
	foot := []calib.Part{calib.FootPart}
	for _, c := range []struct {
		high string
		care calib.Care
		want string
	}{
		{"200 kPa", calib.Care{}, "The largest load is 51 kg, above the 20 kg of one person"},
		{"50 kPa", calib.Care{}, "The largest load is 12.7 kg, above the 10 kg of one hand"},
		{"20 kPa", calib.Care{}, ""},
		{"20 kPa", calib.Care{OneHand: of("5 kg")}, "The largest load is 5.1 kg, above the 5 kg of one hand"},
		{"200 kPa", calib.Care{OnePerson: of("60 kg")}, "The largest load is 51 kg, above the 10 kg of one hand"},
		{"120 N", calib.Care{}, "The largest load is 12.2 kg, above the 10 kg of one hand"},
		{"11 kg", calib.Care{}, "The largest load is 11 kg, above the 10 kg of one hand"},
	} {
		s.basis.Plan.Foot.Band, s.basis.Plan.Care = calib.Band{High: of(c.high), Origin: "own"}, c.care
		said := strings.Join(Cautions(s.basis, foot, nil), "\n")
		if !strings.Contains(said, c.want) || c.want == "" && strings.Contains(said, "largest load") || !strings.Contains(said, "A falling foot crushes") {
			t.Errorf("%s: %q, want %q", c.high, said, c.want)
		}
	}
}

// What the house has set counts where the plan states nothing.
func TestThePlansCareComesBeforeTheHouses(t *testing.T) {
	of := func(s string) unit.Quantity { return unit.Must(s, unit.Mass) }
	b := calib.Basis{House: calib.House{Care: calib.Care{OneHand: of("5 kg"), OnePerson: of("12 kg")}}}
	b.Plan.Care.OneHand = of("3 kg")
	if got := careOf(b); !got.OneHand.Same(of("3 kg")) || !got.OnePerson.Same(of("12 kg")) {
		t.Errorf("one hand %s, one person %s; want 3 kg of the plan and 12 kg of the house", got.OneHand, got.OnePerson)
	}
}

func TestCautionsBelongToTheKindOfLoad(t *testing.T) {
	load := []calib.Part{calib.LoadPart}
	for _, c := range []struct {
		name    string
		scene   *scene
		parts   []calib.Part
		weights [][]calib.WeightUse
		want    []string
	}{
		{"hung", puller(), load, [][]calib.WeightUse{hung("5 kg"), hung("10 kg", "5 kg")}, []string{"The largest load is 15 kg, above the 10 kg of one hand", "Hung weights fall", "licensed"}},
		{"pressurised", tester(), load, [][]calib.WeightUse{hung("5 kg")}, []string{"A pressurised tester stores energy", "the rules of the place"}},
		{"ratchet", thimble(), []calib.Part{calib.ForcePart}, nil, []string{"Keep fingers out of the gap"}},
		{"length alone", leather(), []calib.Part{calib.LengthPart}, nil, nil},
	} {
		said := Cautions(c.scene.basis, c.parts, c.weights)
		if len(c.want) == 0 && len(said) != 0 {
			t.Errorf("%s: %q", c.name, said)
		}
		for _, w := range c.want {
			if !strings.Contains(strings.Join(said, "\n"), w) {
				t.Errorf("%s: %q, want %q", c.name, said, w)
			}
		}
	}
}
