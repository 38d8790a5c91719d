package history

import (
	"math"
	"testing"

	"example.org/wring/calib"
)

// The bands of a forecast by hand (own): four yearly checks of points 10, 20
// and 30 mm from the zero, one reading of which has a variance of 1 µm² with
// many degrees of freedom, looked ahead to the day of the fifth: 2.5
// years from the middle of the checks, whose Σ(t − t̄)² is 5. The zero of a
// check has 1/3 µm², their mean 1/12; one more reading beside its point's mean
// has 1 + 1/4.
//
//	still:  1/3 + 1/12 + 5/4
//	scale:  that, and the growth's 1/Σx² = 1/1400 over 5, times (30 × 2.5)²
//	point:  1/3 × (1 + 1/4 + 2.5²/5) + 5/4, and 2.5²/5 more at the point alone
//	change: 1/3 and 1 twice, of the last check and of the next
func TestBandsOfEveryForecastByHand(t *testing.T) {
	sure := Prior{1, 1e9}
	known := Known{sure, sure, sure}
	for _, c := range []struct {
		name     string
		error    func(t, x float64) float64 // µm
		said     Assessment
		point    int
		expected float64 // µm
		square   float64 // of the band over Student's factor, µm²
	}{
		{"still", func(float64, float64) float64 { return 0 }, Assessment{}, 2, 0, 5.0 / 3},
		{"scale at the far point", func(t, x float64) float64 { return 0.1 * x * t }, Assessment{Trend: &Test{Of: theScale}, Scale: 0.1 * um}, 2, 12, 5.0/3 + 75.0*75/7000},
		{"scale near the zero", func(t, x float64) float64 { return 0.1 * x * t }, Assessment{Trend: &Test{Of: theScale}, Scale: 0.1 * um}, 0, 4, 5.0/3 + 25.0*25/7000},
		{"the point that moves", alone, Assessment{Trend: &Test{Of: aPoint, Point: 30}}, 2, 4, 10.0 / 3},
		{"a point beside it", alone, Assessment{Trend: &Test{Of: aPoint, Point: 30}}, 1, 0, 25.0 / 12},
		{"after a change", func(t, _ float64) float64 { return 5 * math.Floor(t/3) }, Assessment{Change: &Test{Of: theZero}}, 1, 5, 8.0 / 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := panel{x: []float64{10, 20, 30}, sizes: []float64{10, 20, 30}, basis: make([]string, 4), own: um * um, start: calib.MustDate("2020-01-01")}
			for i := range 4 {
				var row []Point
				for _, x := range p.x {
					row = append(row, Point{Nominal: x, Error: c.error(float64(i), x) * um, Limit: 99 * um, Own: um})
				}
				p.t, p.cells = append(p.t, float64(i)), append(p.cells, row)
			}
			zero, err := p.fit(p.shift(), 4, sure)
			if err != nil {
				t.Fatal(err)
			}
			f, err := p.forecaster(c.said, zero, known)
			if err != nil {
				t.Fatal(err)
			}
			g := f.at(c.point, 4)
			const normal = 1.959963985 // 97.5 % of the normal distribution
			if want := normal * math.Sqrt(c.square); !near(g.Half/um, want, 1e-5) || !near(g.Error/um, c.expected, 1e-9) {
				t.Errorf("%.5f ± %.5f µm; want %g ± %.5f µm", g.Error/um, g.Half/um, c.expected, want)
			}
		})
	}
}

func alone(t, x float64) float64 {
	if x == 30 {
		return t
	}
	return 0
}
