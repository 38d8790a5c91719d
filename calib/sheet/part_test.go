package sheet

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
	"example.org/wring/calib/limits"
	"example.org/wring/uncertainty/unit"
)

// Every built-in band of a foot agrees with its method's own load on its own
// foot, at standard gravity. The file names the documents; loads and pressures
// read or remembered, the arithmetic own.
func TestEveryMethodsLoadAndPressureAgree(t *testing.T) {
	f, err := os.Open("../../testdata/published/method_loads.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for _, r := range rows[1:] {
		var area, load, printed, tol float64
		if _, err := fmt.Sscanf(r[1], "area %g mm2; load %g g", &area, &load); err != nil {
			t.Fatalf("%s: %v", r[1], err)
		}
		if _, err := fmt.Sscanf(r[3], "%g %%", &tol); err != nil {
			t.Fatal(err)
		}
		force := load * 9.80665e-3
		pressure := 1000 * force / area
		if _, err := fmt.Sscanf(r[2], "%g kPa", &printed); err == nil && !(math.Abs(pressure-printed) <= printed*tol/100) {
			t.Errorf("%s: %g g on %g mm² press %g kPa; printed %s", r[0], load, area, pressure, r[2])
		}
		p := preset(t, r[0])
		band := p.Foot.AllBands()[0]
		if _, at, ok := strings.Cut(r[1], "opening "); ok {
			band = p.Foot.BandAt(unit.Must(at, unit.Length))
		}
		value := map[unit.Dimension]float64{unit.Pressure: pressure, unit.Force: force, unit.Mass: load / 1000}[band.Dimension()]
		if !(value >= band.Low.Inner().Float()*(1-1e-4) && value <= band.High.Inner().Float()*(1+1e-4)) { // loads are printed to five digits
			t.Errorf("%s: %g lies outside %s to %s", r[0], value, band.Low, band.High)
		}
		seen[r[0]] = true
	}
	for _, name := range limits.Presets() {
		if p := preset(t, name); p.Foot != nil && !seen[name] && name != "foot-hand-lifted" { // which has no document
			t.Errorf("%s: no load is held against its band", name)
		}
	}
}

// A figure from memory says so, that a reader looks at a copy.
func TestABandFromMemorySaysSo(t *testing.T) {
	for _, name := range limits.Presets() {
		p := preset(t, name)
		var origins []string
		if p.Foot != nil {
			origins = append(origins, p.OriginOf(calib.FootPart))
		}
		if p.Force != nil {
			origins = append(origins, p.Force.Band.Origin)
		}
		if p.Load != nil {
			origins = append(origins, p.Load.Limit.Origin)
		}
		for _, o := range origins {
			if strings.Contains(o, "from memory") && !strings.Contains(o, "check against your copy") {
				t.Errorf("%s: %q does not ask to be checked", name, o)
			}
		}
	}
	if o := preset(t, "foot-hand-lifted").OriginOf(calib.FootPart); o != "common practice, without a source" {
		t.Errorf("the hand-lifted gauge's band has the origin %q", o)
	}
}

const footPlanText = `format = 1
name = "foot"
title = "Foot"
kind = "dial thickness gauge"
unit = "mm"
[rule]
name = "simple acceptance"
[foot]
drive = "dead weight"
openings = ["1", "3 mm", "0.2 in"]
unit = "g"
readings = 3
interval_months = 6
friction = "0.5 kPa"
spread = "1 kPa"
[foot.band]
low = "5 psi"
high = "50.4 kPa"
origin = "own"
[foot.diameter]
low = "9.95 mm"
high = "10.05 mm"
origin = "own"
[foot.rule]
name = "guarded acceptance"
factor = 0.5
[[foot.contribution]]
kind = "foot size"
half_width = "0.2 %"
source = "drawing"
[[foot.contribution]]
kind = "mechanical effects"
name = "tilt of the pan"
half_width = "0.05 N"
[[foot.contribution]]
kind = "instrument drift"
standard = "0.1 g"
[force]
points = ["2"]
return = true
unit = "N"
readings = 5
minimum = 3
difference = "1 N"
[force.band]
high = "2 N"
origin = "own"
[care]
one_hand = "8 kg"
`

