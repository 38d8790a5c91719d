package presser

import (
	"math"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// What a gauge indicates is judged, so a zero that was not set stays in the
// errors, and the result says so; half a step is no such zero. Own.
func TestAZeroThatWasNotSetIsSaid(t *testing.T) {
	clean := puller().run(t).Load
	for zero, want := range map[string]string{"0.005 N": "", "0.006 N": "the zero before the first load was 0.006 N: the errors are those of what was indicated, and it is not taken off",
		"0.50 N": "the zero before the first load was 0.5 N: the errors are those of what was indicated, and it is not taken off",
		"-20 gf": "the zero before the first load was -20 gf: the errors are those of what was indicated, and it is not taken off"} {
		s := puller()
		s.check.Load.Zero = readings(zero)
		r := s.run(t).Load
		if got := strings.Join(r.Notes, "; "); got != want {
			t.Errorf("%s: it notes %q, want %q", zero, got, want)
		}
		before, _ := at(t, clean, "error, up", 0)
		after, _ := at(t, r, "error, up", 0)
		if before.Value.Cmp(after.Value) != 0 {
			t.Errorf("%s: the error went from %s to %s", zero, before.Value.Shortest(), after.Value.Shortest())
		}
	}
}

// The return of the zero is held to full scale, also where the errors are held
// to the reading or the gauge pulls and pushes; to the span where they are. Own.
func TestTheReturnOfTheZeroIsHeldToFullScale(t *testing.T) {
	for of, want := range map[calib.Share]float64{calib.OfReading: 0.1, calib.OfFullScale: 0.1, calib.OfSpan: 0.14} {
		s := puller()
		s.basis.Plan.Load.Limit.Of, s.basis.Gauge.Low = of, unit.Must("-40 N", unit.Force)
		f, _ := at(t, s.run(t).Load, "zero return", 0)
		near(t, "of "+string(of), f.High.Float(), want, 1e-12)
	}
}

// Law: what the air and gravity do to a hung weight is the derivative of its
// force, by central differences. Own.
func TestAirAndGravityEnterByWhatTheyDoToAForce(t *testing.T) {
	s := puller()
	r := s.run(t).Load
	_, i := at(t, r, "error, up", 0)
	const m, g, air = 2.000005, 9.80665, 1.2
	want := map[string]float64{
		"density of the air": -(Weight(m, 8000, air+0.1, g) - Weight(m, 8000, air-0.1, g)) / 0.2,
		"gravity":            -(Weight(m, 8000, air, g+0.1) - Weight(m, 8000, air, g-0.1)) / 0.2,
	}
	for _, row := range r.Budget {
		if _, c, _ := row.At(i); want[row.Name] != 0 {
			near(t, row.Name, c/want[row.Name], 1, 1e-6)
			delete(want, row.Name)
		}
	}
	if len(want) > 0 {
		t.Errorf("not in the budget: %v", want)
	}
}

// Where standard gravity would shift the verdict of a load the result says so.
// By hand (own): 2 kg pull 19.61 N by standard gravity and 19.56 N at the
// equator, so that 19.65 N is 0.09 N off there and 0.04 N by the standard one.
func TestStandardGravityThatWouldShiftALoadIsNamed(t *testing.T) {
	s := puller()
	s.basis.House = calib.House{Gravity: of("9.7803 m/s²"), GravityExpanded: of("0.0001 m/s²")}
	s.check.Load.Points = s.check.Load.Points[:1]
	s.check.Load.Points[0].Up, s.check.Load.Points[0].Down = readings("19.65 N", "19.65 N", "19.65 N"), readings("19.65 N", "19.65 N", "19.65 N")
	s.basis.Plan.Load.Loads, s.basis.Plan.Load.Limit = s.basis.Plan.Load.Loads[:1], calib.LoadLimit{Error: of("0.07 N"), Origin: "own"}
	r := s.run(t).Load
	want := "error, up at 20 N: with standard gravity in place of the local one the verdict would be pass, not fail"
	if r.Verdict != "fail" || len(r.Notes) == 0 || r.Notes[0] != want {
		t.Errorf("verdict %s, %q; want fail, %q", r.Verdict, r.Notes, want)
	}
	if last := r.Notes[len(r.Notes)-1]; last != "standard gravity in place of the local one would have used up to 75 % of half the band" {
		t.Errorf("it says %q", last)
	}
}

// The weights of one certificate are one laboratory's, and those of one class
// one maker's: they add linearly (JCGM 100:2008, 5.2.2, note 1). By hand (own):
// U/2 of 10 mg and 20 mg; ± 100 mg and ± 250 mg of M1 for 2 kg and 5 kg (OIML
// R 111-1, table 1, read), rectangular.
func TestTheWeightsOfOneCertificateAddLinearly(t *testing.T) {
	for grade, want := range map[string]float64{"": (10e-6 + 20e-6) / 2, "M1": (100e-6 + 250e-6) / math.Sqrt(3)} {
		s := puller()
		set := weightSet(grade)
		values := set.Certificate.Values[:0:0]
		for _, v := range set.Certificate.Values {
			switch v.Nominal.String() {
			case "2 kg":
				if v.Calibrated() {
					v.Expanded, v.K = of("10 mg"), "2"
				}
				values = append(values, v)
			case "5 kg":
				if v.Calibrated() {
					v.Expanded, v.K = of("20 mg"), "2"
				}
				values = append(values, v)
			}
		}
		set.Certificate.Values = values
		s.basis.Standards = []calib.StandardOnDay{set}
		s.check.Load.Points = []calib.LoadPoint{{Load: of("70 N"), Weights: hung("2 kg", "5 kg"), Up: readings("68.60 N", "68.61 N", "68.60 N"), Down: readings("68.60 N", "68.61 N", "68.60 N")}}
		s.basis.Plan.Load.Loads = []unit.Quantity{of("70 N")}
		r := s.run(t).Load
		_, i := at(t, r, "error, up", 0)
		found := false
		for _, row := range r.Budget {
			if strings.HasSuffix(row.Name, " of the weights WS-1") && !strings.HasPrefix(row.Name, "density") {
				u, _, _ := row.At(i)
				near(t, row.Name, u, want, 1e-12)
				found = true
			}
		}
		if !found {
			t.Errorf("class %q: no line of the weights", grade)
		}
	}
}

// A foot that is known by its area has the relative uncertainty of the area in
// its pressure, once: 1 % of 2000 mm² by k = 2 is 0.5 % (own).
func TestTheAreaOfAFootEntersItsPressureOnce(t *testing.T) {
	s := leather()
	s.basis.Gauge.FootDiameter, s.basis.Gauge.FootArea, s.basis.Gauge.FootExpanded = unit.Quantity{}, of("2000 mm²"), of("20 mm²")
	s.basis.Plan.Foot.Band = calib.Band{Low: of("1.9 kPa"), High: of("2.0 kPa"), Origin: "own"}
	r := s.run(t).Foot
	f, i := at(t, r, "pressure, lowering", 0)
	found := false
	for _, row := range r.Budget {
		if u, c, _ := row.At(i); row.Name == "area of the foot" && c != 0 {
			near(t, "share of the area", u*c/f.Value.Float(), -0.005, 1e-9)
			found = true
		}
	}
	if !found {
		t.Error("no line of the area")
	}
}
