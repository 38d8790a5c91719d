package length

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func mm(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }
func um(s string) unit.Quantity { return unit.Must(s+" µm", unit.Length) }

func celsius(s string) unit.Quantity { return unit.Must(s+" °C", unit.Temperature) }
func kelvin(s string) unit.Quantity  { return unit.Must(s+" °C", unit.TemperatureDifference) }
func ppm(s string) unit.Quantity     { return unit.Must(s+" ppm/°C", unit.Expansion) }

func steel() calib.Material {
	return calib.Material{Name: "steel", Coefficient: ppm("11.5"), HalfWidth: ppm("1")}
}

func ceramic() calib.Material {
	return calib.Material{Name: "ceramic", Coefficient: ppm("9.5"), HalfWidth: ppm("1")}
}

// A scene is a check of one gauge that a test bends before it is evaluated.
type scene struct {
	check calib.Check
	basis calib.Basis
}

// plain is a check at 10 mm on a single block of exact length, with one
// contribution: the resolution.
func plain() *scene {
	s := &scene{}
	s.basis.Gauge = calib.Gauge{ID: "MIC-1", Kind: calib.OutsideMicrometer, Unit: "mm", Low: mm("0"), High: mm("25"), Resolution: mm("0.001"), Material: steel()}
	s.basis.Status = calib.InService
	s.basis.Plan = calib.Plan{Name: "p", Revision: 1, Kind: calib.OutsideMicrometer, Unit: "mm", Points: []unit.Quantity{mm("10")}, Readings: 3, Minimum: 1,
		Zero: calib.ZeroNone, Limit: calib.Limit{Value: um("4"), Origin: "own"}, Rule: calib.Rule{Name: "simple acceptance"}, Probability: 0.95, Digits: 2,
		Contributions: []calib.Contribution{{Kind: calib.Resolution}}}
	s.basis.Standards = []calib.StandardOnDay{{
		Standard: calib.Standard{ID: "GB-1", Kind: calib.BlockSet, Grade: "1", Material: steel()},
		Certificate: calib.Certificate{Standard: "GB-1", Number: "26-1", Date: calib.MustDate("2025-03-02"), Values: []calib.Value{
			block("10", "0", "0.10"), block("4", "+0.10", "0.08"), block("5", "-0.05", "0.06"), block("1", "+0.02", "0.06"), {Nominal: mm("20"), Grade: "1"}, {Nominal: mm("2"), Grade: "1"},
		}}}}
	s.check = calib.Check{Gauge: "MIC-1", Plan: "p", Revision: 1, Stage: calib.AsFound, Date: calib.MustDate("2026-03-02"), Person: "EK", Standards: []string{"GB-1"},
		Conditions: calib.Conditions{Gauge: celsius("20")}}
	s.point("10", []string{"10"}, "10.001")
	return s
}

func block(nominal, deviationUM, expandedUM string) calib.Value {
	return calib.Value{Nominal: mm(nominal), Deviation: um(deviationUM), Expanded: um(expandedUM), K: "2"}
}

// point replaces the check's points, and the plan's, by one.
func (s *scene) point(at string, blocks []string, readings ...string) {
	s.basis.Plan.Points = []unit.Quantity{mm(at)}
	s.check.Points = nil
	s.add(at, blocks, readings...)
}

func (s *scene) add(at string, blocks []string, readings ...string) {
	p := calib.Point{Nominal: mm(at)}
	for _, b := range blocks {
		p.Blocks = append(p.Blocks, calib.BlockUse{Standard: "GB-1", Nominal: mm(b)})
	}
	for _, r := range readings {
		p.Readings = append(p.Readings, calib.Reading{Indication: mm(r)})
	}
	s.check.Points = append(s.check.Points, p)
}

func (s *scene) with(c ...calib.Contribution) *scene {
	s.basis.Plan.Contributions = c
	return s
}

func (s *scene) result(t *testing.T) calib.Result {
	t.Helper()
	r, err := Evaluate(s.check, s.basis)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// contribution returns |c|·u in µm of the row that begins with a name.
func contribution(t *testing.T, r calib.Result, name string) float64 {
	t.Helper()
	for _, row := range r.Budget {
		if strings.HasPrefix(row.Name, name) {
			u, c, _ := row.At(0)
			return math.Abs(c) * u * 1000
		}
	}
	t.Fatalf("no row %q in the budget", name)
	return 0
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.12g, want %.12g ± %g", what, got, want, within)
	}
}

