package sheet

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func mm(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }

// micrometer is the gauge of the example sheets.
func micrometer() calib.Gauge {
	return calib.Gauge{ID: "MIC-014", Kind: calib.OutsideMicrometer, Unit: "mm", Low: mm("0"), High: mm("25"), Resolution: mm("0.001")}
}

// shortPlan has three of its points and takes no zero.
func shortPlan() calib.Plan {
	return calib.Plan{Name: "short", Revision: 2, Unit: "mm", Points: []unit.Quantity{mm("2.5"), mm("5.1"), mm("7.7")},
		Readings: 3, Minimum: 1, Zero: calib.ZeroNone}
}

func readDemo(t testing.TB, name string) []byte {
	t.Helper()
	dir := "../../testdata/demo"
	if filepath.Ext(name) == ".csv" {
		dir = "../../cmd/wring/demo" // the demonstration carries its sets along
	}
	b, err := os.ReadFile(filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// smallSheet is a check of shortPlan, one key a line.
const smallSheet = `format = 1
gauge = "MIC-014"
date = 2026-11-16
person = "EK"
standards = ["GB-1"]
[environment]
temperature = 20.4
[[point]]
at = 2.5
readings = [2.501, 2.500]
[[point]]
at = "5.1"
blocks = ["1.1", "4"]
readings = ["5.101"]
`

// handIn reads a sheet and resolves it, as a command does.
func handIn(name, text string, p calib.Plan) (calib.Check, error) {
	s, err := ReadCheck(name, []byte(text))
	if err != nil {
		return calib.Check{}, err
	}
	return s.Check(micrometer(), p)
}

func TestASheetKeepsReadingsAsWritten(t *testing.T) {
	c, err := handIn("s.toml", smallSheet, shortPlan())
	if err != nil {
		t.Fatal(err)
	}
	want := calib.Check{
		Gauge: "MIC-014", Plan: "short", Revision: 2, Stage: calib.AsFound, Date: calib.MustDate("2026-11-16"), Person: "EK",
		Conditions: calib.Conditions{Gauge: unit.Must("20.4 °C", unit.Temperature)}, Standards: []string{"GB-1"},
		Points: []calib.Point{
			{Nominal: mm("2.5"), Readings: []calib.Reading{{Indication: mm("2.501")}, {Indication: mm("2.500")}}},
			{Nominal: mm("5.1"), Readings: []calib.Reading{{Indication: mm("5.101")}},
				Blocks: []calib.BlockUse{{Standard: "GB-1", Nominal: mm("1.1")}, {Standard: "GB-1", Nominal: mm("4")}}},
		},
	}
	if d := cmp.Diff(checkRecord(t, want), checkRecord(t, c)); d != "" {
		t.Error(d)
	}
}

func checkRecord(t testing.TB, c calib.Check) string {
	t.Helper()
	b, err := json.MarshalIndent(c, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

const smallCSV = `# gauge: MIC-014
# date: 2026-11-16
# person: EK
# standards: GB-1
# temperature: 20.4
## note: two hashes are a comment
# so is this: more than one word stands before the colon
at,blocks,reading,reading,reading
2.5,,2.501,2.500,
5.1,1.1+4,5.101
`

func TestCSVAndTOMLHoldTheSameCheck(t *testing.T) {
	fromTOML, err := handIn("s.toml", smallSheet, shortPlan())
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range map[string]string{
		"s.csv":        smallCSV,
		"by content":   smallCSV,
		"S.CSV":        strings.ReplaceAll(smallCSV, "\n", "\r\n"),
		"with mark":    "\ufeff" + smallCSV,
		"columns.csv":  strings.Replace(strings.Replace(smallCSV, "at,blocks,reading", "At , Blocks,Reading", 1), "2.5,,", "2.5, ,", 1),
		"comments.csv": smallCSV + "\n# remarks:\n,,,\n",
	} {
		c, err := handIn(name, text, shortPlan())
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if d := cmp.Diff(checkRecord(t, fromTOML), checkRecord(t, c)); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}

func TestSheetsCarryZeroStageRoomAndComment(t *testing.T) {
	p := shortPlan()
	p.Zero = calib.ZeroSubtracted
	whole := strings.NewReplacer("[environment]\n", "stage = \"as-left\"\nplan = \"short\"\nsite = \"hall 4\"\ncondition = \"clean\"\nremarks = \"spindle oiled\"\n[environment]\nblocks = \"68.2 °F\"\nhumidity = 48\n",
		"[[point]]\nat = 2.5\n", "[zero]\nreadings = [0.000, 0.001]\n[[point]]\nat = 2.5\ncomment = \"near the tip\"\n").Replace(smallSheet)
	c, err := handIn("-", whole, p)
	if err != nil {
		t.Fatal(err)
	}
	csv := strings.NewReplacer("# temperature", "# stage: as left\n# plan: short\n# site: hall 4\n# condition: clean\n# remarks: spindle oiled\n# blocks_temperature: 68.2 °F\n# humidity: 48\n# temperature",
		"at,blocks,reading,reading,reading\n2.5,,2.501,2.500,", "at,blocks,reading,comment,reading\nzero,,0.000,,0.001\n2.5,,2.501,near the tip,2.500").Replace(smallCSV)
	fromCSV, err := handIn("-", csv, p)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(checkRecord(t, c), checkRecord(t, fromCSV)); d != "" {
		t.Error(d)
	}
	if c.Stage != calib.AsLeft || len(c.Zero) != 2 || c.Zero[0].Indication.String() != "0.000 mm" || c.Conditions.BlocksAt().String() != "68.2 °F" ||
		c.Conditions.Humidity.String() != "48 %" || c.Condition != "clean" || c.Remarks != "spindle oiled" || c.Points[0].Readings[0].Comment != "near the tip" {
		t.Errorf("%s", checkRecord(t, c))
	}
}

// A gauge lives in its own unit: a bare number on its sheet is in it.
func TestABareNumberIsInTheGaugesUnit(t *testing.T) {
	g := micrometer()
	g.Unit = "in"
	p := shortPlan()
	p.Points = []unit.Quantity{unit.Must("0.105 in", unit.Length)}
	s, err := ReadCheck("s", []byte("at,blocks,reading\n0.105,0.105,0.1052\n"))
	if err != nil {
		t.Fatal(err)
	}
	s.Date, s.Person = Field{Text: "2026-11-16"}, Field{Text: "EK"}
	c, err := s.Check(g, p)
	if err != nil {
		t.Fatal(err)
	}
	if got := c.Points[0].Readings[0].Indication.String(); got != "0.1052 in" || c.Points[0].Blocks[0].Nominal.String() != "0.105 in" {
		t.Errorf("%s", checkRecord(t, c))
	}
}

func TestReadCheckRefusesWhatCannotBeUsed(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"comma", `"5.101"`, `"5,101"`, `s.toml:14: point 2: reading 1: "5,101": a decimal comma; write 5.101`},
		{"bare comma", `[2.501, 2.500]`, `[2,501]`, `s.toml:10: "2,501": one number or two; write 2.501, or a blank after the comma`},
		{"bare comma alone", `temperature = 20.4`, `temperature = 20,4`, `s.toml:7: "20,4": a decimal comma; write 20.4`},
		{"unit of a wrong kind", `"5.101"`, `"5.101 kPa"`, `s.toml:14: point 2: reading 1: "5.101 kPa": a pressure; want a length`},
		{"temperature of a wrong kind", `20.4`, `"20.4 mm"`, `s.toml:7: environment: temperature: "20.4 mm": a length; want a temperature`},
		{"nan", `[2.501, 2.500]`, `[2.501, nan]`, `s.toml:10: point 1: reading 2: "nan": not a number; write digits with a point, as 5.101`},
		{"nan in words", `"5.101"`, `"NaN"`, `s.toml:14: point 2: reading 1: "NaN": not a number; write digits with a point, as 5.101`},
		{"exponent", `[2.501, 2.500]`, `[25e-1]`, `s.toml:10: point 1: reading 1: "25e-1": an exponent; write the number out, as 0.0025`},
		{"underscore", `[2.501, 2.500]`, `[2_501]`, `s.toml:10: point 1: reading 1: "2_501": not a number; write digits with a point, as 5.101`},
		{"hexadecimal", `[2.501, 2.500]`, `[0x10]`, `s.toml:10: point 1: reading 1: "0x10": "x10" is no unit known here; want one of mm, µm, nm, cm, m, in, thou, µin`},
		{"true", `[2.501, 2.500]`, `[true]`, `s.toml:10: point 1: reading 1: "true": not a number; write digits with a point, as 5.101`},
		{"empty reading", `"5.101"`, `""`, `s.toml:14: point 2: reading 1: "": nothing; write a number, as 5.101`},
		{"no reading", `["5.101"]`, `[]`, `s.toml:12: point 2: no reading at 5.1 mm; want the readings, or leave the point out`},
		{"no readings", "readings = [\"5.101\"]\n", "", `s.toml:12: point 2: no reading at 5.1 mm; want the readings, or leave the point out`},
		{"point twice", `at = "5.1"`, `at = "2.50 mm"`, `s.toml:12: point 2: 2.50 mm for the second time, first on line 9; want each point once`},
		{"not in the plan", `at = "5.1"`, `at = "5.0"`, `s.toml:12: point 2: 5.0 mm: no point of plan short; the nearest are 2.5 mm and 5.1 mm`},
		{"below the plan", `at = 2.5`, `at = 0.2`, `s.toml:9: point 1: 0.2 mm: no point of plan short; the nearest is 2.5 mm`},
		{"above the plan", `at = "5.1"`, `at = "51"`, `s.toml:12: point 2: 51 mm: no point of plan short; the nearest is 7.7 mm`},
		{"no size", "at = 2.5\n", "", `s.toml:8: point 1: at: nothing given; want a value`},
		{"another gauge", `MIC-014`, `MIC-041`, `s.toml:2: gauge "MIC-041": another gauge than the one being checked; want MIC-014`},
		{"another plan", `person`, "plan = \"long\"\nperson", `s.toml:4: plan "long": another plan than the one being followed; want short`},
		{"date", `2026-11-16`, `"3/4/2026"`, `s.toml:3: date "3/4/2026": 3 April 2026 or 4 March 2026; write 2026-04-03 or 2026-03-04`},
		{"no such date", `2026-11-16`, `"2026-02-30"`, `s.toml:3: date "2026-02-30": not a civil date; write year-month-day, as 2026-03-02`},
		{"instant", `2026-11-16`, `2026-11-16T10:00:00Z`, `s.toml:3: date "2026-11-16T10:00:00Z": not a civil date; write year-month-day, as 2026-03-02`},
		{"no date", "date = 2026-11-16\n", "", `s.toml: date: nothing given; write year-month-day, as 2026-03-02`},
		{"no person", "person = \"EK\"\n", "", `s.toml: person: nothing given; want who performed the check`},
		{"stage", `person`, "stage = \"found\"\nperson", `s.toml:4: stage "found": want as found or as left`},
		{"zero not taken", "[[point]]\nat = 2.5", "[zero]\nreadings = [0.001]\n[[point]]\nat = 2.5", `s.toml:9: zero: 1 readings; plan short takes no zero`},
		{"block", `"1.1"`, `"one"`, `s.toml:13: point 2: block 1: "one": not a number; write digits with a point, as 5.101`},
		{"block of 0", `"1.1"`, `"0"`, `s.toml:13: point 2: block 1: "0": not above 0; want the nominal length of a block`},
		{"block of another set", `"1.1"`, `"GB-9:1.1"`, `s.toml:13: point 2: block 1: "GB-9:1.1": GB-9 is no standard of this sheet; want it under standards`},
		{"block without a size", `"1.1"`, `"GB-1:"`, `s.toml:13: point 2: block 1: "": nothing; write a number, as 5.101`},
		{"tall stack", `["1.1", "4"]`, `[1.1, 4` + strings.Repeat(", 1", 11) + `]`, `s.toml:13: point 2: block 13: 13 blocks in one stack; want at most 12`},
		{"standard twice", `["GB-1"]`, `["GB-1", "GB-1"]`, `s.toml:5: standard 2: "GB-1": named twice; want each standard once`},
		{"unknown key", `readings = ["5.101"]`, `reading = ["5.101"]`, `s.toml:14: point 2: "reading": no key of a point; want at, blocks, readings, comment`},
		{"unknown key above", `person =`, `operator =`, `s.toml:4: "operator": no key of a check sheet; want format, gauge, plan, date, person, stage, purpose, standards, received, site, condition, remarks, environment, zero, point, skipped, foot, force, load`},
		{"no points", smallSheet[strings.Index(smallSheet, "[[point]]"):], ``, `s.toml: no point in it; want the readings at each point`},
		{"not TOML", `person = "EK"`, `person: EK`, `s.toml:4: not TOML: expected '=' after key; want key = value`},
		{"binary", `EK`, "E\xffK", `s.toml:4: a byte that is no UTF-8 text; save it as UTF-8`},
		{"zero byte", `EK`, "E\x00K", `s.toml:4: a zero byte; want plain text`},
		{"format", `format = 1`, `format = 2`, `s.toml:1: format: "2": newer than this program reads; want 1`},
	} {
		t.Run(c.name, func(t *testing.T) {
			refusesCheck(t, "s.toml", strings.Replace(smallSheet, c.old, c.new, 1), c.want)
		})
	}
}

func refusesCheck(t *testing.T, name, text, want string) {
	t.Helper()
	if text == smallSheet || text == smallCSV {
		t.Fatal("the case changes nothing")
	}
	c, err := handIn(name, text, shortPlan())
	var place *LineError
	if !errors.As(err, &place) || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
	if c.Gauge != "" || c.Points != nil {
		t.Error("a check comes with the refusal")
	}
}

func TestReadCheckRefusesCSVThatCannotBeUsed(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"comma", `5.101`, `5,101,5,102`, `s.csv:10: point 2: 6 cells under 5 columns; want a column named reading for each, and no decimal comma`},
		{"comma cut in two", `5.1,1.1+4,5.101`, `5.1,,5,005`, `s.csv:10: point 2: "005": a zero before other digits; want a point, and no decimal comma before it`},
		{"comma in quotes", `5.101`, `"5,101"`, `s.csv:10: point 2: reading 1: "5,101": a decimal comma; write 5.101`},
		{"semicolons", smallCSV[strings.Index(smallCSV, "at,"):], "at;blocks;reading\n2.5;;2.501\n", `s.csv:8: columns parted by a semicolon or a tab; want commas`},
		{"column", `at,blocks`, `at,stack`, `s.csv:8: column "stack": no column of a check sheet; want at, blocks, reading, comment, skipped, and for parts beside length part, direction, weights, instrument`},
		{"column twice", `at,blocks`, `at,at`, `s.csv:8: column "at" for the second time; want it once`},
		{"no column", `at,blocks,reading,reading,reading`, `at,blocks`, `s.csv:8: no column at or none named reading; want at,blocks,reading,reading,reading`},
		{"no heading", smallCSV[strings.Index(smallCSV, "at,"):], ``, `s.csv: no heading in it; want the names of the columns in the first line`},
		{"no rows", smallCSV[strings.Index(smallCSV, "2.5,"):], ``, `s.csv: no point in it; want the readings at each point`},
		{"quotes", `5.1,`, `"5."1,`, `s.csv:10: not CSV: extraneous or missing " in quoted-field; want cells between commas, in quotes where they hold one`},
		{"inch mark", `5.101`, `0.2008"`, `s.csv:10: a quotation mark inside a cell; want in for inches`},
		{"no size", `5.1,`, `,`, `s.csv:10: point 2: at: "": nothing; write a number, as 5.101`},
		{"no reading", `5.101`, ``, `s.csv:10: point 2: no reading at 5.1 mm; want the readings, or leave the point out`},
		{"block", `1.1+4`, `1.1+four`, `s.csv:10: point 2: block 2: "four": not a number; write digits with a point, as 5.101`},
		{"open stack", `1.1+4`, `1.1+`, `s.csv:10: point 2: block 2: "": nothing; write a number, as 5.101`},
		{"zero twice", `5.1,1.1+4,5.101`, "zero,,0\nzero,,0", `s.csv:11: zero: for the second time; want one row of it`},
		{"zero with blocks", `5.1,1.1+4,5.101`, "zero,1,0", `s.csv:10: zero: block 1: "1": a zero has no blocks; want none`},
		{"unknown key", `# person`, `# operator`, `s.csv:3: "operator": no key of a check sheet; want standards, gauge, plan, date, person, stage, purpose, received, site, condition, remarks, temperature, blocks_temperature, humidity, or ## before a comment`},
		{"key twice", `# person: EK`, `# gauge: MIC-014`, `s.csv:3: gauge for the second time; want it once`},
		{"standards twice", `# person: EK`, "# person: EK\n# standards: GB-1", `s.csv:5: standards for the second time; want it once`},
		{"date", `2026-11-16`, `16.11.2026`, `s.csv:2: date "16.11.2026": not year-month-day; write 2026-11-16`},
		{"temperature", `20.4`, `20,4`, `s.csv:5: temperature: "20,4": a decimal comma; write 20.4`},
	} {
		t.Run(c.name, func(t *testing.T) {
			refusesCheck(t, "s.csv", strings.Replace(smallCSV, c.old, c.new, 1), c.want)
		})
	}
}

func TestASheetOfNothingOrOfTooMuchIsRefused(t *testing.T) {
	for _, text := range []string{"", " \n\t\n", "\ufeff", "\ufeff\r\n"} {
		if _, err := ReadCheck("s.toml", []byte(text)); err == nil || err.Error() != "s.toml: nothing in it; want a filled-in sheet" {
			t.Errorf("%q: %v", text, err)
		}
	}
	much := make([]byte, MaxSize+1)
	want := "s: more than 262144 bytes; want a sheet of at most 262144"
	_, errCheck := ReadCheck("s", much)
	_, errPlan := ReadPlan("s", much)
	_, errValues := ReadValues("s", much, calib.BlockSet, unit.Unit{})
	for _, err := range []error{errCheck, errPlan, errValues} {
		if err == nil || err.Error() != want {
			t.Errorf("%v, want %s", err, want)
		}
	}
	var keys strings.Builder
	for i := range 5000 {
		fmt.Fprintf(&keys, "k%d = 1\n", i)
	}
	wantKeys := "s.toml: more than 5000 keys; want a sheet of at most 5000"
	for _, text := range []string{"format = 1\n" + keys.String(), "format = 1\na = {" + strings.Repeat("a.", 5000) + "a = 1}"} {
		if _, err := ReadCheck("s.toml", []byte(text)); err == nil || err.Error() != wantKeys {
			t.Errorf("%v, want %s", err, wantKeys)
		}
	}
	deep := []byte("format = 1\na = " + strings.Repeat("[", MaxSize-20))
	if _, err := ReadCheck("s.toml", deep); err == nil || len(err.Error()) > 200 {
		t.Errorf("a sheet of brackets: %v", err)
	}
}

// A field that a command replaces is not the sheet's to answer for.
func TestAReplacedFieldDoesNotBlameTheSheet(t *testing.T) {
	s, err := ReadCheck("s.toml", []byte(smallSheet))
	if err != nil {
		t.Fatal(err)
	}
	s.Date = Field{Text: "3/4/2026"}
	want := `date "3/4/2026": 3 April 2026 or 4 March 2026; write 2026-04-03 or 2026-03-04`
	if _, err := s.Check(micrometer(), shortPlan()); err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
	s.Date, s.Temperature = Field{Text: "2026-11-17"}, Field{Text: "69 °F"}
	c, err := s.Check(micrometer(), shortPlan())
	if err != nil || c.Date.String() != "2026-11-17" || c.Conditions.Gauge.String() != "69 °F" {
		t.Errorf("%s, %v", checkRecord(t, c), err)
	}
}

func TestBlocksGoToTheSetThatHoldsThem(t *testing.T) {
	set := func(id string, kind calib.StandardKind, nominals ...string) calib.StandardOnDay {
		s := calib.StandardOnDay{Standard: calib.Standard{ID: id, Kind: kind}}
		for _, n := range nominals {
			s.Certificate.Values = append(s.Certificate.Values, calib.Value{Nominal: mm(n)})
		}
		return s
	}
	bench := []calib.StandardOnDay{set("GB-1", calib.BlockSet, "1.1", "4", "5"), set("TH-1", calib.Thermometer), set("GB-2", calib.BlockSet, "0.1", "5")}
	two := strings.Replace(smallSheet, `["GB-1"]`, `["GB-1", "TH-1", "GB-2"]`, 1)
	for _, c := range []struct{ name, blocks, want, refused string }{
		{"each in one", `["1.1", "0.1", "4"]`, "GB-1 GB-2 GB-1", ""},
		{"named", `["0.1", "GB-2:5"]`, "GB-2 GB-2", ""},
		{"in two", `["0.1", "5"]`, "", `s.toml:13: point 2: block 2: 5 mm: in GB-1 and GB-2; write which, as GB-1:5`},
		{"in none", `["1.1", "3"]`, "", `s.toml:13: point 2: block 2: 3 mm: no block of GB-1 or GB-2; want one that its certificate lists`},
		{"not in the one named", `["GB-2:1.1", "4"]`, "", `s.toml:13: point 2: block 1: 1.1 mm: no block of GB-2; want one that its certificate lists`},
		{"of a thermometer", `["TH-1:1.1", "4"]`, "", `s.toml:13: point 2: block 1: 1.1 mm of TH-1: no standard of length; want a block set`},
		{"twice", `["1.1", "4", "GB-1:4.0"]`, "", `s.toml:13: point 2: block 3: 4.0 mm of GB-1 for the second time; a block is wrung once`},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := ReadCheck("s.toml", []byte(strings.Replace(two, `["1.1", "4"]`, c.blocks, 1)))
			if err != nil {
				t.Fatal(err)
			}
			check, err := s.Check(micrometer(), shortPlan())
			if err != nil {
				t.Fatal(err)
			}
			err = s.Assign(&check, bench)
			if c.refused != "" {
				if err == nil || err.Error() != c.refused {
					t.Errorf("%v\nwant %s", err, c.refused)
				}
				return
			}
			var got []string
			for _, b := range check.Points[1].Blocks {
				got = append(got, b.Standard)
			}
			if err != nil || strings.Join(got, " ") != c.want {
				t.Errorf("%v, %v; want %s", got, err, c.want)
			}
		})
	}
	none := calib.Check{Points: []calib.Point{{Blocks: []calib.BlockUse{{Nominal: mm("1")}}}}}
	want := `s.toml: 1 mm: no block set is named; want one under standards`
	if err := (&CheckSheet{Name: "s.toml"}).Assign(&none, bench[1:2]); err == nil || err.Error() != want {
		t.Errorf("%v, want %s", err, want)
	}
}

