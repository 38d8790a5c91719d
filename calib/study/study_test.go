package study

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func gauge(symbol, resolution string) calib.Gauge {
	q := func(s string) unit.Quantity { return unit.Must(s+" "+symbol, unit.Length) }
	return calib.Gauge{ID: "THK-1", Kind: calib.ThicknessGauge, Unit: symbol, Low: q("0"), High: q("100"), Resolution: q(resolution)}
}

func with(symbol, resolution string) Basis { return Basis{Gauge: gauge(symbol, resolution)} }

// table is a study of readings written by part, operator and repeat:
// "1 2|3 4" is a part's cells, ";" parts the parts.
func table(symbol, text string) Study {
	s := Study{Gauge: "THK-1", Date: calib.MustDate("2026-11-16"), Person: "MH"}
	for i, row := range strings.Split(text, ";") {
		part := fmt.Sprint(i + 1)
		s.Parts = append(s.Parts, part)
		for j, cell := range strings.Split(row, "|") {
			operator := string(rune('A' + j))
			if i == 0 {
				s.Operators = append(s.Operators, operator)
			}
			for _, x := range strings.Fields(cell) {
				s.Readings = append(s.Readings, Reading{Part: part, Operator: operator, Indication: unit.Must(x+" "+symbol, unit.Length)})
			}
			s.Repeats = len(strings.Fields(cell))
		}
	}
	return s
}

// impedance is Houf and Berman 1988 (read), as if its numbers were millimetres.
const impedance = "37 38 37|41 41 40|41 42 41;42 41 43|42 42 42|43 42 43;30 31 31|31 31 31|29 30 28;42 43 42|43 43 43|42 42 42;28 30 29|29 30 29|31 29 29;" +
	"42 42 43|45 45 45|44 46 45;25 26 27|28 28 30|29 27 27;40 40 40|43 42 42|43 43 41;25 25 25|27 29 28|26 26 26;35 34 34|35 35 34|35 34 35"

