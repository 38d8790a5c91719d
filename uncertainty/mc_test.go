package uncertainty

import (
	"testing"
	"time"
)

func TestMCTrial(t *testing.T) {
	b := one(Normal(1), Rectangular(1), StudentT(1, 5), Arcsine(1), Curvilinear(1, .2), Triangular(1), Trapezoidal(1, .3), Rectangular(.2))
	e, _ := b.Evaluate(.95, Exact)
	t0 := time.Now()
	m, err := b.Simulate(.95, Drawing{Seed: 3, Most: 1e6, Fixed: true})
	t.Log(time.Since(t0))
	t.Log(e.Expanded, m.Expanded, m.Standard, e.Standard, m.Low, m.High, *m.Simulation, err)
	t0 = time.Now()
	m, err = b.Evaluate(.95, MonteCarlo)
	t.Log(time.Since(t0))
	t.Log(e.Expanded, m.Expanded, m.Standard, e.Standard, m.Low, m.High, *m.Simulation, err)
	h1 := Budget{Inputs: []Input{
		{Name: "Ls", Estimate: 50000623, Knowledge: StudentT(25, 18)},
		{Name: "D", Estimate: 215, Knowledge: StudentT(6, 24)},
		{Name: "d1", Knowledge: StudentT(4, 5)},
		{Name: "d2", Knowledge: StudentT(7, 8)},
		{Name: "as", Estimate: 11.5e-6, Knowledge: Rectangular(2e-6)},
		{Name: "t0", Estimate: -.1, Knowledge: Normal(.2)},
		{Name: "Delta", Knowledge: Arcsine(.5)},
		{Name: "da", Knowledge: Curvilinear(1e-6, .1e-6)},
		{Name: "dt", Knowledge: Curvilinear(.05, .025)},
	}}
	h1.Model, err = h1.Parse("(Ls*(1+as*(t0+Delta+dt))+D+d1+d2)/(1+(as+da)*(t0+Delta)) - 50000000")
	if err != nil {
		t.Fatal(err)
	}
	t0 = time.Now()
	m, err = h1.Evaluate(.99, MonteCarlo)
	t.Log(time.Since(t0))
	t.Log(m.Estimate, m.Expanded, m.Standard, m.Low, m.High, m.Simulation, err)
	m, err = h1.Evaluate(.99, T)
	t.Log(m.Estimate, m.Expanded, m.Standard, m.FirstOrder, m.DoF, m.Low, m.High, m.Simulation, err)
}
