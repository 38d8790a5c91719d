package limits

import (
	"fmt"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func mass(s string) unit.Quantity { return unit.Must(s, unit.Mass) }

// 201 figures, read; the file names document and clause.
func TestWeightClassesAreThoseOfTable1(t *testing.T) {
	for _, r := range published(t, "limits_oimlr111.csv", 201) {
		var class, nominal string
		if _, err := fmt.Sscanf(r.inputs, "class %s nominal %s g", &class, &nominal); err != nil {
			t.Fatalf("%s: %v", r.inputs, err)
		}
		class = class[:len(class)-1] // the semicolon
		got, err := Weight(class, mass(nominal+" g"))
		if want := mass(r.value).Inner(); err != nil || got.Cmp(want) != 0 {
			t.Errorf("%s: %s kg, %v; printed %s", r.name, got.Shortest(), err, r.value)
		}
	}
}

// OIML R 111-1, table 1: interpolation is not defined (read).
func TestWeightRefusesWhatTheTableLacks(t *testing.T) {
	for _, c := range []struct{ class, nominal, want string }{
		{"M1", "393 g", "393 g: no nominal value of OIML R 111-1, so no class has a limit for it; want its own certificate, by weighing"},
		{"F1", "300 g", "300 g: no nominal value of OIML R 111-1, so no class has a limit for it; want its own certificate, by weighing"},
		{"M3", "100 mg", "100 mg: no weight of class M3 in OIML R 111-1; want another class, or its own certificate"},
		{"E1", "100 kg", "100 kg: no weight of class E1 in OIML R 111-1; want another class, or its own certificate"},
		{"F", "1 kg", `class "F": not one of OIML R 111-1; want E1 to M3`},
	} {
		if got, err := Weight(c.class, mass(c.nominal)); err == nil || err.Error() != c.want {
			t.Errorf("%s %s: %s, %v\nwant %s", c.class, c.nominal, got.Shortest(), err, c.want)
		}
	}
}

// Law: a coarser class is never tighter, and a heavier weight neither.
func TestWeightClassesAreInOrder(t *testing.T) {
	for i, r := range weightRows {
		last := int64(0)
		for n, mpe := range r.mpe {
			if mpe == 0 {
				continue
			}
			if mpe <= last {
				t.Errorf("%d mg: class %s is not wider than the one before", r.nominal, calib.WeightClasses()[n])
			}
			if i > 0 && weightRows[i-1].mpe[n] > mpe {
				t.Errorf("%d mg: class %s is tighter than at the row before", r.nominal, calib.WeightClasses()[n])
			}
			last = mpe
		}
	}
}