func TestErrorIsExact(t *testing.T) {
	s := plain()
	s.point("10", []string{"10"}, "10.001", "10.001", "10.002")
	if got := s.result(t).Points[0].Error.Shortest(); got != "1/750" { // 4/3 µm
		t.Errorf("error %s mm, want 1/750", got)
	}
}

// A limit that is met exactly is met: 4 µm of 4 µm. In binary the same error
// is 4.000000000000448 µm.
func TestAnErrorOnTheLimitPasses(t *testing.T) {
	s := plain()
	s.point("10", []string{"10"}, "10.004")
	if v := s.result(t).Points[0].Verdict; v != "pass" {
		t.Errorf("an error of exactly the limit: %s", v)
	}
	s.point("10", []string{"10"}, "10.004", "10.004", "10.0041")
	if v := s.result(t).Points[0].Verdict; v != "fail" {
		t.Errorf("an error a thirtieth of a step beyond the limit: %s", v)
	}
}

// Signs by hand (own): a ceramic stack under a steel gauge, both at 23 °C, is
// shorter by L·(9.5 − 11.5)·10⁻⁶·3; tables.md has 0.15 µm at 25 mm, computed.
func TestReferenceFollowsBothExpansions(t *testing.T) {
	for _, c := range []struct {
		name          string
		blocks, gauge string
		material      calib.Material
		want          string // mm
	}{
		{"equal steel at one temperature needs no correction", "23", "23", steel(), "10"},
		{"warm blocks are longer", "21", "20", steel(), "10.000115"},
		{"a warm gauge indicates less", "20", "21", steel(), "9.999885"},
		{"ceramic under steel at 23 °C", "23", "23", ceramic(), "9.99994"},
	} {
		s := plain()
		s.basis.Standards[0].Standard.Material = c.material
		s.check.Conditions = calib.Conditions{Gauge: celsius(c.gauge), Blocks: celsius(c.blocks)}
		if got := s.result(t).Points[0].Reference.Shortest(); got != c.want {
			t.Errorf("%s: reference %s mm, want %s", c.name, got, c.want)
		}
	}
	s := plain()
	s.check.Conditions = calib.Conditions{Gauge: unit.Must("68 °F", unit.Temperature), Blocks: unit.Must("69.8 °F", unit.Temperature)}
	if got := s.result(t).Points[0].Reference.Shortest(); got != "10.000115" {
		t.Errorf("68 and 69.8 °F: reference %s mm, want that of 20 and 21 °C", got)
	}
}

func TestDeviationsOfTheStackAddUp(t *testing.T) {
	s := plain()
	s.point("10", []string{"4", "5", "1"}, "10.001")
	if got := s.result(t).Points[0].Reference.Shortest(); got != "10.00007" {
		t.Errorf("reference %s mm, want 10.00007", got)
	}
}

func TestSubtractedZeroMovesEveryError(t *testing.T) {
	s := plain()
	s.basis.Plan.Zero = calib.ZeroSubtracted
	s.check.Zero = []calib.Reading{{Indication: mm("0.002")}}
	if got := s.result(t).Points[0].Error.Shortest(); got != "-0.001" {
		t.Errorf("error %s mm, want -0.001", got)
	}
	s.basis.Plan.Zero = calib.ZeroRecorded
	if got := s.result(t).Points[0].Error.Shortest(); got != "0.001" {
		t.Errorf("a zero that is only recorded: error %s mm, want 0.001", got)
	}
}

