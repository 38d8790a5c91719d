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

// A fleetGauge is one gauge with its series and what it says.
type fleetGauge struct {
	state   registry.GaugeState
	checks  []history.Check
	scatter history.Scatter
	options history.Options
	said    history.Assessment
	figure  *followed // nil: the length
}

// zeroOf is where a gauge's zero is set: the low end of its range.
func zeroOf(g calib.Gauge) float64 { return g.Low.Inner().Float() }

// readFleet reads every gauge's series and assesses it, knowing how those that
// are checked by the same plan scatter. It reads the rows of the series alone.
func readFleet(tx *registry.Tx) ([]*fleetGauge, error) {
	var all []*fleetGauge
	like := map[string]*history.Fleet{}
	err := tx.Gauges(func(s registry.GaugeState) error {
		if s.Status.Withdrawn() {
			return nil
		}
		g := &fleetGauge{state: s}
		var err error
		if g.checks, err = tx.Trend(s.Gauge.ID); err != nil || len(g.checks) == 0 {
			return err
		}
		g.scatter = history.ScatterOf(g.checks, zeroOf(s.Gauge))
		if like[s.Gauge.Plan] == nil {
			like[s.Gauge.Plan] = &history.Fleet{}
		}
		like[s.Gauge.Plan].Add(g.scatter)
		all = append(all, g)
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, g := range all {
		g.options = history.Options{Zero: zeroOf(g.state.Gauge), Due: dueByInterval(g.state, calib.LengthPart), Known: like[g.state.Gauge.Plan].For(g.scatter)}
		if g.said, err = history.Assess(g.checks, g.options); err != nil {
			return nil, at(g.state.Gauge.ID, err)
		}
	}
	return all, nil
}

// fits holds the gauge to the place, owner and kind that are asked for.
func (g *fleetGauge) fits(c *cli.Context) bool {
	r := g.state.Gauge
	return matches(r.Place, c.String("place")) && matches(r.Owner, c.String("owner")) && matches(string(r.Kind), c.String("kind"))
}

// dueByInterval is the day on which a part is due by its interval, whatever its
// last verdict; zero where it has none.
func dueByInterval(s registry.GaugeState, part calib.Part) calib.Date {
	for _, p := range s.Parts {
		if months := s.Months(p.Part); p.Part == part && p.Last != nil && months > 0 {
			return p.Last.Date.AddMonths(months)
		}
	}
	return calib.Date{}
}

func runDrift(d desk, c *cli.Context) error {
	w, err := words(c, "[GAUGE]")
	if err != nil {
		return err
	}
	if w[0] == "" && (c.String("svg") != "" || c.String("pdf") != "") {
		return usagef("drift: --svg and --pdf draw one gauge; want wring drift GAUGE")
	}
	for _, choosing := range []string{"place", "kind", "owner"} {
		if w[0] != "" && c.IsSet(choosing) {
			return usagef("--%s: chooses among gauges; want it or GAUGE, not both", choosing)
		}
	}
	part, ok := partOf(cmp.Or(c.String("part"), wordOf(calib.LengthPart)))
	if !ok {
		return usagef("--part %q: no such word; want one of %s", c.String("part"), strings.Join(partWords(), ", "))
	}
	var all []*fleetGauge
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
		if part == calib.LengthPart {
			all, err = readFleet(tx)
		} else {
			all, err = readParts(tx, part, w[0])
		}
		if err == nil && w[0] == "" && !slices.ContainsFunc(all, func(g *fleetGauge) bool { return g.fits(c) }) {
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
	return d.driftOfAll(c, all)
}

func (d desk) driftOfAll(c *cli.Context, all []*fleetGauge) error {
	list := []driftAnswer{}
	for _, g := range all {
		if g.fits(c) {
			list = append(list, g.answer())
		}
	}
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
