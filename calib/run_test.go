package calib

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/uncertainty/unit"
)

// partedCheck has every run that a check can have.
func partedCheck() Check {
	at := func(s string, d unit.Dimension) unit.Quantity { return unit.Must(s, d) }
	r := func(s string, d unit.Dimension) []Reading { return []Reading{{Indication: at(s, d)}} }
	press := []PressPoint{{At: at("1 mm", unit.Length), Forward: r("392 g", unit.Mass), Back: r("393 g", unit.Mass)}}
	return Check{Gauge: "A", Standards: []string{"S"}, Zero: r("0.000 mm", unit.Length),
		Points: []Point{{Nominal: at("5.1 mm", unit.Length), Blocks: []BlockUse{{"S", at("5.1 mm", unit.Length)}}, Readings: r("5.101 mm", unit.Length)}},
		Foot:   &FootCheck{Instrument: "B", Points: press, Diameter: r("10.01 mm", unit.Length)},
		Force:  &ForceCheck{Instrument: "B", Points: []PressPoint{{At: at("2 mm", unit.Length), Forward: r("7.1 N", unit.Force), Back: r("6.9 N", unit.Force)}}},
		Load: &LoadCheck{Zero: r("0.0 N", unit.Force), Return: r("0.1 N", unit.Force),
			Points: []LoadPoint{{Load: at("20 N", unit.Force), Weights: []WeightUse{{Standard: "S"}}, Up: r("19.6 N", unit.Force), Down: r("19.7 N", unit.Force)}}}}
}

func TestRunsNameEveryReadingOfACheck(t *testing.T) {
	c := partedCheck()
	var got []string
	for _, r := range c.Runs() {
		for _, one := range *r.Readings {
			got = append(got, r.String()+": "+one.Indication.String())
		}
	}
	want := []string{"zero: 0.000 mm", "5.1 mm: 5.101 mm", "foot pressure, diameter: 10.01 mm",
		"foot pressure, lowering at 1 mm: 392 g", "foot pressure, lifting at 1 mm: 393 g",
		"measuring force, in at 2 mm: 7.1 N", "measuring force, out at 2 mm: 6.9 N",
		"applied load, zero: 0.0 N", "applied load, up at 20 N: 19.6 N", "applied load, down at 20 N: 19.7 N", "applied load, return: 0.1 N"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func TestACloneSharesNothing(t *testing.T) {
	c := partedCheck()
	before, err := json.Marshal(c)
	if err != nil {
		t.Fatal(err)
	}
	d := c.Clone()
	for _, r := range d.Runs() {
		(*r.Readings)[0] = Reading{Comment: "changed"}
		*r.Readings = nil
	}
	d.Standards[0], d.Points[0].Blocks[0].Standard, d.Load.Points[0].Weights[0].Standard = "x", "x", "x"
	d.Foot.Instrument, d.Force.Instrument, d.Load.Tester = "x", "x", "x"
	if after, err := json.Marshal(c); err != nil || string(after) != string(before) {
		t.Errorf("%v: the check was changed with its copy:\n%s\n%s", err, before, after)
	}
}
