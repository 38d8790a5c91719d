package table

import (
	"bytes"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/uncertainty/unit"
)

const footOfALeatherGauge = `gauge,date,person,standards,site,received,part,at,direction,instrument,reading 1,reading 2,reading 3,comment,skipped
T-1,2026-03-02,EK,BAL-1+MIC-1+GB-1,"hall 4, at the press",2026-02-27,,1,,,1.00,1.00,1.01,,
T-1,2026-03-02,EK,BAL-1+MIC-1+GB-1,,,,2,,,,,,,block at the laboratory
T-1,2026-03-02,EK,BAL-1+MIC-1+GB-1,,,foot pressure,1,lowering,BAL-1,392.6 g,392.8 g,392.7 g,pan tilted,
T-1,2026-03-02,EK,BAL-1+MIC-1+GB-1,,,foot,1,lifting,,393.2,393.4,,,
T-1,2026-03-02,EK,BAL-1+MIC-1+GB-1,,,foot,3,lowering,,392.6,,,,
T-1,2026-03-02,EK,BAL-1+MIC-1+GB-1,,,foot,diameter,,MIC-1,10.00,10.01,,,
T-1,2026-03-02,EK,BAL-1+MIC-1+GB-1,,,foot,5,,,,,,,foot hit the stand
`

const loadsOnAForceGauge = `gauge,date,person,standards,part,at,direction,weights,reading 1,reading 2
F-1,2026-03-02,EK,WS-1+WS-2,load,zero,before,,0.00,
F-1,2026-03-02,EK,WS-1+WS-2,load,10,up,WS-1:1 kg+WS-2:20 g*,9.98,9.99
F-1,2026-03-02,EK,WS-1+WS-2,load,10,down,,10.01,
F-1,2026-03-02,EK,WS-1+WS-2,load,20,down,WS-1:2 kg,20.01,
F-1,2026-03-02,EK,WS-1+WS-2,load,zero,after,,0.01,
`

// Law: a check of any part that was read from a table and written to one is
// read from that as the same check, with its instruments, weights, comments and
// what was left out.
func TestEveryPartOfACheckComesBackFromItsTable(t *testing.T) {
	foot := calib.Plan{Name: "leather", Revision: 1, Points: []unit.Quantity{unit.Must("1 mm", unit.Length), unit.Must("2 mm", unit.Length)},
		Foot: &calib.FootPlan{PartTerms: calib.PartTerms{Unit: "g"}, Openings: []unit.Quantity{unit.Must("1 mm", unit.Length), unit.Must("3 mm", unit.Length), unit.Must("5 mm", unit.Length)}}}
	pull := calib.Plan{Name: "pull", Revision: 1, Load: &calib.LoadPlan{Loads: []unit.Quantity{unit.Must("10 N", unit.Force), unit.Must("20 N", unit.Force)}}}
	for _, c := range []struct {
		text string
		g    calib.Gauge
		p    calib.Plan
		rows int
	}{
		{footOfALeatherGauge, calib.Gauge{ID: "T-1", Kind: calib.ThicknessGauge, Unit: "mm"}, foot, 7},
		{loadsOnAForceGauge, calib.Gauge{ID: "F-1", Kind: calib.ForceMeter, Unit: "N"}, pull, 5},
	} {
		one := checkOf(t, c.text, c.g, c.p)
		out := Table{Columns: CheckHeading(MostReadings(one))}
		for _, row := range CheckRows("7", one, c.g.ReadIn(), MostReadings(one)) {
			out.Add(row...)
		}
		if len(out.Rows) != c.rows {
			t.Errorf("%s is written in %d lines; want %d", c.g.ID, len(out.Rows), c.rows)
		}
		var text bytes.Buffer
		if err := out.CSV(&text); err != nil {
			t.Fatal(err)
		}
		again := checkOf(t, text.String(), c.g, c.p)
		if diff := cmp.Diff(one, again, cmp.Comparer(func(a, b unit.Quantity) bool { return a.String() == b.String() }), cmp.Comparer(func(a, b calib.Date) bool { return a == b })); diff != "" {
			t.Errorf("%s came back otherwise from\n%s\n%s", c.g.ID, text.String(), diff)
		}
	}
	if c := checkOf(t, footOfALeatherGauge, calib.Gauge{ID: "T-1", Kind: calib.ThicknessGauge, Unit: "mm"}, foot); c.Foot == nil || c.Foot.Instrument != "BAL-1" || c.Foot.DiameterBy != "MIC-1" || len(c.Foot.Diameter) != 2 ||
		c.Foot.Points[0].Forward[0].Comment != "pan tilted" || c.Foot.Points[0].Back[0].Indication.String() != "393.2 g" || len(c.Skipped) != 2 || c.Skipped[1].Part != calib.FootPart || c.Site != "hall 4, at the press" || c.Received.String() != "2026-02-27" {
		t.Errorf("read %+v", c)
	}
}

func checkOf(t *testing.T, text string, g calib.Gauge, p calib.Plan) calib.Check {
	t.Helper()
	f := mustRead(t, Checks, text, sheet.Mapping{})
	if groups := f.Groups(); len(groups) != 1 || len(f.Unread) > 0 {
		t.Fatalf("%d checks, not read %v in\n%s", len(groups), f.Unread, text)
	}
	s, err := f.Groups()[0].CheckSheet()
	if err != nil {
		t.Fatal(err)
	}
	s.Plan.Text = p.Name
	c, err := s.Check(g, p)
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	return c
}

// A line of a part that cannot be used is refused where it stands.
func TestALineOfAPartIsRefused(t *testing.T) {
	const head = "gauge,date,part,at,direction,weights,instrument,reading,skipped\nT-1,2026-03-02,foot,1,lowering,,BAL-1,392.6 g,\nT-1,2026-03-02,"
	for _, c := range []struct{ line, want string }{
		{"hand,1,lowering,,,392.6 g,", `t.csv:3: part: "hand": want length, foot, force or load`},
		{"foot,1,up,,,392.6 g,", `t.csv:3: foot: direction "up": want lowering or lifting`},
		{"foot,diameter,up,,,10.0,", `t.csv:3: foot: direction "up": want none for a diameter`},
		{"foot,1,lowering,,,392.6 g,", `t.csv:3: foot: 1, lowering for the second time; want one row of it`},
		{"foot,1,lifting,,BAL-2,392.6 g,", `t.csv:3: foot: 1, lifting: instrument: "BAL-2", and "BAL-1" on line 2; want one for the part`},
		{"foot,3,,,,392.6 g,too far", `t.csv:3: skipped: reading "392.6 g": a place that was left out has none; want the cell empty, or no reason`},
		{",1,lowering,,,1.00,", `t.csv:3: point 1: direction "lowering": belongs to a part beside length; want the part's name in the column part`},
		{"load,10,up,,,,", `t.csv:3: load: 10, up: no reading; want the readings, or the row left out`},
	} {
		_, err := mustRead(t, Checks, head+c.line+"\n", sheet.Mapping{}).Groups()[0].CheckSheet()
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: it says\n%v\nwant\n%s", c.line, err, c.want)
		}
	}
}
