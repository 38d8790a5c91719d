package presser

import (
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A slip of the unit, of the decimal place or of the tare is marked or stops,
// and a reading that is only bad is neither.
func TestAReadingFarOutsideIsTakenForASlip(t *testing.T) {
	for _, c := range []struct {
		name   string
		scene  *scene
		change func(*scene)
		want   string // empty: believed
	}{
		{"a foot that lifts its balance", leather(), func(s *scene) { s.check.Foot.Points[0].Forward[1] = readings("-0.2 g")[0] },
			"lowering 2: -0.2 g is below zero, and what presses can only press; want the instrument tared with nothing on it"},
		{"a decimal place", leather(), func(s *scene) { s.check.Foot.Points[2].Back[0] = readings("39.33 g")[0] },
			"lifting 1: 39.33 g is more than 50 % below 47.8 kPa, the end of the band"},
		{"a weight too heavy by a third", leather(), func(s *scene) { s.check.Foot.Points[2].Back[0] = readings("530 g")[0] }, ""},
		{"the same, believed less by the plan", leather(), func(s *scene) {
			s.basis.Plan.Foot.Believable = of("30 %")
			s.check.Foot.Points[2].Back[0] = readings("530 g")[0]
		}, "lifting 1: 530 g is more than 30 % above 50.4 kPa, the end of the band"},
		{"a spring read in another unit", pocket(), func(s *scene) { s.check.Foot.Points[1].Forward[0] = readings("1.48 N")[0] },
			"lowering 1: 1.48 N is more than 50 % below 1.35 lbf, the end of the band"},
		{"a ratchet", thimble(), func(s *scene) { s.check.Force.Points[1].Back[2] = readings("71.5 N")[0] },
			"out 3: 71.5 N is more than 50 % above 10 N, the end of the band"},
		{"a load", puller(), func(s *scene) { s.check.Load.Points[0].Up[0] = readings("1.96 N")[0] },
			"up 1: 1.96 N under 20 N is off by more than 50 % of 20 N"},
		{"a load on the way down, in another unit", puller(), func(s *scene) { s.check.Load.Points[1].Down[2] = readings("5 N")[0] },
			"down 3: 5 N under 50 N is off by more than 50 % of 50 N"},
		{"a zero that is none", puller(), func(s *scene) { s.check.Load.Return = readings("19.6 N") },
			"zero, after the last load 1: 19.6 N under nothing is off by more than 50 % of 20 N"},
		{"a gauge that is far out, and shows it", puller(), func(s *scene) { s.check.Load.Points[0].Up = readings("24 N", "24 N", "24 N") }, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.change(c.scene)
			c.scene.basis.Plan.Gates = map[calib.Gate]calib.Action{calib.GateBelievable: calib.Mark, calib.GateStandardRange: calib.Ignore}
			r, err := Evaluate(c.scene.check, c.scene.basis)
			if err != nil {
				t.Fatal(err)
			}
			var got string
			for _, f := range r.Findings {
				if f.Gate == calib.GateBelievable {
					got = f.Text
				}
			}
			if got != c.want {
				t.Errorf("%q\nwant %q", got, c.want)
			}
		})
	}
	if why := Unbelievable(calib.FootPart, of("1 mm"), unit.Quantity{}, calib.Check{}, leather().basis); why != "" {
		t.Errorf("of no reading: %s", why)
	}
	if why := Unbelievable(calib.FootPart, of("1 mm"), of("3.9 g"), calib.Check{}, leather().basis); why == "" {
		t.Error("before the check is there, a reading of 3.9 g is believed")
	}
}
