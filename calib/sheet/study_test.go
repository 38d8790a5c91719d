package sheet

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
	"example.org/wring/calib/study"
	"example.org/wring/uncertainty/unit"
)

func soft() calib.Gauge {
	return calib.Gauge{ID: "THK-002", Kind: calib.ThicknessGauge, Unit: "mm", Low: mm("0"), High: mm("10"), Resolution: mm("0.01")}
}

const studyTOML = `format = 1
gauge = "THK-002"
title = "goat skin"
date = 2026-11-16
person = "MH"
seed = 7
multiple = 5.15
[tolerance]
low = "0.95"
high = "1.05 mm"
[[cell]]
part = "1"
operator = "EK"
readings = ["1.00", 1.01]
comment = "a fold"
[[cell]]
part = "1"
operator = "JV"
readings = [1.02, 1.03]
[[cell]]
part = "2"
operator = "EK"
readings = ["0.98", "0.97"]
[[cell]]
part = "2"
operator = "JV"
readings = ["0.99", "1.00"]
`

const studyCSV = `## as it was filled in
# gauge: THK-002
# title: goat skin
# date: 2026-11-16
# person: MH
# seed: 7
# multiple: 5.15
# low: 0.95
# high: 1.05 mm
part,operator,reading,reading,comment
1,EK,1.00,1.01,a fold
1,JV,1.02,1.03
2,EK,0.98,0.97
2,JV,0.99,1.00
`

func TestAStudyIsTheSameInBothForms(t *testing.T) {
	a, b := studyOf(t, "s.toml", studyTOML), studyOf(t, "s.csv", studyCSV)
	if d := cmp.Diff(record(t, a), record(t, b)); d != "" {
		t.Error(d)
	}
	if len(a.Readings) != 8 || a.Repeats != 2 || a.Seed != 7 || a.Multiple != 5.15 || a.Ordered || a.Readings[0].Comment != "a fold" {
		t.Errorf("%+v", a)
	}
	if got := strings.Join(a.Parts, " ") + "|" + strings.Join(a.Operators, " "); got != "1 2|EK JV" {
		t.Errorf("parts and operators %s", got)
	}
}