// Each contribution by hand (own), |c|·u in µm at 10 mm.
func TestContributionsHaveTheirSize(t *testing.T) {
	sized := func(k calib.ContributionKind, half unit.Quantity) calib.Contribution {
		return calib.Contribution{Kind: k, HalfWidth: half}
	}
	years := 365 / 365.25
	for _, c := range []struct {
		name  string
		bend  func(*scene)
		row   string
		want  float64 // µm
		shape string
	}{
		{"resolution is half a step", func(s *scene) {}, "resolution of the reading", 0.5 / math.Sqrt(3), "rectangular"},
		{"repeatability of three readings", func(s *scene) {
			s.with(calib.Contribution{Kind: calib.Repeatability}).point("10", []string{"10"}, "10.001", "10.002", "10.003")
		}, "repeatability", 1 / math.Sqrt(3), "t"},
		{"pooled s below three readings", func(s *scene) {
			s.with(calib.Contribution{Kind: calib.Repeatability, PooledS: um("0.6"), PooledDoF: 24}).point("10", []string{"10"}, "10.001", "10.002")
		}, "repeatability", 0.6 / math.Sqrt2, "t"},
		{"blocks of one certificate add linearly", func(s *scene) {
			s.with(calib.Contribution{Kind: calib.Blocks}).point("10", []string{"4", "5", "1"}, "10")
		}, "calibration of the blocks", (0.08 + 0.06 + 0.06) / 2, "normal"},
		{"a block of a grade has the grade's limit", func(s *scene) { // ISO 3650:1998 table 5, grade 1, 10 to 25 mm: 0.30 µm; read
			s.with(calib.Contribution{Kind: calib.Blocks}).point("20", []string{"20"}, "20")
		}, "grade of the blocks", 0.30 / math.Sqrt(3), "rectangular"},
		{"drift by the grade's stability", func(s *scene) { // ISO 3650 6.2.4, grade 1: 0.05 µm + 0.5e-6·l a year; read in a secondary copy
			s.with(calib.Contribution{Kind: calib.BlockDrift}).point("10", []string{"4", "5", "1"}, "10")
		}, "drift of the blocks", (3*0.05 + 0.5e-3*10) * years / math.Sqrt(3), "rectangular"},
		{"drift by the plan's size", func(s *scene) {
			s.with(calib.Contribution{Kind: calib.BlockDrift, HalfWidth: um("0.02"), PerLength: unit.Must("1 µm/m", unit.Slope)})
		}, "drift of the blocks", (0.02 + 0.01) * years / math.Sqrt(3), "rectangular"},
		{"temperature difference", func(s *scene) { s.with(sized(calib.TemperatureDifference, kelvin("2"))) }, "temperature difference", 10 * 11.5e-3 * 2 / math.Sqrt(3), "rectangular"},
		{"a shared temperature counts by the difference of materials", func(s *scene) {
			s.basis.Standards[0].Standard.Material = ceramic()
			s.with(sized(calib.MeanTemperature, kelvin("1")))
		}, "temperature of gauge and blocks", 10 * 2e-3 / math.Sqrt(3), "rectangular"},
		{"coefficient of the blocks, at their temperature", func(s *scene) {
			s.check.Conditions = calib.Conditions{Gauge: celsius("22"), Blocks: celsius("23")}
			s.with(calib.Contribution{Kind: calib.ExpansionDifference})
		}, "expansion of the blocks", 10 * 3 * 1e-3 / math.Sqrt(3), "rectangular"},
		{"coefficient of the gauge, at its temperature", func(s *scene) {
			s.check.Conditions = calib.Conditions{Gauge: celsius("22"), Blocks: celsius("23")}
			s.with(calib.Contribution{Kind: calib.ExpansionDifference})
		}, "expansion of the gauge", 10 * 2 * 1e-3 / math.Sqrt(3), "rectangular"},
		{"a difference of coefficients that the plan sizes, at the mean temperature", func(s *scene) {
			s.check.Conditions = calib.Conditions{Gauge: celsius("22"), Blocks: celsius("23")}
			s.with(calib.Contribution{Kind: calib.ExpansionDifference, HalfWidth: ppm("2"), Shape: "triangular"})
		}, "difference of expansion", 10 * 2.5 * 2e-3 / math.Sqrt(6), "triangular"},
		{"the widest coefficient of a stack", func(s *scene) {
			s.check.Conditions.Gauge = celsius("22")
			other := s.basis.Standards[0]
			other.Standard = calib.Standard{ID: "GB-2", Kind: calib.BlockSet, Material: calib.Material{Coefficient: ppm("9.5"), HalfWidth: ppm("3")}}
			s.basis.Standards = append(s.basis.Standards, other)
			s.with(calib.Contribution{Kind: calib.ExpansionDifference}).point("10", []string{"5", "4", "1"}, "10")
			s.check.Points[0].Blocks[2].Standard = "GB-2"
		}, "expansion of the blocks", 10 * 2 * 3e-3 / math.Sqrt(3), "rectangular"},
		{"a temperature that nobody read is as far off as the plan lets it be", func(s *scene) {
			s.check.Conditions = calib.Conditions{}
			s.basis.Plan.Environment = calib.Environment{Low: celsius("17"), High: celsius("21")}
			s.basis.Plan.Gates = map[calib.Gate]calib.Action{calib.GateNoEnvironment: calib.Mark}
			s.with(calib.Contribution{Kind: calib.ExpansionDifference})
		}, "expansion of the blocks", 10 * 3 * 1e-3 / math.Sqrt(3), "rectangular"},
		{"temperature difference by the mean of both coefficients", func(s *scene) {
			s.basis.Standards[0].Standard.Material = ceramic()
			s.with(sized(calib.TemperatureDifference, kelvin("2")))
		}, "temperature difference", 10 * 10.5e-3 * 2 / math.Sqrt(3), "rectangular"},
		{"the row's grade before the set's", func(s *scene) { // ISO 3650:1998 table 5, grade 2, 10 to 25 mm: 0.60 µm; read
			s.basis.Standards[0].Certificate.Values[4].Grade = "2"
			s.with(calib.Contribution{Kind: calib.Blocks}).point("20", []string{"20"}, "20")
		}, "grade of the blocks", 0.60 / math.Sqrt(3), "rectangular"},
		{"s pooled over all points", func(s *scene) { // s² = (1 + 0 + 3)/3 µm² by hand (own), ν = 6
			s.with(calib.Contribution{Kind: calib.Repeatability, PooledOver: "points"}).point("10", []string{"10"}, "10.001", "10.002", "10.003")
			s.add("5", []string{"5"}, "5.001", "5.001", "5.001")
			s.add("4", []string{"4"}, "4.001", "4.001", "4.004")
		}, "repeatability", math.Sqrt(4.0/3) / math.Sqrt(3), "t"},
		{"its second order, at 20 °C", func(s *scene) { // EA-4/02 S4 has this product, read in a transcription
			s.with(calib.Contribution{Kind: calib.ExpansionDifference, HalfWidth: ppm("2"), Shape: "triangular"}, sized(calib.MeanTemperature, kelvin("0.5")))
		}, "expansion × temperature", 10 * 2e-3 / math.Sqrt(6) * 0.5 / math.Sqrt(3), "normal"},
		{"wringing, two joints", func(s *scene) {
			s.with(calib.Contribution{Kind: calib.Wringing, Standard: um("0.02")}).point("10", []string{"4", "5", "1"}, "10")
		}, "wringing", 0.02 * math.Sqrt2, "normal"},
		{"flatness of the gauge, half to each side", func(s *scene) {
			s.basis.Gauge.Flatness = um("0.6")
			s.with(calib.Contribution{Kind: calib.Flatness})
		}, "flatness", 0.3 / math.Sqrt(3), "rectangular"},
		{"parallelism of the plan", func(s *scene) { s.with(sized(calib.Parallelism, um("1"))) }, "parallelism", 1 / math.Sqrt(3), "rectangular"},
		{"mechanical effects", func(s *scene) { s.with(sized(calib.Mechanical, um("50"))) }, "mechanical effects", 50 / math.Sqrt(3), "rectangular"},
		{"any other with its k", func(s *scene) {
			s.with(calib.Contribution{Kind: calib.OtherEffect, Name: "reading angle", Expanded: um("1"), K: 2})
		}, "reading angle", 0.5, "normal"},
		{"a cycling room", func(s *scene) {
			s.with(calib.Contribution{Kind: calib.TemperatureDifference, HalfWidth: kelvin("0.5"), Shape: "arcsine"})
		}, "temperature difference", 10 * 11.5e-3 * 0.5 / math.Sqrt2, "arcsine"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := plain()
			c.bend(s)
			r := s.result(t)
			near(t, c.row, contribution(t, r, c.row), c.want, 1e-12*math.Max(1, c.want))
			for _, row := range r.Budget {
				if strings.HasPrefix(row.Name, c.row) && row.Distribution != c.shape {
					t.Errorf("%s is %s, want %s", row.Name, row.Distribution, c.shape)
				}
			}
		})
	}
}

