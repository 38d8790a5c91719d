package evidence

import (
	"math"

	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/stat"
)

// endGaugeBudget is JCGM 100:2008, H.1, in nm and °C, with its model.
func endGaugeBudget(w *workings) uncertainty.Budget {
	t95, err := stat.TQuantile(0.975, 5)
	w.note(err)
	unreliable := uncertainty.DoFOfUnreliability
	b := uncertainty.Budget{Inputs: []uncertainty.Input{
		{Name: "ls", Estimate: 50000623, Knowledge: uncertainty.Expanded(75, 3).WithDoF(18)},
		{Name: "d", Estimate: 215, Knowledge: uncertainty.Pooled(13, 24, 5)},
		{Name: "d1", Knowledge: uncertainty.Expanded(10, t95).WithDoF(5)},
		{Name: "d2", Knowledge: uncertainty.Expanded(20, 3).WithDoF(unreliable(0.25))},
		{Name: "as", Estimate: 11.5e-6, Knowledge: uncertainty.Rectangular(2e-6)},
		{Name: "da", Knowledge: uncertainty.Rectangular(1e-6).WithDoF(unreliable(0.10))},
		{Name: "q", Estimate: -0.1, Knowledge: uncertainty.Normal(0.2)},
		{Name: "D", Knowledge: uncertainty.Arcsine(0.5)},
		{Name: "dq", Knowledge: uncertainty.Rectangular(0.05).WithDoF(unreliable(0.50))},
	}}
	w.model(&b, "ls + d + d1 + d2 - ls*(da*(q + D) + as*dq)")
	return b
}

// endGaugeLinear is the same with the sensitivities of H.1.3 in place of the
// model.
func endGaugeLinear(w *workings) uncertainty.Budget {
	b := endGaugeBudget(w)
	b.Model = nil
	for i, c := range []float64{1, 1, 1, 1, 0, -50000623 * -0.1, 0, 0, -50000623 * 11.5e-6} {
		b.Inputs[i].Sensitivity = c
	}
	// The estimates of the thermal inputs enter by products that are zero.
	for i := 4; i < len(b.Inputs); i++ {
		b.Inputs[i].Estimate = 0
	}
	return b
}

func endGauge(w *workings) {
	s := w.evaluate(endGaugeLinear(w), 0.99, uncertainty.T)
	w.put("length", s.Estimate/1e6)
	w.put("u", s.Standard)
	w.put("u²", s.Standard*s.Standard)
	w.put("effective ν", s.DoF)
	w.put("k at 99 %", s.K)
	w.put("U at 99 %", s.Expanded)
	rest := 0.0
	names := map[string]string{"ls": "part of l_S", "d": "part of d", "d1": "part of d₁",
		"d2": "part of d₂", "da": "part of δα", "dq": "part of δθ"}
	for _, l := range s.Lines {
		if name, ok := names[l.Name]; ok {
			w.put(name, l.Contribution)
		} else {
			rest += l.Contribution
		}
	}
	w.put("part of others", rest)
}

// endGaugeSecondOrder evaluates the model, and each of the two products with
// all inputs but its own taken as exact.
func endGaugeSecondOrder(w *workings) {
	b := endGaugeBudget(w)
	w.put("u of all orders", w.evaluate(b, 0.99, uncertainty.T).Standard)
	product := func(names ...string) float64 {
		alone := b
		alone.Inputs = nil
		for _, in := range b.Inputs {
			kept := false
			for _, n := range names {
				kept = kept || n == in.Name
			}
			if !kept {
				in.Knowledge = uncertainty.Normal(0)
			}
			alone.Inputs = append(alone.Inputs, in)
		}
		s := w.evaluate(alone, 0.99, uncertainty.T)
		return math.Sqrt(s.Standard*s.Standard - s.FirstOrder*s.FirstOrder)
	}
	w.put("δα with θ", product("da", "q", "D"))
	w.put("α_S with δθ", product("as", "dq"))
}

// correlatedReadings is JCGM 100:2008, H.2: five sets of simultaneous readings
// in V, A and rad.
func correlatedReadings(w *workings) {
	names := []string{"V", "I", "phi"}
	x := [][]float64{{5.007, 4.994, 5.005, 4.990, 4.999}, {19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3},
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}}
	var b uncertainty.Budget
	for i, name := range names {
		mean, d, err := uncertainty.Readings(x[i])
		w.note(err)
		b.Inputs = append(b.Inputs, uncertainty.Input{Name: name, Estimate: mean, Knowledge: d})
		for j := range i {
			r, err := stat.Correlation(x[j], x[i])
			w.note(err)
			b.Correlations = append(b.Correlations, uncertainty.Correlation{A: names[j], B: name, R: r})
		}
	}
	for i, name := range []string{"r(V, I)", "r(V, φ)", "r(I, φ)"} {
		w.put(name, b.Correlations[i].R)
	}
	for _, m := range []struct{ name, model string }{{"R", "V/I*cos(phi)"}, {"X", "V/I*sin(phi)"}, {"Z", "V/I"}} {
		w.model(&b, m.model)
		s := w.evaluate(b, 0.95, uncertainty.T)
		w.put(m.name, s.Estimate)
		w.put("u("+m.name+")", s.Standard)
	}
}

func thermometerLine(w *workings) {
	t := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	b := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	l, err := stat.FitLine(t, b, nil, 20)
	w.note(err)
	w.put("y₁", l.Intercept)
	w.put("u(y₁)", l.UIntercept)
	w.put("y₂", l.Slope)
	w.put("u(y₂)", l.USlope)
	w.put("r(y₁, y₂)", l.R)
	w.put("s", l.S)
	w.put("ν", l.DoF)
	w.put("b at 30 °C", l.At(30))
	w.put("u of b at 30 °C", l.UMean(30))
}

// voltageOfDays is JCGM 100:2008, H.5. The document prints mean and s of each
// day; five readings are made that have just these.
func voltageOfDays(w *workings) {
	means, spreads := daysOfTheGuide()
	days := make([][]float64, len(means))
	for i, m := range means {
		s := spreads[i]
		days[i] = []float64{m - s, m - s, m, m + s, m + s}
	}
	a, err := stat.OneWay(days)
	w.note(err)
	w.put("mean", 10+a.Mean*1e-6)
	w.put("s within days", a.SWithin())
	w.put("ν within days", a.DoFWithin)
	w.put("F", a.F)
	w.put("s between days", a.SBetween())
	w.got("s of the days' means")(stat.StdDev(means))
	w.got("F at 95 %")(stat.FQuantile(0.95, a.DoFBetween, a.DoFWithin))
	w.got("F at 97.5 %")(stat.FQuantile(0.975, a.DoFBetween, a.DoFWithin))
	_, d, err := uncertainty.Readings(means)
	w.note(err)
	w.put("s of the mean", d.Standard())
	w.put("ν of the mean", d.DoF())
}

// daysOfTheGuide are mean and s of each day, in µV above 10 V (read).
func daysOfTheGuide() (means, spreads []float64) {
	return []float64{172, 116, 13, 144, 106, 31, 60, 125, 163, 41}, []float64{60, 77, 111, 101, 67, 93, 80, 73, 88, 86}
}
