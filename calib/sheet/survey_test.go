package sheet

import (
	"encoding/csv"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
	"example.org/wring/calib/survey"
	"example.org/wring/uncertainty/unit"
)

func builtMethod(t *testing.T, name string) survey.Method {
	t.Helper()
	data, ok := survey.Preset(name)
	if !ok {
		t.Fatalf("no method %s is built in", name)
	}
	m, err := ReadMethod(name, data)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Every built-in method is read, is written and read again as it was, says
// whose its figures are, and where it says "memory" tells the reader to look.
func TestMethodsBuiltInAreWhole(t *testing.T) {
	names := survey.Presets()
	if len(names) < 15 {
		t.Fatalf("%d methods are built in", len(names))
	}
	shape := calib.NewShape()
	for _, name := range names {
		m := builtMethod(t, name)
		if m.Name != name {
			t.Errorf("%s: calls itself %s", name, m.Name)
		}
		m.Revision = 1
		if err := shape.Check(m); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		again, err := ReadMethod(name, WriteMethod(m))
		again.Revision = 1
		if err != nil || cmp.Diff(string(WriteMethod(m)), string(WriteMethod(again))) != "" {
			t.Errorf("%s: written and read again: %v", name, err)
		}
		if m.Mark == survey.Memory && !strings.Contains(m.Pressure.Origin+m.Note, "check against your copy") && !strings.Contains(m.Note, "memory") {
			t.Errorf("%s: is from memory and does not say so to its reader", name)
		}
	}
}

// ISO 2589:2016, clause 4 (read): 393 g ± 10 g on a foot of 10.0 mm ± 0.05 mm,
// read to 0.01 mm with an error of at most 0.02 mm; ISO 5084:1996 (memory);
// and what the others of the list say.
func TestMethodsSayWhatTheirDocumentsSay(t *testing.T) {
	for _, c := range []struct{ name, low, high, footLow, footHigh string }{
		{"leather", "383 g", "403 g", "9.95 mm", "10.05 mm"},
		{"textile", "0.99 kPa", "1.01 kPa", "1980 mm²", "2020 mm²"},
		{"film", "0.5 N", "1.0 N", "2.5 mm", "10 mm"},
		{"foam", "90 Pa", "110 Pa", "950 mm²", "1050 mm²"},
		{"corrugated", "19.5 kPa", "20.5 kPa", "980 mm²", "1020 mm²"},
		{"carpet", "1.8 kPa", "2.2 kPa", "300 mm²", "1000 mm²"},
		{"geosynthetic-2", "1.98 kPa", "2.02 kPa", "2475 mm²", "2525 mm²"},
		{"geosynthetic-20", "19.8 kPa", "20.2 kPa", "2475 mm²", "2525 mm²"},
		{"geosynthetic-200", "198 kPa", "202 kPa", "2475 mm²", "2525 mm²"},
		{"paper-us", "48 kPa", "52 kPa", "195 mm²", "205 mm²"},
		{"tissue", "1.9 kPa", "2.1 kPa", "35.6 mm", "35.8 mm"},
		{"nonwoven", "3.93 kPa", "4.35 kPa", "25.38 mm", "25.42 mm"},
		{"textile-bulky", "0.099 kPa", "0.101 kPa", "1980 mm²", "2020 mm²"},
		{"textile-us", "3.93 kPa", "4.35 kPa", "28.6 mm", "28.8 mm"},
		{"coated-us", "22.7 kPa", "24.1 kPa", "9.50 mm", "9.55 mm"},
		{"blanket-us", "0.63 kPa", "0.77 kPa", "28.6 mm", "28.8 mm"},
		{"nonwoven-lever", "0.019 kPa", "0.021 kPa", "980 mm²", "1020 mm²"},
		{"nonwoven-bulky", "80 g", "84 g", "39600 mm²", "40400 mm²"},
		{"rubber", "17 kPa", "27 kPa", "2 mm", "10 mm"},
		{"rubber-soft", "8 kPa", "12 kPa", "2 mm", "10 mm"},
		{"geotextile-us", "1.98 kPa", "2.02 kPa", "56.3 mm", "56.5 mm"},
		{"geomembrane-us", "19.8 kPa", "20.2 kPa", "6.33 mm", "6.37 mm"},
		{"hand-lifted", "5 psi", "7 psi", "", ""},
	} {
		m := builtMethod(t, c.name)
		foot := m.Foot.Diameter
		if foot.IsZero() {
			foot = m.Foot.Area
		}
		if got := [4]string{m.Pressure.Low.String(), m.Pressure.High.String(), foot.Low.String(), foot.High.String()}; got != [4]string{c.low, c.high, c.footLow, c.footHigh} {
			t.Errorf("%s: %v; want %+v", c.name, got, c)
		}
	}
	leather := builtMethod(t, "leather")
	if leather.Resolution.String() != "0.01 mm" || leather.Accuracy.String() != "0.02 mm" || leather.Dwell.Seconds != 5 || leather.Dwell.Tolerance != 1 {
		t.Errorf("leather: %s, ±%s, %v s ± %v s", leather.Resolution, leather.Accuracy, leather.Dwell.Seconds, leather.Dwell.Tolerance)
	}
	film := builtMethod(t, "film").Places
	for width, want := range map[string]int{"299 mm": 10, "300 mm": 20, "301 mm": 20, "1500 mm": 20, "1501 mm": 30} {
		if got := film.LeastFor(unit.Must(width, unit.Length)); got != want {
			t.Errorf("film of %s: %d places; want %d (ISO 4593:1993, read)", width, got, want)
		}
	}
}

// A resolution that no document gave is called an own figure. A foot of ISO
// 9073-2, method C, is for what is above 20 mm, and that of method B stands
// upright, where no balance can be under it (memory, fairly sure).
func TestStartsSayWhatIsTheirOwnAndFitTheirMaterial(t *testing.T) {
	for _, name := range []string{"blanket-us", "coated-us", "tissue"} {
		if m := builtMethod(t, name); !strings.Contains(m.Note, "resolution") || !strings.Contains(m.Note, "own") {
			t.Errorf("%s: %q says nothing of its resolution", name, m.Note)
		}
	}
	for _, o := range preset(t, "foot-nonwoven-bulky").Foot.Openings {
		if o.Inner().Float() <= 20 {
			t.Errorf("opening %s; want above 20 mm", o)
		}
	}
	if method := preset(t, "foot-nonwoven-lever").Method; strings.Contains(method, "balance or the force gauge under") {
		t.Errorf("a balance under an upright foot: %q", method)
	}
}

// The load and foot of testdata/published/method_loads.csv press with what each
// method wants.
func TestLoadsOfTheTableLieInTheMethodsBands(t *testing.T) {
	f, err := os.Open("../../testdata/published/method_loads.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	named := map[string]string{"foot-leather": "leather", "foot-textile": "textile", "foot-nonwoven": "nonwoven", "foot-nonwoven-iso": "nonwoven-iso", "foot-paper": "paper",
		"foot-paper-us": "paper-us", "foot-tissue": "tissue", "foot-board": "corrugated", "foot-carpet": "carpet", "foot-geosynthetic-2": "geosynthetic-2",
		"foot-geosynthetic-20": "geosynthetic-20", "foot-geosynthetic-200": "geosynthetic-200", "foot-foam": "foam", "foot-felt": "felt",
		"foot-textile-bulky": "textile-bulky", "foot-textile-us": "textile-us", "foot-coated-us": "coated-us", "foot-blanket-us": "blanket-us", "foot-nonwoven-lever": "nonwoven-lever",
		"foot-nonwoven-bulky": "nonwoven-bulky", "foot-rubber": "rubber", "foot-rubber-soft": "rubber-soft", "foot-geotextile-us": "geotextile-us", "foot-geomembrane-us": "geomembrane-us"}
	seen := map[string]bool{}
	for _, r := range rows[1:] {
		name, ok := named[r[0]]
		if !ok {
			continue
		}
		m := builtMethod(t, name)
		var area, grams float64
		for _, part := range strings.Split(r[1], ";") {
			words := strings.Fields(part)
			v, _ := strconv.ParseFloat(words[1], 64)
			if words[0] == "area" {
				area = v
			} else {
				grams = v
			}
		}
		got := grams / 1000 * 9.80665 / area * 1000 // kPa at standard gravity
		if m.Pressure.Low.Unit().Dimension() == unit.Mass {
			got = grams / 1000
		}
		if low, high := m.Pressure.Low.Inner().Float(), m.Pressure.High.Inner().Float(); !(got >= low && got <= high) {
			t.Errorf("%s: %g presses with %.4g; want %.4g to %.4g", name, grams, got, low, high)
		}
		if a := m.Foot.Area; !a.IsZero() && !(area >= a.Low.Inner().Float() && area <= a.High.Inner().Float()) {
			t.Errorf("%s: area %g; want %s to %s", name, area, a.Low, a.High)
		}
		seen[name] = true
	}
	if len(seen) != len(named) {
		t.Errorf("%d methods held to the table; want %d", len(seen), len(named))
	}
}

const surveyTOML = `format = 1
lot = "FELT-1"
date = 2026-11-16
person = "JV"
grid = "2x3"
wanted = "0.001 in"
zero = ["0.000"]
[environment]
temperature = 20.5
humidity = 55
[[place]]
readings = ["0.200", "0.201"]
[[place]]
readings = ["0.199"]
[[place]]
readings = ["0.200"]
[[place]]
readings = ["0.198"]
comment = "crease"
[[place]]
readings = ["0.200"]
[[place]]
readings = ["0.202"]
[[compression]]
pressure = "5 psi"
reading = "0.203"
[[compression]]
pressure = "7 psi"
reading = "0.198"
`

func feltOf() (survey.Method, survey.Lot, calib.Gauge) {
	m := survey.Method{Name: "felt", Revision: 2, Places: survey.Places{Least: 5, Readings: 1}}
	l := survey.Lot{ID: "FELT-1", Form: survey.Sheet, Width: unit.Must("300 mm", unit.Length), Length: unit.Must("500 mm", unit.Length), Unit: "in"}
	return m, l, calib.Gauge{ID: "THK-005", Kind: calib.ThicknessGauge, Unit: "in"}
}

func TestASurveySheetKeepsWhatWasTyped(t *testing.T) {
	s, err := ReadSurvey("lot.toml", []byte(surveyTOML))
	if err != nil {
		t.Fatal(err)
	}
	got, err := s.Survey(feltOf())
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, p := range got.Places {
		names = append(names, p.Name)
	}
	if diff := cmp.Diff([]string{"A1", "B1", "A2", "B2", "A3", "B3"}, names); diff != "" {
		t.Error(diff)
	}
	if r := got.Places[0].Readings; len(r) != 2 || r[1].Indication.Number() != "0.201" || r[1].Indication.Unit().Symbol() != "in" {
		t.Errorf("readings %v", r)
	}
	if got.Revision != 2 || got.Conditions.Humidity.String() != "55 %" || len(got.Compression) != 2 || got.Places[3].Comment != "crease" || got.Wanted.String() != "0.001 in" {
		t.Errorf("%+v", got)
	}
	asCSV := "# lot: FELT-1\n# date: 2026-11-16\n# person: JV\nat,across,along,reading,reading\nzero,,,0.000,\nleft,10,20,0.200,0.201\n,150 mm,20,0.200\n,290,20,0.199\nfour,10,400,0.200\nfive,150,400,0.198\n"
	if s, err = ReadSurvey("lot.csv", []byte(asCSV)); err != nil {
		t.Fatal(err)
	}
	if got, err = s.Survey(feltOf()); err != nil {
		t.Fatal(err)
	}
	if len(got.Zero) != 1 || got.Places[0].Name != "left" || got.Places[1].Name != "2" || got.Places[1].Across.String() != "150 mm" || len(got.Places[0].Readings) != 2 {
		t.Errorf("%+v", got.Places)
	}
}

func TestSurveySheetsThatCannotBeUsedNameTheirLine(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"too few", "[[place]]\nreadings = [\"0.200\"]\n[[place]]\nreadings = [\"0.202\"]\n", "", "lot.toml: 4 places; method felt wants at least 5"},
		{"twice", "comment = \"crease\"", "at = \"A1\"", "lot.toml:18: place A1: read twice, first as place A1; want each place once; several readings of one place stand together"},
		{"units mixed", `["0.198"]`, `["5.03 mm"]`, "lot.toml:18: place B2: reading 1: 5.03 mm on a gauge that is read in in; want every reading in in"},
		{"outside", "comment = \"crease\"", "at = \"Z9\"", "lot.toml:18: place Z9: no cell of the grid; want a cell from A1 to B3"},
		{"decimal comma", `["0.198"]`, `["0,198"]`, `lot.toml:18: place 4: reading 1: "0,198": a decimal comma; write 0.198`},
		{"another lot", `"FELT-1"`, `"FELT-2"`, `lot.toml:2: lot "FELT-2": another one than is surveyed with or by; want FELT-1`},
		{"no grid", `"2x3"`, `"2"`, `lot.toml:5: grid "2": want columns across x rows along, as 3x5, at most 26x99`},
		{"no unit", `"5 psi"`, `"5"`, `lot.toml:25: compression 1: pressure: "5": no unit; write one of kPa, Pa, hPa, MPa, bar, psi, gf/cm², kgf/cm², N, mN, kN, gf, kgf, lbf, ozf, kg, g, mg, lb, oz_mass after it`},
		{"a key", "person", "persn", `lot.toml:4: "persn": no key of a survey sheet; want format, lot, method, gauge, date, person, grid, wanted, share, confidence, override, remarks, zero, environment, place, compression`},
		{"wanted of nothing", `"0.001 in"`, `"0 in"`, `lot.toml:6: wanted: "0 in": not above 0; want an expanded uncertainty`},
	} {
		s, err := ReadSurvey("lot.toml", []byte(strings.Replace(surveyTOML, c.old, c.new, 1)))
		if err == nil {
			_, err = s.Survey(feltOf())
		}
		if err == nil || err.Error() != c.want {
			t.Errorf("%s:\n got %v\nwant %s", c.name, err, c.want)
		}
	}
	if _, err := ReadSurvey("lot.csv", []byte("at,reading\nA1,0,198\n")); err == nil || !strings.Contains(err.Error(), "lot.csv:2: place 1: 3 cells under 2 columns") {
		t.Errorf("a comma in a CSV: %v", err)
	}
}

