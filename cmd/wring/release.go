package main

import (
	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/registry"
)

func newRelease(e env) *cli.Command {
	return &cli.Command{
		Name:        "release",
		Usage:       "release a check that another person performed",
		ArgsUsage:   "[CHECK]",
		UsageText:   "wring --as QL release 88 --note \"readings looked through\"\nwring --as QL release --require on --reason \"customers want it\"",
		Description: "With --require on, every check that is kept from then on waits for release by somebody who is registered as one who may (wring person add) and neither performed nor entered it; until then its certificate says that it is not released, and has another number. " + claimNote,
		Flags: []cli.Flag{
			text("note", "TEXT", "to keep with the release"),
			text("require", "ON|OFF", "whether checks want release from now on"),
			text("reason", "TEXT", "why the rule is made or ended"),
		},
		Action: entering(e, runRelease),
	}
}

func runRelease(d desk, c *cli.Context) error {
	w, err := words(c, "[CHECK]")
	if err != nil {
		return err
	}
	for _, name := range []string{"note", "reason"} {
		const most = 400 // characters, as of every remark
		if t := c.String(name); len([]rune(t)) > most || containsBreak(t) {
			return usagef("--%s %.60q: want one line of at most %d characters", name, t, most)
		}
	}
	rule := c.String("require")
	switch {
	case rule != "" && w[0] != "":
		return usagef("release: a check and --require; want one of the two")
	case rule != "":
		return d.setReleaseRule(rule, reasonOf(c))
	case w[0] == "":
		return usagef("release: CHECK is missing; want wring release CHECK, or --require on")
	}
	var seq, check uint64
	if err := d.update(func(tx *registry.Tx) (err error) {
		if check, err = checkNamed(tx, w[0]); err != nil {
			return err
		}
		head, err := tx.ReleaseCheck(check, c.String("note"))
		seq = head.Seq
		return err
	}); err != nil {
		return err
	}
	return d.kept(seq, "check %d released by %s; its certificate: wring certificate %d", check, d.person, check)
}

func (d desk) setReleaseRule(rule, reason string) error {
	switch {
	case rule != "on" && rule != "off":
		return usagef("--require %q: want on or off", rule)
	case reason == "":
		return usagef("release: --reason is missing; want why the rule is made or ended")
	}
	var seq uint64
	if err := d.update(func(tx *registry.Tx) error {
		head, err := tx.SetReleaseRule(registry.ReleaseRule{Required: rule == "on", Reason: reason})
		seq = head.Seq
		return err
	}); err != nil {
		return err
	}
	return d.kept(seq, "checks that are kept from now on want %s", yes(rule == "on", "release by a second person", "no release"))
}

// releasedBy puts on a certificate who released the check, or that nobody did
// where the rule wants it. A paper that is not released has a number of its own,
// so that no two papers share one.
func releasedBy(tx *registry.Tx, k registry.Kept, in *certs.CertificateOf) error {
	required, err := tx.ReleaseRequired(k.Head.Seq)
	if err != nil || !required {
		return err
	}
	e, head, err := tx.ReleaseOf(k.Head.Seq)
	if err != nil {
		return err
	}
	if e == nil {
		in.Unreleased, in.Number = true, in.Number+"-unreleased"
		return nil
	}
	in.Released, in.Head = e.Person, head.String()
	if day := calib.DateOf(e.At); day.After(in.Issued) {
		in.Issued = day
	}
	return nil
}
