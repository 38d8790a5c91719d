package sheet

import (
	"strings"
	"testing"

	"example.org/wring/uncertainty/unit"
)

const footCSV = `# standards: BAL-1 + MIC-14
# person: EK
# date: 2026-03-02
part,at,direction,reading,reading
foot,1,lowering,392.6,392.8 g
foot,1,lifting,393.2,393.4
foot,3,lowering,392.6,
force,2,in,7.1,7.2
`

const loadCSV = `# standards: WS-1 + WS-2
# person: EK
# date: 2026-03-02
part,at,direction,weights,reading,reading
load,zero,before,,0.00,
load,10,up,1 kg + WS-2:20 g*,9.98,9.99
load,10,down,,10.01,
load,zero,after,,0.01,
`

// Law: both written forms of parts hold the same check.
func TestPartsInCSVAndTOMLHoldTheSameCheck(t *testing.T) {
	s, err := ReadCheck("f.csv", []byte(footCSV))
	if err != nil {
		t.Fatal(err)
	}
	c, err := s.Check(thicknessGauge(), planOf(t, footPlanText))
	if err != nil {
		t.Fatal(err)
	}
	if p := c.Foot.Points; len(p) != 2 || p[0].Forward[1].Indication.String() != "392.8 g" || len(p[0].Back) != 2 || len(p[1].Forward) != 1 || len(p[1].Back) != 0 ||
		len(c.Force.Points) != 1 || c.Force.Points[0].Forward[0].Indication.String() != "7.1 N" || len(c.Points) != 0 {
		t.Errorf("%+v, %+v", c.Foot, c.Force)
	}
	if s, err = ReadCheck("l.csv", []byte(loadCSV)); err != nil {
		t.Fatal(err)
	}
	if c, err = s.Check(forceMeter(), planOf(t, loadPlanText)); err != nil {
		t.Fatal(err)
	}
	l := c.Load
	if len(l.Zero) != 1 || len(l.Return) != 1 || l.Return[0].Indication.String() != "0.01 N" || len(l.Points) != 1 || len(l.Points[0].Up) != 2 || len(l.Points[0].Down) != 1 ||
		len(l.Points[0].Weights) != 2 || l.Points[0].Weights[1].Standard != "WS-2" || l.Points[0].Weights[1].Mark != "*" ||
		!l.Points[0].Weights[1].Nominal.Same(unit.Must("20 g", unit.Mass)) {
		t.Errorf("%+v", l)
	}
}

func TestReadCheckRefusesPartsInCSVThatCannotBeUsed(t *testing.T) {
	for _, c := range []struct{ base, old, now, want string }{
		{footCSV, "foot,1,lowering", "hand,1,lowering", `s.csv:5: part: "hand": want length, foot, force or load`},
		{footCSV, "foot,1,lowering", "foot,1,down", `s.csv:5: foot: direction "down": want lowering or lifting`},
		{footCSV, "foot,1,lifting", "foot,1,lowering", `s.csv:6: foot: 1, lowering for the second time; want one row of it`},
		{footCSV, "foot,3,lowering,392.6,", "foot,3,lowering,,", `s.csv:7: foot: 3, lowering: no reading; want the readings, or the row left out`},
		{footCSV, "foot,3,lowering,392.6,", "foot,3,lowering,392,08", `s.csv:7: foot: 3, lowering: "08": a zero before other digits; want a point, and no decimal comma before it`},
		{footCSV, "force,2,in", ",2,in", `s.csv:8: point 1: direction "in": belongs to a part beside length; want the part's name in the column part`},
		{loadCSV, "load,zero,before,", "load,zero,up,", `s.csv:5: load: direction "up": want before or after`},
		{loadCSV, "load,zero,before,,", "load,zero,before,1 kg,", `s.csv:5: load: zero, before: weight 1: "1 kg": weights belong to a load; want none`},
		{loadCSV, "load,10,down,,", "load,10,down,1 kg,", `s.csv:7: load: 10, down: weight 1: weights of 10 for the second time; want them in one of its rows`},
	} {
		text := strings.Replace(c.base, c.old, c.now, 1)
		if text == c.base {
			t.Errorf("%q is not in the sheet", c.old)
		}
		if _, err := ReadCheck("s.csv", []byte(text)); err == nil || err.Error() != c.want {
			t.Errorf("%v\nwant %s", err, c.want)
		}
	}
}
