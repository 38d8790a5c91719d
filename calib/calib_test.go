package calib

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"example.org/wring/uncertainty/unit"
)

// Month ends and leap years: the Gregorian calendar, common practice.
func TestMonthsEndWhereTheMonthEnds(t *testing.T) {
	for _, c := range []struct {
		from   string
		months int
		want   string
	}{
		{"2026-01-31", 1, "2026-02-28"},
		{"2024-01-31", 1, "2024-02-29"},
		{"2026-01-30", 1, "2026-02-28"},
		{"2026-08-31", 6, "2027-02-28"},
		{"2024-02-29", 12, "2025-02-28"},
		{"2024-02-29", 48, "2028-02-29"},
		{"2026-12-31", 2, "2027-02-28"},
		{"2026-03-15", 12, "2027-03-15"},
		{"2000-02-29", 1200, "2100-02-28"}, // 2100 is no leap year
		{"2026-03-31", -1, "2026-02-28"},
	} {
		if got := MustDate(c.from).AddMonths(c.months).String(); got != c.want {
			t.Errorf("%s + %d months = %s, want %s", c.from, c.months, got, c.want)
		}
	}
}

func TestDayIsTheInverseOfDateOfDay(t *testing.T) {
	for _, s := range []string{"1900-01-01", "1969-12-31", "1970-01-01", "2026-11-25", "2100-03-01"} {
		d := MustDate(s)
		if got := DateOfDay(d.Day()); got.String() != s {
			t.Errorf("%s has day %d, which is %s", s, d.Day(), got)
		}
	}
}

func TestParseDateTakesOneOrderOnly(t *testing.T) {
	for _, c := range []string{"2026-02-30", "2026-1-5", "26-01-05", "2026-01-05T10:00", "31/02/2026", "3/4/26", "1/2/3/2026", ""} {
		if _, err := ParseDate(c); err == nil || !strings.Contains(err.Error(), "write year-month-day, as 2026-03-02") {
			t.Errorf("%q: %v", c, err)
		}
	}
	for c, want := range map[string]string{
		"03/04/2026": `date "03/04/2026": 3 April 2026 or 4 March 2026; write 2026-04-03 or 2026-03-04`,
		"3.4.2026":   `date "3.4.2026": 3 April 2026 or 4 March 2026; write 2026-04-03 or 2026-03-04`,
		"4/4/2026":   `date "4/4/2026": not year-month-day; write 2026-04-04`,
		"25-12-2026": `date "25-12-2026": not year-month-day; write 2026-12-25`,
		"12/25/2026": `date "12/25/2026": not year-month-day; write 2026-12-25`,
	} {
		if _, err := ParseDate(c); err == nil || err.Error() != want {
			t.Errorf("%q: %v, want %s", c, err, want)
		}
	}
}

func goodGauge() Gauge {
	return Gauge{ID: "MIC-014", Kind: OutsideMicrometer, Unit: "mm",
		Low: unit.Must("0 mm", unit.Length), High: unit.Must("25 mm", unit.Length), Resolution: unit.Must("0.001 mm", unit.Length)}
}

// Every validator tag of every record is tried once, so that a bad tag cannot
// wait for a user to find it.
func TestEveryRecordHasTagsThatHold(t *testing.T) {
	s := NewShape()
	if err := s.Check(goodGauge()); err != nil {
		t.Errorf("a good gauge: %v", err)
	}
	for _, record := range []any{Gauge{}, StatusChange{}, Standard{}, Certificate{Values: []Value{{}}}, Value{Grade: "x"},
		Plan{Points: make([]unit.Quantity, 1), Contributions: make([]Contribution, 1)},
		Check{Points: []Point{{Blocks: make([]BlockUse, 1), Readings: []Reading{{Comment: "a\nb"}}}}}} {
		var fe *FieldError
		if err := s.Check(record); !errors.As(err, &fe) {
			t.Errorf("%T: %v, want a *FieldError", record, err)
		}
	}
}

