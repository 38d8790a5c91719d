package sheet

import (
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// dimensionOf returns the kind of quantity a contribution's size is.
func dimensionOf(k calib.ContributionKind) unit.Dimension {
	switch k {
	case calib.TemperatureDifference, calib.MeanTemperature:
		return unit.TemperatureDifference
	case calib.ExpansionDifference:
		return unit.Expansion
	default:
		return unit.Length
	}
}

// A sizing says what a plan may state of a contribution's size.
type sizing struct {
	needed bool // nothing else sizes it
	never  bool // only the readings or the certificate do
	grows  bool // it may have per_length
	bound  bool // half_width alone
}

// sizingOf says how each contribution is sized. What the plan leaves out comes
// from the gauge, the readings or the certificate; what would be read and then
// not counted is refused.
func sizingOf(k calib.ContributionKind) sizing {
	switch k {
	case calib.Repeatability, calib.Blocks:
		return sizing{never: true}
	case calib.Resolution, calib.ZeroResolution, calib.ExpansionDifference:
		return sizing{}
	case calib.BlockDrift:
		return sizing{grows: true, bound: true}
	case calib.Flatness, calib.Parallelism:
		return sizing{grows: true}
	case calib.TemperatureDifference, calib.MeanTemperature, calib.Wringing:
		return sizing{needed: true}
	default:
		return sizing{needed: true, grows: true}
	}
}

// readContribution reads one line of the budget; u is the plan's unit.
func readContribution(f *form, u unit.Unit) calib.Contribution {
	c := calib.Contribution{
		Kind: word(f, f.need("kind"), calib.ContributionKinds()),
		Name: f.field("name").Text,
	}
	if c.Kind == calib.OtherEffect && strings.TrimSpace(c.Name) == "" {
		f.refuse(f.missing("name"), "nothing given; want what varies, in a reader's words")
	}
	shape := f.field("shape")
	c.Shape = word(f, shape, []string{"normal", "rectangular", "triangular", "arcsine"})
	d, fallback := dimensionOf(c.Kind), u
	switch d {
	case unit.TemperatureDifference:
		fallback, _ = unit.Lookup("°C", d)
	case unit.Expansion:
		fallback = unit.Unit{} // no gauge has a usual unit of expansion: it must be written
	}
	readSize(f, &c, []unit.Dimension{d}, fallback)
	readPooled(f, &c, unit.Length, u)
	readPooledOver(f, &c)
	fits(f, c, shape, sizingOf(c.Kind))
	c.Source = f.field("source").Text
	f.close()
	return c
}

// readSize reads the one size a contribution may have.
func readSize(f *form, c *calib.Contribution, d []unit.Dimension, fallback unit.Unit) {
	half, standard, expanded := f.field("half_width"), f.field("standard"), f.field("expanded")
	c.HalfWidth, c.Standard, c.Expanded = f.anyQuantity(half, d, fallback), f.anyQuantity(standard, d, fallback), f.anyQuantity(expanded, d, fallback)
	given := 0
	for _, v := range []Field{half, standard, expanded} {
		if !v.Given() {
			continue
		}
		if given++; given > 1 {
			f.refuse(v, "a second size; want one of half_width, standard, expanded")
		}
		if strings.HasPrefix(strings.TrimSpace(v.Text), "-") {
			f.refuse(v, "%q: below 0; want 0 or more", clip(v.Text))
		}
	}
	readFactor(f, c, expanded)
	readGrowth(f, c)
}

// readFactor reads the coverage factor that belongs to an expanded uncertainty.
func readFactor(f *form, c *calib.Contribution, expanded Field) {
	k := f.field("k")
	c.K = f.number(k, 0)
	switch {
	case expanded.Given() && !k.Given():
		f.refuse(f.missing("k"), "nothing given; want the coverage factor of expanded")
	case expanded.Given() && !(c.K > 0):
		f.refuse(k, "%q: want a coverage factor above 0", clip(k.Text))
	case k.Given() && !expanded.Given():
		f.refuse(k, "%q: belongs to expanded, which is not given", clip(k.Text))
	}
}

// readGrowth reads what a size may have beside it: its growth with the length
// and its degrees of freedom.
func readGrowth(f *form, c *calib.Contribution) {
	slope := f.field("per_length")
	c.PerLength = f.quantity(slope, unit.Slope, unit.Unit{})
	if strings.HasPrefix(strings.TrimSpace(slope.Text), "-") {
		f.refuse(slope, "%q: below 0; want 0 or more", clip(slope.Text))
	}
	dof := f.field("dof")
	c.DoF = f.number(dof, 0)
	switch {
	case dof.Given() && !(c.DoF >= 1):
		f.refuse(dof, "%q: want 1 or more; leave it out where it is infinite", clip(dof.Text))
	case dof.Given() && !c.Sized():
		f.refuse(dof, "%q: belongs to a size, and none is given", clip(dof.Text))
	}
}

// readPooledOver reads over what s is pooled, which only repeatability has.
func readPooledOver(f *form, c *calib.Contribution) {
	over := f.field("pooled_over")
	c.PooledOver = word(f, over, []string{"points"})
	if over.Given() && c.Kind != calib.Repeatability {
		f.refuse(over, "%q has no readings to pool; want pooled_over with %q", c.Kind, calib.Repeatability)
	}
}

// readPooled reads s of earlier checks, which only repeatability has.
func readPooled(f *form, c *calib.Contribution, d unit.Dimension, u unit.Unit) {
	s, dof := f.field("pooled_s"), f.field("pooled_dof")
	c.PooledS, c.PooledDoF = aboveZero(f, s, d, u), f.number(dof, 0)
	switch {
	case !s.Given() && !dof.Given():
	case c.Kind != calib.Repeatability:
		f.refuse(f.place(), "%q has no readings to pool; want pooled_s with %q", c.Kind, calib.Repeatability)
	case !s.Given():
		f.refuse(f.missing("pooled_s"), "nothing given; want the s that pooled_dof belongs to")
	case !dof.Given():
		f.refuse(f.missing("pooled_dof"), "nothing given; want the degrees of freedom of pooled_s")
	case !(c.PooledDoF >= 1):
		f.refuse(dof, "%q: want 1 or more", clip(dof.Text))
	}
}

// fits holds kind, size and shape together.
func fits(f *form, c calib.Contribution, shape Field, rule sizing) {
	bounded := !c.HalfWidth.IsZero() || !c.PerLength.IsZero() && c.Standard.IsZero() && c.Expanded.IsZero()
	switch {
	case c.Kind == "": // already refused
	case rule.never && (c.Sized() || c.Shape != ""):
		f.refuse(f.place(), "%q with a size or a shape; it has its own from readings or certificate, want none", c.Kind)
	case rule.needed && !c.Sized():
		f.refuse(f.place(), "%q without a size; want half_width, standard, or expanded with k", c.Kind)
	case !rule.grows && !c.PerLength.IsZero():
		f.refuse(f.place(), "%q does not grow with a length of its own; want no per_length", c.Kind)
	case rule.bound && c.Sized() && (!bounded || c.Shape != "" && c.Shape != "rectangular"):
		f.refuse(f.place(), "%q is a bound for each year; want half_width or per_length, rectangular", c.Kind)
	case c.Shape == "normal" && bounded:
		f.refuse(shape, "%q has no half-width; want standard, or expanded with k", c.Shape)
	case c.Shape == "normal" && !c.Sized():
		f.refuse(shape, "%q without a size; want standard, or expanded with k", c.Shape)
	case c.Shape != "" && c.Shape != "normal" && !bounded:
		f.refuse(shape, "%q is sized by its half-width; want half_width", c.Shape)
	}
}
