package presser

import (
	"math"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// pocket is a spring gauge of an invented workshop, after ASTM D1814-70: 1 lbf
// at 2 oz of leather and 2 lbf at 12 oz on 0.4 in (read); between and ± 10 % own.
func pocket() *scene {
	s := leather()
	s.basis.Gauge.FootDiameter, s.basis.Gauge.FootExpanded = of("0.4 in"), of("0.02 mm")
	plan := s.basis.Plan.Foot
	plan.Drive, plan.Band, plan.Unit = calib.Spring, calib.Band{}, "lbf"
	plan.Openings = []unit.Quantity{of("2 oz_leather"), of("7 oz_leather"), of("12 oz_leather")}
	for i, band := range [][2]string{{"0.9 lbf", "1.1 lbf"}, {"1.35 lbf", "1.65 lbf"}, {"1.8 lbf", "2.2 lbf"}} {
		plan.Bands = append(plan.Bands, calib.OpeningBand{At: plan.Openings[i], Band: calib.Band{Low: of(band[0]), High: of(band[1]), Origin: "own"}})
	}
	s.basis.Standards, s.check.Foot.Instrument = []calib.StandardOnDay{forceGauge()}, "FG-1"
	s.check.Foot.Points = nil
	for i, f := range []string{"0.990 lbf", "1.480 lbf", "1.990 lbf"} {
		s.check.Foot.Points = append(s.check.Foot.Points, calib.PressPoint{At: plan.Openings[i], Forward: readings(f, f, f), Back: readings(f, f, f)})
	}
	return s
}

// press sets what was read at one opening, both ways.
func (s *scene) press(n int, text string) {
	s.check.Foot.Points[n].Forward, s.check.Foot.Points[n].Back = readings(text, text, text), readings(text, text, text)
}

// ASTM D1814-70: 54.87 kPa at 2 oz and 109.73 kPa at 12 oz (own arithmetic of
// figures read): the pressure doubles over the scale and the gauge passes.
func TestASpringThatGrowsAsItsMethodSaysPasses(t *testing.T) {
	s := pocket()
	s.basis.Standards[0].Certificate.Values = []calib.Value{{Nominal: of("10 N"), Deviation: of("0 N"), Expanded: of("0.02 N"), K: "2"}}
	s.press(0, "1 lbf")
	s.press(2, "2 lbf")
	r := s.run(t).Foot
	if r.Verdict != "pass" {
		t.Errorf("verdict %s", r.Verdict)
	}
	for n, want := range map[int]float64{0: 54.87, 2: 109.73} {
		f, _ := at(t, r, "pressure, lowering", n)
		near(t, "pressure, kPa", f.Value.Float(), want, 0.005)
	}
	f, i := at(t, r, "growth", 1)
	near(t, "growth, N", f.Value.Float(), (2-1.48)*4.4482216152605, 1e-12)
	for _, row := range r.Budget {
		if u, c, _ := row.At(i); row.Name == "calibration of FG-1, between the two" {
			near(t, "what the instrument's error may do to it", u*math.Abs(c), 0.01*(2-1.48)/2, 1e-12)
		}
	}
}

// A spring's force is known no closer than the opening it was read at. By hand
// (own): from 0.99 lbf at 2 oz to 1.99 lbf at 12 oz, 10/64 in apart, read to 0.1
// mm; and at the ends from the one neighbour there is.
func TestAnOpeningThatTheGaugeShowsCoarselyWidensASpringsForce(t *testing.T) {
	const lbf, oz = 4.4482216152605, 25.4 / 64
	s := pocket()
	s.basis.Gauge.Resolution = of("0.1 mm")
	s.check.Foot.Points[0], s.check.Foot.Points[2] = s.check.Foot.Points[2], s.check.Foot.Points[0] // in any order
	r := s.run(t).Foot
	for n, want := range []float64{(1.99 - 1.48) / 5, (1.99 - 0.99) / 10, (1.48 - 0.99) / 5} {
		f, i := at(t, r, "force, lowering", n)
		found := false
		for _, row := range r.Budget {
			if u, c, _ := row.At(i); row.Name == "opening, as the gauge shows it" && c != 0 {
				found = true
				near(t, "u of the opening at "+f.At.String(), u, 0.05/math.Sqrt(3), 1e-12)
				near(t, "N on one mm at "+f.At.String(), c, want*lbf/oz, 0.02) // the instrument's own error is small
			}
		}
		if !found {
			t.Errorf("at %s no line of the opening", f.At)
		}
	}
	if rub, _ := at(t, r, "friction", 0); !(rub.Standard > 0.05/math.Sqrt(3)*0.1*lbf/oz/math.Sqrt2) {
		t.Errorf("u of the friction is %g N: both ways are set anew", rub.Standard)
	}
	for _, row := range leather().run(t).Foot.Budget {
		if row.Name == "opening, as the gauge shows it" {
			t.Error("a dead weight presses alike at every opening, and its budget has a line of it")
		}
	}
}

func TestASpringIsJudgedAtEachOpeningAndMustGrow(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*scene)
		figure string
		at     string
	}{
		{"weak where it is opened far", func(s *scene) { s.press(2, "1.700 lbf") }, "force, lowering", "12 oz_leather"},
		{"strong where it is nearly closed", func(s *scene) { s.press(0, "1.200 lbf") }, "force, lifting", "2 oz_leather"},
		{"out of the band in the middle, and within that of both ends", func(s *scene) { s.press(1, "1.900 lbf") }, "force, lowering", "7 oz_leather"},
		{"falls within bands that are too wide", func(s *scene) {
			for i := range s.basis.Plan.Foot.Bands {
				s.basis.Plan.Foot.Bands[i].Band = calib.Band{Low: of("0.9 lbf"), High: of("2.2 lbf"), Origin: "own"}
			}
			s.press(1, "1.500 lbf")
			s.press(2, "1.450 lbf")
		}, "growth", "12 oz_leather"},
		{"falls, and its openings were taken from the far end", func(s *scene) {
			for i := range s.basis.Plan.Foot.Bands {
				s.basis.Plan.Foot.Bands[i].Band = calib.Band{Low: of("0.9 lbf"), High: of("2.2 lbf"), Origin: "own"}
			}
			p := s.check.Foot.Points
			p[0], p[2] = p[2], p[0]
			s.press(0, "1.400 lbf")
		}, "growth", "12 oz_leather"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := pocket()
			c.change(s)
			r := s.run(t).Foot
			if r.Verdict != "fail" {
				t.Errorf("verdict %s", r.Verdict)
			}
			found := false
			for _, f := range r.Figures {
				found = found || f.Name == c.figure && f.At.String() == c.at && f.Verdict == "fail"
			}
			if !found {
				t.Errorf("no failing %s at %s", c.figure, c.at)
			}
		})
	}
}