const springPlanText = `format = 1
name = "spring"
title = "Spring"
kind = "dial thickness gauge"
unit = "mm"
[rule]
name = "simple acceptance"
[foot]
drive = "spring"
openings = ["1", "3", "5"]
unit = "N"
readings = 3
[[foot.band_at]]
opening = "1"
low = "4 N"
high = "5 N"
origin = "own"
[[foot.band_at]]
opening = "3 mm"
low = "5 N"
high = "6 N"
origin = "own"
[[foot.band_at]]
opening = "5"
low = "6 N"
origin = "a drawing"
`

// A spring presses harder the further it is opened: its plan bounds each
// opening by itself, whatever order its author wrote them in.
func TestASpringHasABandForEachOpening(t *testing.T) {
	p := planOf(t, springPlanText)
	for at, want := range map[string]string{"1 mm": "4 N", "3 mm": "5 N", "5 mm": "6 N"} {
		if got := p.Foot.BandAt(unit.Must(at, unit.Length)); got.Low.String() != want {
			t.Errorf("at %s from %s, want %s", at, got.Low, want)
		}
	}
	if p.OriginOf(calib.FootPart) != "own; a drawing" || p.Foot.Dimension() != unit.Force {
		t.Errorf("origin %q, bands of a %s", p.OriginOf(calib.FootPart), p.Foot.Dimension())
	}
	p.Revision, p.Foot.Bands = 1, nil
	if err := calib.NewShape().Check(p); err == nil || err.Error() != "foot.bands: nothing given; want a value, since it is a spring" {
		t.Errorf("shape: %v", err)
	}
	for _, c := range []struct{ old, now, want string }{
		{"[[foot.band_at]]\nopening = \"1\"\nlow = \"4 N\"\nhigh = \"5 N\"\norigin = \"own\"\n", "", `p.toml:8: foot: band at: none for the opening 1 mm; want [[foot.band_at]] for each opening of a spring`},
		{`opening = "5"`, `opening = "6"`, `p.toml:24: foot: band at 3: opening: 6 mm: no opening of the plan; the nearest is 5 mm`},
		{`opening = "5"`, `opening = "1.0"`, `p.toml:24: foot: band at 3: opening: 1.0 mm for the second time; want one band for each opening`},
		{`"6 N"` + "\n" + `origin = "a`, `"6 kPa"` + "\n" + `origin = "a`, `p.toml:23: foot: band at 3: a pressure, and the opening before has a force; want all of one kind`},
		{"[[foot.band_at]]\nopening = \"1\"", "[foot.band]\nlow = \"4 N\"\norigin = \"own\"\n[[foot.band_at]]\nopening = \"1\"", `p.toml:13: foot: band: one band for all openings, and a spring presses harder the further it is opened; want [[foot.band_at]] for each opening, or drive = "dead weight" for a spring that is built not to grow`},
		{`drive = "spring"`, `drive = "dead weight"`, `p.toml:13: foot: band at 1: the band of one opening, and the drive is a dead weight; want [foot.band] alone`},
	} {
		text := strings.Replace(springPlanText, c.old, c.now, 1)
		if text == springPlanText {
			t.Errorf("%q is not in the plan", c.old)
		}
		if _, err := ReadPlan("p.toml", []byte(text)); err == nil || err.Error() != c.want {
			t.Errorf("%v\nwant %s", err, c.want)
		}
	}
}

const loadPlanText = `format = 1
name = "pull"
title = "Pull"
kind = "force gauge"
unit = "N"
[rule]
name = "simple acceptance"
[load]
loads = ["10", "2 kgf"]
down = true
certified = true
readings = 2
minimum = 1
[load.limit]
class = "ISO 7500-1 class 1"
hysteresis = "2 %"
[[load.contribution]]
kind = "repeatability"
pooled_s = "0.02 N"
pooled_dof = 20
[[load.contribution]]
kind = "weight drift"
half_width = "5 mg"
`

