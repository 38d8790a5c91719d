package main

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/uncertainty/unit"
)

// gradeFits holds a grade to blocks and a class to weights.
func gradeFits(grade string, kind calib.StandardKind) error {
	blocks, class := []string{"K", "0", "1", "2"}, slices.Contains(calib.WeightClasses(), grade)
	switch {
	case grade == "":
	case kind == calib.WeightSet && !class:
		return usagef("--grade %q: no class of weights; want one of %s", grade, strings.Join(calib.WeightClasses(), ", "))
	case kind.OfLength() && !slices.Contains(blocks, grade):
		return usagef("--grade %q: no grade of gauge blocks; want one of %s", grade, strings.Join(blocks, ", "))
	case kind != calib.WeightSet && !kind.OfLength():
		return usagef("--grade %q: belongs to gauge blocks, not to the kind %s; leave it out", grade, kind)
	}
	return nil
}

// materialFits holds an expansion to blocks: no other standard's counts.
func materialFits(c *cli.Context, kind calib.StandardKind) error {
	for _, name := range []string{"material", "expansion", "expansion-half-width"} {
		if c.IsSet(name) && !kind.OfLength() {
			return usagef("--%s: belongs to gauge blocks, not to the kind %s; leave it out", name, kind)
		}
	}
	return nil
}

// densityFrom reads the density of weights, which no other kind has.
func densityFrom(c *cli.Context, s *calib.Standard) error {
	var errs [2]error
	s.Density, errs[0] = size(c, "density", unit.Density, unit.Unit{})
	s.DensityHalfWidth, errs[1] = size(c, "density-half-width", unit.Density, unit.Unit{})
	switch {
	case first(errs[:]...) != nil:
		return first(errs[:]...)
	case s.Density.IsZero() != s.DensityHalfWidth.IsZero():
		return usagef("--density and --density-half-width go together; want both")
	case s.Density.IsZero():
		return nil
	case s.Kind != calib.WeightSet:
		return usagef("--density: belongs to a weight set, not to the kind %s; leave it out", s.Kind)
	case s.Density.Inner().Sign() <= 0 || s.DensityHalfWidth.Inner().Sign() < 0:
		return usagef("--density %s ± %s: want a density above 0", s.Density, s.DensityHalfWidth)
	}
	return nil
}

// resolutionFrom reads one step of an instrument that is read, which no other
// kind has.
func resolutionFrom(c *cli.Context, s *calib.Standard) (err error) {
	s.Resolution, err = size(c, "resolution", s.Kind.Dimension(), unit.Unit{})
	switch {
	case err != nil || c.String("resolution") == "":
		return err
	case !s.Kind.Indicates():
		return usagef("--resolution: belongs to an instrument that is read, not to the kind %s; leave it out", s.Kind)
	case s.Resolution.Inner().Sign() <= 0:
		return usagef("--resolution %s: want a size above 0", s.Resolution)
	}
	return nil
}

func densityText(s calib.Standard) string {
	if s.Density.IsZero() {
		return ""
	}
	return s.Density.String() + " ± " + s.DensityHalfWidth.String()
}

// pistonFrom reads what the certificate of a pressure tester states, which no
// other kind has.
func pistonFrom(d desk, name string, kind calib.StandardKind) (*calib.Piston, error) {
	switch tester := kind == calib.PressureTester; {
	case tester && name == "":
		return nil, usagef("standard certificate: --piston is missing; want the effective area of its certificate")
	case !tester && name != "":
		return nil, usagef("--piston: belongs to a dead-weight pressure tester, not to the kind %s; leave it out", kind)
	case name == "":
		return nil, nil
	}
	shown, data, err := d.readInput(name)
	if err != nil {
		return nil, err
	}
	p, err := sheet.ReadPiston(shown, data)
	return &p, err
}
