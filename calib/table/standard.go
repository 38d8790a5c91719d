package table

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// Standard reads a line over what is known of the standard: an empty cell
// leaves a field as it is.
func (r Record) Standard(known calib.Standard) (calib.Standard, error) {
	s := known
	s.ID = r.ID()
	for column, field := range map[string]*string{"description": &s.Description, "maker": &s.Maker, "serial": &s.Serial, "grade": &s.Grade, "place": &s.Place, "owner": &s.Owner} {
		r.line(column, field)
	}
	err := first(word(r, "kind", calib.StandardKinds(), &s.Kind), r.months("interval", &s.IntervalMonths), r.material(&s.Material),
		r.quantity("density", unit.Density, unit.Unit{}, &s.Density), r.quantity("density_half_width", unit.Density, unit.Unit{}, &s.DensityHalfWidth))
	if err == nil {
		err = r.quantity("resolution", s.Kind.Dimension(), unit.Unit{}, &s.Resolution)
	}
	if err == nil {
		err = standardFits(s)
	}
	return s, r.fault(err)
}

// standardFits holds a grade to blocks, a class to weights, and a density to
// weights.
func standardFits(s calib.Standard) error {
	blocks := []string{"K", "0", "1", "2"}
	switch {
	case s.Kind == "":
		return errors.New("kind: nothing given; want one of " + names(calib.StandardKinds(), func(k calib.StandardKind) string { return string(k) }))
	case s.Grade != "" && s.Kind == calib.WeightSet && !slices.Contains(calib.WeightClasses(), s.Grade):
		return fmt.Errorf("grade: %q: no class of weights; want one of %s", clip(s.Grade), strings.Join(calib.WeightClasses(), ", "))
	case s.Grade != "" && s.Kind.OfLength() && !slices.Contains(blocks, s.Grade):
		return fmt.Errorf("grade: %q: no grade of gauge blocks; want one of %s", clip(s.Grade), strings.Join(blocks, ", "))
	case s.Grade != "" && s.Kind != calib.WeightSet && !s.Kind.OfLength():
		return fmt.Errorf("grade: %q: belongs to gauge blocks, not to the kind %s; want none", clip(s.Grade), s.Kind)
	case !s.Resolution.IsZero() && !s.Kind.Indicates():
		return fmt.Errorf("resolution: %q: belongs to an instrument that is read, not to the kind %s; want none", s.Resolution, s.Kind)
	case !s.Resolution.IsZero() && s.Resolution.Inner().Sign() <= 0:
		return fmt.Errorf("resolution: %q: want a size above 0", s.Resolution)
	case s.Density.IsZero() != s.DensityHalfWidth.IsZero():
		return errors.New("density: one of density and density_half_width; want both")
	case !s.Density.IsZero() && s.Kind != calib.WeightSet:
		return fmt.Errorf("density: %q: belongs to weights, not to the kind %s; want none", s.Density, s.Kind)
	case !s.Density.IsZero() && (s.Density.Inner().Sign() <= 0 || s.DensityHalfWidth.Inner().Sign() < 0):
		return fmt.Errorf("density: %q: want a density above 0", s.Density)
	}
	return nil
}

// StandardRow is the inverse of [Record.Standard].
func StandardRow(s calib.Standard) []string {
	material, expansion, half := materialCells(s.Material)
	return []string{s.ID, string(s.Kind), s.Description, s.Maker, s.Serial, s.Grade, material, expansion, half,
		s.Density.String(), s.DensityHalfWidth.String(), s.Resolution.String(), whole(s.IntervalMonths), s.Place, s.Owner}
}
