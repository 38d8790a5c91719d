package evidence

import (
	"fmt"

	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/stat"
)

// Every function here works out the example that the tables name it for, from
// the inputs its document states; units are the document's.

func certificateOfThree(w *workings) { w.put("u", uncertainty.Expanded(240, 3).Standard()) }

func rectangularLimits(w *workings) { w.put("u", uncertainty.Rectangular(0.40).Standard()) }

func asymmetricLimits(w *workings) {
	w.put("u", uncertainty.Rectangular((16.92-16.40)/2).Standard())
}

func twentyTemperatures(w *workings) {
	x := []float64{96.90, 98.18, 98.25, 98.61, 99.03, 99.49, 99.56, 99.74, 99.89, 100.07, 100.33, 100.42, 100.68,
		100.95, 101.11, 101.20, 101.57, 101.84, 102.36, 102.72}
	mean, d, err := uncertainty.Readings(x)
	w.note(err)
	w.put("mean", mean)
	w.put("s of the mean", d.Standard())
	w.put("ν", d.DoF())
	w.got("s")(stat.StdDev(x))
}

func boundedTemperature(w *workings) {
	w.put("u, rectangular", uncertainty.Rectangular(4).Standard())
	w.put("u, triangular", uncertainty.Triangular(4).Standard())
}

func resistorsInSeries(w *workings) {
	var b uncertainty.Budget
	for i := range 10 {
		b.Inputs = append(b.Inputs, uncertainty.Input{Name: fmt.Sprint("R", i+1), Estimate: 1000, Knowledge: uncertainty.Normal(0.1), Sensitivity: 1})
	}
	w.put("u, r = 0", w.evaluate(b, 0.95, uncertainty.T).Standard)
	for i := range b.Inputs {
		for j := range i {
			b.Correlations = append(b.Correlations, uncertainty.Correlation{A: b.Inputs[j].Name, B: b.Inputs[i].Name, R: 1})
		}
	}
	w.put("u, r = 1", w.evaluate(b, 0.95, uncertainty.T).Standard)
}

func weighingOfNine(w *workings) {
	b := sum(uncertainty.StudentT(0.35, 9))
	for _, m := range []uncertainty.Method{uncertainty.T, uncertainty.Exact} {
		s := w.evaluate(b, 0.95, m)
		name := map[uncertainty.Method]string{uncertainty.T: "by t", uncertainty.Exact: "exact"}[m]
		w.put("k, "+name, s.K)
		w.put("U, "+name, s.Expanded)
	}
}

func digitalStep(w *workings) { w.put("u", uncertainty.Rectangular(0.5).Standard()) }

func unreliability(w *workings) {
	w.put("ν at 25 %", uncertainty.DoFOfUnreliability(0.25))
	w.put("ν at 10 %", uncertainty.DoFOfUnreliability(0.10))
	w.put("ν at 50 %", uncertainty.DoFOfUnreliability(0.50))
}