func TestAPlanOfPartsComesBackFromItsWrittenForm(t *testing.T) {
	for _, text := range []string{footPlanText, springPlanText, loadPlanText} {
		p, err := ReadPlan("p.toml", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		again, err := ReadPlan("w.toml", WritePlan(p))
		if err != nil {
			t.Fatalf("%v in\n%s", err, WritePlan(p))
		}
		if diff := cmp.Diff(record(t, p), record(t, again)); diff != "" {
			t.Error(diff)
		}
		p.Revision = 1
		if err := calib.NewShape().Check(p); err != nil {
			t.Error(err)
		}
	}
}

func TestAPlanOfPartsSaysWhatItMeans(t *testing.T) {
	p, err := ReadPlan("p.toml", []byte(footPlanText))
	if err != nil {
		t.Fatal(err)
	}
	terms, _ := p.TermsOf(calib.FootPart)
	if p.IntervalOf(calib.FootPart) != 6 || p.IntervalOf(calib.ForcePart) != 0 || terms.Rule.Factor != 0.5 || terms.Minimum != 3 ||
		p.Foot.Drive != calib.DeadWeight || !p.Foot.Openings[2].Same(unit.Must("5.08 mm", unit.Length)) || p.Zero != calib.ZeroNone || len(p.Points) != 0 {
		t.Errorf("%+v", p.Foot)
	}
	l, err := ReadPlan("p.toml", []byte(loadPlanText))
	if err != nil {
		t.Fatal(err)
	}
	if got := l.Load.Limit; got.Error.String() != "1 %" || got.Hysteresis.String() != "2 %" || got.Of != calib.OfReading || !strings.Contains(got.Origin, "ISO 7500-1") {
		t.Errorf("a class with a figure of one's own: %+v", got)
	}
}

func TestReadPlanRefusesPartsThatCannotBeUsed(t *testing.T) {
	for _, c := range []struct{ name, base, old, now, want string }{
		{"two openings", footPlanText, `"1", "3 mm", "0.2 in"`, `"1", "3"`, `p.toml:8: foot: openings: 2; want 3 or more, over the travel`},
		{"openings in disorder", footPlanText, `"1", "3 mm"`, `"4", "3 mm"`, `p.toml:10: foot: opening 2: "3 mm": not above 4 mm before it; want them ascending`},
		{"opening in kPa", footPlanText, `"3 mm"`, `"3 kPa"`, `p.toml:10: foot: opening 2: "3 kPa": a pressure; want a length`},
		{"balance in mm", footPlanText, `unit = "g"`, `unit = "mm"`, `p.toml:11: foot: unit: "mm": no unit of mass or force; want one of kg, g, mg, lb, oz_mass, N, mN, kN, gf, kgf, lbf, ozf`},
		{"balance in oz", footPlanText, `unit = "g"`, `unit = "oz"`, `p.toml:11: foot: unit: "oz": an ounce of mass, of force or of leather thickness; write oz_mass, ozf or oz_leather`},
		{"drive", footPlanText, `"dead weight"`, `"steam"`, `p.toml:9: foot: drive: "steam": want one of dead weight, spring`},
		{"band turned round", footPlanText, `low = "5 psi"`, `low = "60 kPa"`, `p.toml:18: foot: band: high: 50.4 kPa: not above low, 60 kPa; want it higher`},
		{"band of two kinds", footPlanText, `low = "5 psi"`, `low = "3 N"`, `p.toml:18: foot: band: high: 50.4 kPa: a pressure, and low is a force; want both of one kind`},
		{"band without a unit", footPlanText, `low = "5 psi"`, `low = "5"`, `p.toml:17: foot: band: low: "5": no unit; write one of kPa, Pa, hPa, MPa, bar, psi, gf/cm², kgf/cm², N, mN, kN, gf, kgf, lbf, ozf, kg, g, mg, lb, oz_mass after it`},
		{"mass on an area", footPlanText, `high = "50.4 kPa"`, `high = "514 g/cm2"`, `p.toml:18: foot: band: high: "514 g/cm2": a mass on an area, which is no pressure; write gf/cm² or kgf/cm²`},
		{"no band", footPlanText, "low = \"5 psi\"\nhigh = \"50.4 kPa\"\n", "", `p.toml:16: foot: band: low: nothing given; want low, high or both, with their unit`},
		{"no origin", footPlanText, "high = \"50.4 kPa\"\norigin = \"own\"", "high = \"50.4 kPa\"", `p.toml:16: foot: band: origin: nothing given; want a value`},
		{"friction of another kind", footPlanText, `friction = "0.5 kPa"`, `friction = "0.5 N"`, `p.toml:14: foot: friction: "0.5 N": a force; want a pressure`},
		{"few readings", footPlanText, "unit = \"g\"\nreadings = 3", "unit = \"g\"\nreadings = 1", `p.toml:8: foot: 1 readings give no usable s; want minimum = 3, or a contribution "repeatability" with pooled_s and pooled_dof`},
		{"more than taken", footPlanText, "readings = 5\nminimum = 3", "readings = 5\nminimum = 6", `p.toml:43: force: minimum: 6: more than are taken; want at most 5`},
		{"contribution of length", footPlanText, `kind = "foot size"`, `kind = "wringing"`, `p.toml:28: foot: contribution 1: kind: "wringing": want one of repeatability, resolution, zero resolution, instrument drift, weight drift, air buoyancy, foot size, piston temperature, mechanical effects, other`},
		{"foot size in N", footPlanText, `"0.2 %"`, `"0.2 N"`, `p.toml:29: foot: contribution 1: half width: "0.2 N": a force; want a length, an area or a percentage`},
		{"a direction that is not read", footPlanText, "return = true\n", "", `p.toml:43: force: difference: 1 N: only one direction is read; want return = true`},
		{"neither yes nor no", footPlanText, `return = true`, `return = "si"`, `p.toml:40: force: return: "si": want true or false`},
		{"unknown key", footPlanText, `spread = "1 kPa"`, `spraed = "1 kPa"`, `p.toml:15: foot: "spraed": no key of a foot; want drive, openings, unit, interval_months, readings, minimum, believable, rule, contribution, band_at, band, friction, spread, diameter`},
		{"keys of a length", footPlanText, `unit = "mm"`, "unit = \"mm\"\nreadings = 3", `p.toml:6: readings: belongs to points, and none are given; want it left out`},
		{"no part at all", "format = 1\nname = \"x\"\ntitle = \"x\"\nkind = \"dial thickness gauge\"\nunit = \"mm\"\n[rule]\nname = \"simple acceptance\"\n", "format", "format", `p.toml: points: nothing given; want the sizes to check at, as ["2.5", "5.1"]`},
		{"loads on a thickness gauge", loadPlanText, `"force gauge"`, `"dial gauge"`, `p.toml:5: unit: "N": no unit of length; want one of mm, µm, nm, cm, m, in, thou, µin`},
		{"a foot on a force gauge", footPlanText, `"dial thickness gauge"`, `"force gauge"`, `p.toml:5: unit: "mm": no unit of force; want one of N, mN, kN, gf, kgf, lbf, ozf`},
		{"load of 0", loadPlanText, `"10", "2 kgf"`, `"0", "2 kgf"`, `p.toml:9: load: load 1: "0": not above 0; the zero is read by itself`},
		{"load in kg", loadPlanText, `"2 kgf"`, `"2 kg"`, `p.toml:9: load: load 2: "2 kg": a mass; want a force`},
		{"class", loadPlanText, `class 1"`, `class 7"`, `p.toml:15: load: limit: class: "ISO 7500-1 class 7": want one of ISO 7500-1 class 0.5, ISO 7500-1 class 1, ISO 7500-1 class 2, ISO 7500-1 class 3, EN 837-1 class 0.1, EN 837-1 class 0.25, EN 837-1 class 0.6, EN 837-1 class 1, EN 837-1 class 1.6, EN 837-1 class 2.5, EN 837-1 class 4`},
		{"per cent of what", loadPlanText, `class = "ISO 7500-1 class 1"`, "error = \"1 %\"", `p.toml:14: load: limit: of: nothing given; want what the per cent are of: reading, full scale or span`},
		{"hysteresis one way", loadPlanText, "down = true\n", "", `p.toml:8: load: down: hysteresis is limited, and only the way up is read; want down = true`},
		{"care in N", footPlanText, `"8 kg"`, `"80 N"`, `p.toml:49: care: one hand: "80 N": a force; want a mass`},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := strings.Replace(c.base, c.old, c.now, 1)
			if text == c.base && c.old != c.now {
				t.Fatalf("%q is not in the plan", c.old)
			}
			if _, err := ReadPlan("p.toml", []byte(text)); err == nil || !strings.HasPrefix(err.Error(), c.want) {
				t.Errorf("%v\nwant %s", err, c.want)
			}
		})
	}
}