func TestStandardsUnderOneCertificateAddLinearly(t *testing.T) {
	s := plain().with(calib.Contribution{Kind: calib.Blocks})
	other := s.basis.Standards[0]
	other.Standard.ID = "GB-2"
	other.Certificate.Values = []calib.Value{block("6", "0", "0.08")}
	s.basis.Standards = append(s.basis.Standards, other)
	s.point("10", []string{"4"}, "10")
	s.check.Points[0].Blocks = append(s.check.Points[0].Blocks, calib.BlockUse{Standard: "GB-2", Nominal: mm("6")})
	near(t, "u_c", s.result(t).Points[0].Standard*1000, 0.08, 1e-12)
}

func TestSensitivitiesHaveTheirSign(t *testing.T) {
	s := plain()
	s.check.Conditions = calib.Conditions{Gauge: celsius("22"), Blocks: celsius("23")}
	s.with(calib.Contribution{Kind: calib.ExpansionDifference}, calib.Contribution{Kind: calib.TemperatureDifference, HalfWidth: kelvin("1")})
	want := map[string]float64{"expansion of the blocks": -30, "expansion of the gauge": 20, "temperature difference gauge–blocks": -10 * 11.5e-6}
	for _, row := range s.result(t).Budget {
		_, c, _ := row.At(0)
		near(t, row.Name, c, want[row.Name], 1e-12)
	}
}

