package calib

import (
	"encoding/json"
	"errors"
	"reflect"
	"testing"

	"example.org/wring/uncertainty/unit"
)

func footPlan() *FootPlan {
	mm := func(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }
	return &FootPlan{PartTerms: PartTerms{IntervalMonths: 6, Readings: 3, Minimum: 3, Unit: "g"}, Drive: DeadWeight,
		Openings: []unit.Quantity{mm("1"), mm("3"), mm("5")},
		Band:     Band{Low: unit.Must("47.8 kPa", unit.Pressure), High: unit.Must("50.4 kPa", unit.Pressure), Origin: "own"}}
}

func TestAPlanListsItsPartsAndTheirIntervals(t *testing.T) {
	length := Plan{Points: make([]unit.Quantity, 1), IntervalMonths: 12, Rule: Rule{Name: "by risk"}}
	both := length
	both.Foot, both.Load = footPlan(), &LoadPlan{}
	for _, c := range []struct {
		name string
		plan Plan
		want []Part
	}{
		{"none", Plan{}, nil},
		{"length", length, []Part{LengthPart}},
		{"three", both, []Part{LengthPart, FootPart, LoadPart}},
		{"foot alone", Plan{Foot: footPlan()}, []Part{FootPart}},
		{"force alone", Plan{Force: &ForcePlan{}}, []Part{ForcePart}},
	} {
		if got := c.plan.Parts(); !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	for part, want := range map[Part]int{LengthPart: 12, FootPart: 6, LoadPart: 12, ForcePart: 0} {
		if got := both.IntervalOf(part); got != want {
			t.Errorf("interval of %s: %d, want %d", part, got, want)
		}
	}
	if terms, ok := both.TermsOf(FootPart); !ok || terms.Rule.Name != "by risk" || terms.Readings != 3 {
		t.Errorf("a part without a rule has %+v, %v; want the plan's rule", terms, ok)
	}
	if _, ok := both.TermsOf(ForcePart); ok {
		t.Error("a plan has terms of a part that it lacks")
	}
}

func TestAResultHasAVerdictForEachPart(t *testing.T) {
	old := Result{Points: make([]PointResult, 1), Verdict: "pass"}
	mixed := Result{Points: make([]PointResult, 1), LengthVerdict: "pass", Foot: &PartResult{Verdict: "fail"}, Verdict: "fail"}
	for _, c := range []struct {
		result Result
		part   Part
		want   Verdict
	}{
		{old, LengthPart, "pass"}, {old, FootPart, ""}, {mixed, LengthPart, "pass"}, {mixed, FootPart, "fail"},
		{mixed, LoadPart, ""}, {Result{Load: &PartResult{Verdict: "pass"}, Verdict: "pass"}, LengthPart, ""},
	} {
		if got := c.result.VerdictOf(c.part); got != c.want {
			t.Errorf("verdict of %s: %q, want %q", c.part, got, c.want)
		}
	}
}

// Own: an entry of the first format, with only the fields it had.
func TestRecordsWithoutPartsAreWrittenAsBefore(t *testing.T) {
	for _, c := range []struct {
		record any
		want   string
	}{
		{Check{Gauge: "G", Plan: "p", Revision: 1, Stage: AsFound, Date: MustDate("2026-03-02"), Person: "EK", Standards: []string{"S"}, Points: []Point{{}}},
			`{"gauge":"G","plan":"p","revision":1,"stage":"as found","date":"2026-03-02","person":"EK","standards":["S"],"points":[{"nominal":"","blocks":null,"readings":null}]}`},
		{Result{Points: []PointResult{}, Verdict: "pass"}, `{"verdict":"pass"}`},
	} {
		b, err := json.Marshal(c.record)
		if err != nil || string(b) != c.want {
			t.Errorf("%s %v\nwant %s", b, err, c.want)
		}
	}
}

func TestAPlanMayHaveAFootAndNoLength(t *testing.T) {
	s := NewShape()
	p := Plan{Name: "foot", Revision: 1, Title: "Foot", Kind: ThicknessGauge, Unit: "mm", Zero: ZeroNone, Rule: Rule{Name: "simple acceptance"},
		Probability: 0.95, Digits: 2, Foot: footPlan()}
	if err := s.Check(p); err != nil {
		t.Errorf("a plan of a foot alone: %v", err)
	}
	c := Check{Gauge: "G", Plan: "foot", Revision: 1, Stage: AsFound, Person: "EK", Foot: &FootCheck{Instrument: "BAL-1", Points: make([]PressPoint, 3)}}
	if err := s.Check(c); err != nil {
		t.Errorf("a check of a foot alone: %v", err)
	}
	p.Foot, c.Foot = nil, nil
	for _, record := range []any{p, c} {
		var fe *FieldError
		if err := s.Check(record); !errors.As(err, &fe) {
			t.Errorf("%T without any part: %v, want a *FieldError", record, err)
		}
	}
	bad := footPlan()
	bad.Openings, bad.Readings = bad.Openings[:2], 0
	for _, record := range []any{*bad, LoadPlan{}, ForcePlan{}, FootCheck{}, ForceCheck{}, LoadCheck{}, LoadPoint{Weights: make([]WeightUse, 1)}} {
		if err := s.Check(record); err == nil {
			t.Errorf("%T out of form is taken", record)
		}
	}
}

func TestSoundRefusesAFootThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Gauge)
		want   string
	}{
		{"zero", func(g *Gauge) { g.FootDiameter = unit.Must("0 mm", unit.Length) }, `foot diameter "0 mm": want a size above 0`},
		{"negative", func(g *Gauge) { g.FootDiameter = unit.Must("-10 mm", unit.Length) }, `foot diameter "-10 mm": want a size above 0`},
		{"no area", func(g *Gauge) { g.FootDiameter, g.FootArea = unit.Quantity{}, unit.Must("0 mm²", unit.Area) }, `foot area "0 mm²": want an area above 0`},
		{"both", func(g *Gauge) { g.FootArea = unit.Must("2000 mm²", unit.Area) }, `foot area "2000 mm²": want a diameter or an area, not both`},
		{"other kind", func(g *Gauge) { g.FootExpanded = unit.Must("1 mm²", unit.Area) }, `foot expanded uncertainty "1 mm²": want the diameter or the area it belongs to, in a unit of its kind`},
		{"negative U", func(g *Gauge) { g.FootExpanded = unit.Must("-1 µm", unit.Length) }, `foot expanded uncertainty "-1 µm": want 0 or more`},
	} {
		g := goodGauge()
		g.FootDiameter = unit.Must("10.00 mm", unit.Length)
		c.change(&g)
		if err := g.Sound(); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}

