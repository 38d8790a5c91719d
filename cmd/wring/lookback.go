package main

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

func newLookback(e env) *cli.Command {
	return &cli.Command{
		Name:      "lookback",
		Usage:     "what was measured and checked with a gauge or standard since it was last known good",
		ArgsUsage: "[GAUGE|STANDARD]",
		UsageText: "wring lookback MIC-014\n" +
			"wring lookback GB-1 --open --since 2026-02-03 --reason \"certificate recalled\"\n" +
			"wring lookback MIC-014 --item \"use MIC-014\" --decide re-measured --reason \"40 reed plates, all within\"",
		Description: "A check that fails as found opens a look-back by itself, from the last check the gauge passed. Without a name the open items of all are listed. Every item wants a decision: kept, re-measured or recalled, with the reason.",
		Flags: []cli.Flag{
			switchOn("open", "a look-back: it was recalled, found wrong, dropped"),
			text("since", "DATE", "it was last known good, with --open"),
			text("until", "DATE", "it was used, with --open (today)"),
			text("item", "ITEM", "that is decided on, as \"check 45\""),
			text("decide", "DECISION", "kept, re-measured or recalled"),
			text("informed", "NAME", "whom that was told"), text("informed-on", "DATE", "and when (today)"),
			text("reason", "TEXT", "of opening or deciding (wanted)"),
			text("entry", "NUMBER", "of the look-back, if not the newest"),
		},
		Action: entering(e, runLookback),
	}
}

// A lookbackAnswer is one look-back with its items.
type lookbackAnswer struct {
	registry.LookBackState
	Items []registry.Item `json:"items"`
	Open  int             `json:"open"` // items without a decision
	Found []foundError    `json:"found,omitempty"`

	// Doubts are the lots that were surveyed with the gauge, what could wrongly
	// have been accepted first.
	Doubts []lotDoubt `json:"doubts,omitempty"`
}

// A foundError is what the check that opened it found at one size, against the
// limit there.
type foundError struct {
	PointMM float64 `json:"point_mm"` // mm
	ErrorUM float64 `json:"error_um"` // µm
	LimitUM float64 `json:"limit_um"` // µm
}

func runLookback(d desk, c *cli.Context) error {
	w, err := words(c, "[GAUGE|STANDARD]")
	if err != nil {
		return err
	}
	decides := c.String("item") != "" || c.String("decide") != ""
	switch {
	case (c.Bool("open") || decides) && w[0] == "":
		return usagef("lookback: GAUGE|STANDARD is missing; want wring lookback GAUGE|STANDARD")
	case c.Bool("open") && decides:
		return usagef("lookback: --open and --decide do not go together; want one of them")
	case c.Bool("open"):
		return d.openLookback(c, w[0])
	case decides:
		return d.decide(c, w[0])
	}
	list := []lookbackAnswer{}
	err = d.view(func(tx *registry.Tx) error { return readLookbacks(tx, w[0], &list) })
	if err != nil {
		return err
	}
	return d.answer(list, func(out io.Writer) error {
		if w[0] == "" {
			return writeOpen(out, list)
		}
		return writeLookbacks(out, w[0], list)
	})
}

func readLookbacks(tx *registry.Tx, subject string, list *[]lookbackAnswer) error {
	if subject != "" {
		if _, err := tx.Standard(subject); err != nil {
			if _, err := tx.Gauge(subject); err != nil {
				return err
			}
		}
	}
	all, err := tx.LookBacks(subject)
	if err != nil {
		return err
	}
	for _, l := range all {
		a := lookbackAnswer{LookBackState: l}
		if a.Items, err = tx.Items(l); err != nil {
			return err
		}
		for _, i := range a.Items {
			if i.Open() {
				a.Open++
			}
		}
		if l.Check > 0 {
			stands, err := tx.Stands(l.Check)
			if err != nil {
				return err
			}
			if a.Found, err = foundBy(tx, stands); err != nil {
				return err
			}
			if a.Doubts, err = doubtsOf(tx, l, a.Items); err != nil {
				return err
			}
		}
		*list = append(*list, a)
	}
	return nil
}

// foundBy lists the errors that a check found, the worst share of its limit
// first: what could have been wrongly accepted.
func foundBy(tx *registry.Tx, seq uint64) ([]foundError, error) {
	k, err := tx.Check(seq)
	if err != nil {
		return nil, err
	}
	var out []foundError
	for _, p := range k.Check.Result.Points {
		out = append(out, foundError{p.Nominal.Float(), p.Error.Float() * micrometres, p.Limit.Float() * micrometres})
	}
	share := func(f foundError) float64 { return max(f.ErrorUM, -f.ErrorUM) / f.LimitUM }
	slices.SortStableFunc(out, func(a, b foundError) int {
		switch {
		case share(a) > share(b):
			return -1
		case share(a) < share(b):
			return 1
		}
		return 0
	})
	return out, nil
}