func studyOf(t *testing.T, name, text string) study.Study {
	t.Helper()
	s, err := ReadStudy(name, []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	out, err := s.Study(soft())
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Law: a plan that was written and filled in is read as taken in its order.
func TestAPlannedStudyIsReadAsPlanned(t *testing.T) {
	design := study.Study{Gauge: "THK-002", Title: "pad, felt", Parts: []string{"1", "2", "front \"left\""}, Operators: []string{"EK", "JV"}, Repeats: 3, Seed: 41,
		Low: mm("0.95"), High: mm("1.05"), Multiple: 6, Pooling: study.KeptApart}
	turns, err := study.Order(design.Parts, design.Operators, design.Repeats, design.Seed)
	if err != nil {
		t.Fatal(err)
	}
	plan := string(WriteStudyPlan(design, turns))
	empty, err := ReadStudy("plan.csv", []byte(plan))
	if err != nil || !empty.Empty() {
		t.Fatalf("%v\n%s", err, plan)
	}
	var filled strings.Builder
	n := 0
	for line := range strings.Lines(plan) {
		if rest, ok := strings.CutSuffix(line, ",,\n"); ok {
			line = fmt.Sprintf("%s,%.2f,\n", rest, 1+float64(n*7%5)/100)
			n++
		}
		filled.WriteString(line)
	}
	s, err := ReadStudy("plan.csv", []byte(filled.String()))
	if err != nil {
		t.Fatal(err)
	}
	s.Date, s.Person = Field{Text: "2026-11-16"}, Field{Text: "MH"}
	got, err := s.Study(soft())
	if err != nil {
		t.Fatalf("%v\n%s", err, filled.String())
	}
	if !got.AsPlanned() || got.Title != design.Title || got.Pooling != design.Pooling || !got.High.Same(design.High) || got.Parts[2] != design.Parts[2] {
		t.Errorf("%+v; want it as planned", got)
	}
	got.Readings[0], got.Readings[4] = got.Readings[4], got.Readings[0]
	if got.AsPlanned() {
		t.Error("readings in another order pass for planned")
	}
}

func TestAStudySheetThatCannotBeUsedIsRefusedWithItsLine(t *testing.T) {
	for _, c := range []struct{ name, old, now, want string }{
		{"another gauge", `"THK-002"`, `"THK-9"`, `s.toml:2: gauge "THK-9": another gauge than the one being studied; want THK-002`},
		{"no date", "date = 2026-11-16\n", "", "s.toml: date: nothing given; write year-month-day, as 2026-03-02"},
		{"seed", "seed = 7", "seed = -7", `s.toml:6: seed "-7": want a whole number from 1 to 999999999`},
		{"multiple", "multiple = 5.15", "multiple = 0", `s.toml:7: multiple "0": want a number above 0, at most 20, as 6`},
		{"confidence", "multiple = 5.15", "probability = 1", `s.toml:7: probability "1": want a confidence above 0 and below 1, as 0.95`},
		{"pooling", "multiple = 5.15", `pooling = "never"`, `s.toml:7: pooling "never": want one of by test, pooled, kept apart`},
		{"tolerance upside down", `low = "0.95"`, `low = "1.95"`, "s.toml: tolerance 1.95 mm to 1.05 mm: the lower limit is not below the upper; want it so"},
		{"limit of another kind", `low = "0.95"`, `low = "0.95 N"`, `s.toml:9: lower limit "0.95 N": a force; want a length`},
		{"missing cell", "[[cell]]\npart = \"2\"\noperator = \"JV\"\nreadings = [\"0.99\", \"1.00\"]\n", "", "s.toml: part 2 by JV: no reading; want 2, as often as every part by every operator"},
		{"a reading less", `["0.99", "1.00"]`, `["0.99"]`, "s.toml:25: part 2 by JV: 1 reading; want 2, as often as every part by every operator"},
		{"units mixed", `"0.98"`, `"0.039 in"`, "s.toml:23: cell 3: reading 1: 0.039 in on a gauge that is read in mm; want one unit throughout"},
		{"decimal comma", `"0.98"`, `"0,98"`, `s.toml:23: cell 3: reading 1: "0,98": a decimal comma; write 0.98`},
		{"no number", `"0.98"`, `"NaN"`, `s.toml:23: cell 3: reading 1: "NaN": not a number; write digits with a point, as 5.101`},
		{"a key that is none", "seed = 7", "seeds = 7", `s.toml:6: "seeds": no key of a study sheet; want format, gauge, title, process, date, person, parts, operators, repeats, seed, multiple, probability, pooling, remarks, tolerance, cell`},
		{"a stranger", "seed = 7", `operators = ["EK", "MH"]`, `s.toml:18: cell 2: operator: "JV": not among the operators of the sheet; want one of EK, MH`},
		{"twice", "seed = 7", `operators = ["EK", "EK"]`, `s.toml:6: operator 2: "EK": nothing, or named twice; want each operator once`},
		{"one turn", "[[cell]]\npart = \"1\"\noperator = \"EK\"", "[[cell]]\nturn = 1\npart = \"1\"\noperator = \"EK\"", "s.toml:18: cell 2: part: no turn; want one in every row, or in none"},
	} {
		text := strings.Replace(studyTOML, c.old, c.now, 1)
		s, err := ReadStudy("s.toml", []byte(text))
		if err == nil {
			_, err = s.Study(soft())
		}
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}

func TestAStudyInRowsThatCannotBeUsedIsRefusedWithItsLine(t *testing.T) {
	for _, c := range []struct{ name, old, now, want string }{
		{"column", "part,operator,", "piece,operator,", `s.csv:10: column "piece": no column of a study sheet; want turn, part, operator, reading, comment`},
		{"column twice", "operator,reading", "operator,operator", `s.csv:10: column "operator" for the second time; want it once`},
		{"no operator", "operator,reading,reading,", "reading,reading,reading,", "s.csv:10: no column operator; want part,operator,reading"},
		{"nobody", "1,JV,", "1,,", "s.csv:12: row 2: no operator; want one in every row"},
		{"decimal comma", "1,JV,1.02,1.03", "1,JV,1,02,1,03", "s.csv:12: row 2: 6 cells under 5 columns; want a column named reading for each, and no decimal comma"},
		{"key", "# seed: 7", "# seat: 7", `s.csv:6: "seat": no key of a study sheet; want gauge, title, process, date, person, parts, operators, repeats, seed, low, high, multiple, probability, pooling, remarks, or ## before a comment`},
		{"key twice", "# seed: 7", "# gauge: THK-002", "s.csv:6: gauge for the second time; want it once"},
	} {
		text := strings.Replace(studyCSV, c.old, c.now, 1)
		s, err := ReadStudy("s.csv", []byte(text))
		if err == nil {
			_, err = s.Study(soft())
		}
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
	twice := "turn,part,operator,reading\n1,1,EK,1\n1,1,JV,2\n"
	s, err := ReadStudy("s.csv", []byte("# date: 2026-11-16\n# person: MH\n"+twice))
	if err == nil {
		_, err = s.Study(soft())
	}
	if want := "s.csv:5: row 2: turn: 1 for the second time, first on line 4; want each once"; err == nil || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
}

const comparisonTOML = `format = 1
title = "sheet 4"
date = 2026-11-16
person = "MH"
unit = "mm"
per_doubling = "-0.03"
[a]
name = "goods-in"
gauge = "THK-002"
method = "leather"
foot = "10 mm"
pressure = "49 kPa"
dwell = 5
[[a.line]]
name = "pressure of the foot"
expanded = "0.008"
k = 2
[b]
name = "supplier"
foot_area = "2500 mm²"
pressure = "2 kPa"
dwell = "5 s"
[[specimen]]
name = "1"
a = "2.05"
a_expanded = "0.02"
b = "0.08 in"
b_expanded = "0.0008 in"
b_k = 2
`

func TestAComparisonIsReadWhole(t *testing.T) {
	s, err := ReadComparison("c.toml", []byte(comparisonTOML))
	if err != nil {
		t.Fatal(err)
	}
	c, err := s.Comparison()
	if err != nil {
		t.Fatal(err)
	}
	if c.A.Dwell != 5 || c.B.Dwell != 5 || !c.A.Budget[0].Standard.Same(mm("0.004")) || !c.PerDoubling.Same(mm("-0.03")) ||
		!c.Specimens[0].B.Size.Same(mm("2.032")) || c.Specimens[0].A.K != 0 || c.Specimens[0].B.K != 2 || c.A.Gauge != "THK-002" {
		t.Errorf("%+v", c)
	}
	rows := "# date: 2026-11-16\n# person: MH\n# title: sheet 4\n# unit: mm\n# per_doubling: -0.03\n# a: goods-in\n# a_gauge: THK-002\n# a_method: leather\n# a_foot: 10 mm\n" +
		"# a_pressure: 49 kPa\n# a_dwell: 5\n# b: supplier\n# b_foot_area: 2500 mm²\n# b_pressure: 2 kPa\n# b_dwell: 5 s\n" +
		"specimen,a,a_expanded,b,b_expanded,b_k\n1,2.05,0.02,0.08 in,0.0008 in,2\n"
	s, err = ReadComparison("-", []byte(rows))
	if err != nil {
		t.Fatal(err)
	}
	same, err := s.Comparison()
	if err != nil {
		t.Fatal(err)
	}
	c.A.Budget = nil // which rows have no place for
	if d := cmp.Diff(record(t, c), record(t, same)); d != "" {
		t.Error(d)
	}
}

func TestAComparisonThatCannotBeUsedIsRefusedWithItsLine(t *testing.T) {
	for _, c := range []struct{ name, old, now, want string }{
		{"no claim", "a_expanded = \"0.02\"\n", "", "c.toml:23: specimen 1: a expanded: nothing given; want a value"},
		{"k", "b_k = 2", "b_k = 0", `c.toml:29: specimen 1: b k: "0": not above 0; want a number above it`},
		{"unit", `unit = "mm"`, `unit = "mile"`, `c.toml:5: unit: "mile": no unit that a gauge is read in; want one, as mm or in`},
		{"no unit", "unit = \"mm\"\n", "", `c.toml:15: a: line 1: expanded: "0.008": no unit; write one of mm, µm, nm, cm, m, in, thou, µin, N, mN, kN, gf, kgf, lbf, ozf, kg, g, mg, lb, oz_mass, kPa, Pa, hPa, MPa, bar, psi, gf/cm², kgf/cm² after it`},
		{"foot", `"10 mm"`, `"10 kPa"`, `c.toml:11: a: foot: "10 kPa": a pressure; want a length`},
		{"half a line", "k = 2\n[b]", "[b]", `c.toml:16: a: line 1: expanded: "0.008": an expanded uncertainty without k; want both`},
		{"no size of a line", "expanded = \"0.008\"\nk = 2\n", "", "c.toml:15: a: line 1: name: pressure of the foot: want a standard uncertainty, or an expanded one with its k"},
		{"itself", `"supplier"`, `"goods-in"`, `c.toml: party "goods-in": compared with itself; want two names`},
		{"no name", "name = \"supplier\"\n", "", "c.toml:18: b: name: nothing given; want a value"},
		{"units mixed", `b = "0.08 in"`, `b = "0.08 N"`, "c.toml: specimen 1, 1: supplier: 0.08 N ± 0.0008 in beside a length; want one kind of quantity throughout"},
	} {
		s, err := ReadComparison("c.toml", []byte(strings.Replace(comparisonTOML, c.old, c.now, 1)))
		if err == nil {
			_, err = s.Comparison()
		}
		if err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}

func FuzzReadStudy(f *testing.F) {
	f.Add("s.toml", []byte(studyTOML))
	f.Add("s.csv", []byte(studyCSV))
	f.Add("-", []byte("turn,part,operator,reading\n2,1,A,1\n1,1,B,2\n"))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		s, err := ReadStudy(name, data)
		if err == nil {
			s.Gauge, s.Person, s.Date = Field{}, Field{Text: "MH"}, Field{Text: "2026-11-16"}
			var x study.Study
			if x, err = s.Study(soft()); err == nil {
				if len(x.Readings) != len(x.Parts)*len(x.Operators)*x.Repeats {
					t.Errorf("%d readings of %d × %d × %d", len(x.Readings), len(x.Parts), len(x.Operators), x.Repeats)
				}
				_, err = study.Evaluate(x, study.Basis{Gauge: soft()})
			}
		}
		if err != nil && !strings.Contains(name, "\n") && strings.ContainsRune(err.Error(), '\n') {
			t.Errorf("message of several lines: %q", err)
		}
	})
}

func FuzzReadComparison(f *testing.F) {
	f.Add("c.toml", []byte(comparisonTOML))
	f.Add("c.csv", []byte("# a: x\n# b: y\n# unit: mm\nspecimen,a,a_expanded,b,b_expanded\n1,2,0.1,2,0.1\n"))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		s, err := ReadComparison(name, data)
		if err == nil {
			s.Person, s.Date = Field{Text: "MH"}, Field{Text: "2026-11-16"}
			if c, other := s.Comparison(); other != nil {
				err = other
			} else if c.Specimens[0].A.Size.Unit().Dimension() == unit.Temperature {
				t.Error("a temperature was compared")
			}
		}
		if err != nil && !strings.Contains(name, "\n") && strings.ContainsRune(err.Error(), '\n') {
			t.Errorf("message of several lines: %q", err)
		}
	})
}
