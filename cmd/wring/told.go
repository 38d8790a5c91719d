package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

func newTold(e env) *cli.Command {
	return &cli.Command{
		Name:      "told",
		Usage:     "say who was told that a certificate counts no more; without CHECK, list them",
		ArgsUsage: "[CHECK]",
		UsageText: `wring told
wring told 17 --whom "A customer, quality department" --on 2026-11-20
   wring told 17 --nobody --note "was never handed out"`,
		Description: "CHECK is the old check, whose certificate was replaced by an amendment or withdrawn. The exit status of the list is 3 where nobody was told of one yet.",
		Flags: []cli.Flag{
			text("whom", "TEXT", "who holds the certificate and was told"), text("on", "DATE", "when they were told (today)"),
			text("note", "TEXT", "how, and what they said"),
			switchOn("nobody", "nobody holds it; --note says how that is known"),
			switchOn("open", "list only those of which nobody was told"),
		},
		Action: told(e),
	}
}

// told enters something with a check, and looks without one.
func told(e env) cli.ActionFunc {
	list, tell := reading(e, runToldList), entering(e, runTold)
	return func(c *cli.Context) error {
		if c.Args().Len() == 0 {
			return list(c)
		}
		return tell(c)
	}
}

func runTold(d desk, c *cli.Context) error {
	w, err := words(c, "CHECK")
	if err != nil {
		return err
	}
	seq, err := strconv.ParseUint(w[0], 10, 64)
	if err != nil {
		return usagef("told: CHECK %q: want the number of the old check's entry, see wring told", w[0])
	}
	if c.Bool("open") {
		return usagef("told: --open belongs to the list; want it without CHECK")
	}
	t := registry.Telling{Check: seq, Whom: strings.TrimSpace(c.String("whom")), Nobody: c.Bool("nobody"), Note: strings.TrimSpace(c.String("note"))}
	if t.On, err = date(c, "on", d.today()); err != nil {
		return err
	}
	switch {
	case t.Nobody && t.Whom != "":
		return usagef("told: --whom and --nobody; want one of the two")
	case t.Nobody && c.IsSet("on"):
		return usagef("told: --on and --nobody; want one of the two")
	case !t.Nobody && t.Whom == "":
		return usagef("told: --whom is missing; want who was told, or --nobody")
	case t.Nobody && t.Note == "":
		return usagef("told: --note is missing; want how it is known that nobody holds it")
	}
	for _, said := range []string{t.Whom, t.Note} {
		if err := reasonFits(said); err != nil {
			return err
		}
	}
	var entry uint64
	if err := d.update(func(tx *registry.Tx) error {
		head, err := tx.Tell(t)
		entry = head.Seq
		return err
	}); err != nil {
		return err
	}
	return d.kept(entry, "%s", toldText(t))
}

func toldText(t registry.Telling) string {
	text := fmt.Sprintf("certificate V-%06d: nobody holds it", t.Check)
	if !t.Nobody {
		text = fmt.Sprintf("certificate V-%06d: %s was told on %s", t.Check, t.Whom, t.On)
	}
	if t.Note != "" {
		text += " (" + t.Note + ")"
	}
	return text
}

func runToldList(d desk, c *cli.Context) error {
	for _, name := range []string{"whom", "on", "note", "nobody"} {
		if c.IsSet(name) {
			return usagef("told: CHECK is missing; want the number of the old check with --%s", name)
		}
	}
	list := []registry.Replaced{}
	open := 0
	if err := d.view(func(tx *registry.Tx) error {
		all, err := tx.ReplacedAll()
		for _, r := range all {
			if r.Open() {
				open++
			}
			if r.Open() || !c.Bool("open") {
				list = append(list, r)
			}
		}
		return err
	}); err != nil {
		return err
	}
	if err := d.answer(list, func(out io.Writer) error { return writeReplaced(out, list, open) }); err != nil || open == 0 {
		return err
	}
	return errNo
}

func writeReplaced(out io.Writer, list []registry.Replaced, open int) error {
	if len(list) == 0 {
		return line(out, "no certificate that was replaced or withdrawn%s", yes(open == 0, " waits for its holders to be told", ""))
	}
	t := screen.Table{Columns: []screen.Column{{Title: "check", Align: screen.Right}, {Title: "gauge"}, {Title: "certificate"}, {Title: "what became of it", Wrap: true}, {Title: "who was told", Wrap: true}}}
	for _, r := range list {
		fate := fmt.Sprintf("replaced by V-%06d", r.By)
		if r.Withdrawn {
			fate = fmt.Sprintf("withdrawn by entry %d", r.By)
		}
		who := "NOBODY YET"
		if !r.Open() {
			var each []string
			for _, k := range r.Told {
				_, text, _ := strings.Cut(toldText(k.Telling), ": ")
				each = append(each, text)
			}
			who = strings.Join(each, "; ")
		}
		t.Add(strconv.FormatUint(r.Check, 10), r.Gauge, fmt.Sprintf("V-%06d", r.Check), fate, who)
	}
	return t.Write(out)
}
