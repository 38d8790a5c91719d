package evidence

import (
	"fmt"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/agreement"
	"example.org/wring/calib/study"
	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

// impedances is the study of Houf and Berman 1988, its numbers taken for
// millimetres: by part, operator and repeat.
func impedances() study.Study {
	s := study.Study{Gauge: "example", Operators: []string{"1", "2", "3"}, Repeats: 3}
	for i, row := range strings.Split("37 38 37|41 41 40|41 42 41;42 41 43|42 42 42|43 42 43;30 31 31|31 31 31|29 30 28;42 43 42|43 43 43|42 42 42;28 30 29|29 30 29|31 29 29;"+
		"42 42 43|45 45 45|44 46 45;25 26 27|28 28 30|29 27 27;40 40 40|43 42 42|43 43 41;25 25 25|27 29 28|26 26 26;35 34 34|35 35 34|35 34 35", ";") {
		part := fmt.Sprint(i + 1)
		s.Parts = append(s.Parts, part)
		for j, cell := range strings.Split(row, "|") {
			for _, x := range strings.Fields(cell) {
				s.Readings = append(s.Readings, study.Reading{Part: part, Operator: s.Operators[j], Indication: unit.Must(x+" mm", unit.Length)})
			}
		}
	}
	return s
}

// studied works that study out as the command study does.
func studied(w *workings) study.Result {
	r, err := study.Evaluate(impedances(), study.Basis{Gauge: calib.Gauge{ID: "example", Kind: calib.DialGauge, Unit: "mm", Resolution: unit.Must("1 mm", unit.Length)}})
	w.note(err)
	return r
}

func variances(w *workings) {
	w.components(studied(w), func(c study.Component) float64 { return c.Variance })
}

func shares(w *workings) {
	w.components(studied(w), func(c study.Component) float64 { return 100 * c.OfTotal })
}

// components enters what is taken of each variance.
func (w *workings) components(r study.Result, of func(study.Component) float64) {
	for _, c := range r.Shares {
		name := c.Of
		if name == study.OfInteraction {
			name = "interaction"
		}
		w.put(name, of(c))
	}
}

// varianceIntervals are at 95 %.
func varianceIntervals(w *workings) {
	r := studied(w)
	parts, _ := r.Find(study.OfParts)
	all, _ := r.Find(study.OfMeasurement)
	w.put("parts, from", parts.Low*parts.Low)
	w.put("parts, to", parts.High*parts.High)
	w.put("measurement, to", all.High*all.High)
}

// testsOfImpedances are the F of each line and what it is worth.
func testsOfImpedances(w *workings) {
	r := studied(w)
	for _, l := range r.Lines {
		if l.Against != "" {
			w.put("F of "+l.Of, l.F)
		}
	}
	all, _ := r.Find(study.OfMeasurement)
	w.put("ν of the measurement", all.DoF)
}

// cochranLimits are at 1 %, by number of variances and of readings in each.
func cochranLimits(w *workings) {
	for _, c := range []struct{ variances, readings int }{{2, 3}, {3, 3}, {5, 3}, {10, 2}, {10, 3}} {
		w.got(fmt.Sprintf("%d of %d", c.variances, c.readings))(stat.CochranLimit(c.variances, float64(c.readings-1), 0.01))
	}
}

func agreementOfTwo(w *workings) {
	mm := func(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }
	r, err := agreement.Evaluate(agreement.Comparison{A: agreement.Party{Name: "laboratory"}, B: agreement.Party{Name: "reference"},
		Specimens: []agreement.Specimen{{Name: "x", A: agreement.Value{Size: mm("10.0006"), Expanded: mm("0.0005")}, B: agreement.Value{Size: mm("10.0002"), Expanded: mm("0.0003")}}}}, agreement.Basis{})
	w.note(err)
	if err == nil {
		w.put("E_n", r.Specimens[0].En)
	}
}