func TestShapeNamesTheFieldAndWhatItWants(t *testing.T) {
	s := NewShape()
	for _, c := range []struct {
		name   string
		change func(*Gauge)
		want   string
	}{
		{"slash", func(g *Gauge) { g.ID = "MIC/14" }, `id "MIC/14": want 1 to 40 letters, digits, '.', '_' or '-', a letter or digit first`},
		{"newline", func(g *Gauge) { g.ID = "MIC\n14" }, `id "MIC\n14": want 1 to 40 letters, digits, '.', '_' or '-', a letter or digit first`},
		{"no id", func(g *Gauge) { g.ID = "" }, `id: nothing given; want a value`},
		{"kind", func(g *Gauge) { g.Kind = "ruler" }, `kind "ruler": want one of outside micrometer, caliper, dial gauge, dial thickness gauge, force gauge, scale, pressure gauge`},
		{"escape", func(g *Gauge) { g.Maker = "a\x1b[2J" }, `maker "a\x1b[2J": want one line of text without control characters`},
		{"interval", func(g *Gauge) { g.IntervalMonths = -1 }, `interval months "-1": want at least 0`},
	} {
		g := goodGauge()
		c.change(&g)
		if err := s.Check(g); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}

func TestSoundRefusesAGaugeThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Gauge)
		want   string
	}{
		{"unit", func(g *Gauge) { g.Unit = "kPa" }, `unit "kPa": want one of mm, µm, nm, cm, m, in, thou, µin`},
		{"range turned round", func(g *Gauge) { g.Low, g.High = g.High, g.Low }, `range "25 mm to 0 mm": want a low end below the high end`},
		{"no resolution", func(g *Gauge) { g.Resolution = unit.Quantity{} }, `resolution: nothing given; want a size above 0`},
		{"coarse", func(g *Gauge) { g.Resolution = unit.Must("2 in", unit.Length) }, `resolution "2 in": want a size within the range`},
	} {
		g := goodGauge()
		c.change(&g)
		if err := g.Sound(); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}

func TestLimitFollowsItsForm(t *testing.T) {
	um := func(s string) unit.Quantity { return unit.Must(s+" µm", unit.Length) }
	mm := func(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }
	linear := Limit{Value: um("20"), PerLength: unit.Must("100 µm/m", unit.Slope), AtLeast: um("50")}
	table := Limit{Rows: []LimitRow{{mm("25"), um("4")}, {mm("50"), um("5")}}}
	for _, c := range []struct {
		name  string
		limit Limit
		at    string
		want  string
	}{
		{"constant", Limit{Value: um("4")}, "12.9", "0.004"},
		{"floor holds below 300 mm", linear, "150", "0.05"}, // DIN 862, read: max(50, 20 + L/10) µm
		{"slope beyond it", linear, "400", "0.06"},
		{"row includes its end", table, "25", "0.004"},
		{"next row", table, "25.001", "0.005"},
	} {
		got, ok := c.limit.At(mm(c.at).Inner())
		if !ok || got.Shortest() != c.want {
			t.Errorf("%s at %s mm: %s mm, %v; want %s", c.name, c.at, got.Shortest(), ok, c.want)
		}
	}
	if _, ok := table.At(mm("50.1").Inner()); ok {
		t.Error("a size beyond the last row has a limit")
	}
}

func TestPlanComesBackFromItsRecord(t *testing.T) {
	p := Plan{Name: "x", Environment: Environment{Difference: unit.Must("0.5 °F", unit.TemperatureDifference)},
		Gates: map[Gate]Action{GateEnvironment: Mark}}
	b, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	var got Plan
	if err := json.Unmarshal(b, &got); err != nil {
		t.Fatal(err)
	}
	if !got.Environment.Difference.Same(p.Environment.Difference) || got.ActionOf(GateEnvironment) != Mark || got.ActionOf(GateStatus) != Stop {
		t.Errorf("%s came back as %+v", b, got)
	}
}
