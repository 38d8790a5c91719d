package evidence

import (
	"math"

	"example.org/wring/uncertainty"
)

func fourNormal(w *workings) {
	n := uncertainty.Normal(1)
	s := w.threeWays(sum(n, n, n, n))
	w.put("U, exact, full", s.Expanded)
}

func fourRectangular(w *workings) {
	r := uncertainty.Rectangular(math.Sqrt(3))
	s := w.threeWays(sum(r, r, r, r))
	w.put("U, exact, full", s.Expanded)
}

func oneWide(w *workings) {
	r := uncertainty.Rectangular(math.Sqrt(3))
	s := w.threeWays(sum(r, r, r, uncertainty.Rectangular(10*math.Sqrt(3))))
	w.put("u", s.Standard)
	w.put("u, full", s.Standard)
}

// threeWays evaluates a budget at 95 % by t, exactly and by trials, and returns
// the exact statement.
func (w *workings) threeWays(b uncertainty.Budget) uncertainty.Statement {
	exact := w.evaluate(b, 0.95, uncertainty.Exact)
	w.put("U, by t", w.evaluate(b, 0.95, uncertainty.T).Expanded)
	w.put("U, exact", exact.Expanded)
	w.drawn(w.draw(b, 0.95))
	return exact
}

// drawn enters a statement of trials.
func (w *workings) drawn(s uncertainty.Statement) {
	w.put("estimate, drawn", s.Estimate)
	w.put("u, drawn", s.Standard)
	w.put("from, drawn", s.Low)
	w.put("to, drawn", s.High)
}

// massCalibration is in mg and kg/m³.
func massCalibration(w *workings) {
	b := uncertainty.Budget{Inputs: []uncertainty.Input{
		{Name: "mR", Estimate: 100000, Knowledge: uncertainty.Normal(0.050)},
		{Name: "dmR", Estimate: 1.234, Knowledge: uncertainty.Normal(0.020)},
		{Name: "ra", Estimate: 1.20, Knowledge: uncertainty.Rectangular(0.10)},
		{Name: "rW", Estimate: 8000, Knowledge: uncertainty.Rectangular(1000)},
		{Name: "rR", Estimate: 8000, Knowledge: uncertainty.Rectangular(50)},
	}}
	w.model(&b, "(mR + dmR)*(1 + (ra - 1.2)*(1/rW - 1/rR)) - 100000")
	s := w.evaluate(b, 0.95, uncertainty.T)
	w.put("estimate", s.Estimate)
	w.put("u, 1st order", s.FirstOrder)
	w.put("u, 2nd order", s.Standard)
	w.put("1st order, full", s.FirstOrder)
	w.put("2nd order, full", s.Standard)
	d := w.draw(b, 0.95)
	w.drawn(d)
	if d.Simulation != nil {
		w.put("shortest, from", d.Simulation.ShortestLow)
		w.put("shortest, to", d.Simulation.ShortestHigh)
	}
}

// endGaugeDrawn is in nm and °C. What the guide gives comes of its own H.1.
func endGaugeDrawn(w *workings) {
	const nominal = 50e6
	guide := w.evaluate(endGaugeLinear(w), 0.99, uncertainty.T)
	w.put("u, guide", guide.Standard)
	w.put("from, guide", guide.Low-nominal)
	w.put("to, guide", guide.High-nominal)
	b := uncertainty.Budget{Inputs: []uncertainty.Input{
		{Name: "Ls", Estimate: 50000623, Knowledge: uncertainty.StudentT(25, 18)},
		{Name: "D", Estimate: 215, Knowledge: uncertainty.StudentT(6, 24)},
		{Name: "d1", Knowledge: uncertainty.StudentT(4, 5)},
		{Name: "d2", Knowledge: uncertainty.StudentT(7, 8)},
		{Name: "as", Estimate: 11.5e-6, Knowledge: uncertainty.Rectangular(2e-6)},
		{Name: "q", Estimate: -0.1, Knowledge: uncertainty.Normal(0.2)},
		{Name: "Delta", Knowledge: uncertainty.Arcsine(0.5)},
		{Name: "da", Knowledge: uncertainty.Curvilinear(1e-6, 0.1e-6)},
		{Name: "dq", Knowledge: uncertainty.Curvilinear(0.050, 0.025)},
	}}
	w.model(&b, "Ls + D + d1 + d2 - Ls*(da*(q + Delta) + as*dq) - 50000000")
	s, err := b.Simulate(0.99, uncertainty.Drawing{Seed: seed})
	w.note(err)
	w.drawn(s)
}
