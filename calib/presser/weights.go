package presser

import (
	"cmp"
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/calib/limits"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// unknownDensity is the half-width in kg/m³ about 8000 kg/m³ of weights whose
// density nobody stated (house rule: brass 8400 to cast iron 7100, OIML R
// 111-1, table B.7, from memory, fairly sure).
const unknownDensity = 1000.0

// weights finds every weight of a load in its set's certificate, and gathers
// them by certificate.
func (b *bench) weights(place string, uses []calib.WeightUse) ([]load, error) {
	var out []load
	for i, use := range uses {
		s, err := b.used(place, use.Standard, calib.WeightSet)
		if err != nil {
			return nil, err
		}
		for _, other := range uses[:i] {
			if other.Standard == use.Standard && other.Nominal.Same(use.Nominal) && other.Mark == use.Mark {
				return nil, &PlaceError{place, fmt.Sprintf("weight %s of %s twice", weightText(use), use.Standard), "want each weight once, two alike by their marks"}
			}
		}
		v, ok := s.Certificate.Weight(use.Nominal.Inner(), use.Mark)
		if !ok {
			return nil, &PlaceError{place, fmt.Sprintf("weight %s is not in %s, or there more than once", weightText(use), use.Standard),
				"want one that its certificate " + s.Certificate.Number + " lists, two alike by their marks"}
		}
		n := len(out)
		for j := range out {
			if out[j].from.Standard.ID == s.Standard.ID {
				n = j
			}
		}
		if n == len(out) {
			out = append(out, loadOf(s))
		}
		if err := out[n].add(v, place); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func weightText(w calib.WeightUse) string { return w.Nominal.String() + w.Mark }

func loadOf(s calib.StandardOnDay) load {
	l := load{from: s, dof: math.Inf(1), density: conventionalDensity, hw: unknownDensity}
	if !s.Standard.Density.IsZero() {
		l.density, l.hw = s.Standard.Density.Inner().Float(), s.Standard.DensityHalfWidth.Inner().Float()
	}
	return l
}

// add puts a weight on: by its value, else by the limit of its class.
func (l *load) add(v calib.Value, place string) error {
	l.mass = l.mass.Add(v.Length())
	if v.Calibrated() {
		u, dof, err := ledger.Certified(v)
		if err != nil {
			return fmt.Errorf("%s: weight %s of %s: %w", place, v.Nominal, l.from.Standard.ID, err)
		}
		l.calibrated += u
		l.dof = math.Min(l.dof, dof)
		return nil
	}
	class := cmp.Or(v.Grade, l.from.Standard.Grade)
	if class == "" {
		return &PlaceError{place, fmt.Sprintf("weight %s of %s has neither a value nor a class", v.Nominal, l.from.Standard.ID), "want one of them in its certificate"}
	}
	mpe, err := limits.Weight(class, v.Nominal)
	if err != nil {
		return fmt.Errorf("%s: %s of %s: %w", place, class, l.from.Standard.ID, err)
	}
	l.class += mpe.Float()
	return nil
}

// lines are the weights' uncertainties; c is the sensitivity of the error to a
// kilogram.
func (l load) lines(c float64) []ledger.Line {
	var out []ledger.Line
	id, where := l.from.Standard.ID, "certificate "+l.from.Certificate.Number
	if l.calibrated > 0 {
		out = append(out, ledger.Line{Kind: calib.WeightCalibration, Name: "calibration of the weights " + id, Source: where, Unit: "kg", C: c,
			What: uncertainty.Normal(l.calibrated).WithDoF(l.dof)})
	}
	if l.class > 0 {
		out = append(out, ledger.Line{Kind: calib.WeightCalibration, Name: "class of the weights " + id, Source: where + ", limit of OIML R 111-1, rectangular", Unit: "kg", C: c,
			What: uncertainty.Rectangular(l.class)})
	}
	return out
}

// massOf is what the weights of a load weigh together by their nominal values,
// in kg, before any of them is lifted.
func massOf(uses []calib.WeightUse) float64 {
	sum := unit.Exact{}
	for _, w := range uses {
		sum = sum.Add(w.Nominal.Inner())
	}
	return sum.Float()
}
