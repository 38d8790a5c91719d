package main

import (
	"cmp"
	"errors"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/unit"
)

func newInit(e env) *cli.Command {
	return &cli.Command{
		Name:      "init",
		Usage:     "make a new, empty registry",
		UsageText: `wring --registry shop.wring init --organisation "Harmen & Zoon" --latitude 52.1 --height "12 m"`,
		Flags: []cli.Flag{
			text("organisation", "NAME", "of the house that keeps the registry (wanted)"),
			text("address", "TEXT", "of its address, as on a certificate"),
			text("site", "PLACE", "where checks are made"),
			text("unit", "UNIT", "of new gauges, mm or in (mm)"),
			text("rule", "RULE", "of decision where a plan states none (simple acceptance)"),
			text("guard-factor", "R", "in the guard band R·U, with a guarded rule (1)"),
			text("risk", "P", "of false acceptance at most, with \"by risk\", as 0.02"),
			text("latitude", "DEGREES", "of the site, south negative"),
			text("height", "LENGTH", "of the site above the sea, with its unit"),
			text("gravity", "G", "as measured on the site, in m/s²"),
			text("gravity-expanded", "U", "of it, k = 2, in m/s²"),
		},
		Action: entering(e, runInit),
	}
}

func runInit(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	house, err := houseOf(d, c)
	if err != nil {
		return err
	}
	if err := d.named(); err != nil {
		return err
	}
	err = registry.Create(d.registry, house, d.hand())
	if errors.Is(err, registry.ErrExists) {
		return &hinted{err, "nothing was changed; give another --registry FILE"}
	}
	if err != nil {
		return err
	}
	const firstEntry = 1
	if d.json {
		return d.kept(firstEntry, "%s: a new registry of %s", d.registry, house.Organisation)
	}
	return line(d.Out, "%s: a new registry of %s\nnext: wring plan add --preset PLAN, wring standard add, wring gauge add", d.registry, house.Organisation)
}

func houseOf(d desk, c *cli.Context) (calib.House, error) {
	h := calib.House{
		Organisation: c.String("organisation"), Address: c.String("address"), Site: c.String("site"),
		Unit: cmp.Or(c.String("unit"), "mm"),
	}
	if h.Organisation == "" {
		return h, usagef("init: --organisation is missing; want the name of the house that keeps the registry")
	}
	if u, ok := unit.Lookup(h.Unit, unit.Length); !ok || (u.Symbol() != "mm" && u.Symbol() != "in") {
		return h, usagef("--unit %q: want mm or in", h.Unit)
	}
	rule, err := ruleOf(c, calib.Rule{Name: string(conformity.Simple)})
	if err != nil {
		return h, err
	}
	h.Rule = rule
	if err := placeOf(c, &h); err != nil {
		return h, err
	}
	return h, d.shape.Check(h)
}

// ruleOf reads the decision rule from its options; what they leave out is that
// of the rule that holds without them.
func ruleOf(c *cli.Context, r calib.Rule) (calib.Rule, error) {
	if name := c.String("rule"); name != "" {
		r = calib.Rule{Name: name}
		if name == string(conformity.Guarded) || name == string(conformity.FourVerdicts) {
			r.Factor = 1
		}
	}
	number := func(name string, into *float64) error {
		if c.String(name) == "" {
			return nil
		}
		q, err := unit.Parse(c.String(name), unit.Percent, percent())
		*into = q.Value().Float()
		return inOption(name, err)
	}
	if err := first(number("guard-factor", &r.Factor), number("risk", &r.Risk)); err != nil {
		return r, err
	}
	_, err := length.RuleOf(r)
	return r, inOption("rule", err)
}

func percent() unit.Unit {
	u, _ := unit.Lookup("%", unit.Percent)
	return u
}

// placeOf reads where on earth the site is, for checks of force.
func placeOf(c *cli.Context, h *calib.House) error {
	degree, _ := unit.Lookup("°", unit.PlaneAngle)
	g, _ := unit.Lookup("m/s²", unit.Acceleration)
	var errs [4]error
	h.Latitude, errs[0] = size(c, "latitude", unit.PlaneAngle, degree)
	h.Height, errs[1] = size(c, "height", unit.Length, unit.Unit{})
	h.Gravity, errs[2] = size(c, "gravity", unit.Acceleration, g)
	h.GravityExpanded, errs[3] = size(c, "gravity-expanded", unit.Acceleration, g)
	if err := first(errs[:]...); err != nil {
		return err
	}
	switch {
	case h.Latitude.Inner().Abs().Cmp(unit.Whole(90)) > 0:
		return usagef("--latitude %s: want -90 to 90 degrees", h.Latitude)
	case !h.Gravity.IsZero() && (h.Gravity.Inner().Cmp(unit.Ratio(976, 100)) < 0 || h.Gravity.Inner().Cmp(unit.Ratio(984, 100)) > 0):
		return usagef("--gravity %s: want a value found on earth, 9.76 to 9.84 m/s²", h.Gravity)
	case h.Gravity.IsZero() != h.GravityExpanded.IsZero():
		return usagef("--gravity and --gravity-expanded go together; want both or neither")
	}
	return nil
}