func (d desk) openLookback(c *cli.Context, subject string) error {
	l := registry.LookBack{Subject: subject, Reason: reasonOf(c)}
	var err error
	if l.Since, err = date(c, "since", calib.Date{}); err != nil {
		return err
	}
	if l.Until, err = date(c, "until", d.today()); err != nil {
		return err
	}
	switch {
	case l.Since.IsZero():
		return usagef("lookback: --since is missing; want the day on which it was last known good")
	case l.Reason == "":
		return usagef("lookback: --reason is missing; want why it is opened")
	case l.Until.Before(l.Since):
		return usagef("--until %s: lies before --since %s; want the later day", l.Until, l.Since)
	}
	var seq uint64
	var items []registry.Item
	err = d.update(func(tx *registry.Tx) error {
		head, err := tx.OpenLookBack(l)
		if err != nil {
			return err
		}
		seq = head.Seq
		items, err = tx.Items(registry.LookBackState{Entry: seq, LookBack: l})
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(seq, "look-back of %s from %s to %s opened, %s to decide on", subject, l.Since, l.Until, plural(len(items), "item"))
}

func (d desk) decide(c *cli.Context, subject string) error {
	x := registry.Disposition{Item: c.String("item"), Date: d.today(), Informed: c.String("informed"), Reason: reasonOf(c)}
	var err error
	if x.Decision, err = choice(c, "decide", registry.Decisions()); err != nil {
		return err
	}
	switch {
	case x.Item == "":
		return usagef("lookback: --item is missing; want one of the list, as \"check 45\"")
	case x.Decision == "":
		return usagef("lookback: --decide is missing; want one of %s", quotedList(registry.Decisions()))
	case x.Reason == "":
		return usagef("lookback: --reason is missing; want why it is so decided")
	case x.Informed == "" && c.String("informed-on") != "":
		return usagef("lookback: --informed-on goes with --informed; want whom that was told")
	}
	if x.Informed != "" {
		if x.On, err = date(c, "informed-on", d.today()); err != nil {
			return err
		}
		if x.On.After(d.today()) {
			return usagef("--informed-on %s: lies ahead of today, %s; want the day it was told", x.On, d.today())
		}
	}
	var seq uint64
	err = d.update(func(tx *registry.Tx) error {
		if x.LookBack, err = lookbackNamed(tx, c, subject); err != nil {
			return err
		}
		head, err := tx.Decide(x)
		seq = head.Seq
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(seq, "%s: %s (%s)", x.Item, x.Decision, x.Reason)
}

// lookbackNamed is the one whose entry was named, or the newest.
func lookbackNamed(tx *registry.Tx, c *cli.Context, subject string) (uint64, error) {
	all, err := tx.LookBacks(subject)
	if err != nil {
		return 0, err
	}
	if len(all) == 0 {
		return 0, fmt.Errorf("look-back of %s: none was opened; want one opened first, with --open", subject)
	}
	given := c.String("entry")
	if given == "" {
		return all[len(all)-1].Entry, nil
	}
	for _, l := range all {
		if strconv.FormatUint(l.Entry, 10) == given {
			return l.Entry, nil
		}
	}
	return 0, usagef("--entry %q: no look-back of %s; want the number of one", given, subject)
}

// writeOpen lists every open item of all look-backs.
func writeOpen(out io.Writer, list []lookbackAnswer) error {
	t := screen.Table{Columns: []screen.Column{{Title: "entry", Align: screen.Right}, {Title: "of"}, {Title: "item"}, {Title: "from"}, {Title: "to"}, {Title: "path", Wrap: true}}}
	for _, l := range list {
		for _, i := range l.Items {
			if i.Open() {
				t.Add(strconv.FormatUint(l.Entry, 10), l.Subject, i.Key, i.From.String(), i.To.String(), strings.Join(i.Path, " → "))
			}
		}
	}
	if t.Empty() {
		return line(out, "no item of a look-back is open")
	}
	return t.Write(out)
}

func writeLookbacks(out io.Writer, subject string, list []lookbackAnswer) error {
	if len(list) == 0 {
		return line(out, "no look-back of %s was opened; wring lookback %s --open opens one", subject, subject)
	}
	for n, l := range list {
		since := "from the beginning"
		if !l.Since.IsZero() {
			since = "from " + l.Since.String()
		}
		head := fmt.Sprintf("%sLook-back %d of %s, %s to %s: %s. %s open.", yes(n > 0, "\n", ""), l.Entry, subject, since, l.Until, l.Reason, plural(l.Open, "item"))
		if err := first(screen.Paragraph(out, head, "  "), writeFound(out, l.Found), writeDoubts(out, l.Doubts), line(out, ""), itemTable(l).Write(out)); err != nil {
			return err
		}
	}
	return line(out, "\nMeasurements that are not in the registry stand under the use of their gauge.")
}

// mostFound is how many errors are shown: the worst.
const mostFound = 3

func writeFound(out io.Writer, found []foundError) error {
	var parts []string
	for _, f := range found[:min(mostFound, len(found))] {
		parts = append(parts, fmt.Sprintf("%+.1f of ±%g µm at %g mm", f.ErrorUM, f.LimitUM, f.PointMM))
	}
	if len(parts) == 0 {
		return nil
	}
	return screen.Paragraph(out, "Found, worst first: "+strings.Join(parts, ", ")+".", "  ")
}

func itemTable(l lookbackAnswer) screen.Table {
	t := screen.Table{Columns: []screen.Column{{Title: "item"}, {Title: "from"}, {Title: "to"}, {Title: "verdict"}, {Title: "path", Wrap: true}, {Title: "decided", Wrap: true}}}
	for _, i := range l.Items {
		t.Add(i.Key, i.From.String(), i.To.String(), string(i.Verdict), strings.Join(i.Path, " → "), decidedText(i))
	}
	return t
}

func decidedText(i registry.Item) string {
	k := i.Decided
	if k == nil {
		return "open"
	}
	text := string(k.Decision) + " " + k.Date.String() + " (" + k.Reason + ")"
	if k.Informed != "" {
		text += ", told " + k.Informed + " " + k.On.String()
	}
	if i.Open() {
		return "open again: " + i.Reopened + "; " + text
	}
	return text
}
