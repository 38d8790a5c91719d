package evidence

import (
	"math"

	"example.org/wring/uncertainty"
)

// The coverage probability of k = 2, as the supplements state it.
const twoSigma = 0.9545

// weightOfTen is in g; its pooled s is taken as exact, as k = 2 is printed.
func weightOfTen(w *workings) {
	b := uncertainty.Budget{Inputs: []uncertainty.Input{
		{Name: "standard", Estimate: 10000.005, Knowledge: uncertainty.Expanded(0.045, 2), Sensitivity: 1},
		{Name: "drift", Knowledge: uncertainty.Rectangular(0.015), Sensitivity: 1},
		{Name: "difference", Estimate: 0.020, Knowledge: uncertainty.Pooled(0.025, math.Inf(1), 3), Sensitivity: 1},
		{Name: "eccentricity", Knowledge: uncertainty.Rectangular(0.010), Sensitivity: 1},
		{Name: "buoyancy", Knowledge: uncertainty.Rectangular(0.010), Sensitivity: 1},
	}}
	s := w.evaluate(b, twoSigma, uncertainty.T)
	w.put("mass", s.Estimate)
	w.put("u", s.Standard*1000)
	w.put("u, full", s.Standard*1000)
	w.put("k", s.K)
	w.put("U", s.Expanded*1000)
}

// blockByComparison is in nm and °C, with two products of inputs of mean zero.
func blockByComparison(w *workings) {
	b := uncertainty.Budget{Inputs: []uncertainty.Input{
		{Name: "ls", Estimate: 50000020, Knowledge: uncertainty.Expanded(30, 2)},
		{Name: "drift", Knowledge: uncertainty.Rectangular(30)},
		{Name: "dl", Estimate: -94, Knowledge: uncertainty.Pooled(12, math.Inf(1), 5)},
		{Name: "comparator", Knowledge: uncertainty.Rectangular(32)},
		{Name: "dt", Knowledge: uncertainty.Rectangular(0.05)},
		{Name: "da", Knowledge: uncertainty.Triangular(2e-6)},
		{Name: "Dt", Knowledge: uncertainty.Rectangular(0.5)},
		{Name: "lv", Knowledge: uncertainty.Rectangular(6.7)},
	}}
	w.model(&b, "ls + drift + dl + comparator - 575*dt - 50000000*da*Dt - lv")
	s := w.evaluate(b, twoSigma, uncertainty.T)
	w.put("length", s.Estimate/1e6)
	w.put("u", s.Standard)
	w.put("U", s.Expanded)
	w.put("second order", math.Sqrt(s.Standard*s.Standard-s.FirstOrder*s.FirstOrder))
	for _, l := range s.Lines {
		if l.Name == "drift" {
			w.put("drift's part", l.Contribution)
		}
	}
}

// multimeter is in mV.
func multimeter(w *workings) {
	display := uncertainty.Rectangular(50)
	s := w.evaluate(sum(uncertainty.Normal(1), display, uncertainty.Rectangular(11)), 0.95, uncertainty.Exact)
	w.put("u", s.Standard)
	w.put("U, exact", s.Expanded/1000)
	alone := w.evaluate(sum(display), 0.95, uncertainty.Exact)
	w.put("k of display", alone.K)
	w.put("k of display, full", alone.K)
}
