package main

import (
	"math"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/calib/agreement"
	"example.org/wring/calib/survey"
	"example.org/wring/uncertainty/unit"
)

// Own: at 10 and 20 mm the same blocks bring 3 µm to both sides, and each has
// 1 µm and 7 µm of its own beside. The line beside the blocks is √25 = 5 µm over
// both sizes, which is all that tells the sides apart: half of the difference is
// to be expected of each, and no line comes to more than is claimed.
func TestBudgetsOfTwoChecksAreOfWhatTellsThemApart(t *testing.T) {
	mm, _ := unit.Lookup("mm", unit.Length)
	side := func(name string, size float64) comparedSide {
		s := comparedSide{of: "check", names: []string{"10 mm", "20 mm"}, values: map[string]agreement.Value{}, in: mm,
			party: agreement.Party{Name: name}, standards: []string{"GB-1"}, pieces: map[string]string{}, blocks: map[string]float64{},
			rows: []calib.BudgetRow{
				{Name: "calibration of the blocks", Kind: calib.Blocks, U: []float64{0.003}, C: []float64{-1}},
				{Name: "repeatability", Kind: calib.Repeatability, U: []float64{0.001, 0.007}, C: []float64{1}},
			}}
		for i, own := range []float64{0.001, 0.007} {
			n := s.names[i]
			s.values[n] = agreement.Value{Size: computed(size, mm), Expanded: computed(2*math.Hypot(0.003, own), mm)}
			s.pieces[n], s.blocks[n] = "10 in entry 4", 0.003
		}
		return s
	}
	x := join(agreement.Comparison{Person: "MH", Date: calib.MustDate("2026-11-16")}, side("first", 0.004), side("second", 0.001))
	r, err := agreement.Evaluate(x, agreement.Basis{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Findings) != 1 {
		t.Errorf("findings %q, want only what both rest on", r.Findings)
	}
	if len(r.Suspects) != 2 {
		t.Fatalf("suspects %+v, want repeatability of either side", r.Suspects)
	}
	for _, s := range r.Suspects {
		if s.Name != "repeatability" || math.Abs(s.Standard-0.005) > 1e-9 || math.Abs(s.Share-0.5) > 1e-6 {
			t.Errorf("%+v, want repeatability, 0.005 mm, a half", s)
		}
	}
}

// Own: a sheet is read while the foot is lowered, so what it presses with when
// it is lifted says nothing; and a foot of 0.0192 kPa, for bulky nonwovens, is
// not that of 0.02 kPa.
func TestAComparedPressureIsThatOfReadingASheet(t *testing.T) {
	foot := calib.PartResult{}
	for name, kPa := range map[string][]string{"pressure, lowering": {"0.0190", "0.0194"}, "pressure, lifting": {"0.0150", "0.0150"}} {
		for _, v := range kPa {
			foot.Figures = append(foot.Figures, calib.Figure{Name: name, Unit: "kPa", Value: unit.Must(v+" kPa", unit.Pressure).Inner()})
		}
	}
	on := survey.Basis{Foot: &survey.Checked{Result: calib.Result{Foot: &foot}}}
	if got := pressedWith(on).Inner().Float(); math.Abs(got-0.0192) > 1e-9 {
		t.Errorf("%v kPa, want 0.0192", got)
	}
}
