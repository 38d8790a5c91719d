package presser

import (
	"fmt"
	"math"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// A seen value is the mean of what an instrument indicated, less its error, in
// the inner unit of its dimension. Its lines have the sensitivity to it; own
// are those that a difference of two such values does not share.
type seen struct {
	dimension unit.Dimension
	value     unit.Exact
	own       []ledger.Line
	lines     []ledger.Line // own, and the instrument's calibration
}

// see works out one mean of readings of an instrument.
func (b *bench) see(place string, on calib.StandardOnDay, readings []calib.Reading) (seen, error) {
	if len(readings) == 0 {
		return seen{}, &PlaceError{place, "no reading", "want the readings, or leave the direction out of the plan"}
	}
	d := on.Standard.Kind.Dimension()
	for _, r := range readings {
		if got := r.Indication.Unit().Dimension(); got != d {
			return seen{}, &PlaceError{place, fmt.Sprintf("%s: a %s", r.Indication, got), fmt.Sprintf("want a %s, which %s indicates", d, on.Standard.ID)}
		}
	}
	symbol := unit.Inner(d).Symbol()
	repeated, err := b.repeatability(indications(readings), symbol)
	if err != nil {
		return seen{}, fmt.Errorf("%s: %w", place, err)
	}
	step := stepOn(on.Standard, readings)
	out := seen{dimension: d, own: []ledger.Line{repeated,
		b.resolution(calib.Resolution, "resolution of the reading", step), b.resolution(calib.ZeroResolution, "resolution of the zero", step)}}
	e, err := errorAt(on, mean(readings))
	if err != nil {
		return seen{}, fmt.Errorf("%s: %w", place, err)
	}
	out.value = mean(readings).Sub(e.value)
	out.lines = append(slices.Clone(out.own), ledger.Line{Kind: calib.InstrumentCalibration, Name: "calibration of " + on.Standard.ID,
		Source: "certificate " + on.Certificate.Number, Unit: symbol, C: -1, What: uncertainty.Normal(e.u).WithDoF(e.dof)})
	return out, nil
}

// An instrumentError is what a certificate says of an instrument at one
// indication, in the inner unit.
type instrumentError struct {
	value  unit.Exact
	u, dof float64
}

// calibrated returns the rows of a certificate that have a value, ascending.
func calibrated(c calib.Certificate) []calib.Value {
	rows := slices.DeleteFunc(slices.Clone(c.Values), func(v calib.Value) bool { return !v.Calibrated() })
	slices.SortStableFunc(rows, func(a, b calib.Value) int { return a.Nominal.Inner().Cmp(b.Nominal.Inner()) })
	return rows
}

// errorAt returns an instrument's error of indication: straight between the
// rows of its certificate, with the larger of their uncertainties; from the
// first row down to nothing at zero, where it was tared; beyond the last row
// that row's, which a gate judges (house rules).
func errorAt(on calib.StandardOnDay, indication unit.Exact) (instrumentError, error) {
	rows := calibrated(on.Certificate)
	if len(rows) == 0 {
		return instrumentError{}, fmt.Errorf("%s: its certificate has no values; want errors of indication with their uncertainty", on.Standard.ID)
	}
	n, _ := slices.BinarySearchFunc(rows, indication, func(v calib.Value, x unit.Exact) int { return v.Nominal.Inner().Cmp(x) })
	above := rows[min(n, len(rows)-1)]
	below := calib.Value{} // nothing at zero
	if n > 0 {
		below = rows[n-1]
	}
	u, dof, err := ledger.Certified(above)
	if err != nil {
		return instrumentError{}, fmt.Errorf("%s at %s: %w", on.Standard.ID, above.Nominal, err)
	}
	if n > 0 {
		ub, db, err := ledger.Certified(below)
		if err != nil {
			return instrumentError{}, fmt.Errorf("%s at %s: %w", on.Standard.ID, below.Nominal, err)
		}
		if ub > u {
			u = ub
		}
		dof = math.Min(dof, db)
	}
	out := instrumentError{value: above.Deviation.Inner(), u: u, dof: dof}
	span := above.Nominal.Inner().Sub(below.Nominal.Inner())
	if n < len(rows) && !span.IsZero() {
		share := indication.Sub(below.Nominal.Inner()).Quo(span)
		out.value = below.Deviation.Inner().Add(share.Mul(above.Deviation.Inner().Sub(below.Deviation.Inner())))
	}
	return out, nil
}

// beyond says by which rows a certificate ends below an indication, empty where
// it reaches it.
func beyond(on calib.StandardOnDay, indication unit.Quantity) string {
	rows := calibrated(on.Certificate)
	if len(rows) == 0 || indication.Inner().Cmp(rows[len(rows)-1].Nominal.Inner()) <= 0 {
		return ""
	}
	return fmt.Sprintf("%s was read on %s; its certificate %s holds to %s", indication, on.Standard.ID, on.Certificate.Number, rows[len(rows)-1].Nominal)
}
