package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/limits"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// gaugeFlags are the fields of a gauge's record, for add and amend alike.
func gaugeFlags() []cli.Flag {
	return append([]cli.Flag{
		text("kind", "KIND", "of gauge: "+quotedList(calib.Kinds())),
		text("range", "LOW..HIGH", "of measurement, as 0..25"),
		text("resolution", "SIZE", "of one step, as 0.001"),
		text("unit", "UNIT", "it is read in; a length gauge's, else the house's"),
		text("plan", "PLAN", "by which it is checked"),
		text("interval", "MONTHS", "from check to check; else the plan's"),
		text("interval-uses", "N", "surveys of lots after which it is due again, whatever the months say"),
		text("intermediate", "MONTHS", "from any check to an intermediate one; else the plan's"),
		text("flatness", "SIZE", "of the measuring faces, as \"0.6 um\""),
		text("parallelism", "SIZE", "of the measuring faces, as \"2 um\""),
		text("foot-diameter", "SIZE", "of a thickness gauge's foot"),
		text("foot-area", "AREA", "of a foot that is not round, as \"2500 mm²\""),
		text("foot-expanded", "U", "of its diameter or area, k = 2, as \"0.01 mm\""),
		text("description", "TEXT", "in the workshop's words"),
		text("maker", "NAME", "of the gauge"), text("type", "TEXT", "the maker's"), text("serial", "TEXT", "number"),
		text("software", "VERSION", "of a gauge that has one"), text("seal", "TEXT", "that shows an adjustment"),
		text("place", "PLACE", "where it is kept"), text("owner", "NAME", "whose it is, if not the house's"),
		switchOn("due-agreed", "its owner agreed to a due date on its certificate"),
	}, materialFlags()...)
}

// materialFlags say how a gauge or a standard grows with temperature.
func materialFlags() []cli.Flag {
	return []cli.Flag{
		text("material", "NAME", "whose expansion it has: "+strings.Join(limits.Materials(), ", ")),
		text("expansion", "A", "coefficient of expansion, as \"11.5 ppm/°C\""),
		text("expansion-half-width", "A", "bound of its error, as \"1 ppm/°C\""),
	}
}

// gaugeFrom writes the options that were given into a gauge.
func gaugeFrom(c *cli.Context, g *calib.Gauge) error {
	kind, err := choice(c, "kind", calib.Kinds())
	if err != nil {
		return err
	}
	if kind != "" {
		g.Kind = kind
	}
	for name, field := range map[string]*string{
		"unit": &g.Unit, "plan": &g.Plan, "description": &g.Description, "maker": &g.Maker, "type": &g.Type,
		"serial": &g.Serial, "software": &g.Software, "seal": &g.Seal, "place": &g.Place, "owner": &g.Owner,
	} {
		if c.IsSet(name) {
			*field = c.String(name)
		}
	}
	if c.IsSet("due-agreed") {
		g.DueAgreed = c.Bool("due-agreed")
	}
	if n, err := months(c, "interval"); err != nil {
		return err
	} else if n > 0 {
		g.IntervalMonths = n
	}
	if given := c.String("interval-uses"); given != "" {
		n, err := strconv.ParseUint(given, 10, 16)
		if err != nil || n == 0 {
			return usagef("--interval-uses %q: not a number of uses; want a whole number from 1 to 65535", given)
		}
		g.IntervalUses = int(n)
	}
	if n, err := months(c, "intermediate"); err != nil {
		return err
	} else if n > 0 {
		g.IntermediateMonths = n
	}
	return first(ofKind(c, g.Kind), gaugeSizes(c, g), materialFrom(c, &g.Material))
}

// ofKind refuses an option that means nothing for a kind of gauge.
func ofKind(c *cli.Context, kind calib.Kind) error {
	for _, own := range []struct {
		what    string
		has     bool
		options []string
	}{
		{"a gauge of length", kind.Dimension() == unit.Length, []string{"flatness", "parallelism", "material", "expansion", "expansion-half-width"}},
		{"a dial thickness gauge", kind == calib.ThicknessGauge, []string{"foot-diameter", "foot-area", "foot-expanded", "interval-uses"}},
	} {
		for _, name := range own.options {
			if c.IsSet(name) && !own.has {
				return usagef("--%s: belongs to %s, not to the kind %s; leave it out", name, own.what, kind)
			}
		}
	}
	return nil
}

func gaugeSizes(c *cli.Context, g *calib.Gauge) error {
	u, dimension := g.ReadIn(), g.Kind.Dimension()
	if u.IsZero() {
		return usagef("--unit %q: want one of %s", g.Unit, strings.Join(unit.Symbols(dimension), ", "))
	}
	if c.IsSet("range") {
		low, high, ok := strings.Cut(c.String("range"), "..")
		if !ok {
			return usagef("--range %q: not a range; want its low and high end, as 0..25", c.String("range"))
		}
		var errs [2]error
		g.Low, errs[0] = unit.Parse(low, dimension, u)
		g.High, errs[1] = unit.Parse(high, dimension, u)
		if err := first(errs[:]...); err != nil {
			return inOption("range", err)
		}
	}
	if q, err := size(c, "resolution", dimension, u); err != nil || !q.IsZero() {
		if err != nil {
			return err
		}
		g.Resolution = q
	}
	return first(faceSizes(c, g, u), footSizes(c, g, u))
}