const footSheetText = `format = 1
gauge = "THK-3"
date = 2026-03-02
person = "EK"
standards = ["BAL-1", "MIC-14"]
[environment]
temperature = 20
pressure = "1013 hPa"
[foot]
diameter = ["10.01 mm", "10.02 mm", "10.01 mm"]
[[foot.point]]
at = "1"
lowering = ["392.6", "392.8 g"]
lifting = ["393.2", "393.4"]
[[foot.point]]
at = "3"
lowering = ["392.6"]
`

const loadSheetText = `format = 1
date = 2026-03-02
person = "EK"
standards = ["WS-1", "WS-2"]
[load]
zero = ["0.00"]
return = ["0.01"]
[[load.point]]
load = "10"
weights = ["1 kg", "WS-2:20 g *"]
up = ["9.98", "9.99"]
down = ["10.01"]
`

func thicknessGauge() calib.Gauge {
	return calib.Gauge{ID: "THK-3", Kind: calib.ThicknessGauge, Unit: "mm", Low: unit.Must("0 mm", unit.Length), High: unit.Must("10 mm", unit.Length), Resolution: unit.Must("0.01 mm", unit.Length)}
}

func forceMeter() calib.Gauge {
	n := func(s string) unit.Quantity { return unit.Must(s+" N", unit.Force) }
	return calib.Gauge{ID: "FG-7", Kind: calib.ForceMeter, Unit: "N", Low: n("0"), High: n("50"), Resolution: n("0.01")}
}

