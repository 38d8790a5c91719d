package main

import (
	"io"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/presser"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

func newHouse(e env) *cli.Command {
	return &cli.Command{
		Name:  "house",
		Usage: "show what the registry holds of its house, or amend it",
		Subcommands: []*cli.Command{
			{Name: "show", Usage: "show the house, with the gravity of its site", UsageText: "wring house show", Action: reading(e, runHouseShow)},
			{Name: "amend", Usage: "correct or change its record, with the reason", UsageText: `wring house amend --gravity 9.81265 --gravity-expanded 0.00002 --reason "surveyed"`,
				Description: "What was kept before rests on the old record; checks by force from now on rest on the new one. An empty value takes a field out.",
				Flags: []cli.Flag{
					text("address", "TEXT", "of the house, as on a certificate"), text("site", "PLACE", "where checks are made"),
					text("latitude", "DEGREES", "of the site, south negative"), text("height", "LENGTH", "of the site above the sea, with its unit"),
					text("gravity", "G", "as measured on the site, in m/s²"), text("gravity-expanded", "U", "of it, k = 2, in m/s²"),
					text("reason", "TEXT", "of the change (wanted)"),
				}, Action: entering(e, runHouseAmend)},
		},
	}
}

// houseFacts are what the record says, and the gravity that follows from it.
func houseFacts(h calib.House) [][2]string {
	return [][2]string{{"organisation", h.Organisation}, {"address", h.Address}, {"site", h.Site}, {"unit", h.Unit}, {"rule", ruleText(h.Rule)},
		{"latitude", h.Latitude.String()}, {"height", h.Height.String()}, {"gravity", h.Gravity.String()}, {"gravity U, k = 2", h.GravityExpanded.String()}}
}

func runHouseShow(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	var o registry.Opening
	if err := d.view(func(tx *registry.Tx) (err error) { o, err = tx.House(); return err }); err != nil {
		return err
	}
	return d.answer(o, func(out io.Writer) error {
		facts := append(houseFacts(o.House), [2]string{"registry", o.Registry})
		if g, err := presser.GravityOf(o.House); err == nil {
			facts = append(facts, [2]string{"counts as", gravityText(g) + " m/s², " + g.Source})
		}
		return screen.Facts(out, facts...)
	})
}

func runHouseAmend(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	if reasonOf(c) == "" {
		return usagef("house amend: --reason is missing; want why the record changes")
	}
	var a registry.HouseAmendment
	var seq uint64
	err := d.update(func(tx *registry.Tx) error {
		o, err := tx.House()
		if err != nil {
			return err
		}
		a = registry.HouseAmendment{House: o.House, Reason: reasonOf(c)}
		if err := houseFrom(c, &a.House); err != nil {
			return err
		}
		if err := d.shape.Check(a.House); err != nil {
			return err
		}
		now := houseFacts(a.House)
		for i, f := range houseFacts(o.House) {
			if f[1] != now[i][1] {
				a.Changes = append(a.Changes, registry.Change{Field: f[0], Old: f[1], New: now[i][1]})
			}
		}
		head, err := tx.AmendHouse(a)
		seq = head.Seq
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(seq, "house amended: %s", changeText(a.Changes))
}

// houseFrom writes the options that were given into the record.
func houseFrom(c *cli.Context, h *calib.House) error {
	for name, field := range map[string]*string{"address": &h.Address, "site": &h.Site} {
		if c.IsSet(name) {
			*field = c.String(name)
		}
	}
	place := *h
	if err := placeOf(c, &place); err != nil {
		return err
	}
	if c.IsSet("latitude") {
		h.Latitude = place.Latitude
	}
	if c.IsSet("height") {
		h.Height = place.Height
	}
	if c.IsSet("gravity") || c.IsSet("gravity-expanded") {
		h.Gravity, h.GravityExpanded = place.Gravity, place.GravityExpanded
	}
	return nil
}