// faceSizes are those of measuring faces, which only a gauge of length has.
func faceSizes(c *cli.Context, g *calib.Gauge, u unit.Unit) error {
	for _, f := range []struct {
		name string
		into *unit.Quantity
	}{{"flatness", &g.Flatness}, {"parallelism", &g.Parallelism}, {"foot-diameter", &g.FootDiameter}} {
		q, err := size(c, f.name, unit.Length, u)
		if err != nil {
			return err
		}
		if !q.IsZero() {
			*f.into = q
		}
	}
	return nil
}

// footSizes are the area of a foot that is not round, and what is known of
// either: a new diameter takes the place of an area, and the other way round.
func footSizes(c *cli.Context, g *calib.Gauge, u unit.Unit) error {
	area, err := size(c, "foot-area", unit.Area, unit.Unit{})
	if err != nil {
		return err
	}
	if !area.IsZero() {
		g.FootArea = area
		if !c.IsSet("foot-diameter") {
			g.FootDiameter = unit.Quantity{}
		}
	} else if c.IsSet("foot-diameter") {
		g.FootArea = unit.Quantity{}
	}
	d, fallback := unit.Length, u
	if !g.FootArea.IsZero() {
		d, fallback = unit.Area, unit.Unit{}
	}
	q, err := size(c, "foot-expanded", d, fallback)
	if err == nil && !q.IsZero() {
		g.FootExpanded = q
	}
	return err
}

// materialFrom reads a known material, or a coefficient with its half-width.
func materialFrom(c *cli.Context, m *calib.Material) error {
	if name := c.String("material"); name != "" {
		known, ok := limits.Material(name)
		if !ok {
			return usagef("--material %q: not known; want one of %s, or --expansion with --expansion-half-width", name, strings.Join(limits.Materials(), ", "))
		}
		*m = known
	}
	a, err := size(c, "expansion", unit.Expansion, unit.Unit{})
	if err != nil {
		return err
	}
	half, err := size(c, "expansion-half-width", unit.Expansion, unit.Unit{})
	if err != nil {
		return err
	}
	if a.IsZero() != half.IsZero() {
		return usagef("--expansion and --expansion-half-width go together; want both")
	}
	if half.Inner().Sign() < 0 {
		return usagef("--expansion-half-width %s: want 0 or more", half)
	}
	if !a.IsZero() {
		*m = calib.Material{Name: "own figure", Coefficient: a, HalfWidth: half}
	}
	return nil
}

func runGaugeAmend(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE")
	if err != nil {
		return err
	}
	if reasonOf(c) == "" {
		return usagef("gauge amend: --reason is missing; want why the record changes")
	}
	var seq uint64
	var a registry.Amendment
	err = d.update(func(tx *registry.Tx) error {
		old, err := tx.Gauge(w[0])
		if err != nil {
			return err
		}
		a = registry.Amendment{Gauge: old.Gauge, Reason: reasonOf(c)}
		if c.IsSet("unit") && c.String("unit") != old.Gauge.Unit {
			return usagef("--unit %q: %s is read in %s; a gauge read in another unit is another gauge", c.String("unit"), w[0], old.Gauge.Unit)
		}
		if err := gaugeFrom(c, &a.Gauge); err != nil {
			return err
		}
		if err := gaugeStands(d, tx, a.Gauge); err != nil {
			return err
		}
		a.Changes = changes(old, a.Gauge)
		head, err := tx.AmendGauge(a)
		seq = head.Seq
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(seq, "%s amended: %s", w[0], changeText(a.Changes))
}

// changes compares two records of a gauge field by field, as they are printed.
// What follows from checks, uses and decisions stands beside the record, and is
// no change of it.
func changes(old registry.GaugeState, g calib.Gauge) (list []registry.Change) {
	now := old
	now.Gauge = g
	before := gaugeFacts(old)
	for i, f := range gaugeFacts(now) {
		if f[1] != before[i][1] {
			list = append(list, registry.Change{Field: f[0], Old: before[i][1], New: f[1]})
		}
	}
	return list
}

func changeText(list []registry.Change) string {
	var out []string
	for _, ch := range list {
		was := ch.Old
		if was == "" {
			was = "nothing"
		}
		now := ch.New
		if now == "" {
			now = "nothing"
		}
		out = append(out, ch.Field+": "+was+" → "+now)
	}
	return strings.Join(slices.Clip(out), "; ")
}
