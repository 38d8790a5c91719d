package agreement

import (
	"math"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func mm(s string) unit.Quantity  { return unit.Must(s+" mm", unit.Length) }
func kPa(s string) unit.Quantity { return unit.Must(s+" kPa", unit.Pressure) }

func of(a, ua, b, ub string) Comparison {
	return Comparison{Date: calib.MustDate("2026-11-16"), Person: "MH", A: Party{Name: "goods-in"}, B: Party{Name: "supplier"},
		Specimens: []Specimen{{Name: "1", A: Value{Size: mm(a), Expanded: mm(ua)}, B: Value{Size: mm(b), Expanded: mm(ub)}}}}
}

func evaluate(t *testing.T, c Comparison) Result {
	t.Helper()
	r, err := Evaluate(c, Basis{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// E_n, ISO 13528 (the definition read at NIST Dataplot, the figure own).
func TestEnOfOneSpecimen(t *testing.T) {
	r := evaluate(t, of("10.0006", "0.0005", "10.0002", "0.0003"))
	if got := r.Specimens[0].En; !(math.Abs(got-0.685994) <= 5e-7) {
		t.Errorf("E_n %.7f, want 0.685994", got)
	}
	half := math.Hypot(0.0005, 0.0003)
	if !(math.Abs(r.Mean-0.0004) < 1e-12) || !(math.Abs(r.Low-(0.0004-half)) < 1e-12) || !(math.Abs(r.High-(0.0004+half)) < 1e-12) || !r.Agree {
		t.Errorf("%+v; want 0.0004 mm ± %v, agreed", r, half)
	}
}

func TestEnReadsOneAsAgreement(t *testing.T) {
	for _, c := range []struct {
		b     string
		agree bool
	}{{"5", true}, {"4.995", true}, {"4.9949", false}, {"5.0051", false}} {
		r := evaluate(t, of("5", "0.003", c.b, "0.004")) // √(3² + 4²) = 5, exact
		if r.Agree != c.agree || strings.HasPrefix(r.Reading, "agree") != c.agree {
			t.Errorf("against %s: E_n %v, agree %v: %s", c.b, r.Specimens[0].En, r.Agree, r.Reading)
		}
	}
}

func TestUncertaintiesOfAnotherKAreBroughtToTwo(t *testing.T) {
	c := of("5", "0.0045", "4.995", "0.004")
	c.Specimens[0].A.K = 3 // U = 0.003 at k = 2
	r := evaluate(t, c)
	if !(math.Abs(r.Specimens[0].Expanded-0.005) < 1e-15) || len(r.Findings) != 1 || !strings.Contains(r.Findings[0], "brought to k = 2") {
		t.Errorf("U %v, %q", r.Specimens[0].Expanded, r.Findings)
	}
}

// Own: differences 3, 1, 2 µm: mean 2, s 1, t₉₅(2) 4.302653, half-width 4.302653/√3 = 2.484138.
func TestMeanDifferenceOfSeveralSpecimens(t *testing.T) {
	c := of("1.003", "0.01", "1", "0.01")
	for _, s := range []struct{ name, a, b string }{{"2", "2.001", "2"}, {"3", "3.002", "3"}} {
		c.Specimens = append(c.Specimens, Specimen{Name: s.name, A: Value{Size: mm(s.a), Expanded: mm("0.01")}, B: Value{Size: mm(s.b), Expanded: mm("0.01")}})
	}
	r := evaluate(t, c)
	if !(math.Abs(r.Mean-0.002) < 1e-12) || !(math.Abs(r.S-0.001) < 1e-12) || !(math.Abs(r.High-r.Mean-0.002484138) < 1e-9) {
		t.Errorf("mean %v, s %v, half-width %v", r.Mean, r.S, r.High-r.Mean)
	}
	if len(r.Findings) != 0 { // zero lies within
		t.Errorf("findings %q", r.Findings)
	}
	c.Specimens[1].A.Size, c.Specimens[2].A.Size = mm("2.0031"), mm("3.0029")
	if r = evaluate(t, c); len(r.Findings) != 1 || !strings.Contains(r.Findings[0], "one direction") {
		t.Errorf("findings %q; want the common shift told", r.Findings)
	}
}

// Own: of three equal differences of sizes written to 1 µm the scatter is 0; the
// rounding of both sides leaves 1 µm · √2/√12 = 0.408248 µm in each, so the
// half-width is 4.302653 · 0.408248/√3 = 1.014145 µm.
func TestEqualDifferencesAreNotKnownExactly(t *testing.T) {
	c := of("1.002", "0.01", "1.000", "0.01")
	for _, s := range []struct{ name, a, b string }{{"2", "2.002", "2.000"}, {"3", "3.002", "3.000"}} {
		c.Specimens = append(c.Specimens, Specimen{Name: s.name, A: Value{Size: mm(s.a), Expanded: mm("0.01")}, B: Value{Size: mm(s.b), Expanded: mm("0.01")}})
	}
	r := evaluate(t, c)
	if !(math.Abs(r.High-r.Mean-0.001014145) < 1e-9) || !(math.Abs(r.Mean-r.Low-0.001014145) < 1e-9) || !strings.Contains(r.By, "last digits") {
		t.Errorf("mean %v, %v to %v by %s", r.Mean, r.Low, r.High, r.By)
	}
}

func TestAnotherFootPressureDwellOrMethodIsSaid(t *testing.T) {
	whole := Party{Name: "goods-in", Method: "leather", FootDiameter: mm("10"), Pressure: kPa("49.1"), Dwell: 5}
	for _, c := range []struct {
		name   string
		change func(*Party)
		same   SameMethod
		what   string // that differs, or is not known
	}{
		{"all the same", func(*Party) {}, SameAll, ""},
		{"as verified", func(p *Party) { p.Pressure, p.FootDiameter = kPa("48.2"), mm("10.02") }, SameAll, ""},
		{"in inches", func(p *Party) { p.FootDiameter = unit.Must("0.3937 in", unit.Length) }, SameAll, ""},
		{"method", func(p *Party) { p.Method = "felt" }, SameNot, "method"},
		{"foot", func(p *Party) { p.FootDiameter = mm("16") }, SameNot, "foot"},
		{"foot of another form", func(p *Party) {
			p.FootDiameter, p.FootArea = unit.Quantity{}, unit.Must("2500 mm²", unit.Area)
		}, SameNot, "foot"},
		{"pressure", func(p *Party) { p.Pressure = kPa("2") }, SameNot, "pressure"},
		{"dwell", func(p *Party) { p.Dwell = 30 }, SameNot, "dwell"},
		{"not said", func(p *Party) { p.Pressure = unit.Quantity{} }, SameUnknown, "pressure of supplier"},
	} {
		x := of("2", "0.01", "2", "0.01")
		x.A, x.B = whole, whole
		x.B.Name = "supplier"
		c.change(&x.B)
		r := evaluate(t, x)
		what := strings.Join(r.Unknown, ", ")
		if len(r.Differ) > 0 {
			what = r.Differ[0].What
		}
		if r.Same != c.same || what != c.what {
			t.Errorf("%s: same method: %s, %s; want %s, %s", c.name, r.Same, what, c.same, c.what)
		}
	}
	if r := evaluate(t, of("2", "0.01", "2", "0.01")); r.Same != SameUnknown {
		t.Errorf("nobody said how: same method: %s", r.Same)
	}
}

// Own: T = a + b·ln p; 49 kPa against 2 kPa is log₂ 24.5 = 4.614710 doublings, each of −0.03 mm.
func TestPressureAloneMakesADifference(t *testing.T) {
	c := of("1.9", "0.01", "2.04", "0.01")
	c.A.Pressure, c.B.Pressure, c.PerDoubling = kPa("49"), kPa("2"), mm("-0.03")
	r := evaluate(t, c)
	if r.Expected == nil || !(math.Abs(*r.Expected+0.13844130) < 1e-8) {
		t.Errorf("expected %v, want −0.138441", r.Expected)
	}
	if r.Agree || !strings.Contains(r.Reading, "says nothing of the gauges") {
		t.Errorf("%s", r.Reading)
	}
}

// Own: u 3, 2 and 6 µm; whole 49 µm²; of −14 µm the third is to be expected to bear 36/49, alone it would be off by 14/6 of its u.
func TestTheLikeliestLineComesFirst(t *testing.T) {
	c := of("2", "0.0072111", "2.014", "0.012")
	c.A.Budget = []BudgetLine{{Name: "repeatability", Standard: mm("0.002")}, {Name: "resolution", Standard: mm("0.003")}}
	c.B.Budget = []BudgetLine{{Name: "pressure", Standard: mm("0.006")}}
	r := evaluate(t, c)
	if len(r.Suspects) != 3 || r.Suspects[0].Name != "pressure" || r.Suspects[0].Party != "supplier" {
		t.Fatalf("%+v", r.Suspects)
	}
	s := r.Suspects[0]
	if !(math.Abs(s.Share-36.0/49) < 1e-5) || !(math.Abs(s.Times-14.0/6) < 1e-9) {
		t.Errorf("%+v; want 0.7347 of the variance and 2.333 times its u", s)
	}
	c.B.Budget = nil
	if r = evaluate(t, c); !strings.Contains(r.Suspects[0].Name, "no budget was given") {
		t.Errorf("%+v; want the party without a budget named", r.Suspects[0])
	}
	c.A.Budget[0].Standard = mm("0.02")
	if r = evaluate(t, c); len(r.Findings) != 1 || !strings.Contains(r.Findings[0], "more than the uncertainty it claims") {
		t.Errorf("findings %q", r.Findings)
	}
}

// Law: which party is called A changes the sign of the difference and nothing else.
func TestSidesCanBeChanged(t *testing.T) {
	c := of("2", "0.0072", "2.014", "0.012")
	d := of("2.014", "0.012", "2", "0.0072")
	d.A.Name, d.B.Name = c.B.Name, c.A.Name
	x, y := evaluate(t, c), evaluate(t, d)
	if x.Mean != -y.Mean || x.Worst != y.Worst || x.Low != -y.High || x.Reading != y.Reading || x.Suspects[0] != y.Suspects[0] {
		t.Errorf("%+v\n%+v", x, y)
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*Comparison)
		want   string
	}{
		{"itself", func(c *Comparison) { c.B.Name = "goods-in" }, `party "goods-in": compared with itself; want two names`},
		{"one gauge", func(c *Comparison) { c.A.Gauge, c.B.Gauge = "THK-1", "THK-1" }, "gauge THK-1: on both sides; want two gauges, or a party that has another"},
		{"no specimen", func(c *Comparison) { c.Specimens = nil }, "no specimen; want what both said of at least one"},
		{"twice", func(c *Comparison) { c.Specimens = append(c.Specimens, c.Specimens[0]) }, "specimen 2, 1: for the second time; want each once"},
		{"no size", func(c *Comparison) { c.Specimens[0].B.Size = unit.Quantity{} }, "specimen 1, 1: supplier: no size; want what was measured"},
		{"no claim", func(c *Comparison) { c.Specimens[0].A.Expanded = unit.Quantity{} }, "specimen 1, 1: goods-in: no expanded uncertainty; want it, since without it nothing can be said of agreement"},
		{"a claim of nothing", func(c *Comparison) { c.Specimens[0].A.Expanded = mm("0") }, "specimen 1, 1: goods-in: expanded uncertainty 0 mm: not above 0; want what is claimed"},
		{"units mixed", func(c *Comparison) { c.Specimens[0].B.Size = kPa("2") }, "specimen 1, 1: supplier: 2 kPa ± 0.01 mm beside a length; want one kind of quantity throughout"},
		{"k of no number", func(c *Comparison) { c.Specimens[0].B.K = math.NaN() }, "specimen 1, 1: supplier: k NaN: not above 0; want the coverage factor"},
		{"slope of another kind", func(c *Comparison) { c.PerDoubling = kPa("1") }, `per doubling "1 kPa": a pressure; want a length, as the specimens`},
		{"a foot of nothing", func(c *Comparison) { c.A.FootDiameter = mm("0") }, "goods-in: foot diameter 0 mm: not above 0; want a size"},
		{"two feet", func(c *Comparison) { c.A.FootDiameter, c.A.FootArea = mm("2"), unit.Must("3 mm²", unit.Area) }, "goods-in: foot: a diameter and an area; want one of them"},
		{"a line of another kind", func(c *Comparison) { c.B.Budget = []BudgetLine{{Name: "pressure", Standard: kPa("1")}} }, "supplier: pressure 1 kPa: no standard uncertainty of a length; want its part of the result's, 0 or more"},
	} {
		x := of("2", "0.01", "2", "0.01")
		c.change(&x)
		if _, err := Evaluate(x, Basis{}); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}

func TestAGaugeThatIsNotThereIsRefusedAndADoubtfulOneIsTold(t *testing.T) {
	c := of("2", "0.01", "2", "0.01")
	c.A.Gauge, c.B.Gauge = "THK-1", "THK-2"
	if _, err := Evaluate(c, Basis{B: calib.Standing{Status: calib.Retired}}); err == nil || err.Error() != "gauge THK-2: is retired; want a gauge that is there" {
		t.Errorf("%v", err)
	}
	r, err := Evaluate(c, Basis{A: calib.Standing{Status: calib.Failed}})
	if err != nil || len(r.Findings) != 1 || r.Findings[0] != "gauge THK-1: is failed" {
		t.Errorf("%q: %v", r.Findings, err)
	}
}

func TestAStandardThatBothRestOnIsTold(t *testing.T) {
	c := of("2", "0.01", "2", "0.01")
	c.Shared = []string{"GB-1"}
	if r := evaluate(t, c); len(r.Findings) != 1 || !strings.HasPrefix(r.Findings[0], "both rest on GB-1: ") {
		t.Errorf("findings %q", r.Findings)
	}
}

// Own, by JCGM 100:2008, F.1.2.3: u²(A − B) = 3² + 3² − 2·2² = 10 µm², so that
// U = 2·√10 µm = 6.3246 µm and E_n = 7/6.3246 = 1.1068, where without the
// covariance it would be 7/(2·√18) = 0.8250.
func TestWhatBothShareIsTakenOutOfTheDifference(t *testing.T) {
	c := of("2.007", "0.006", "2.000", "0.006")
	c.Shared = []string{"GB-1"}
	if r := evaluate(t, c); math.Abs(r.Worst-0.8250) > 5e-5 || !r.Agree {
		t.Errorf("E_n %v without it", r.Worst)
	}
	c.Specimens[0].Common = mm("0.002")
	r := evaluate(t, c)
	if math.Abs(r.Specimens[0].Expanded-0.0063246) > 5e-8 || math.Abs(r.Worst-1.1068) > 5e-5 || r.Agree {
		t.Errorf("U %v, E_n %v", r.Specimens[0].Expanded, r.Worst)
	}
	if len(r.Findings) != 1 || !strings.Contains(r.Findings[0], "taken out of the uncertainty of the difference") {
		t.Errorf("findings %q", r.Findings)
	}
	c.Specimens[0].Common = mm("0.003")
	const want = "specimen 1, 1: common 0.003 mm: leaves neither side an uncertainty of its own; want less than either claims"
	if _, err := Evaluate(c, Basis{}); err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
}
