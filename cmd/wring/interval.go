package main

import (
	"fmt"
	"io"
	"slices"
	"strconv"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/history"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

// usualTarget is the share of like gauges that ought to come back within their
// limits (house rule, unless --target says otherwise).
const usualTarget = 0.95

func newInterval(e env) *cli.Command {
	return &cli.Command{
		Name:      "interval",
		Usage:     "what the checks say of the time from check to check; accept a proposal",
		ArgsUsage: "[GAUGE]",
		UsageText: "wring interval MIC-014\nwring interval MIC-014 --accept staircase --reason \"two good checks\"",
		Description: "Three methods of ILAC-G24 / OIML D 10 look at the checks as found of length: the staircase at each check's share of its limit, the forecast at drift and scatter since the last adjustment, and the exact binomial test at all gauges of one plan. " +
			"Nothing changes until a proposal is accepted, with the reason.",
		Flags: []cli.Flag{
			text("accept", "METHOD", "whose proposal is accepted: staircase, forecast, group, or own with --months"),
			text("months", "MONTHS", "of an interval of one's own"),
			text("reason", "TEXT", "for accepting it (wanted with --accept)"),
			text("target", "SHARE", "of a group that ought to be within its limits, in per cent (95)"),
			switchOn("guarded", "forecast to the limit less U"),
		},
		Action: entering(e, runInterval),
	}
}

// A review is what the methods say of one gauge.
type review struct {
	Gauge     string           `json:"gauge"`
	Months    int              `json:"months"` // as it is now; 0 where it has none
	Proposals []proposalAnswer `json:"proposals"`
}

// A proposalAnswer is what one method says.
type proposalAnswer struct {
	Name   string         `json:"name"` // what --accept takes
	Method history.Method `json:"method"`
	Inputs string         `json:"inputs"`
	Old    int            `json:"old"` // months
	New    int            `json:"new"` // months, whole; where it is longer and drift flags the gauge, Why says so
	Why    string         `json:"why"`
}

func runInterval(d desk, c *cli.Context) error {
	w, err := words(c, "[GAUGE]")
	if err != nil {
		return err
	}
	target, err := targetOf(c)
	if err != nil {
		return err
	}
	if err := acceptable(c, w[0]); err != nil {
		return err
	}
	list := []review{}
	err = d.view(func(tx *registry.Tx) error {
		if w[0] != "" {
			if _, err := tx.Gauge(w[0]); err != nil {
				return err
			}
		}
		all, err := readFleet(tx, everyGauge)
		if err != nil {
			return err
		}
		groups := groupsOf(all, target)
		for _, g := range all {
			if w[0] == "" || w[0] == g.state.Gauge.ID {
				r, err := g.review(groups[g.state.Gauge.Plan], c.Bool("guarded"))
				if err != nil {
					return at(g.state.Gauge.ID, err)
				}
				list = append(list, r)
			}
		}
		return nil
	})
	if err != nil {
		return err
	}
	if w[0] != "" && len(list) == 0 {
		return fmt.Errorf("gauge %s: has no check of length that counts; want one first", w[0])
	}
	if c.String("accept") != "" {
		return d.accept(c, list[0])
	}
	return d.answer(list, func(out io.Writer) error { return writeReviews(out, list, w[0] != "") })
}

func targetOf(c *cli.Context) (float64, error) {
	given := c.String("target")
	if given == "" {
		return usualTarget, nil
	}
	p, err := strconv.ParseFloat(given, 64)
	if err != nil || !(p >= 50 && p < 100) {
		return 0, usagef("--target %q: not a share; want per cent from 50 to below 100, as 95", given)
	}
	return p / 100, nil
}

func acceptable(c *cli.Context, gauge string) error {
	method := c.String("accept")
	switch {
	case method == "" && (c.String("months") != "" || reasonOf(c) != ""):
		return usagef("interval: --months and --reason go with --accept; want --accept METHOD")
	case method == "":
		return nil
	case gauge == "":
		return usagef("interval: --accept is for one gauge; want wring interval GAUGE --accept %s", method)
	case !slices.Contains([]string{"staircase", "forecast", "group", "own"}, method):
		return usagef("--accept %q: no such method; want one of staircase, forecast, group, own", method)
	case reasonOf(c) == "":
		return usagef("interval: --reason is missing; want why it is accepted")
	case (method == "own") != (c.String("months") != ""):
		return usagef("interval: --accept own and --months go together; want both or neither")
	case method != "forecast" && c.IsSet("guarded"):
		return usagef("--guarded: is of the forecast; want it left out with --accept %s", method)
	case method != "group" && c.IsSet("target"):
		return usagef("--target: is of the group; want it left out with --accept %s", method)
	}
	_, err := months(c, "months")
	return err
}

// groupsOf counts, for each plan, how the full checks as found came back.
func groupsOf(all []*fleetGauge, target float64) map[string]history.Group {
	out := map[string]history.Group{}
	for _, g := range all {
		n := out[g.state.Gauge.Plan]
		n.Target = target
		for _, share := range history.Shares(g.checks, 0) {
			n.Checks++
			if share <= 1 {
				n.Within++
			}
		}
		out[g.state.Gauge.Plan] = n
	}
	return out
}

// review asks every method that has what it needs.
func (g *fleetGauge) review(group history.Group, guarded bool) (review, error) {
	now := g.state.Months(calib.LengthPart)
	r := review{Gauge: g.state.Gauge.ID, Months: now, Proposals: []proposalAnswer{}}
	if now == 0 {
		return r, nil
	}
	add := func(name string, p history.Proposal) {
		if p.Months() > now && g.said.State.Flagged() {
			p.Why += fmt.Sprintf("; but drift flags it: %s", g.said.Line(g.units()))
		}
		r.Proposals = append(r.Proposals, proposalAnswer{name, p.Method, p.Inputs, now, p.Months(), p.Why})
	}
	// The staircase climbs by the checks under the interval as it stands.
	if shares := history.Shares(g.checks, g.state.AcceptedAt(calib.LengthPart)); len(shares) > 0 {
		p, err := history.UsualStair().Next(shares, float64(now))
		if err != nil {
			return r, err
		}
		add("staircase", p)
	}
	if p, err := history.ForecastInterval(g.checks, g.options, float64(now), guarded); err == nil {
		add("forecast", p)
	}
	if group.Checks > 0 {
		group.Months = float64(now)
		p, err := group.Test()
		if err != nil {
			return r, err
		}
		add("group", p)
	}
	return r, nil
}

func (d desk) accept(c *cli.Context, r review) error {
	a := registry.AcceptedInterval{Gauge: r.Gauge, Part: calib.LengthPart, Old: r.Months, Reason: reasonOf(c), Method: string(history.ByDecision)}
	if n, _ := months(c, "months"); n > 0 {
		a.New = n
	} else {
		i := slices.IndexFunc(r.Proposals, func(p proposalAnswer) bool { return p.Name == c.String("accept") })
		if i < 0 {
			return fmt.Errorf("interval of %s: the %s has nothing to go by; want more checks, or an interval of one's own", r.Gauge, c.String("accept"))
		}
		p := r.Proposals[i]
		a.New, a.Method, a.Inputs, a.Why = p.New, string(p.Method), p.Inputs, p.Why
	}
	var seq uint64
	err := d.update(func(tx *registry.Tx) error {
		head, err := tx.AcceptInterval(a)
		seq = head.Seq
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(seq, "%s is checked every %s from now on, before every %s", r.Gauge, plural(a.New, "month"), plural(a.Old, "month"))
}

func writeReviews(out io.Writer, list []review, whole bool) error {
	t := screen.Table{Columns: []screen.Column{{Title: "gauge"}, {Title: "now", Align: screen.Right}, {Title: "method"}, {Title: "months", Align: screen.Right}, {Title: "why", Wrap: true}}}
	for _, r := range list {
		shown := 0
		for _, p := range r.Proposals {
			why := p.Why
			if whole {
				why += "; " + p.Inputs
			} else if p.New == p.Old {
				continue // a fleet's list shows what would change
			}
			t.Add(yes(shown == 0, r.Gauge, ""), yes(shown == 0, strconv.Itoa(r.Months), ""), p.Name, strconv.Itoa(p.New), why)
			shown++
		}
	}
	if t.Empty() {
		return line(out, "no method proposes another interval")
	}
	return t.Write(out)
}
