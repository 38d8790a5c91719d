package sheet

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
	"example.org/wring/calib/limits"
	"example.org/wring/uncertainty/unit"
)

// record is a plan as it is stored, which shows every digit and unit.
func record(t testing.TB, p any) string {
	t.Helper()
	b, err := json.MarshalIndent(p, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func preset(t testing.TB, name string) calib.Plan {
	t.Helper()
	b, ok := limits.Preset(name)
	if !ok {
		t.Fatalf("no preset %s", name)
	}
	p, err := ReadPlan(name+".toml", b)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestEveryPresetIsAPlanInForm(t *testing.T) {
	shape := calib.NewShape()
	for _, name := range limits.Presets() {
		p := preset(t, name)
		p.Revision = 1
		if err := shape.Check(p); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if p.Name != name || p.Rule.Name != "simple acceptance" || p.IntervalMonths == 0 {
			t.Errorf("%s: %+v", name, p)
		}
		if len(p.Points) == 0 { // other parts name the gates that they pass
			continue
		}
		if p.Readings != 3 || p.Minimum != 3 || p.IntervalMonths != 12 {
			t.Errorf("%s: %+v", name, p)
		}
		if len(p.Gates) != len(calib.Gates()) {
			t.Errorf("%s: names %d gates of %d", name, len(p.Gates), len(calib.Gates()))
		}
	}
}

func TestAPlanComesBackFromItsWrittenForm(t *testing.T) {
	plans := []calib.Plan{}
	for _, name := range limits.Presets() {
		plans = append(plans, preset(t, name))
	}
	everything := preset(t, "micrometer-0-25")
	everything.Title, everything.Note = `a "quoted" \ title`, "µ ± ° é"
	everything.Zero = calib.ZeroSubtracted
	everything.Rule = calib.Rule{Name: "guarded acceptance", Factor: 0}
	everything.Environment.Difference = unit.Must("0.5 °F", unit.TemperatureDifference)
	everything.Points[3] = unit.Must("0.400 in", unit.Length)
	everything.Probability, everything.Digits, everything.Minimum = 0.9545, 1, 2
	everything.Limit = calib.Limit{Value: unit.Must("20 um", unit.Length), PerLength: unit.Must("100 µm/m", unit.Slope),
		AtLeast: unit.Must("50 um", unit.Length), Origin: "own"}
	everything.Contributions = []calib.Contribution{
		{Kind: calib.Repeatability, PooledS: unit.Must("0.30 um", unit.Length), PooledDoF: 12.5},
		{Kind: calib.Mechanical, Name: "one", Expanded: unit.Must("1.0 um", unit.Length), K: 1.96, DoF: 50},
		{Kind: calib.Mechanical, Name: "two", Shape: "arcsine", HalfWidth: unit.Must("1 um", unit.Length), PerLength: unit.Must("0.5 um/m", unit.Slope)},
		{Kind: calib.ExpansionDifference, HalfWidth: unit.Must("1 ppm/°F", unit.Expansion)},
	}
	risk := preset(t, "caliper-150")
	risk.Rule = calib.Rule{Name: "by risk", Risk: 0.02}
	risk.Environment, risk.Gates, risk.Believable = calib.Environment{}, nil, unit.Quantity{}
	for _, p := range append(plans, everything, risk) {
		written := WritePlan(p)
		got, err := ReadPlan("written", written)
		if err != nil {
			t.Errorf("%s: %v\n%s", p.Name, err, written)
			continue
		}
		if d := cmp.Diff(record(t, p), record(t, got)); d != "" {
			t.Errorf("%s came back with\n%s", p.Name, d)
		}
		if again := WritePlan(got); string(again) != string(written) {
			t.Errorf("%s: written twice, two forms", p.Name)
		}
	}
}

// The presets quote the tables; here they are held to them.
func TestPresetsHaveTheLimitsOfTheirTables(t *testing.T) {
	for low, name := range map[int64]string{0: "micrometer-0-25", 25: "micrometer-25-50", 50: "micrometer-50-75", 75: "micrometer-75-100"} {
		p := preset(t, name)
		want, _ := limits.OutsideMicrometer(unit.Whole(low))
		points := limits.MicrometerPoints(unit.Whole(low))
		if len(points) != len(p.Points) {
			t.Fatalf("%s: %d points, want %d", name, len(p.Points), len(points))
		}
		for i, at := range points {
			if got, _ := p.Limit.At(at); got.Cmp(want) != 0 || p.Points[i].Inner().Cmp(at) != 0 {
				t.Errorf("%s at %s: limit %s mm, want %s at %s mm", name, p.Points[i], got.Shortest(), want.Shortest(), at.Shortest())
			}
		}
		if !strings.Contains(p.Limit.Origin, "span") || !strings.Contains(p.Limit.Origin, "±") {
			t.Errorf("%s: the origin does not say how the span is applied", name)
		}
	}
	for _, name := range []string{"caliper-150", "caliper-300"} {
		for _, at := range preset(t, name).Points {
			want, _ := limits.VernierCaliper(at.Inner())
			if got, _ := preset(t, name).Limit.At(at.Inner()); got.Cmp(want) != 0 {
				t.Errorf("%s at %s: %s mm, want %s", name, at, got.Shortest(), want.Shortest())
			}
		}
	}
	dial, _ := limits.DialGauge(limits.Dial{Graduation: unit.Ratio(1, 100), Range: unit.Whole(10)})
	if got, _ := preset(t, "dial-gauge-10").Limit.At(unit.Whole(5)); got.Cmp(dial.Whole) != 0 {
		t.Errorf("dial gauge: %s mm, want %s", got.Shortest(), dial.Whole.Shortest())
	}
	inch := limits.InchMicrometerPoints(unit.Exact{})
	for i, at := range preset(t, "micrometer-0-1in").Points {
		if at.Inner().Cmp(inch[i]) != 0 {
			t.Errorf("inch point %d is %s", i+1, at)
		}
	}
}

// smallPlan is the shortest plan there is, one key a line so that a test can
// name the line it spoils.
const smallPlan = `format = 1
name = "p"
title = "a plan"
kind = "outside micrometer"
unit = "mm"
points = ["2.5", "5.1"]
readings = 3
[limit]
value = "4 um"
origin = "own"
[rule]
name = "simple acceptance"
[[contribution]]
kind = "resolution"
`

func TestASmallPlanHasTheUsualDefaults(t *testing.T) {
	p, err := ReadPlan("p", []byte(smallPlan))
	if err != nil {
		t.Fatal(err)
	}
	if p.Minimum != 3 || p.Zero != calib.ZeroNone || p.Probability != 0.95 || p.Digits != 2 || p.Gates != nil || !p.Environment.IsZero() {
		t.Errorf("%+v", p)
	}
	if got := p.Points[0].String(); got != "2.5 mm" {
		t.Errorf("first point is %q", got)
	}
}

// Each case replaces one text of the small plan and wants the whole message.
func TestReadPlanRefusesWhatCannotBeUsed(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"no format", "format = 1\n", "", `p.toml: format: nothing given; write format = 1`},
		{"later format", "format = 1", "format = 2", `p.toml:1: format: "2": newer than this program reads; want 1`},
		{"no number", "format = 1", `format = "one"`, `p.toml:1: format: "one": want 1`},
		{"no name", `name = "p"`, ``, `p.toml: name: nothing given; want a value`},
		{"required key mistyped", `title =`, `titel =`, `p.toml:3: "titel": no key of a plan; want format, name, title, kind, method, note, unit, points, readings, minimum, zero, probability, digits, interval_months, intermediate_months, believable, limit, rule, environment, gates, contribution, foot, force, load, care`},
		{"unknown key", "readings = 3", "readings = 3\nreeds = 4", `p.toml:8: "reeds": no key of a plan; want format, name, title, kind, method, note, unit, points, readings, minimum, zero, probability, digits, interval_months, intermediate_months, believable, limit, rule, environment, gates, contribution, foot, force, load, care`},
		{"key twice", "readings = 3", "readings = 3\nreadings = 4", `p.toml:8: not TOML: key readings is already defined; want key = value`},
		{"kind", "outside micrometer", "ruler", `p.toml:4: kind: "ruler": want one of outside micrometer, caliper, dial gauge, dial thickness gauge, force gauge, scale, pressure gauge`},
		{"unit", `unit = "mm"`, `unit = "kPa"`, `p.toml:5: unit: "kPa": no unit of length; want one of mm, µm, nm, cm, m, in, thou, µin`},
		{"comma", `"5.1"]`, `"5,1"]`, `p.toml:6: point 2: "5,1": a decimal comma; write 5.1`},
		{"bare comma", `["2.5", "5.1"]`, `[2,501]`, `p.toml:6: "2,501": one number or two; write 2.501, or a blank after the comma`},
		{"bare comma alone", "readings = 3", "believable = 0,1", `p.toml:7: "0,1": a decimal comma; write 0.1`},
		{"point of a wrong kind", `"5.1"]`, `"5.1 kPa"]`, `p.toml:6: point 2: "5.1 kPa": a pressure; want a length`},
		{"point not a number", `"5.1"]`, `nan]`, `p.toml:6: point 2: "nan": not a number; write digits with a point, as 5.101`},
		{"points descending", `["2.5", "5.1"]`, `["5.1", "2.5"]`, `p.toml:6: point 2: "2.5": not above 5.1 mm before it; want the sizes ascending`},
		{"point twice", `"5.1"]`, `"2.50"]`, `p.toml:6: point 2: "2.50": not above 2.5 mm before it; want the sizes ascending`},
		{"point below zero", `["2.5"`, `["-2.5"`, `p.toml:6: point 1: "-2.5": below 0; want a size`},
		{"no points", `["2.5", "5.1"]`, `[]`, `p.toml: points: nothing given; want the sizes to check at, as ["2.5", "5.1"]`},
		{"points as table", `["2.5", "5.1"]`, `[{at = 1}]`, `p.toml:6: point 1: a table; want one value`},
		{"readings in words", "readings = 3", `readings = "three"`, `p.toml:7: readings: "three": want a whole number, as 3`},
		{"minimum", "readings = 3", "readings = 3\nminimum = 4", `p.toml:8: minimum: 4: more than are taken; want at most 3`},
		{"zero", "readings = 3", "readings = 3\nzero = \"set\"", `p.toml:8: zero: "set": want one of none, recorded, subtracted`},
		{"probability", "readings = 3", "readings = 3\nprobability = \"95 %\"", `p.toml:8: probability: "95 %": a unit; write a bare number, as 95`},
		{"believable", "readings = 3", "readings = 3\nbelievable = 0", `p.toml:8: believable: "0": not above 0; want a size above 0`},
		{"limit not given", "value = \"4 um\"", "", `p.toml:8: limit: nothing given; want value, or rows with up_to and value`},
		{"limit of 0", "4 um", "0 um", `p.toml:6: point 1: 2.5 mm: the limit there is not above 0; want a limit above 0`},
		{"limit without origin", "origin = \"own\"", "", `p.toml:8: limit: origin: nothing given; want a value`},
		{"limit as a value", "[limit]\nvalue = \"4 um\"\norigin = \"own\"", "limit = \"4 um\"", `p.toml:8: limit: one value; want a table [limit]`},
		{"rows beside value", "[rule]", "[[limit.row]]\nup_to = 25\nvalue = \"4 um\"\n[rule]", `p.toml:11: limit: row 1: rows beside a value; want one or the other`},
		{"rows too short", "value = \"4 um\"\norigin = \"own\"", "origin = \"own\"\n[[limit.row]]\nup_to = 5\nvalue = \"4 um\"", `p.toml:6: point 2: 5.1 mm: beyond the last row of the limit; want a row that reaches it`},
		{"rows descending", "value = \"4 um\"\norigin = \"own\"", "origin = \"own\"\nrow = [{up_to = 9, value = \"4 um\"}, {up_to = 8, value = \"5 um\"}]", `p.toml:10: limit: row 2: up to: 8 mm: not above 9 mm before it; want the rows ascending`},
		{"rule", "simple acceptance", "shared risk", `p.toml:12: rule: name: "shared risk": want one of simple acceptance, guarded acceptance, four verdicts, by risk`},
		{"factor of a simple rule", "\"simple acceptance\"", "\"simple acceptance\"\nfactor = 1", `p.toml:13: rule: factor: "1": no part of simple acceptance; leave it out`},
		{"factor", "\"simple acceptance\"", "\"guarded acceptance\"\nfactor = 11", `p.toml:13: rule: factor: "11": want 0 to 10`},
		{"no risk", "simple acceptance", "by risk", `p.toml:11: rule: risk: nothing given; want a value`},
		{"risk", "\"simple acceptance\"", "\"by risk\"\nrisk = 0.5", `p.toml:13: rule: risk: "0.5": want a probability above 0 and below 0.5`},
		{"risk of another rule", "\"simple acceptance\"", "\"four verdicts\"\nrisk = 0.02", `p.toml:13: rule: risk: "0.02": no part of four verdicts; leave it out`},
		{"environment turned round", "[rule]", "[environment]\nlow = 22\nhigh = 18\n[rule]", `p.toml:13: environment: high: 18 °C: not above low, 22 °C; want it higher`},
		{"difference below 0", "[rule]", "[environment]\ndifference = -1\n[rule]", `p.toml:12: environment: difference: -1 °C: below 0; want 0 or more`},
		{"gate", "[rule]", "[gates]\n\"standard late\" = \"mark\"\n[rule]", `p.toml:12: gates: "standard late": no key of the gates; want ` + strings.Join(asStrings(calib.Gates()), ", ")},
		{"action", "[rule]", "[gates]\n\"gauge withdrawn\" = \"warn\"\n[rule]", `p.toml:12: gates: gauge withdrawn: "warn": want one of stop, mark, ignore`},
		{"no contribution", "[[contribution]]\nkind = \"resolution\"\n", "", `p.toml: contribution: nothing given; want [[contribution]] for each line of the budget`},
		{"contribution as a table", "[[contribution]]", "[contribution]", `p.toml:13: contribution: no list of tables; want [[contribution]] before each`},
	} {
		t.Run(c.name, func(t *testing.T) { refusesPlan(t, strings.Replace(smallPlan, c.old, c.new, 1), c.want) })
	}
}

func refusesPlan(t *testing.T, text, want string) {
	t.Helper()
	if text == smallPlan {
		t.Fatal("the case changes nothing")
	}
	p, err := ReadPlan("p.toml", []byte(text))
	var place *LineError
	if !errors.As(err, &place) || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
	if p.Name != "" {
		t.Error("a plan comes with the refusal")
	}
}

func TestReadPlanHoldsContributionsToTheirSizes(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"kind", `kind = "gravity"`, `kind: "gravity": want one of ` + strings.Join(asStrings(calib.ContributionKinds()), ", ")},
		{"no kind", `source = "x"`, `kind: nothing given; want a value`},
		{"unknown key", "kind = \"resolution\"\nwidth = 1", `"width": no key of a contribution; want kind, name, shape, half_width, standard, expanded, k, per_length, dof, pooled_s, pooled_dof, pooled_over, source`},
		{"no size", `kind = "wringing"`, `"wringing" without a size; want half_width, standard, or expanded with k`},
		{"two sizes", "kind = \"wringing\"\nhalf_width = \"1 um\"\nstandard = \"1 um\"", `standard: a second size; want one of half_width, standard, expanded`},
		{"below 0", "kind = \"wringing\"\nhalf_width = \"-1 um\"", `half width: "-1 um": below 0; want 0 or more`},
		{"length for a temperature", "kind = \"mean temperature\"\nhalf_width = \"1 um\"", `half width: "1 um": a length; want a difference of temperatures`},
		{"temperature for a length", "kind = \"wringing\"\nstandard = \"1 °C\"", `standard: "1 °C": a temperature; want a length`},
		{"expansion without a unit", "kind = \"expansion difference\"\nhalf_width = 1", `half width: "1": no unit; write one of ppm/°C, ppm/°F after it`},
		{"k missing", "kind = \"wringing\"\nexpanded = \"1 um\"", `k: nothing given; want the coverage factor of expanded`},
		{"k of 0", "kind = \"wringing\"\nexpanded = \"1 um\"\nk = 0", `k: "0": want a coverage factor above 0`},
		{"k alone", "kind = \"wringing\"\nstandard = \"1 um\"\nk = 2", `k: "2": belongs to expanded, which is not given`},
		{"dof", "kind = \"wringing\"\nstandard = \"1 um\"\ndof = 0.5", `dof: "0.5": want 1 or more; leave it out where it is infinite`},
		{"dof without size", "kind = \"resolution\"\ndof = 5", `dof: "5": belongs to a size, and none is given`},
		{"blocks are never sized", "kind = \"blocks\"\nstandard = \"1 um\"", `"blocks" with a size or a shape; it has its own from readings or certificate, want none`},
		{"repeatability neither", "kind = \"repeatability\"\nhalf_width = \"1 um\"", `"repeatability" with a size or a shape; it has its own from readings or certificate, want none`},
		{"slope of a wringing film", "kind = \"wringing\"\nstandard = \"1 um\"\nper_length = \"1 um/m\"", `"wringing" does not grow with a length of its own; want no per_length`},
		{"slope without a unit", "kind = \"block drift\"\nper_length = 1", `per length: "1": no unit; write one of µm/m, mm/m, µin/in after it`},
		{"slope below 0", "kind = \"block drift\"\nper_length = \"-1 um/m\"", `per length: "-1 um/m": below 0; want 0 or more`},
		{"drift as a standard uncertainty", "kind = \"block drift\"\nstandard = \"1 um\"", `"block drift" is a bound for each year; want half_width or per_length, rectangular`},
		{"shape", "kind = \"wringing\"\nshape = \"u\"\nhalf_width = \"1 um\"", `shape: "u": want one of normal, rectangular, triangular, arcsine`},
		{"normal half-width", "kind = \"wringing\"\nshape = \"normal\"\nhalf_width = \"1 um\"", `shape: "normal" has no half-width; want standard, or expanded with k`},
		{"normal of nothing", "kind = \"flatness\"\nshape = \"normal\"", `shape: "normal" without a size; want standard, or expanded with k`},
		{"rectangle by u", "kind = \"wringing\"\nshape = \"rectangular\"\nstandard = \"1 um\"", `shape: "rectangular" is sized by its half-width; want half_width`},
		{"other without a name", "kind = \"other\"\nstandard = \"1 um\"", `name: nothing given; want what varies, in a reader's words`},
		{"twice", "kind = \"resolution\"\n[[contribution]]\nkind = \"resolution\"", `"resolution" for the second time; want it once`},
		{"zero resolution without a zero", `kind = "zero resolution"`, `"zero resolution" while zero is "none"; it counts only where the zero is subtracted`},
		{"pooled s elsewhere", "kind = \"resolution\"\npooled_s = \"1 um\"\npooled_dof = 3", `"resolution" has no readings to pool; want pooled_s with "repeatability"`},
		{"pooled s alone", "kind = \"repeatability\"\npooled_s = \"1 um\"", `pooled dof: nothing given; want the degrees of freedom of pooled_s`},
		{"pooled dof alone", "kind = \"repeatability\"\npooled_dof = 3", `pooled s: nothing given; want the s that pooled_dof belongs to`},
		{"pooled dof", "kind = \"repeatability\"\npooled_s = \"1 um\"\npooled_dof = 0", `pooled dof: "0": want 1 or more`},
		{"pooled s of 0", "kind = \"repeatability\"\npooled_s = \"0 um\"\npooled_dof = 3", `pooled s: "0 um": not above 0; want a size above 0`},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(smallPlan, `kind = "resolution"`, c.text, 1)
			_, err := ReadPlan("p.toml", []byte(text))
			if err == nil {
				t.Fatal("taken")
			}
			// The line is that of the key, or of the header where a key is missing.
			_, rest, _ := strings.Cut(err.Error(), ": ")
			where, after, _ := strings.Cut(rest, ": ")
			if !strings.HasPrefix(where, "contribution ") || after != c.want {
				t.Errorf("%v\nwant %s", err, c.want)
			}
		})
	}
}

