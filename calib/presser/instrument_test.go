package presser

import (
	"math"
	"testing"
)

// Own: a balance that steps by 0.5 g shows 392.5 g, which looks like one of 0.1 g.
func TestTheStepOfAnInstrumentIsThatOfItsRecord(t *testing.T) {
	for _, c := range []struct {
		record, source string
		step           float64
	}{
		{"0.5 g", "half of one step of 0.5 g, BAL-1's record", 0.0005},
		{"", "half of one step of 0.1 g, as the readings were typed, for BAL-1's record has none", 0.0001},
	} {
		s := leather()
		if c.record != "" {
			s.basis.Standards[0].Standard.Resolution = of(c.record)
		}
		r := s.run(t).Foot
		_, i := at(t, r, "pressure, lowering", 0)
		found := 0
		for _, row := range r.Budget {
			if u, _, _ := row.At(i); row.Source == c.source && u > 0 {
				found++
				near(t, row.Name, u, c.step/2/math.Sqrt(3), 1e-15)
			}
		}
		if found != 2 {
			t.Errorf("record %q: %d lines of a step for the reading and its zero", c.record, found)
		}
	}
	s := thimble()
	s.basis.Standards[0].Standard.Resolution = of("0.05 N")
	spread, _ := at(t, s.run(t).Force, "spread of the readings", 0)
	near(t, "u of the spread", spread.Standard, 0.05/math.Sqrt(6), 1e-12)
}
