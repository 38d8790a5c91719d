package table

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/survey"
	"example.org/wring/uncertainty/unit"
)

const feltSurvey = `lot,date,gauge,method,person,grid,temperature,remarks,at,under,reading 1,reading 2,undwelt,comment,effect change,effect for,effect expanded,effect k,effect source
FELT-1,2026-03-02,T-1,felt,EK,,20.1,"roll, outer turns",zero,,0.00,,,,-0.05 mm,1 kPa,0.02 mm,2,own trial
FELT-1,2026-03-02,T-1,felt,EK,,20.1,,left,,5.01,5.02,1 2,thin,,,,,
FELT-1,2026-03-02,T-1,felt,EK,,20.1,,right,,5.03,5.04,2,,,,,,
FELT-1,2026-03-02,T-1,felt,EK,,20.1,,,40 kPa,5.10,,,,,,,,
FELT-1,2026-03-02,T-1,felt,EK,,20.1,,,60 kPa,4.99,,,,,,,,
`

// Law: a survey that was read from a table and written to one is read from that
// as the same survey.
func TestASurveyComesBackFromItsTable(t *testing.T) {
	pressed := strings.Replace(feltSurvey, "-0.05 mm,1 kPa,0.02 mm,2,own trial", ",,,,", 1)
	stated, _, _ := strings.Cut(feltSurvey, "FELT-1,2026-03-02,T-1,felt,EK,,20.1,,,40 kPa")
	for _, text := range []string{pressed, stated} {
		one := surveyOf(t, text)
		if (one.Stated == nil) != (len(one.Compression) == 2) || len(one.Zero) != 1 || fmt.Sprint(one.Places[0].Undwelt, one.Places[1].Undwelt) != "[1 2] [2]" || one.Remarks != "roll, outer turns" || one.Places[0].Comment != "thin" {
			t.Errorf("read %+v", one)
		}
		u, _ := unit.Lookup("mm", unit.Length)
		out := Table{Columns: SurveyHeading(MostSurveyed(one))}
		for _, row := range SurveyRows("7", one, u, MostSurveyed(one)) {
			out.Add(row...)
		}
		var written bytes.Buffer
		if err := out.CSV(&written); err != nil {
			t.Fatal(err)
		}
		again := surveyOf(t, written.String())
		if diff := cmp.Diff(one, again, cmp.Comparer(func(a, b unit.Quantity) bool { return a.String() == b.String() }), cmp.Comparer(func(a, b calib.Date) bool { return a == b })); diff != "" {
			t.Errorf("it came back otherwise from\n%s\n%s", written.String(), diff)
		}
	}
}

func surveyOf(t *testing.T, text string) survey.Survey {
	t.Helper()
	f := mustRead(t, Surveys, text, sheet.Mapping{})
	if groups := f.Groups(); len(groups) != 1 || len(f.Unread) > 0 {
		t.Fatalf("%d surveys, not read %v in\n%s", len(groups), f.Unread, text)
	}
	s, err := f.Groups()[0].SurveySheet()
	if err != nil {
		t.Fatal(err)
	}
	method := survey.Method{Name: "felt", Revision: 1, Places: survey.Places{Least: 1, Readings: 2}, Report: survey.ReportMean,
		Pressure: calib.Band{Low: unit.Must("40 kPa", unit.Pressure), High: unit.Must("60 kPa", unit.Pressure)}}
	out, err := s.Survey(method, survey.Lot{ID: "FELT-1"}, calib.Gauge{ID: "T-1", Kind: calib.ThicknessGauge, Unit: "mm", High: unit.Must("10 mm", unit.Length), Low: unit.Must("0 mm", unit.Length)})
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	return out
}

