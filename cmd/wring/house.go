package main

import (
	"cmp"
	"io"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/presser"
	"example.org/wring/certs"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

func newHouse(e env) *cli.Command {
	return &cli.Command{
		Name:  "house",
		Usage: "show what the registry holds of its house and its settings, or amend it",
		Subcommands: []*cli.Command{
			{Name: "show", Usage: "show the house and its settings, with the gravity of its site", UsageText: "wring house show", Action: reading(e, runHouseShow)},
			{Name: "amend", Usage: "correct or change its record and settings, with the reason", ArgsUsage: "",
				UsageText:   "wring house amend --gravity 9.81265 --gravity-expanded 0.00002 --reason \"surveyed\"\nwring house amend --paper Letter --due-within 6w --reason \"as the auditor asked\"",
				Description: "What was kept before rests on the old record; checks by force from now on rest on the new one. Papers of what was kept before keep their address and paper. A rule holds for plans that are entered from now on and state none. An empty value takes a field out.",
				Flags:       append(append(siteFlags(), settingFlags()...), text("reason", "TEXT", "of the change (wanted)")), Action: entering(e, runHouseAmend)},
		},
	}
}

// siteFlags say where the house is, as init takes them too.
func siteFlags() []cli.Flag {
	return []cli.Flag{
		text("address", "TEXT", "of the house, as on a certificate"), text("site", "PLACE", "where checks are made"),
		text("latitude", "DEGREES", "of the site, south negative"), text("height", "LENGTH", "of the site above the sea, with its unit"),
		text("gravity", "G", "as measured on the site, in m/s²"), text("gravity-expanded", "U", "of it, k = 2, in m/s²"),
	}
}

// settingFlags say what commands take where nothing else is said.
func settingFlags() []cli.Flag {
	return []cli.Flag{
		text("unit", "UNIT", "of new gauges, mm or in"),
		text("rule", "RULE", "of decision where a new plan states none"),
		text("guard-factor", "R", "in the guard band R·U, with a guarded rule"),
		text("risk", "P", "of false acceptance at most, with \"by risk\", as 0.02"),
		text("paper", "PAPER", "of certificates and records, A4 or Letter"),
		text("due-within", "SPAN", "ahead that wring due looks: 30d, 6w or 2m"),
		text("backup-reminder", "DAYS", "without a backup, after which a reminder is given"),
		text("one-hand", "MASS", "above which a load wants both hands, where a plan states none"),
		text("one-person", "MASS", "above which a load wants a hoist or two people"),
		text("release", "ON|OFF", "whether checks from now on want release by a second person"),
	}
}

// houseFacts are what the record says, and the settings with what holds where
// nothing was set.
func houseFacts(h calib.House) [][2]string {
	reminder := "of backups as the last one said, else 30 days"
	if h.RemindDays > 0 {
		reminder = "of backups after " + plural(h.RemindDays, "day")
	}
	hand, person := presser.UsualCare()
	return [][2]string{{"organisation", h.Organisation}, {"address", h.Address}, {"site", h.Site}, {"unit", h.Unit}, {"rule", ruleText(h.Rule)},
		{"latitude", h.Latitude.String()}, {"height", h.Height.String()}, {"gravity", h.Gravity.String()}, {"gravity U, k = 2", h.GravityExpanded.String()},
		{"paper", cmp.Or(h.Paper, string(certs.A4))}, {"due within", cmp.Or(h.DueWithin, usualSpan)}, {"reminder", reminder},
		{"both hands", "above " + cmp.Or(h.Care.OneHand.String(), hand.String())}, {"one person", "up to " + cmp.Or(h.Care.OnePerson.String(), person.String())}}
}

// A houseAnswer is what --json says of the house.
type houseAnswer struct {
	registry.Opening
	ReleaseRequired bool `json:"release_required"`
}

func runHouseShow(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	var a houseAnswer
	if err := d.view(func(tx *registry.Tx) (err error) {
		if a.Opening, err = tx.House(); err == nil {
			a.ReleaseRequired, err = releaseNow(tx)
		}
		return err
	}); err != nil {
		return err
	}
	return d.answer(a, func(out io.Writer) error {
		facts := append(houseFacts(a.House), [2]string{"release", yes(a.ReleaseRequired, "by a second person", "not wanted")}, [2]string{"registry", a.Registry})
		if g, err := presser.GravityOf(a.House); err == nil {
			facts = append(facts, [2]string{"counts as", gravityText(g) + " m/s², " + g.Source})
		}
		return screen.Facts(out, facts...)
	})
}

// releaseNow reports whether a check that is kept next wants release.
func releaseNow(tx *registry.Tx) (bool, error) {
	head, err := tx.Head()
	if err != nil {
		return false, err
	}
	return tx.ReleaseRequired(head.Seq + 1)
}

func runHouseAmend(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	if reasonOf(c) == "" {
		return usagef("house amend: --reason is missing; want why the record changes")
	}
	release := c.String("release")
	if release != "" && release != "on" && release != "off" {
		return usagef("--release %q: want on or off", release)
	}
	var list []registry.Change
	var seq uint64
	err := d.update(func(tx *registry.Tx) (err error) {
		if list, seq, err = d.amendHouse(tx, c, release != ""); err != nil || release == "" {
			return err
		}
		head, err := tx.SetReleaseRule(registry.ReleaseRule{Required: release == "on", Reason: reasonOf(c)})
		seq = head.Seq
		list = append(list, registry.Change{Field: "release", Old: yes(release == "on", "off", "on"), New: release})
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(seq, "house amended: %s", changeText(list))
}

// amendHouse enters what the options change; that may be nothing where another
// entry goes with it.
func (d desk) amendHouse(tx *registry.Tx, c *cli.Context, mayBeNothing bool) ([]registry.Change, uint64, error) {
	o, err := tx.House()
	if err != nil {
		return nil, 0, err
	}
	a := registry.HouseAmendment{House: o.House, Reason: reasonOf(c)}
	if err := first(houseFrom(c, &a.House), settingsFrom(c, &a.House)); err != nil {
		return nil, 0, err
	}
	if err := d.shape.Check(a.House); err != nil {
		return nil, 0, err
	}
	now := houseFacts(a.House)
	for i, f := range houseFacts(o.House) {
		if f[1] != now[i][1] {
			a.Changes = append(a.Changes, registry.Change{Field: f[0], Old: f[1], New: now[i][1]})
		}
	}
	if len(a.Changes) == 0 && mayBeNothing {
		return nil, 0, nil
	}
	head, err := tx.AmendHouse(a)
	return a.Changes, head.Seq, err
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

// settingsFrom writes the settings that were given into the record.
func settingsFrom(c *cli.Context, h *calib.House) error {
	if c.IsSet("unit") {
		if u, ok := unit.Lookup(c.String("unit"), unit.Length); !ok || (u.Symbol() != "mm" && u.Symbol() != "in") {
			return usagef("--unit %q: want mm or in", c.String("unit"))
		}
		h.Unit = c.String("unit")
	}
	if c.IsSet("rule") || c.IsSet("guard-factor") || c.IsSet("risk") {
		rule, err := ruleOf(c, h.Rule)
		if err != nil {
			return err
		}
		h.Rule = rule
	}
	paper, err := choice(c, "paper", []certs.Paper{certs.A4, certs.Letter})
	if err != nil {
		return err
	}
	if c.IsSet("paper") {
		h.Paper = string(paper)
	}
	if c.IsSet("due-within") {
		if _, err := ahead("due-within", c.String("due-within"), calib.Date{}); err != nil {
			return err
		}
		h.DueWithin = c.String("due-within")
	}
	if c.IsSet("backup-reminder") {
		if h.RemindDays, err = remindDays("backup-reminder", c.String("backup-reminder")); err != nil {
			return err
		}
	}
	return careFrom(c, &h.Care)
}

// careFrom reads the masses above which a person is warned.
func careFrom(c *cli.Context, care *calib.Care) error {
	for name, field := range map[string]*unit.Quantity{"one-hand": &care.OneHand, "one-person": &care.OnePerson} {
		if !c.IsSet(name) {
			continue
		}
		q, err := size(c, name, unit.Mass, unit.Unit{})
		switch {
		case err != nil:
			return err
		case !q.IsZero() && q.Inner().Sign() <= 0:
			return usagef("--%s %s: not above 0; want a mass", name, q)
		}
		*field = q
	}
	hand, person := presser.UsualCare()
	if !care.OneHand.IsZero() {
		hand = care.OneHand
	}
	if !care.OnePerson.IsZero() {
		person = care.OnePerson
	}
	if hand.Inner().Cmp(person.Inner()) > 0 {
		return usagef("--one-hand %s: more than the %s of one person; want a smaller one", hand, person)
	}
	return nil
}
