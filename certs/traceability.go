package certs

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// traceability claims no more than each standard's link bears out: where one
// does not hold, that is what is said, in one sentence for each standard.
func (w *writing) traceability() []string {
	var broken []string
	for _, s := range w.in.Basis.Standards {
		id := s.Standard.ID
		if breaks := s.Breaks(w.in.Kept.Check.Date, w.used(id), w.in.Evidence[id]); len(breaks) > 0 {
			broken = append(broken, fmt.Sprintf("Traceability is not shown for %s: %s.", id, breaksFound(breaks)))
		}
	}
	lines := []string{"Traceability: the errors are traceable to the SI through the certificates of the standards listed, each counted from its date of calibration on."}
	if len(broken) > 0 {
		lines = append(broken, "The result is indicative only, as far as it rests on these.")
	}
	if !w.in.Kept.Check.Conditions.Gauge.IsZero() {
		lines = append(lines, "Temperatures are as indicated; no correction of the thermometer is applied, and the plan's contributions of temperature are to cover it.")
	}
	return lines
}

// breaksFound says what was found at each break; nominal values of which the same
// was found are named together.
func breaksFound(breaks []calib.Break) string {
	var clauses []string
	for i, b := range breaks {
		same := func(o calib.Break) bool { return o.At != "" && o.Found == b.Found }
		switch {
		case b.At == "":
			clauses = append(clauses, b.Found)
		case slices.IndexFunc(breaks, same) == i:
			var at []string
			for _, o := range breaks {
				if same(o) {
					at = append(at, strings.ReplaceAll(o.At, " ", noBreak))
				}
			}
			clauses = append(clauses, listed(at)+" "+b.Found)
		}
	}
	return strings.Join(clauses, "; ")
}

// mostListed is how many values are named before the rest are counted: a paper
// names what it can, wring trace all (house rule).
const mostListed = 12

// listed names values and the verb that goes with them.
func listed(at []string) string {
	n := len(at)
	switch {
	case n == 1:
		return at[0] + " is"
	case n > mostListed:
		return strings.Join(at[:mostListed], ", ") + fmt.Sprintf(" and %d more are", n-mostListed)
	}
	return strings.Join(at[:n-1], ", ") + " and " + at[n-1] + " are"
}

// used returns the nominal sizes of a standard's blocks that were wrung.
func (w *writing) used(id string) []unit.Quantity {
	var out []unit.Quantity
	for _, p := range w.in.Kept.Check.Points {
		for _, b := range p.Blocks {
			same := func(q unit.Quantity) bool { return q.Same(b.Nominal) }
			if b.Standard == id && !slices.ContainsFunc(out, same) {
				out = append(out, b.Nominal)
			}
		}
	}
	return out
}