func TestMethodsThatCannotBeUsedNameTheirLine(t *testing.T) {
	const felt = "format = 1\nname = \"f\"\ntitle = \"t\"\nsource = \"s\"\nmark = \"own\"\n[pressure]\nlow = \"5 psi\"\nhigh = \"7 psi\"\norigin = \"o\"\n[places]\nleast = 5\n"
	if _, err := ReadMethod("m.toml", []byte(felt)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, new, want string }{
		{`"7 psi"`, `"4 psi"`, `m.toml:8: pressure: high: 4 psi: not above low, 5 psi; want it higher`},
		{`"7 psi"`, `"7 N"`, `m.toml:8: pressure: high: 7 N: a force, and low is a pressure; want both of one kind`},
		{`"own"`, `"seen"`, `m.toml:5: mark: "seen": want one of read, memory, common practice, own`},
		{"least = 5", "least = 0", `m.toml:11: places: least: "0": want 1 or more`},
		{"least = 5", "lest = 5", `m.toml:11: places: "lest": no key of the places; want least, readings, edge_free, layout, origin, by_width`},
	} {
		if _, err := ReadMethod("m.toml", []byte(strings.Replace(felt, c.old, c.new, 1))); err == nil || err.Error() != c.want {
			t.Errorf("%s:\n got %v\nwant %s", c.new, err, c.want)
		}
	}
}

func FuzzReadSurvey(f *testing.F) {
	f.Add("a.toml", []byte(surveyTOML))
	f.Add("a.csv", []byte("at,reading\nA1,0.200\n"))
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		s, err := ReadSurvey(name, data)
		if err != nil {
			if strings.Contains(strings.ReplaceAll(err.Error(), name, ""), "\n") { // the name is the caller's
				t.Errorf("more than a line: %q", err)
			}
			return
		}
		m, l, g := feltOf()
		if got, err := s.Survey(m, l, g); err == nil {
			if err := got.Sound(m, l, g); err != nil {
				t.Errorf("read as sound, and is not: %v", err)
			}
		}
	})
}

func FuzzReadMethod(f *testing.F) {
	for _, name := range survey.Presets() {
		data, _ := survey.Preset(name)
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		m, err := ReadMethod("m", data)
		if err != nil {
			return
		}
		again, err := ReadMethod("m", WriteMethod(m))
		if err != nil || string(WriteMethod(again)) != string(WriteMethod(m)) {
			t.Errorf("written and read again: %v\n%s", err, WriteMethod(m))
		}
	})
}