func onBench(kinds ...any) []calib.StandardOnDay {
	var out []calib.StandardOnDay
	for i := 0; i < len(kinds); i += 2 {
		out = append(out, calib.StandardOnDay{Standard: calib.Standard{ID: kinds[i].(string), Kind: kinds[i+1].(calib.StandardKind)}})
	}
	return out
}

func planOf(t *testing.T, text string) calib.Plan {
	t.Helper()
	p, err := ReadPlan("p.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func resolve(t *testing.T, text string, g calib.Gauge, p calib.Plan, on []calib.StandardOnDay) (calib.Check, error) {
	t.Helper()
	s, err := ReadCheck("s.toml", []byte(text))
	if err != nil {
		return calib.Check{}, err
	}
	c, err := s.Check(g, p)
	if err != nil {
		return c, err
	}
	return c, s.Assign(&c, on)
}

func TestASheetOfAFootBecomesACheck(t *testing.T) {
	c, err := resolve(t, footSheetText, thicknessGauge(), planOf(t, footPlanText), onBench("BAL-1", calib.Balance, "MIC-14", calib.LengthGauge))
	if err != nil {
		t.Fatal(err)
	}
	if c.Foot.Instrument != "BAL-1" || c.Foot.DiameterBy != "MIC-14" || len(c.Foot.Diameter) != 3 || len(c.Foot.Points) != 2 ||
		c.Foot.Points[0].Forward[0].Indication.String() != "392.6 g" || len(c.Foot.Points[1].Back) != 0 || c.Conditions.Pressure.String() != "1013 hPa" {
		t.Errorf("%+v", c.Foot)
	}
	if got := c.Parts(); len(got) != 1 || got[0] != calib.FootPart {
		t.Errorf("parts %v", got)
	}
}

func TestASheetOfLoadsBecomesACheck(t *testing.T) {
	on := onBench("WS-1", calib.WeightSet, "WS-2", calib.WeightSet)
	kg, g := unit.Must("1 kg", unit.Mass), unit.Must("20 g", unit.Mass)
	on[0].Certificate.Values = []calib.Value{{Nominal: kg}, {Nominal: g}}
	on[1].Certificate.Values = []calib.Value{{Nominal: g}, {Nominal: g, Serial: "*"}}
	c, err := resolve(t, loadSheetText, forceMeter(), planOf(t, loadPlanText), on)
	if err != nil {
		t.Fatal(err)
	}
	want := []calib.WeightUse{{Standard: "WS-1", Nominal: kg}, {Standard: "WS-2", Nominal: g, Mark: "*"}}
	if diff := cmp.Diff(fmt.Sprint(want), fmt.Sprint(c.Load.Points[0].Weights)); diff != "" {
		t.Error(diff)
	}
	if len(c.Load.Zero) != 1 || len(c.Load.Return) != 1 || len(c.Load.Points[0].Up) != 2 || len(c.Load.Points[0].Down) != 1 {
		t.Errorf("%+v", c.Load)
	}
}

func TestReadCheckRefusesPartsThatCannotBeUsed(t *testing.T) {
	bench := onBench("BAL-1", calib.Balance, "MIC-14", calib.LengthGauge)
	weights := onBench("WS-1", calib.WeightSet, "WS-2", calib.WeightSet)
	weights[0].Certificate.Values = []calib.Value{{Nominal: unit.Must("1 kg", unit.Mass)}}
	weights[1].Certificate.Values = []calib.Value{{Nominal: unit.Must("1 kg", unit.Mass)}, {Nominal: unit.Must("20 g", unit.Mass), Serial: "*"}, {Nominal: unit.Must("20 g", unit.Mass)}}
	foot := func(old, now, want string) []string { return []string{footSheetText, old, now, want} }
	load := func(old, now, want string) []string { return []string{loadSheetText, old, now, want} }
	for _, c := range [][]string{
		foot(`"392.8 g"`, `"392.8 mm"`, `s.toml:13: foot: point 1: lowering 2: "392.8 mm": a length; want a mass or a force`),
		foot(`"392.8 g"`, `"13.9 oz"`, `s.toml:13: foot: point 1: lowering 2: "13.9 oz": an ounce of mass, of force or of leather thickness; write oz_mass, ozf or oz_leather`),
		foot(`"392.8 g"`, `"392,8"`, `s.toml:13: foot: point 1: lowering 2: "392,8": a decimal comma; write 392.8`),
		foot(`at = "3"`, `at = "4"`, `s.toml:16: foot: point 2: at: 4 mm: no place of plan foot; the nearest are 3 mm and 0.2 in`),
		foot(`at = "3"`, `at = "1.0"`, `s.toml:16: foot: point 2: at: 1.0 mm for the second time; want each place once`),
		foot(`lowering = ["392.6"]`, `lowering = []`, `s.toml:16: foot: point 2: at: no reading at 3 mm; want the readings, or leave the opening out`),
		foot(`lowering = ["392.6"]`, `up = ["392.6"]`, `s.toml:17: foot: point 2: "up": no key of a point; want at, lowering, lifting`),
		foot(`"10.02 mm"`, `"0 mm"`, `s.toml:10: foot: reading 2: "0 mm": not above 0; want the diameter of a foot`),
		foot(`"10.02 mm"`, `"-10.02 mm"`, `s.toml:10: foot: reading 2: "-10.02 mm": not above 0; want the diameter of a foot`),
		foot(`diameter = ["10.01 mm", "10.02 mm", "10.01 mm"]`, `diameter_by = "MIC-14"`, `s.toml:10: foot: diameter by: "MIC-14" read no diameter; want diameter = [...], or the key left out`),
		foot("[foot]", "[load]\n[[load.point]]\nload = 1\n[foot]", `s.toml: applied load: no part of plan foot; want it left out`),
		load(`"1 kg"`, `"1"`, `s.toml:10: load: point 1: weight 1: "1": no unit; write one of kg, g, mg, lb, oz_mass after it`),
		load(`"1 kg"`, `"0 kg"`, `s.toml:10: load: point 1: weight 1: "0 kg": not above 0; want the nominal mass of a weight`),
		load(`WS-2:20 g *`, `WS-9:20 g`, `s.toml:10: load: point 1: weight 2: "WS-9:20 g": WS-9 is no standard of this sheet; want it under standards`),
		load(`"WS-2:20 g *"`, `"50 g"`, `s.toml:10: load: point 1: weight 1: 1 kg: in WS-1 and WS-2; write which, as WS-1:1 kg`),
		load(`"1 kg", "WS-2:20 g *"`, `"50 g"`, `s.toml:10: load: point 1: weight 1: 50 g: no weight of WS-1 or WS-2, or more than one; want one that its certificate lists, two alike with their mark, as 200 g*`),
		load(`load = "10"`, `load = "12"`, `s.toml:9: load: point 1: load: 12 N: no load of plan pull; the nearest are 10 N and 2 kgf`),
		load(`up = ["9.98"`, `up = ["9.98 g"`, `s.toml:11: load: point 1: up 1: "9.98 g": a mass; want a force`),
	} {
		base, old, now, want := c[0], c[1], c[2], c[3]
		text := strings.Replace(base, old, now, 1)
		if text == base {
			t.Errorf("%q is not in the sheet", old)
			continue
		}
		g, p, on := thicknessGauge(), planOf(t, footPlanText), bench
		if base == loadSheetText {
			g, p, on = forceMeter(), planOf(t, loadPlanText), weights
		}
		if _, err := resolve(t, text, g, p, on); err == nil || err.Error() != want {
			t.Errorf("%v\nwant %s", err, want)
		}
	}
}

func TestAnInstrumentMustBeTheOnlyOneOrNamed(t *testing.T) {
	p := planOf(t, footPlanText)
	for _, c := range []struct {
		on   []calib.StandardOnDay
		want string
	}{
		{onBench("MIC-14", calib.LengthGauge), `foot: instrument: none is named; want a balance or a force gauge under standards`},
		{onBench("BAL-1", calib.Balance, "FG-1", calib.ForceGauge), `foot: instrument: BAL-1 and FG-1 are named; want which`},
		{onBench("BAL-1", calib.Balance), `foot: diameter by: none is named; want a length gauge under standards`},
	} {
		_, err := resolve(t, footSheetText, thicknessGauge(), p, c.on)
		if err == nil || !strings.HasSuffix(err.Error(), c.want) {
			t.Errorf("%v\nwant %s", err, c.want)
		}
	}
}

const pistonText = `format = 1
area = "80.6 mm²"
area_expanded = "0.008 mm²"
k = 2
distortion = "1 ppm/MPa"
expansion = "22 ppm/°C"
carrier = "0.5 kg"
carrier_expanded = "5 mg"
head = "-100 mm"
head_half_width = "2 mm"
fluid = "860 kg/m3"
`

func TestReadPiston(t *testing.T) {
	p, err := ReadPiston("p.toml", []byte(pistonText))
	if err != nil || p.K != "2" || p.Area.Inner().Float() != 80.6 || p.Distortion.Inner().Float() != 1e-9 || p.Head.Inner().Float() != -100 {
		t.Errorf("%+v, %v", p, err)
	}
	for _, c := range []struct{ old, now, want string }{
		{`"80.6 mm²"`, `"0 mm²"`, `p.toml:2: area: "0 mm²": not above 0; want a size above 0`},
		{`"80.6 mm²"`, `"80.6 mm"`, `p.toml:2: area: "80.6 mm": a length; want an area`},
		{`area = "80.6 mm²"` + "\n", ``, `p.toml: area: nothing given; want a value`},
		{`k = 2`, `k = 0`, `p.toml:4: k: "0": want the coverage factor of the certificate, above 0`},
		{`k = 2`, `k = "NaN"`, `p.toml:4: k: "NaN": not a number; write digits with a point, as 5.101`},
		{"fluid = \"860 kg/m3\"\n", "", `p.toml: fluid: nothing given; want the density of what the head is of`},
		{"carrier_expanded = \"5 mg\"\n", "", `p.toml: carrier: carrier and carrier_expanded go together; want both`},
		{`expansion = "22`, `tension_half_width = "3 mN/m"` + "\n" + `expansion = "22`, `p.toml:6: tension half width: "3 mN/m" belongs to tension, which is not given`},
		{`expansion`, `growth`, `p.toml:6: "growth": no key of a piston; want format, area, area_expanded, distortion, expansion, carrier, carrier_expanded, head, head_half_width, fluid, fluid_half_width, distortion_expanded, expansion_expanded, tension, tension_half_width, k`},
	} {
		_, err := ReadPiston("p.toml", []byte(strings.Replace(pistonText, c.old, c.now, 1)))
		if err == nil || err.Error() != c.want {
			t.Errorf("%v\nwant %s", err, c.want)
		}
	}
}

func FuzzReadPiston(f *testing.F) {
	f.Add([]byte(pistonText))
	f.Add([]byte("format = 1\narea = \"1 mm2\"\nk = 1e9\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := ReadPiston("p.toml", data)
		if err == nil && (p.Area.Inner().Sign() <= 0 || p.K == "") {
			t.Errorf("%q gives %+v", data, p)
		}
	})
}

// OIML R 111-1, table 1 (read); two weights alike have marks.
func TestReadValuesOfAWeightSet(t *testing.T) {
	g, _ := unit.Lookup("g", unit.Mass)
	got, err := ReadValues("w.csv", []byte("nominal,class,mark\n100,M1,\n200,M1,\n200,M1,*\n"), calib.WeightSet, g)
	if err != nil || len(got) != 3 || got[2].Serial != "*" || got[0].Grade != "M1" {
		t.Errorf("%+v, %v", got, err)
	}
	got, err = ReadValues("w.csv", []byte("nominal (g),mass (g),U (mg),k\n393,393.0021,0.5,2\n"), calib.WeightSet, unit.Unit{})
	if err != nil || got[0].Deviation.Inner().Shortest() != "0.0000021" {
		t.Errorf("%+v, %v", got, err)
	}
	for _, c := range []struct{ text, want string }{
		{"nominal (g),class\n393,M1\n", `w.csv:2: 393 g: no nominal value of OIML R 111-1, so no class has a limit for it; want its own certificate, by weighing`},
		{"nominal (g),class\n100,K\n", `w.csv:2: class "K": not one of OIML R 111-1; want E1 to M3`},
		{"nominal (g),class\n100,M1\n100,M1\n", `w.csv:3: nominal 100 g for the second time, first on line 2; want each once`},
		{"nominal (mm),class\n100,M1\n", `w.csv:1: column "nominal (mm)": no unit of a mass; want one, as nominal (mg)`},
	} {
		if _, err := ReadValues("w.csv", []byte(c.text), calib.WeightSet, g); err == nil || err.Error() != c.want {
			t.Errorf("%v\nwant %s", err, c.want)
		}
	}
}

func FuzzReadCheckOfParts(f *testing.F) {
	f.Add([]byte(footSheetText))
	f.Add([]byte(loadSheetText))
	f.Add([]byte("format = 1\n[force]\n[[force.point]]\nat = 2\nin = [1]\nout = 2\n"))
	var plans []calib.Plan
	for _, text := range []string{footPlanText, loadPlanText} {
		p, err := ReadPlan("p.toml", []byte(text))
		if err != nil {
			f.Fatal(err)
		}
		plans = append(plans, p)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s, err := ReadCheck("s.toml", data)
		if err != nil {
			return
		}
		s.Gauge = Field{}
		s.Plan = Field{}
		for i, g := range []calib.Gauge{thicknessGauge(), forceMeter()} {
			c, err := s.Check(g, plans[i])
			if err == nil {
				err = s.Assign(&c, onBench("BAL-1", calib.Balance))
			}
			if err != nil && strings.ContainsRune(err.Error(), '\n') {
				t.Errorf("message of several lines: %q", err)
			}
		}
	})
}
