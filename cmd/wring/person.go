package main

import (
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

// claimNote is said wherever a name could be taken for a signature.
const claimNote = "Without signatures a name is a claim: the registry holds that somebody who called themselves so did it, and when, and that it was not changed since. Who may use which name, the house and its logins decide."

func newPerson(e env) *cli.Command {
	return &cli.Command{
		Name:  "person",
		Usage: "register people and what they may do: add, list",
		Subcommands: []*cli.Command{
			{Name: "add", Usage: "register somebody, or say anew what they may do", ArgsUsage: "PERSON",
				UsageText:   `wring person add QL --name "Q. Lead" --may perform --may release`,
				Description: "PERSON is what they give with --as. Without --may they may do nothing from now on; what they did stays. " + claimNote,
				Flags: []cli.Flag{
					text("name", "NAME", "in full"),
					texts("may", "WHAT", "perform or release"),
					text("reason", "TEXT", "as trained on, or left"),
				}, Action: entering(e, runPersonAdd)},
			{Name: "list", Usage: "list people and what they may do", UsageText: "wring person list", Action: reading(e, runPersonList)},
		},
	}
}

func runPersonAdd(d desk, c *cli.Context) error {
	w, err := words(c, "PERSON")
	if err != nil {
		return err
	}
	p := registry.Person{ID: w[0], Name: c.String("name"), Reason: reasonOf(c), May: []string{}}
	const most = 80 // characters, as of every name of a record
	for _, text := range []string{p.ID, p.Name, p.Reason} {
		if utf8.RuneCountInString(text) > most || containsBreak(text) || !utf8.ValidString(text) {
			return usagef("person add: %.60q: want one line of at most %d characters", text, most)
		}
	}
	for _, m := range c.StringSlice("may") {
		if m != registry.MayPerform && m != registry.MayRelease {
			return usagef("--may %q: no such word; want perform or release", m)
		}
		p.May = append(p.May, m)
	}
	var seq uint64
	if err := d.update(func(tx *registry.Tx) error {
		head, err := tx.AddPerson(p)
		seq = head.Seq
		return err
	}); err != nil {
		return err
	}
	return d.kept(seq, "%s, may %s", p.ID, mayText(p.May))
}

func mayText(may []string) string {
	if len(may) == 0 {
		return "do nothing"
	}
	return strings.Join(may, " and ")
}

func runPersonList(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	list := []registry.KeptPerson{}
	if err := d.view(func(tx *registry.Tx) error {
		all, err := tx.People()
		list = append(list, all...)
		return err
	}); err != nil {
		return err
	}
	return d.answer(list, func(out io.Writer) error {
		if len(list) == 0 {
			return line(out, "nobody is registered yet; wring person add does it")
		}
		t := screen.Table{Columns: []screen.Column{{Title: "person"}, {Title: "name", Wrap: true}, {Title: "may"}, {Title: "entry", Align: screen.Right}, {Title: "reason", Wrap: true}}}
		for _, k := range list {
			t.Add(k.Person.ID, k.Person.Name, mayText(k.Person.May), strconv.FormatUint(k.Entry, 10), k.Person.Reason)
		}
		return first(t.Write(out), screen.Paragraph(out, "\n"+claimNote, ""))
	})
}