func TestStudyOfTheImpedances(t *testing.T) {
	s := table("mm", impedance)
	s.Low, s.High = unit.Must("0 mm", unit.Length), unit.Must("60 mm", unit.Length)
	r, err := Evaluate(s, with("mm", "1"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []struct {
		of              string
		variance, share float64 // printed: read
		place           float64
	}{
		{OfRepeatability, 0.511, 1.02, 5e-4}, {OfOperators, 0.565, 1.13, 5e-4}, {OfInteraction, 0.728, 1.45, 5e-4},
		{OfReproducibility, 1.293, 2.58, 5e-4}, {OfMeasurement, 1.804, 3.60, 5e-4}, {OfParts, 48.293, 96.40, 5e-4},
	} {
		c, ok := r.Find(want.of)
		if !ok || !(math.Abs(c.Variance-want.variance) <= want.place) || !(math.Abs(100*c.OfTotal-want.share) <= 0.0051) {
			t.Errorf("%s: variance %.4f, share %.3f %%; printed %v and %v", want.of, c.Variance, 100*c.OfTotal, want.variance, want.share)
		}
		if !(c.Low <= c.S && c.S <= c.High) || !(math.Abs(c.OfTolerance-6*c.S/60) < 1e-12) {
			t.Errorf("%s: s %v in %v to %v, %v of the tolerance", want.of, c.S, c.Low, c.High, c.OfTolerance)
		}
	}
	if r.Pooled || !strings.HasPrefix(r.Why, "interaction kept apart: its F is 5.27, p 5.1e-07") {
		t.Errorf("pooling: %v, %s", r.Pooled, r.Why)
	}
	if l := r.Lines[1]; l.Of != OfOperators || l.Against != OfInteraction || !(math.Abs(l.F-7.2849) < 1e-4) {
		t.Errorf("operators: %+v; want them tested against the interaction", l)
	}
	if r.Categories != 7 || r.Unit != "mm" || r.Reading != ServesWithCare { // √2 · 6.949 / 1.343 = 7.32 (own)
		t.Errorf("%d categories, unit %q, %s", r.Categories, r.Unit, r.Reading)
	}
}

// Common practice, no source: a leather read by touch whose readings spread
// over 0.006 in is no measurement against a tolerance of 0.005 in.
func TestALeatherReadByTouchExceedsItsTolerance(t *testing.T) {
	s := table("in", "0.080 0.082|0.083 0.085|0.079 0.081;0.081 0.080|0.084 0.085|0.080 0.079;0.082 0.081|0.085 0.084|0.081 0.080;0.080 0.081|0.083 0.085|0.079 0.081;0.081 0.082|0.085 0.084|0.080 0.081")
	s.Low, s.High = unit.Must("0.0785 in", unit.Length), unit.Must("0.0835 in", unit.Length)
	low, high := s.Readings[0].Indication, s.Readings[0].Indication
	for _, r := range s.Readings {
		if r.Indication.Inner().Cmp(low.Inner()) < 0 {
			low = r.Indication
		}
		if r.Indication.Inner().Cmp(high.Inner()) > 0 {
			high = r.Indication
		}
	}
	if spread := high.Inner().Sub(low.Inner()); spread.Cmp(unit.Must("0.006 in", unit.Length).Inner()) != 0 {
		t.Fatalf("the readings spread over %s mm; want 0.006 in", spread.Shortest())
	}
	r, err := Evaluate(s, with("in", "0.001"))
	if err != nil {
		t.Fatal(err)
	}
	all, _ := r.Find(OfMeasurement)
	if r.Reading != Exceeds || !(all.OfTolerance > 1) || r.Categories != 1 {
		t.Errorf("%s: the measurement takes %.0f %% of the tolerance, %d categories; want more than all of it, and 1", r.Reading, 100*all.OfTolerance, r.Categories)
	}
	if !slices.ContainsFunc(r.Findings, func(f string) bool { return strings.Contains(f, "coarser than a tenth") }) {
		t.Errorf("findings %q; want the resolution named", r.Findings)
	}
}

func TestPoolingCanBeForcedEitherWay(t *testing.T) {
	quiet := "10 11|10 12|11 10;20 21|21 20|20 22;30 31|30 30|32 31;15 14|15 16|14 16" // no interaction
	for _, c := range []struct {
		name, data string
		by         Pooling
		pooled     bool
		why        string
	}{
		{"shown", impedance, ByTest, false, "not above 0.25"}, {"not shown", quiet, ByTest, true, "above 0.25"},
		{"left out", quiet, "", true, "above 0.25"}, {"forced together", impedance, Pooled, true, "as was asked"}, {"forced apart", quiet, KeptApart, false, "as was asked"},
	} {
		s := table("mm", c.data)
		s.Pooling = c.by
		r, err := Evaluate(s, with("mm", "1"))
		if err != nil {
			t.Fatal(err)
		}
		_, apart := r.Find(OfInteraction)
		if r.Pooled != c.pooled || apart == c.pooled || !strings.Contains(r.Why, c.why) {
			t.Errorf("%s: pooled %v, interaction told %v: %s", c.name, r.Pooled, apart, r.Why)
		}
		against := OfInteraction
		if c.pooled {
			against = "pooled"
		}
		if r.Lines[0].Against != against || r.Lines[1].Against != against || r.Lines[2].Against != OfRepeats {
			t.Errorf("%s: tested against %s, %s, %s", c.name, r.Lines[0].Against, r.Lines[1].Against, r.Lines[2].Against)
		}
	}
}

func TestAVarianceBelowZeroIsToldAndTakenAsZero(t *testing.T) {
	s := table("mm", "1 9|2 8;0 10|3 7")
	s.Pooling = KeptApart
	r, err := Evaluate(s, with("mm", "1"))
	if err != nil {
		t.Fatal(err)
	}
	c, _ := r.Find(OfInteraction)
	if !(c.Estimate < 0) || c.Variance != 0 || c.S != 0 || c.DoF != 0 {
		t.Errorf("%+v; want an estimate below zero, taken as zero", c)
	}
	if !slices.ContainsFunc(r.Findings, func(f string) bool {
		return strings.Contains(f, "parts × operators came out below zero, -13.5 mm²")
	}) {
		t.Errorf("findings %q", r.Findings)
	}
}

func TestACellOfOddRepeatsIsNamed(t *testing.T) {
	s := table("mm", strings.Replace(impedance, "31 31 31", "31 13 31", 1))
	r, err := Evaluate(s, with("mm", "1"))
	if err != nil {
		t.Fatal(err)
	}
	if !slices.ContainsFunc(r.Findings, func(f string) bool {
		return strings.HasPrefix(f, "part 3 by B: its repeats, 31 mm, 13 mm, 31 mm, hold 88 % of all")
	}) {
		t.Errorf("findings %q", r.Findings)
	}
}

func TestRepeatsWithoutScatterAreNoPerfectGauge(t *testing.T) {
	r, err := Evaluate(table("mm", "1 1|2 2;3 3|5 5"), with("mm", "1"))
	if err != nil {
		t.Fatal(err)
	}
	if r.Lines[2].Against != "" || r.Pooled || !strings.Contains(r.Why, "no scatter to test it against") {
		t.Errorf("%+v, %s; want no test against nothing", r.Lines[2], r.Why)
	}
	if !slices.ContainsFunc(r.Findings, func(f string) bool { return strings.Contains(f, "hides what scatter there is") }) {
		t.Errorf("findings %q", r.Findings)
	}
}

func TestRefusals(t *testing.T) {
	mm := func(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }
	for _, c := range []struct {
		name   string
		change func(*Study)
		want   string
	}{
		{"one operator", func(s *Study) { s.Operators = s.Operators[:1] }, "1 operator; want at least 2, else nothing tells reproducibility"},
		{"one repeat", func(s *Study) { s.Repeats = 1 }, "1 repeat; want at least 2, else nothing tells repeatability"},
		{"one part", func(s *Study) { s.Parts = s.Parts[:1] }, "1 part; want at least 2, else nothing tells the spread of parts"},
		{"missing cell", func(s *Study) {
			s.Readings = slices.DeleteFunc(s.Readings, func(r Reading) bool { return r.Part == "2" && r.Operator == "B" })
		}, "part 2 by B: no reading; want 2, as often as every part by every operator"},
		{"a reading missing", func(s *Study) { s.Readings = s.Readings[1:] }, "part 1 by A: 1 reading; want 2, as often as every part by every operator"},
		{"a reading too many", func(s *Study) { s.Readings = append(s.Readings, s.Readings[0]) }, "part 1 by A: 3 readings; want 2, as often as every part by every operator"},
		{"tolerance upside down", func(s *Study) { s.Low, s.High = mm("5"), mm("4") }, "tolerance 5 mm to 4 mm: the lower limit is not below the upper; want it so"},
		{"half a tolerance", func(s *Study) { s.High = mm("4") }, "tolerance: one limit; want both, since its width is what a spread is set against"},
		{"units mixed", func(s *Study) { s.Readings[2].Indication = unit.Must("0.1 in", unit.Length) }, "reading 3, part 1 by B: 0.1 in on a gauge that is read in mm; want one unit throughout"},
		{"a stranger", func(s *Study) { s.Readings[2].Operator = "Z" }, `reading 3: operator "Z": not among the operators; want one of them`},
		{"twice", func(s *Study) { s.Parts[1] = "1" }, `part "1": named twice; want each once`},
		{"all equal", func(s *Study) {
			for i := range s.Readings {
				s.Readings[i].Indication = mm("4")
			}
		}, "all readings are equal; want parts, or a gauge, that show a difference"},
	} {
		s := table("mm", "1 2|3 4;5 6|7 9")
		c.change(&s)
		if _, err := Evaluate(s, with("mm", "1")); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
	s := table("mm", "1 2|3 4;5 6|7 9")
	s.Readings = s.Readings[1:]
	var cell *CellError
	if _, err := Evaluate(s, with("mm", "1")); !errors.As(err, &cell) || cell.Part != "1" || cell.Operator != "A" {
		t.Errorf("%v; want the cell named", err)
	}
}

func TestTheSameSeedPlansTheSameOrderForEver(t *testing.T) {
	turns, err := Order([]string{"1", "2", "3"}, []string{"A", "B"}, 2, 7)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, x := range turns {
		got = append(got, x.Operator+x.Part)
	}
	// Own, kept from the first release on: a study's order must be found again from its seed.
	if text := strings.Join(got, " "); text != orderOfSeed7 {
		t.Errorf("%s\nwant %s", text, orderOfSeed7)
	}
}

// Law: an order has every cell once in every round, an operator's turns of a round together.
func TestAnOrderIsARoundOfAllAfterTheOther(t *testing.T) {
	parts, operators := []string{"1", "2", "3", "4", "5"}, []string{"A", "B", "C"}
	for seed := uint64(1); seed <= 200; seed++ {
		turns, err := Order(parts, operators, 3, seed)
		if err != nil || len(turns) != 45 {
			t.Fatalf("%d turns: %v", len(turns), err)
		}
		seen := map[Turn]bool{}
		for i, x := range turns {
			if seen[x] || x.Repeat != i/15+1 {
				t.Fatalf("seed %d, turn %d: %+v", seed, i+1, x)
			}
			seen[x] = true
			if i%5 > 0 && x.Operator != turns[i-1].Operator {
				t.Fatalf("seed %d, turn %d: %s takes the gauge from %s in the middle", seed, i+1, x.Operator, turns[i-1].Operator)
			}
		}
	}
	for _, seed := range []uint64{0, MostSeed + 1} {
		if _, err := Order(parts, operators, 2, seed); err == nil {
			t.Errorf("seed %d was taken", seed)
		}
	}
}

// Law: over many seeds every part comes first about equally often.
func TestNoPartIsPreferred(t *testing.T) {
	first := map[string]int{}
	const seeds = 6000
	for seed := uint64(1); seed <= seeds; seed++ {
		turns, err := Order([]string{"1", "2", "3"}, []string{"A"}, 1, seed)
		if err != nil {
			t.Fatal(err)
		}
		first[turns[0].Part]++
	}
	for part, n := range first { // 2000 ± 4 · √(6000 · ⅓ · ⅔)
		if n < 1854 || n > 2146 {
			t.Errorf("part %s comes first %d times of %d", part, n, seeds)
		}
	}
}

const orderOfSeed7 = "B1 B2 B3 A2 A1 A3 A2 A1 A3 B2 B3 B1"

func TestAGaugeThatIsNotThereIsRefusedAndADoubtfulOneIsTold(t *testing.T) {
	s := table("mm", impedance)
	for _, c := range []struct {
		name     string
		standing calib.Standing
		refused  string
		told     string
	}{
		{"lost", calib.Standing{Status: calib.Lost}, "gauge THK-1: is lost; want a gauge that is there", ""},
		{"fit", calib.Standing{Status: calib.InService, Due: s.Date}, "", ""},
		{"failed", calib.Standing{Status: calib.Failed}, "", "gauge THK-1: is failed"},
		{"limited", calib.Standing{Status: calib.LimitedUse, Limits: "above 2 mm"}, "", "gauge THK-1: is in service with limits of use (above 2 mm)"},
		{"overdue", calib.Standing{Due: s.Date.AddDays(-1)}, "", "gauge THK-1: has been due for a check since 2026-11-15"},
		{"never checked", calib.Standing{Never: true}, "", "gauge THK-1: was never checked"},
	} {
		b := with("mm", "1")
		b.Standing = c.standing
		r, err := Evaluate(s, b)
		switch {
		case c.refused != "":
			if err == nil || err.Error() != c.refused {
				t.Errorf("%s: %v, want %s", c.name, err, c.refused)
			}
		case err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.told != "" && r.Findings[0] != c.told, c.told == "" && strings.HasPrefix(r.Findings[0], "gauge"):
			t.Errorf("%s: %q, want %q first", c.name, r.Findings, c.told)
		}
	}
}

// Own, by hand: A reads 1 2 and 5 6, so its mean is 3.5 and its s √((0.5+0.5)/2);
// B reads 3 4 and 7 9, mean 5.75, s √((0.5+2)/2).
func TestAnOperatorIsToldByMeanAndPooledScatter(t *testing.T) {
	r, err := Evaluate(table("mm", "1 2|3 4;5 6|7 9"), with("mm", "1"))
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []OperatorRow{{"A", 3.5, math.Sqrt(0.5)}, {"B", 5.75, math.Sqrt(1.25)}} {
		if got := r.Operators[i]; got.Name != want.Name || !(math.Abs(got.Mean-want.Mean) < 1e-12) || !(math.Abs(got.S-want.S) < 1e-12) {
			t.Errorf("%+v; want %+v", got, want)
		}
	}
}