func TestTheZeroIsTakenFromTheLowEnd(t *testing.T) {
	s := plain()
	s.basis.Plan.Zero = calib.ZeroSubtracted
	s.basis.Gauge.Low, s.basis.Gauge.High = mm("5"), mm("30")
	s.check.Zero = []calib.Reading{{Indication: mm("5.002")}}
	if got := s.result(t).Points[0].Error.Shortest(); got != "-0.001" {
		t.Errorf("error %s mm, want -0.001", got)
	}
}

func TestAZeroThatIsSubtractedMustHaveBeenRead(t *testing.T) {
	s := plain()
	s.basis.Plan.Zero = calib.ZeroSubtracted
	s.basis.Plan.Gates = map[calib.Gate]calib.Action{calib.GateReadings: calib.Ignore}
	if _, err := Evaluate(s.check, s.basis); !errors.Is(err, errNoZero) {
		t.Errorf("got %v, want it refused whatever the gates say", err)
	}
}

func TestBlocksOfTwoCertificatesAddInQuadrature(t *testing.T) {
	s := plain().with(calib.Contribution{Kind: calib.Blocks})
	other := s.basis.Standards[0]
	other.Standard.ID = "GB-2"
	other.Certificate = calib.Certificate{Standard: "GB-2", Number: "9", Date: calib.MustDate("2025-03-02"), Values: []calib.Value{block("6", "0", "0.08")}}
	s.basis.Standards = append(s.basis.Standards, other)
	s.point("10", []string{"4"}, "10")
	s.check.Points[0].Blocks = append(s.check.Points[0].Blocks, calib.BlockUse{Standard: "GB-2", Nominal: mm("6")})
	near(t, "u_c", s.result(t).Points[0].Standard*1000, math.Hypot(0.04, 0.04), 1e-12)
}

