package length

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.org/wring/uncertainty/unit"
)

// own: s = 1 µm with 20 degrees of freedom; t(0.9995; 20) = 3.850 (tables of
// Student's t, from memory), so after two readings 3.850 · √1.5 = 4.71 µm.
func TestAReadingIsStrayBeyondWhatScatterExplains(t *testing.T) {
	var s Scatter
	for range 10 {
		s.AddS(1, 3)
	}
	for _, c := range []struct {
		name          string
		reading       float64
		before        []float64
		step, limit   float64
		stray, nobody bool
	}{
		{name: "within", reading: 4.70, before: []float64{0, 0}, step: 1, limit: 1},
		{name: "beyond", reading: 4.72, before: []float64{0, 0}, step: 1, limit: 100, stray: true},
		{name: "below", reading: -4.72, before: []float64{0, 0}, step: 1, limit: 100, stray: true},
		{name: "the first at its place", reading: 100, before: nil, step: 1, limit: 1},
		{name: "two steps", reading: 2, before: []float64{0}, step: 1, limit: 1, nobody: true},
		{name: "three steps and beyond the limit", reading: 3, before: []float64{0}, step: 1, limit: 2, stray: true, nobody: true},
		{name: "no limit and no scatter", reading: 1000, before: []float64{0}, step: 1, nobody: true},
	} {
		known := s
		if c.nobody {
			known = Scatter{}
		}
		if _, stray := known.Stray(c.reading, c.before, c.step, c.limit); stray != c.stray {
			t.Errorf("%s: stray is %v", c.name, stray)
		}
	}
}

// A gauge that only rounds never has a stray reading: the difference of two
// roundings is a step.
func TestRoundingAloneIsNeverStray(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	var s Scatter
	asked := 0
	for range 2000 {
		at := r.Float64()
		var before []float64
		for range 3 {
			reading := math.Round(at + 0.2*r.NormFloat64())
			if _, stray := s.Stray(reading, before, 1, 1); stray {
				asked++
			}
			before = append(before, reading)
		}
		s.Add(before)
	}
	if asked > 0 {
		t.Errorf("%d of 6000 readings asked about", asked)
	}
}

// Readings that scatter normally are asked about as seldom as the level says.
func TestStrayIsAsSeldomAsItsLevel(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 2))
	asked, n := 0, 0
	for range 4000 {
		var s Scatter
		for range 10 {
			var before []float64
			for range 3 {
				reading := 10 * r.NormFloat64()
				if _, stray := s.Stray(reading, before, 1, 1e6); stray {
					asked++
				}
				before = append(before, reading)
				n++
			}
			s.Add(before)
		}
	}
	if share := float64(asked) / float64(n); share > 0.001 || share < 0.0002 {
		t.Errorf("asked about %.5f of readings", share)
	}
}

func TestAnErrorHasMovedBeyondTheUncertaintyOfBoth(t *testing.T) {
	for _, c := range []struct {
		now, before, expanded, step float64
		moved                       bool
	}{{3, 1, 1.5, 0.5, false}, {3.2, 1, 1.5, 0.5, true}, {-1.2, 1, 1.5, 0.5, true}, {3, 1, 0, 1, false}, {3.1, 1, 0, 1, true}} {
		if Moved(c.now, c.before, c.expanded, c.step) != c.moved {
			t.Errorf("%+v", c)
		}
	}
}

func TestRunningMeanAndSpreadAreExact(t *testing.T) {
	var readings []unit.Quantity
	for _, text := range []string{"2.501 mm", "2.502 mm", "0.1 in", "2.501 mm"} {
		readings = append(readings, unit.Must(text, unit.Length))
	}
	mean, spread := Running(readings)
	if mean.Shortest() != "2.511" || spread.Shortest() != "0.039" {
		t.Errorf("mean %s, spread %s", mean.Shortest(), spread.Shortest())
	}
	if step := LastPlace(unit.Must("392.6 g", unit.Mass)); math.Abs(step-0.0001) > 1e-15 {
		t.Errorf("the last place of 392.6 g is %g kg", step)
	}
}
