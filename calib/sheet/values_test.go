package sheet

import (
	"errors"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func read(text string, kind calib.StandardKind, symbol string) ([]calib.Value, error) {
	u, _ := unit.Lookup(symbol, kind.Dimension())
	return ReadValues("v.csv", []byte(text), kind, u)
}

func TestReadValuesKeepsWhatTheCertificateStates(t *testing.T) {
	for _, c := range []struct {
		name, text, fallback   string
		kind                   calib.StandardKind
		length, expanded, k    string // inner value of nominal plus deviation, U as shown
		dof, grade, serial     string
		nominal, shownDeviated string
	}{
		{"units in the heading", "nominal (mm),deviation (um),expanded (um),k,grade\n25,-0.04,0.06,2,1\n", "in", calib.BlockSet,
			"24.99996", "0.06 µm", "2", "", "1", "", "25 mm", "-0.04 µm"},
		{"units in the cells", "Nominal,Deviation,U,K,DoF,Serial\n25 mm,+0.080 um,0.06 um,2.00,50,A 7\n", "in", calib.BlockSet,
			"25.00008", "0.06 um", "2.00", "50", "", "A 7", "25 mm", "+0.080 um"},
		{"a value for a deviation", "nominal,length,expanded (um),k,dof\n25,25.00008,0.06,2,inf\n", "mm", calib.BlockSet,
			"25.00008", "0.06 µm", "2", "", "", "", "25 mm", "0.00008 mm"},
		{"value in another unit", "nominal,value (um),expanded (um),k\n1.1,1100.07,0.06,2\n", "mm", calib.SettingRod,
			"1.10007", "0.06 µm", "2", "", "", "", "1.1 mm", "0.07 µm"},
		{"inches", "nominal (in),deviation (uin),expanded (uin),k\n0.105,-3.1,3.0,2\n", "mm", calib.BlockSet,
			"2.66692126", "3.0 µin", "2", "", "", "", "0.105 in", "-3.1 µin"},
		{"grade alone", "nominal,grade\n25,0\n", "mm", calib.BlockSet, "25", "", "", "", "0", "", "25 mm", ""},
		{"a thermometer in degrees Fahrenheit", "nominal,value,expanded (F),k\n68,68.9,0.18,2\n", "°F", calib.Thermometer,
			"20.5", "0.18 °F", "2", "", "", "", "68 °F", "0.9 °F"},
		{"a weight", "nominal (g),deviation (mg),expanded (mg),k\n100,+1.5,0.5,2\n", "kg", calib.WeightSet,
			"0.1000015", "0.5 mg", "2", "", "", "", "100 g", "+1.5 mg"},
	} {
		t.Run(c.name, func(t *testing.T) {
			values, err := read(c.text, c.kind, c.fallback)
			if err != nil || len(values) != 1 {
				t.Fatalf("%d values, %v", len(values), err)
			}
			v := values[0]
			if got := v.Length().Shortest(); got != c.length {
				t.Errorf("is %s, want %s", got, c.length)
			}
			if v.Expanded.String() != c.expanded || v.K != c.k || v.DoF != c.dof || v.Grade != c.grade || v.Serial != c.serial ||
				v.Nominal.String() != c.nominal || v.Deviation.String() != c.shownDeviated {
				t.Errorf("%+v", v)
			}
		})
	}
}

func TestReadValuesReportsEveryBadLine(t *testing.T) {
	_, err := read("nominal (mm),deviation (um),expanded (um),k\n1,+0.02,0.06,2\n2,+0.02,0.06,0\n# a comment\n3,+0.02,0.06,2\n1.0,+0.02,0.06,2\n4,\"0,02\",0.06,2\n", calib.BlockSet, "mm")
	want := `v.csv:3: k "0": not above 0; want the coverage factor
v.csv:6: nominal 1.0 mm for the second time, first on line 2; want each once
v.csv:7: deviation "0,02": a decimal comma; write 0.02`
	if err == nil || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
	var all interface{ Unwrap() []error }
	if !errors.As(err, &all) || len(all.Unwrap()) != 3 {
		t.Fatalf("%T does not hold three errors", err)
	}
	for _, e := range all.Unwrap() {
		var place *LineError
		if !errors.As(e, &place) {
			t.Errorf("%v has no place", e)
		}
	}
}

func TestReadValuesRefusesRowsThatCannotBe(t *testing.T) {
	for _, c := range []struct{ name, row, want string }{
		{"no nominal", ",+0.02,0.06,2,,", `nominal: nothing given; want the nominal value`},
		{"nominal of 0", "0,+0.02,0.06,2,,", `nominal "0": not above 0; want a length`},
		{"nothing but a nominal", "1,,,,,", `neither a value nor a grade; want deviation, expanded and k, or a grade`},
		{"no uncertainty", "1,+0.02,,2,,", `expanded: nothing given; want the expanded uncertainty of the deviation`},
		{"no uncertainty, with a grade", "1,+0.02,,,,1", `expanded: nothing given; want the expanded uncertainty of the deviation`},
		{"no deviation", "1,,0.06,2,,", `expanded "0.06" without a deviation; want both`},
		{"uncertainty of 0", "1,+0.02,0,2,,", `expanded "0": not above 0; want the expanded uncertainty`},
		{"uncertainty below 0", "1,+0.02,-0.06,2,,", `expanded "-0.06": not above 0; want the expanded uncertainty`},
		{"no k", "1,+0.02,0.06,,,", `k: nothing given; want the coverage factor of expanded, above 0`},
		{"k below 0", "1,+0.02,0.06,-2,,", `k "-2": not above 0; want the coverage factor`},
		{"k in words", "1,+0.02,0.06,two,,", `k "two": not a number; write digits with a point, as 5.101`},
		{"k in a unit", "1,+0.02,0.06,2 mm,,", `k "2 mm": a unit; write a bare number, as 2`},
		{"k alone", "1,,,2,,1", `k "2" without an expanded uncertainty; want both`},
		{"k not a number", "1,+0.02,0.06,NaN,,", `k "NaN": not a number; write digits with a point, as 5.101`},
		{"dof alone", "1,,,,50,1", `dof "50" without an expanded uncertainty; want both`},
		{"dof below 1", "1,+0.02,0.06,2,0.9,", `dof "0.9": below 1; want the degrees of freedom, or inf`},
		{"dof in words", "1,+0.02,0.06,2,many,", `dof "many": not a number; write digits with a point, as 5.101`},
		{"grade", "1,,,,,00", `grade "00": want K, 0, 1 or 2`},
		{"comma", "1,+0,02,0,06,2,,", `8 cells under 6 columns; want no decimal comma`},
		{"comma cut in two", "1,0,02,1,5,2", `expanded "02": a zero before other digits; want a point, and no decimal comma before it`},
		{"unit of a wrong kind", "1,0.02 °C,0.06,2,,", `deviation "0.02 °C": a temperature; want a length`},
		{"micrometres read as millimetres", "1,0.02 mm,0.06,2,,", `deviation 0.02 mm: more than 10 times what grade 2 allows at 1 mm; want another unit, or the row looked at again`},
		{"uncertainty in the wrong unit", "1,0.02,0.06 mm,2,,", `expanded 0.06 mm: more than 10 times what grade 2 allows at 1 mm; want another unit, or the row looked at again`},
		{"a metre and more", "1200,81,0.06,2,,", `deviation 81 µm: more than 10 times what grade 2 allows at 1200 mm; want another unit, or the row looked at again`},
		{"below half a millimetre", "0.1,-4.6,0.06,2,,", `deviation -4.6 µm: more than 10 times what grade 2 allows at 0.1 mm; want another unit, or the row looked at again`},
	} {
		t.Run(c.name, func(t *testing.T) {
			values, err := read("nominal,deviation (um),expanded (um),k,dof,grade\n"+c.row+"\n", calib.BlockSet, "mm")
			if want := "v.csv:2: " + c.want; err == nil || err.Error() != want || values != nil {
				t.Errorf("%v, %v\nwant %s", values, err, want)
			}
		})
	}
}

// Ten times the limit of grade 2 is the last that is taken (house rule).
func TestAnImplausibleDeviationBeginsBeyondTheBound(t *testing.T) {
	text := "nominal,deviation (um),expanded (um),k\n10,%,0.06,2\n"
	if _, err := read(strings.Replace(text, "%", "-4.5", 1), calib.Block, "mm"); err != nil {
		t.Error(err)
	}
	if _, err := read(strings.Replace(text, "%", "-4.501", 1), calib.Block, "mm"); err == nil {
		t.Error("-4.501 µm at 10 mm is taken")
	}
}

func TestReadValuesRefusesHeadingsThatCannotBe(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"column", "nominal,error\n1,2\n", `v.csv:1: column "error": want nominal, deviation or value, expanded, k, dof, grade, serial`},
		{"no nominal", "deviation,expanded,k\n1,2,2\n", `v.csv:1: no column nominal; want nominal, deviation or value, expanded, k, or nominal and grade`},
		{"twice", "nominal,U,expanded\n1,2,2\n", `v.csv:1: column "expanded" for the second time; want it once`},
		{"deviation and length", "nominal,deviation,length\n1,2,2\n", `v.csv:1: columns for deviation and value; want one of them`},
		{"unit of a wrong kind", "nominal (kPa)\n1\n", `v.csv:1: column "nominal (kPa)": no unit of a length; want one, as nominal (um)`},
		{"unit of k", "nominal,k (mm)\n1,2\n", `v.csv:1: column "k (mm)": no unit of a bare number; want one, as k`},
		{"no rows", "nominal,grade\n", `v.csv: no row under the heading; want one for each value`},
		{"too many rows", "nominal,grade\n" + strings.Repeat("1,0\n", 401), `v.csv: 401 rows; want at most 400 in one certificate`},
		{"semicolons", "nominal;grade\n1;0\n", `v.csv:1: columns parted by a semicolon or a tab; want commas`},
		{"nothing", "\n", `v.csv: nothing in it; want a filled-in sheet`},
		{"comments only", "# nothing\n", `v.csv: no heading in it; want the names of the columns in the first line`},
		{"no unit of the deviation", "nominal,deviation,expanded (um),k\n1,0.02,0.06,2\n", `v.csv:2: deviation "0.02": no unit; write one of mm, µm, nm, cm, m, in, thou, µin after it`},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := read(c.text, calib.BlockSet, "mm"); err == nil || err.Error() != c.want {
				t.Errorf("%v\nwant %s", err, c.want)
			}
		})
	}
}

func FuzzReadValues(f *testing.F) {
	for _, file := range []string{"gb-1.csv", "gb-2.csv", "gb-in.csv"} {
		f.Add(readDemo(f, file), "gauge block set")
	}
	f.Add([]byte("nominal,value,expanded (F),k\n68,68.9,0.18,2\n"), "thermometer")
	f.Fuzz(func(t *testing.T, data []byte, kind string) {
		k := calib.StandardKind(kind)
		values, err := read(string(data), k, "mm")
		if err != nil {
			return
		}
		if len(values) == 0 {
			t.Error("no value and no refusal")
		}
		for _, v := range values {
			if v.Nominal.IsZero() || v.Calibrated() == v.Expanded.IsZero() || v.Expanded.IsZero() != (v.K == "") {
				t.Errorf("%+v", v)
			}
		}
	})
}