// A spring's gauge never passes on one reading, even where the plan lets every
// gate go by.
func TestASpringNeverPassesOnOneReading(t *testing.T) {
	s := pocket()
	s.basis.Plan.Gates = map[calib.Gate]calib.Action{}
	for _, g := range calib.Gates() {
		s.basis.Plan.Gates[g] = calib.Ignore
	}
	if r := s.run(t).Foot; r.Verdict != "pass" {
		t.Errorf("three openings: %s", r.Verdict)
	}
	one := pocket()
	one.basis.Plan.Gates, one.check.Foot.Points[1].Back = s.basis.Plan.Gates, nil
	if _, err := Evaluate(one.check, one.basis); err == nil || !strings.HasPrefix(err.Error(), "foot: opening 7 oz_leather, lifting: no reading; want") {
		t.Errorf("an opening that was not lifted: %v", err)
	}
	s.check.Foot.Points = s.check.Foot.Points[:2]
	if r := s.run(t).Foot; r.Verdict != "cannot be decided" {
		t.Errorf("two openings: %s", r.Verdict)
	}
	s.check.Foot.Points = s.check.Foot.Points[:1]
	r := s.run(t)
	if r.Foot.Verdict != "cannot be decided" || r.Verdict != "cannot be decided" || !strings.Contains(strings.Join(r.Foot.Notes, " "), "1 of the 3 openings") {
		t.Errorf("one opening: %s, %s, %q", r.Foot.Verdict, r.Verdict, r.Foot.Notes)
	}
	s.press(0, "1.3 lbf")
	if r := s.run(t).Foot; r.Verdict != "fail" {
		t.Errorf("a spring too strong at one opening: %s", r.Verdict)
	}
}