func FuzzReadCheck(f *testing.F) {
	f.Add("s.toml", []byte(smallSheet))
	f.Add("s.csv", []byte(smallCSV))
	f.Add("-", []byte("format = 1\n[[point]]\nat = 2.5\nreadings = 2.501\n[[point]]\nat=[1]\n"))
	f.Add("mic-014.toml", readDemo(f, "mic-014.toml"))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		s, err := ReadCheck(name, data)
		if err == nil {
			if !s.Gauge.Given() {
				s.Gauge = Field{Text: "MIC-014"}
			}
			var c calib.Check
			if c, err = s.Check(micrometer(), shortPlan()); err == nil {
				checkRecord(t, c)
				err = s.Assign(&c, nil)
			}
		}
		if err != nil && !strings.Contains(name, "\n") && strings.ContainsRune(err.Error(), '\n') {
			t.Errorf("message of several lines: %q", err)
		}
	})
}

func BenchmarkReadCheckOfTheExample(b *testing.B) {
	data := readDemo(b, "mic-014.toml")
	for b.Loop() {
		if _, err := ReadCheck("mic-014.toml", data); err != nil {
			b.Fatal(err)
		}
	}
}

func TestConditionsThatNoToolroomHasAreRefused(t *testing.T) {
	for _, c := range []struct {
		name string
		bend func(*CheckSheet)
		want string
	}{
		{"colder than anything", func(s *CheckSheet) { s.Temperature = Field{Text: "-300"} }, `"-300": beyond what a toolroom has; want -40 °C to 60 °C`},
		{"Fahrenheit taken for Celsius", func(s *CheckSheet) { s.Temperature = Field{Text: "70.5"} }, `"70.5": beyond what a toolroom has; want -40 °C to 60 °C`},
		{"more than wet", func(s *CheckSheet) { s.Humidity = Field{Text: "480"} }, `"480": beyond what a toolroom has; want 0 % to 100 %`},
		{"blocks alone", func(s *CheckSheet) { s.BlockTemperature = Field{Text: "35"} }, `block temperature: given without the gauge's; want both, or the gauge's alone where they are one`},
	} {
		s := &CheckSheet{Name: "s", Gauge: Field{Text: micrometer().ID}, Date: Field{Text: "2026-03-02"}, Person: Field{Text: "EK"},
			Points: []PointRow{{At: Field{Text: shortPlan().Points[0].String()}, Readings: []Field{{Text: "2.5"}}}}}
		c.bend(s)
		if _, err := s.Check(micrometer(), shortPlan()); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}
