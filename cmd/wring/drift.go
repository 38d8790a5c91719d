package main

import (
	"cmp"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/history"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

func newDrift(e env) *cli.Command {
	return &cli.Command{
		Name:      "drift",
		Usage:     "which gauges move, how, and when they leave their limits",
		ArgsUsage: "[GAUGE]",
		UsageText: "wring drift --place \"bench 1\"\nwring drift MIC-021 --svg mic-021.svg",
		Description: "Errors of length since the last adjustment are compared, without the part that checks under one certificate share. " +
			"A gauge is drifting when its trend is significant and it leaves its limit before the next due date, or when it changed since the check before; it is moving when its trend is significant and it stays within. " +
			"At most two stable gauges in a hundred are flagged at a check by chance, where the scatter is what budget and like gauges say. With a gauge its series is drawn, with limits, U and adjustments. " +
			"Forces, pressures and errors under load are followed by --part, each figure that has a band by itself, with all of its uncertainty taken as new at each check.",
		Flags: []cli.Flag{
			text("place", "PLACE", "where they are"), text("kind", "KIND", "of gauge"), text("owner", "NAME", "whose they are"),
			text("part", "PART", "whose series are looked at: length, foot, force, load (length)"),
			text("svg", "FILE", "to draw one gauge's series to, as SVG"),
			text("pdf", "FILE", "to draw one gauge's series to, as PDF"),
			switchOn("strict", "exit with 3 if a gauge is drifting or beyond its limit"),
		},
		Action: reading(e, runDrift),
	}
}

// askedFor holds a gauge to the place, owner and kind that are asked for.
func askedFor(r calib.Gauge, c *cli.Context) bool {
	return matches(r.Place, c.String("place")) && matches(r.Owner, c.String("owner")) && matches(string(r.Kind), c.String("kind"))
}

func runDrift(d desk, c *cli.Context) error {
	w, err := words(c, "[GAUGE]")
	if err != nil {
		return err
	}
	if err := choiceOfDrift(c, w[0]); err != nil {
		return err
	}
	part, ok := partOf(cmp.Or(c.String("part"), wordOf(calib.LengthPart)))
	if !ok {
		return usagef("--part %q: no such word; want one of %s", c.String("part"), strings.Join(partWords(), ", "))
	}
	var all []*fleetGauge
	list := []driftAnswer{}
	var house registry.Opening
	var head string
	err = d.view(func(tx *registry.Tx) error {
		if w[0] != "" {
			if _, err := tx.Gauge(w[0]); err != nil {
				return err
			}
		}
		if house, err = tx.House(); err != nil {
			return err
		}
		h, err := tx.Head()
		if err != nil {
			return err
		}
		head = h.String()
		switch {
		case part != calib.LengthPart:
			all, err = readParts(tx, part, w[0])
		case w[0] != "":
			all, err = readFleet(tx, just(w[0]))
		default:
			list, err = d.answers(tx, c)
		}
		if err == nil && w[0] == "" && len(list) == 0 && !slices.ContainsFunc(all, func(g *fleetGauge) bool { return askedFor(g.state.Gauge, c) }) {
			err = filtersKnown(tx, c)
		}
		return err
	})
	if err != nil {
		return err
	}
	paper := driftPaper{house, head}
	switch {
	case part != calib.LengthPart && w[0] != "":
		return d.driftOfFigures(c, w[0], part, all, paper)
	case part != calib.LengthPart:
		return d.driftOfParts(c, all)
	case w[0] != "":
		return d.driftOfOne(c, w[0], all, paper)
	}
	return d.driftOfAll(c, list)
}

// choiceOfDrift refuses options that belong to one gauge where none is named,
// and those that choose where one is.
func choiceOfDrift(c *cli.Context, gauge string) error {
	if gauge == "" && (c.String("svg") != "" || c.String("pdf") != "") {
		return usagef("drift: --svg and --pdf draw one gauge; want wring drift GAUGE")
	}
	for _, choosing := range []string{"place", "kind", "owner"} {
		if gauge != "" && c.IsSet(choosing) {
			return usagef("--%s: chooses among gauges; want it or GAUGE, not both", choosing)
		}
	}
	return nil
}

// answers are those of the gauges that fit, one for each. What only --json
// says of each test is not kept for a table: it would be most of the memory.
func (d desk) answers(tx *registry.Tx, c *cli.Context) ([]driftAnswer, error) {
	list := []driftAnswer{}
	err := eachInFleet(tx, func(s registry.GaugeState) bool { return askedFor(s.Gauge, c) }, func(g *fleetGauge) error {
		if !d.json {
			g.said.Tests = nil
		}
		list = append(list, g.answer())
		return nil
	})
	return list, err
}

func (d desk) driftOfAll(c *cli.Context, list []driftAnswer) error {
	slices.SortStableFunc(list, func(a, b driftAnswer) int {
		return cmp.Or(cmp.Compare(rank(a.State), rank(b.State)), cmp.Compare(b.Share, a.Share), cmp.Compare(a.Gauge, b.Gauge))
	})
	if err := d.answer(list, func(out io.Writer) error { return writeDrift(out, list) }); err != nil {
		return err
	}
	return strictly(c, slices.ContainsFunc(list, func(a driftAnswer) bool { return a.State.Flagged() }))
}

// strictly turns a flag into the answer no, where that is asked for.
func strictly(c *cli.Context, flagged bool) error {
	if c.Bool("strict") && flagged {
		return errNo
	}
	return nil
}

func rank(s history.State) int {
	return slices.Index([]history.State{history.Outside, history.Drifting, history.Moving, history.Steady, history.TooFew}, s)
}

func writeDrift(out io.Writer, list []driftAnswer) error {
	if len(list) == 0 {
		return line(out, "no gauge that fits has a check of length; wring check enters one")
	}
	t := screen.Table{Columns: []screen.Column{{Title: "gauge"}, {Title: "state"}, {Title: "what it shows", Wrap: true}}}
	for _, a := range list {
		t.Add(a.Gauge, string(a.State), a.Text)
	}
	return t.Write(out)
}