func TestAContributionWithoutASizeIsNamed(t *testing.T) {
	for _, c := range []struct {
		name string
		bend func(*scene)
		want string
	}{
		{"too few readings and no pooled s", func(s *scene) { s.with(calib.Contribution{Kind: calib.Repeatability}) },
			"point 1: repeatability: fewer than 3 readings and no pooled s in the plan; take 3 readings, or give the plan a pooled s"},
		{"gauge without material", func(s *scene) {
			s.basis.Gauge.Material = calib.Material{}
			s.with(calib.Contribution{Kind: calib.TemperatureDifference, HalfWidth: kelvin("1")})
		}, "point 1: temperature difference: MIC-1 has no coefficient of expansion; amend it with its material, or leave the contribution out of the plan"},
		{"set without grade", func(s *scene) {
			s.basis.Standards[0].Standard.Grade = ""
			s.with(calib.Contribution{Kind: calib.BlockDrift})
		}, "point 1: block drift: GB-1 has no grade whose stability is known; give the standard a grade, or the plan a size for each year"},
		{"faces never measured", func(s *scene) { s.with(calib.Contribution{Kind: calib.Flatness}) },
			"point 1: flatness: MIC-1 has none recorded; amend the gauge, or give the plan a size"},
	} {
		s := plain()
		c.bend(s)
		if _, err := Evaluate(s.check, s.basis); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}

func TestPointsThatCannotBeWorkedWithAreRefused(t *testing.T) {
	for _, c := range []struct {
		name string
		bend func(*scene)
		want string
	}{
		{"block not in the set", func(s *scene) { s.point("10", []string{"7"}, "10") }, "point 1: block 7 mm is not in GB-1; want a block of the set's certificate 26-1"},
		{"stack of another size", func(s *scene) { s.point("10", []string{"4", "5"}, "10") }, "point 1: the blocks make 9 mm; want 10 mm"},
		{"block twice", func(s *scene) { s.point("10", []string{"5", "5"}, "10") }, "point 1: block 5 mm of GB-1 twice; a set holds each block once"},
		{"no blocks", func(s *scene) { s.point("10", nil, "10") }, "point 1: no blocks; want the blocks that make 10 mm"},
		{"a set that was not used", func(s *scene) { s.check.Points[0].Blocks[0].Standard = "GB-7" }, "point 1: blocks of GB-7, which is not among the standards used; name it, or take others"},
	} {
		s := plain()
		c.bend(s)
		var pe *PointError
		if _, err := Evaluate(s.check, s.basis); !errors.As(err, &pe) || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}

func TestEveryGateIsNamedAndStopsOrMarksAsThePlanSays(t *testing.T) {
	environment := calib.Environment{Low: celsius("19"), High: celsius("21"), Difference: kelvin("0.5")}
	for _, c := range []struct {
		gate calib.Gate
		bend func(*scene)
		text string
	}{
		{calib.GateStatus, func(s *scene) { s.basis.Status = calib.Retired }, "MIC-1 is retired; bring it back with its status first"},
		{calib.GateStandardDate, func(s *scene) { s.basis.Standards[0].Certificate.Due = calib.MustDate("2026-03-01") },
			"GB-1: certificate 26-1 was due on 2026-03-01, before 2026-03-02"},
		{calib.GateStandardRange, func(s *scene) {
			s.basis.Standards = append(s.basis.Standards, calib.StandardOnDay{Standard: calib.Standard{ID: "TH-1", Kind: calib.Thermometer},
				Certificate: calib.Certificate{Number: "t", Values: []calib.Value{{Nominal: celsius("21")}, {Nominal: celsius("30")}}}})
		}, "TH-1 was read at 20 °C; its certificate t holds from 21 °C to 30 °C"},
		{calib.GateNoValues, func(s *scene) {
			for i := range s.basis.Standards[0].Certificate.Values {
				s.basis.Standards[0].Certificate.Values[i].Deviation = unit.Quantity{}
			}
		}, "GB-1: certificate 26-1 states a grade and no values"},
		{calib.GateEnvironment, func(s *scene) {
			s.basis.Plan.Environment = environment
			s.basis.Plan.Gates[calib.GateThermometer] = calib.Ignore
			s.check.Conditions.Gauge = celsius("21.1")
		}, "21.1 °C; the plan wants 19 °C to 21 °C"},
		{calib.GateEnvironment, func(s *scene) {
			s.basis.Plan.Environment = environment
			s.basis.Plan.Gates[calib.GateThermometer] = calib.Ignore
			s.check.Conditions.Blocks = celsius("20.6")
		}, "gauge at 20 °C and blocks at 20.6 °C; the plan wants them within 0.5 °C"},
		{calib.GateNoEnvironment, func(s *scene) {
			s.basis.Plan.Environment = environment
			s.check.Conditions = calib.Conditions{}
		}, "no temperature was recorded; the plan wants 19 °C to 21 °C"},
		{calib.GateThermometer, func(s *scene) { s.basis.Plan.Environment = environment }, "the temperature was read with no thermometer named; name it among the standards"},
		{calib.GateRange, func(s *scene) { s.basis.Gauge.High = mm("9") }, "10 mm; MIC-1 reads from 0 mm to 9 mm"},
		{calib.GatePoints, func(s *scene) { s.basis.Plan.Points = append(s.basis.Plan.Points, mm("20")) }, "the plan's point 20 mm was not taken"},
		{calib.GateReadings, func(s *scene) { s.basis.Plan.Minimum = 2 }, "1 of the 2 readings that the plan wants"},
		{calib.GateReadings, func(s *scene) { s.basis.Plan.Zero = calib.ZeroRecorded }, "the zero was not read; the plan wants it taken first"},
		{calib.GateReadings, func(s *scene) {
			s.basis.Plan.Zero, s.basis.Plan.Minimum = calib.ZeroSubtracted, 2
			s.check.Zero = []calib.Reading{{Indication: mm("0")}}
			s.point("10", []string{"10"}, "10", "10")
		}, "1 of the 2 readings of the zero that the plan wants"},
		{calib.GateExpansion, func(s *scene) {
			s.check.Conditions.Gauge = celsius("30")
			s.basis.Gauge.Material = calib.Material{}
		}, "MIC-1 at 30 °C has no coefficient of expansion; amend it with its material"},
		{calib.GateExpansion, func(s *scene) {
			s.check.Conditions.Blocks = celsius("30")
			s.basis.Standards[0].Standard.Material = calib.Material{}
		}, "GB-1 at 30 °C has no coefficient of expansion; enter it with its material"},
		{calib.GateSpread, func(s *scene) {
			s.with(calib.Contribution{Kind: calib.Repeatability, PooledS: um("0.6"), PooledDoF: 24}).point("10", []string{"10"}, "10.000", "10.003")
		}, "2 readings with s = 2.12 µm; the plan's pooled s is 0.6 µm"},
		{calib.GateEnvironment, func(s *scene) {
			s.basis.Plan.Environment = calib.Environment{Low: celsius("19")}
			s.basis.Plan.Gates[calib.GateThermometer] = calib.Ignore
			s.check.Conditions.Blocks = celsius("18.9")
		}, "18.9 °C; the plan wants at least 19 °C"},
		{calib.GateBelievable, func(s *scene) {
			s.basis.Plan.Believable = um("100")
			s.basis.Plan.Zero = calib.ZeroRecorded
			s.check.Zero = []calib.Reading{{Indication: mm("5.000")}}
		}, "zero 1: 5.000 mm on 0 mm is off by +5000 µm, more than the believable ±100 µm"},
		{calib.GateBelievable, func(s *scene) {
			s.basis.Plan.Believable = um("100")
			s.point("10", []string{"10"}, "9.001")
		}, "reading 1: 9.001 mm on 10 mm is off by -999 µm, more than the believable ±100 µm"},
		{calib.GateBelievable, func(s *scene) {
			s.basis.Plan.Believable = um("100")
			s.point("10", []string{"10"}, "10.001", "11.001")
		}, "reading 2: 11.001 mm on 10 mm is off by +1001 µm, more than the believable ±100 µm"},
	} {
		t.Run(string(c.gate), func(t *testing.T) {
			for _, action := range []calib.Action{calib.Stop, calib.Mark, calib.Ignore} {
				s := plain()
				s.basis.Plan.Gates = map[calib.Gate]calib.Action{}
				c.bend(s)
				s.basis.Plan.Gates[c.gate] = action
				r, err := Evaluate(s.check, s.basis)
				var stop *StopError
				switch action {
				case calib.Stop:
					if !errors.As(err, &stop) || stop.Findings[0].Gate != c.gate || stop.Findings[0].Text != c.text {
						t.Errorf("stop: %v\nwant %s: %s", err, c.gate, c.text)
					}
				case calib.Mark:
					if err != nil || len(r.Findings) != 1 || r.Findings[0].Gate != c.gate || r.Findings[0].Text != c.text {
						t.Errorf("mark: %v %+v\nwant %s: %s", err, r.Findings, c.gate, c.text)
					}
				default:
					if err != nil || len(r.Findings) != 0 {
						t.Errorf("ignore: %v %+v", err, r.Findings)
					}
				}
			}
		})
	}
}

func TestAGateThatThePlanDoesNotNameStops(t *testing.T) {
	s := plain()
	s.basis.Gauge.High = mm("9")
	var stop *StopError
	if _, err := Evaluate(s.check, s.basis); !errors.As(err, &stop) {
		t.Errorf("got %v, want a *StopError", err)
	}
}

// Vectors of examples.md section 8 (own), MPE 4.0 µm, U 1.0 µm, w = U.
func TestVerdictsFollowTheRule(t *testing.T) {
	four := calib.Rule{Name: "four verdicts", Factor: 1}
	guarded := calib.Rule{Name: "guarded acceptance", Factor: 1}
	simple := calib.Rule{Name: "simple acceptance"}
	for _, c := range []struct {
		rule      calib.Rule
		error, u2 string // µm; U is twice the plan's standard uncertainty of 0.5 µm
		want      calib.Verdict
	}{
		{four, "3.0", "1.0", "pass"}, {four, "3.5", "1.0", "conditional pass"}, {four, "4.0", "1.0", "conditional pass"},
		{four, "4.5", "1.0", "conditional fail"}, {four, "5.1", "1.0", "fail"}, {four, "1.0", "4.5", "cannot be decided"},
		{guarded, "3.0", "1.0", "pass"}, {guarded, "3.1", "1.0", "fail"}, {guarded, "0", "4.5", "cannot be decided"},
		{simple, "4.0", "4.5", "pass"}, {simple, "-4.1", "1.0", "fail"},
	} {
		s := plain()
		s.basis.Plan.Rule = c.rule
		s.basis.Plan.Probability = 0.9545 // k = 2.0000 for one normal input, to 2e-5; the vectors need no more
		s.with(calib.Contribution{Kind: calib.OtherEffect, Name: "all", Expanded: um(c.u2), K: 2.00002})
		e := um(c.error).Inner()
		s.check.Points[0].Readings[0].Indication = unit.Of(unit.Whole(10).Add(e), mm("1").Unit())
		if got := s.result(t); got.Verdict != c.want {
			t.Errorf("%s, error %s µm, U %s µm: %s, want %s", c.rule.Name, c.error, c.u2, got.Verdict, c.want)
		}
	}
}

func TestTheWorstPointGivesTheVerdict(t *testing.T) {
	for _, readings := range [][]string{{"10.001", "5.020"}, {"10.020", "5.001"}} {
		s := plain()
		s.point("10", []string{"10"}, readings[0])
		s.add("5", []string{"5"}, readings[1])
		s.basis.Plan.Points = append(s.basis.Plan.Points, mm("5"))
		r := s.result(t)
		if r.Verdict != "fail" || r.Points[0].Verdict == r.Points[1].Verdict {
			t.Errorf("points %s and %s make %s", r.Points[0].Verdict, r.Points[1].Verdict, r.Verdict)
		}
	}
}

// Laws that hold for every check: U grows with each further contribution, the
// order in which the plan names them does not matter, no figure is NaN, and
// the same input gives the same bytes.
func TestLawsOfTheBudget(t *testing.T) {
	all := []calib.Contribution{{Kind: calib.Repeatability, PooledS: um("0.5"), PooledDoF: 9}, {Kind: calib.Resolution}, {Kind: calib.Blocks}, {Kind: calib.BlockDrift},
		{Kind: calib.TemperatureDifference, HalfWidth: kelvin("0.5")}, {Kind: calib.MeanTemperature, HalfWidth: kelvin("1")}, {Kind: calib.ExpansionDifference},
		{Kind: calib.Wringing, Standard: um("0.02")}, {Kind: calib.Flatness, HalfWidth: um("0.3")}, {Kind: calib.Parallelism, HalfWidth: um("1")},
		{Kind: calib.ElasticEffect, HalfWidth: um("0.1")}, {Kind: calib.OtherEffect, Name: "x", Standard: um("0.1")}}
	draw := rand.New(rand.NewPCG(3, 4))
	for range 40 {
		some := slices.Clone(all)
		draw.Shuffle(len(some), func(i, j int) { some[i], some[j] = some[j], some[i] })
		some = some[:1+draw.IntN(len(some)-1)]
		s := plain().with(some...)
		s.point("10", []string{"4", "5", "1"}, fmt.Sprintf("10.00%d", draw.IntN(4)), "10.001")
		less := s.result(t)
		more := s.with(append(some, all[slices.IndexFunc(all, func(c calib.Contribution) bool {
			return !slices.ContainsFunc(some, func(d calib.Contribution) bool { return d.Kind == c.Kind })
		})])...).result(t)
		if more.Points[0].Standard < less.Points[0].Standard {
			t.Errorf("u_c fell from %g to %g with a contribution more", less.Points[0].Standard, more.Points[0].Standard)
		}
		slices.Reverse(s.basis.Plan.Contributions)
		a, _ := json.Marshal(more)
		b, _ := json.Marshal(s.result(t))
		if string(a) != string(b) {
			t.Errorf("the plan's order changes the result:\n%s\n%s", a, b)
		}
		if strings.Contains(string(a), "NaN") || math.IsNaN(more.Points[0].Expanded) {
			t.Errorf("a figure is NaN: %s", a)
		}
	}
}

func TestAResultSurvivesItsRecord(t *testing.T) {
	s := plain().with(calib.Contribution{Kind: calib.Resolution}, calib.Contribution{Kind: calib.Blocks})
	s.point("10", []string{"10"}, "10.001", "10.001", "10.002")
	r := s.result(t)
	a, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var back calib.Result
	if err := json.Unmarshal(a, &back); err != nil {
		t.Fatal(err)
	}
	if b, _ := json.Marshal(back); string(a) != string(b) {
		t.Errorf("%s\ncame back as\n%s", a, b)
	}
}