func TestFewerThanThreeReadingsWantAPooledS(t *testing.T) {
	few := strings.Replace(smallPlan, "readings = 3", "readings = 3\nminimum = 2", 1)
	few = strings.Replace(few, "resolution", "repeatability", 1)
	refusesPlan(t, few, `p.toml:14: contribution 1: 2 readings give no usable s; want minimum = 3, or pooled_s and pooled_dof of earlier checks`)
	if _, err := ReadPlan("p.toml", []byte(few+"pooled_s = \"1 um\"\npooled_dof = 10\n")); err != nil {
		t.Error(err)
	}
}

func TestMechanicalEffectsMayStandTwice(t *testing.T) {
	line := "kind = \"mechanical effects\"\nhalf_width = \"1 um\"\n"
	text := strings.Replace(smallPlan, "kind = \"resolution\"\n", line+"[[contribution]]\n"+line, 1)
	p, err := ReadPlan("p.toml", []byte(text))
	if err != nil || len(p.Contributions) != 2 {
		t.Errorf("%d contributions, %v", len(p.Contributions), err)
	}
}

func FuzzReadPlan(f *testing.F) {
	for _, name := range limits.Presets() {
		b, _ := limits.Preset(name)
		f.Add(b)
	}
	f.Add([]byte(smallPlan))
	f.Add([]byte(footPlanText))
	f.Add([]byte(loadPlanText))
	f.Add([]byte("a.b = 1\n[a]\nc = [[1,2],{d = 'x'}]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := ReadPlan("f", data)
		if err != nil {
			if strings.ContainsRune(err.Error(), '\n') {
				t.Errorf("message of several lines: %q", err)
			}
			return
		}
		got, err := ReadPlan("again", WritePlan(p))
		if err != nil {
			t.Fatalf("a plan that was read is written so that it is refused: %v\n%s", err, WritePlan(p))
		}
		if d := cmp.Diff(record(t, p), record(t, got)); d != "" {
			t.Error(d)
		}
	})
}

// A plan that is shown can be changed and handed in again.
func ExampleReadPlan() {
	written, _ := limits.Preset("micrometer-25-50")
	p, err := ReadPlan("micrometer-25-50.toml", written)
	if err != nil {
		fmt.Println(err)
		return
	}
	limit, _ := p.Limit.At(p.Points[0].Inner())
	fmt.Println(p.Points[0], "±"+limit.Shortest(), "mm")
	// Output: 25.0 mm ±0.004 mm
}