func TestAGaugeOfForceIsReadInAUnitOfForce(t *testing.T) {
	newton := func(s string) unit.Quantity { return unit.Must(s+" N", unit.Force) }
	g := Gauge{ID: "FG-1", Kind: ForceMeter, Unit: "N", Low: newton("0"), High: newton("50"), Resolution: newton("0.01")}
	if err := g.Sound(); err != nil || g.ReadIn().Symbol() != "N" {
		t.Errorf("%v, read in %q", err, g.ReadIn().Symbol())
	}
	g.Unit = "mm"
	if err := g.Sound(); err == nil || err.Error() != `unit "mm": want one of N, mN, kN, gf, kgf, lbf, ozf` {
		t.Errorf("a force gauge read in mm: %v", err)
	}
}

// A set of weights holds some nominal values twice, told apart by a mark.
func TestAWeightIsFoundByItsMark(t *testing.T) {
	g := func(s string) unit.Quantity { return unit.Must(s+" g", unit.Mass) }
	c := Certificate{Values: []Value{{Nominal: g("100")}, {Nominal: g("200")}, {Nominal: g("200"), Serial: "*"}, {Nominal: g("20"), Serial: "17"}, {Nominal: g("10"), Serial: "a"}, {Nominal: g("10"), Serial: "b"}}}
	for _, tc := range []struct {
		nominal, mark string
		ok            bool
	}{{"100", "", true}, {"200", "*", true}, {"200", "", true}, {"20", "", true}, {"20", "18", false}, {"10", "", false}, {"10", "b", true}, {"50", "", false}, {"100", "*", false}} {
		if _, ok := c.Weight(g(tc.nominal).Inner(), tc.mark); ok != tc.ok {
			t.Errorf("%s g %q: %v, want %v", tc.nominal, tc.mark, ok, tc.ok)
		}
	}
}

// Own: a pressure gauge from -1 bar to 9 bar has a span of 10 bar and a full
// scale of 9 bar (EN 837-1 takes the span; from memory, sure).
func TestAPercentageIsOfReadingFullScaleOrSpan(t *testing.T) {
	bar := func(s string) unit.Quantity { return unit.Must(s+" bar", unit.Pressure) }
	for _, c := range []struct {
		low, high string
		of        Share
		want      string
	}{
		{"-1", "9", OfSpan, "1000"}, {"-1", "9", OfFullScale, "900"}, {"-1", "9", OfReading, "300"},
		{"0", "16", OfSpan, "1600"}, {"0", "16", OfFullScale, "1600"}, {"-1", "0", OfFullScale, "100"}, {"-1", "0", OfSpan, "100"},
	} {
		g := Gauge{Kind: PressureGauge, Unit: "bar", Low: bar(c.low), High: bar(c.high)}
		if got := c.of.Whole(g, bar("-3").Inner()).Shortest(); got != c.want {
			t.Errorf("%s of %s to %s bar: %s kPa, want %s", c.of, c.low, c.high, got, c.want)
		}
	}
}
