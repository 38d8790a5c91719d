package presser

import (
	"math"
	"strings"
	"testing"

	"example.org/wring/uncertainty/unit"
)

// full is a tester whose certificate states an uncertainty for everything.
func full() *scene {
	s := tester()
	p := s.basis.Standards[1].Certificate.Piston
	for text, into := range map[string]*unit.Quantity{"0.0000001 1/MPa": &p.DistortionExpanded, "2 ppm/°C": &p.ExpansionExpanded,
		"31 mN/m": &p.Tension, "3 mN/m": &p.TensionHalfWidth, "20 kg/m³": &p.FluidHalfWidth} {
		for _, d := range []unit.Dimension{unit.PerPressure, unit.Expansion, unit.Tension, unit.Density} {
			if q, err := unit.Parse(text, d, unit.Unit{}); err == nil {
				*into = q
			}
		}
	}
	return s
}

// EURAMET cg-3, working equation with the term σ·C (from memory, sure); figures
// own, by central differences of the equation itself.
func TestEveryCoefficientOfAPistonHasItsUncertainty(t *testing.T) {
	around := 2 * math.Sqrt(math.Pi*80.6) / 1000 // m
	force := Weight(10.000005, 8000, 1.2, 9.81) + 0.031*around
	c := Cylinder{Area: 80.6, Distortion: 1e-9, Expansion: 2.2e-5, Head: 100, Fluid: 860}
	press := func(c Cylinder, force float64) float64 { return c.Pressure(force, 23, 1.2, 9.81) }
	r := full().run(t).Load
	f, i := at(t, r, "error, up", 0)
	near(t, "applied, kPa", f.Applied.Float(), press(c, force), 1e-6)
	slope := func(change func(c *Cylinder, force *float64, by float64), by float64) float64 {
		high, low, fh, fl := c, c, force, force
		change(&high, &fh, by)
		change(&low, &fl, -by)
		return -(press(high, fh) - press(low, fl)) / (2 * by) // of the error
	}
	want := map[string][2]float64{
		"distortion of PT-1":            {1e-10 / 2, slope(func(c *Cylinder, _ *float64, by float64) { c.Distortion += by }, 1e-10)},
		"density of the fluid":          {20 / math.Sqrt(3), slope(func(c *Cylinder, _ *float64, by float64) { c.Fluid += by }, 1)},
		"surface tension of the liquid": {0.003 / math.Sqrt(3), slope(func(_ *Cylinder, f *float64, by float64) { *f += by * around }, 1e-3)},
	}
	for _, row := range r.Budget {
		w, ok := want[row.Name]
		if !ok {
			continue
		}
		u, s, _ := row.At(i)
		near(t, "u, "+row.Name, u, w[0], 1e-12)
		near(t, "c, "+row.Name, s/w[1], 1, 1e-4)
		delete(want, row.Name)
	}
	if len(want) > 0 {
		t.Errorf("not in the budget: %v", want)
	}
	for _, n := range r.Notes {
		if strings.Contains(n, "not counted") {
			t.Errorf("everything is stated, and it notes %q", n)
		}
	}
}

// The expansion's own uncertainty counts with what the temperature is off 20 °C,
// and at 20 °C with what it is not known by (JCGM 100:2008, 5.1.2 note).
func TestTheExpansionOfAPistonCountsWithItsTemperature(t *testing.T) {
	for celsius, off := range map[string]float64{"23 °C": math.Hypot(3, 1/math.Sqrt(3)), "20 °C": 1 / math.Sqrt(3)} {
		s := full()
		s.check.Conditions.Gauge = of(celsius)
		r := s.run(t).Load
		f, i := at(t, r, "error, up", 0)
		found := false
		for _, row := range r.Budget {
			if row.Name == "expansion of PT-1" {
				found = true
				u, c, _ := row.At(i)
				near(t, "u", u, 1e-6, 1e-15)
				near(t, "c at "+celsius, c, (f.Applied.Float()-(860-1.2)*9.81*0.1/1000)*off, 1e-2)
			}
		}
		if !found {
			t.Errorf("%s: no line of the expansion", celsius)
		}
	}
}

// What a tester's certificate is silent on is said once and not passed over.
func TestWhatThePistonsRecordLeavesOutIsSaid(t *testing.T) {
	r := tester().run(t).Load
	want := "not stated in the records and not counted: the uncertainty of the piston's distortion, the uncertainty of the piston's expansion, " +
		"the surface tension of the liquid, the uncertainty of the fluid's density"
	if len(r.Notes) == 0 || r.Notes[0] != want {
		t.Errorf("%q\nwant %q", r.Notes, want)
	}
	s := tester()
	p := s.basis.Standards[1].Certificate.Piston
	p.Distortion, p.Expansion, p.Head, p.HeadHalfWidth = unit.Quantity{}, unit.Quantity{}, unit.Quantity{}, unit.Quantity{}
	p.Fluid = of("1.2 kg/m³") // a gas has no surface
	r = s.run(t).Load
	if want = "not stated in the records and not counted: the piston's distortion by the pressure, the piston's expansion by the temperature, the head between piston and gauge"; len(r.Notes) == 0 || r.Notes[0] != want {
		t.Errorf("%q\nwant %q", r.Notes, want)
	}
}
