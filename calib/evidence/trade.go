package evidence

import (
	"fmt"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/calib/limits"
	"example.org/wring/calib/presser"
	"example.org/wring/uncertainty/unit"
)

// micrometerRows takes the limits that checks use, and counts those that the
// closed form gives too.
func micrometerRows(w *workings) {
	const last, step = 475, 25 // mm
	follow := 0
	for low := int64(0); low <= last; low += step {
		limit, ok := limits.OutsideMicrometer(unit.Whole(low))
		if !ok {
			w.note(fmt.Errorf("range from %d mm: no limit; want one", low))
		}
		um := limit.Mul(unit.Whole(1000))
		if um.Cmp(unit.Whole(4+low/50)) == 0 {
			follow++
		}
		w.put(fmt.Sprintf("from %d mm", low), um.Float())
	}
	w.put("rows at 4 + L/50", float64(follow))
}

// blockChoice asks for the stack as a check does that names none, from a set of
// 47 blocks of common composition (common practice).
func blockChoice(w *workings) {
	sizes := []string{"1.005", "25", "50", "75", "100"}
	for i := 1; i <= 9; i++ {
		sizes = append(sizes, fmt.Sprintf("1.0%d", i), fmt.Sprintf("1.%d0", i))
	}
	for i := 1; i <= 24; i++ {
		sizes = append(sizes, fmt.Sprint(i))
	}
	set := calib.StandardOnDay{Standard: calib.Standard{ID: "set", Kind: calib.BlockSet}}
	for _, s := range sizes {
		set.Certificate.Values = append(set.Certificate.Values, calib.Value{Nominal: unit.Must(s+" mm", unit.Length)})
	}
	blocks, err := length.Propose(unit.Must("58.345 mm", unit.Length), []calib.StandardOnDay{set})
	w.note(err)
	var names []string
	for _, b := range blocks {
		names = append(names, strings.TrimSuffix(b.Nominal.String(), " mm"))
	}
	w.say("58.345 mm", strings.Join(names, "+"))
}

func gravity(w *workings) {
	w.put("at 0°", presser.NormalGravity(0, 0))
	w.put("at 45°", presser.NormalGravity(45, 0))
	w.put("at 90°", presser.NormalGravity(90, 0))
}

// airDensity takes the pressure in Pa: 748.1 mmHg of 133.322387415 Pa.
func airDensity(w *workings) {
	w.put("density", presser.CIPM2007(748.1*133.322387415, 22.3, 0.37))
}

func forceOfMass(w *workings) {
	w.put("in air of 1.2 kg/m³", presser.Weight(1, 8000, 1.2, presser.StandardGravity))
	w.put("in air of 1.0, density 7200", presser.Weight(1, 7200, 1.0, presser.StandardGravity))
}

// footPressure weighs the load in no air: the standard's arithmetic.
func footPressure(w *workings) {
	w.put("pressure", presser.Pressure(presser.Weight(0.393, 8000, 0, presser.StandardGravity), presser.CircleArea(10)))
}