// Law: so is a lot, with its rule.
func TestALotComesBackFromItsTable(t *testing.T) {
	house := calib.House{Unit: "mm", Rule: calib.Rule{Name: "simple acceptance"}}
	const text = "lot,material,supplier,form,width (m),length,unit,mean low,place high,rule,guard factor,method,remarks\n" +
		"FELT-1,wool felt,\"Mill, invented\",Roll,1.5,20 m,in,0.195,0.21 in,guarded acceptance,0.5,felt,=two\n" +
		"FELT-2,card,,,,,,,,,,,\nFELT-3,card,,,,,,,,guarded acceptance,,,\n"
	f := mustRead(t, Lots, text, sheet.Mapping{})
	out := Table{Columns: Heading(Lots)}
	var before []survey.Lot
	for _, r := range f.Records {
		l, err := r.Lot(house)
		if err != nil {
			t.Fatal(err)
		}
		before = append(before, l)
		out.Add(LotRow(l)...)
	}
	if l := before[0]; l.Width.String() != "1.5 m" || l.Form != survey.Roll || l.Mean.Low.String() != "0.195 in" || !l.Mean.High.IsZero() || l.Place.Origin == "" || l.Rule.Factor != 0.5 ||
		before[1].Unit != "mm" || before[1].Rule != house.Rule || before[2].Rule.Factor != 1 {
		t.Errorf("read %+v", before)
	}
	var written bytes.Buffer
	if err := out.CSV(&written); err != nil {
		t.Fatal(err)
	}
	for i, r := range mustRead(t, Lots, written.String(), sheet.Mapping{}).Records {
		again, err := r.Lot(calib.House{})
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(before[i], again, cmp.Comparer(func(a, b unit.Quantity) bool { return a.String() == b.String() })); diff != "" {
			t.Errorf("line %d came back otherwise from\n%s\n%s", r.Line, written.String(), diff)
		}
	}
}

// A line of a lot or a survey that cannot be used is refused where it stands.
func TestALineOfGoodsIsRefused(t *testing.T) {
	for _, c := range []struct{ kind, text, want string }{
		{Lots, "lot,material\nA,\n", "t.csv:2: material: nothing given; want what the lot is of"},
		{Lots, "lot,material,unit\nA,felt,cubits\n", `t.csv:2: unit: "cubits": want one of mm, µm, nm, cm, m, in, thou, µin`},
		{Lots, "lot,material,rule,guard factor\nA,felt,guarded acceptance,half\n", `t.csv:2: guard factor: "half": want a bare number, as 0.5`},
		{Surveys, "lot,date,gauge,at,reading\nA,03/04/2026,T,1,5.0\n", `t.csv:2: date: date "03/04/2026": 3 April 2026 or 4 March 2026; write 2026-04-03 or 2026-03-04; or dates in the mapping`},
		{Surveys, "lot,date,gauge,under,reading\nA,2026-03-02,T,5 kPa,5.0\n", "t.csv:2: place: steps of a compression run alone; want the places that were read too"},
		{Surveys, "lot,date,gauge,at,under,reading,reading\nA,2026-03-02,T,1,,5.0,\nA,2026-03-02,T,,5 kPa,5.0,5.1\n", `t.csv:3: under: "5 kPa" with 2 readings; want one for each pressure`},
		{Surveys, "lot,date,gauge,at,undwelt,reading\nA,2026-03-02,T,1,,5.0\nA,2026-03-02,T,,1,\n", "t.csv:3: reading: nothing given; want the readings there, or the line left out"},
		{Surveys, "lot,date,gauge,at,undwelt,reading\nA,2026-03-02,T,1,2,5.0\n", `t.csv:2: undwelt: "2": want numbers of readings of the place, as 1 2`},
		{Surveys, "lot,date,gauge,at,effect k,reading\nA,2026-03-02,T,1,2,5.0\n", "t.csv:2: effect of pressure: some of its columns; want effect_change, effect_for, effect_expanded, effect_k and effect_source, or none"},
		{Surveys, "lot,date,gauge,person,at,reading\nA,2026-03-02,T,EK,1,5.0\nA,2026-03-02,T,MH,2,5.0\n", `t.csv:3: person: "MH", and "EK" on line 2; want one for the whole`},
	} {
		f := mustRead(t, c.kind, c.text, sheet.Mapping{})
		var err error
		if c.kind == Lots {
			_, err = f.Records[0].Lot(calib.House{Unit: "mm"})
		} else {
			_, err = f.Groups()[0].SurveySheet()
		}
		if err == nil || err.Error() != c.want {
			t.Errorf("%q: it says\n%v\nwant\n%s", c.text, err, c.want)
		}
	}
}
