package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"
)

// run is the whole program but for the process around it.
func run(argv []string, e env) exitStatus {
	app := newApp(e)
	err := app.Run(reorder(app, argv))
	complain(e.Err, err)
	return exitCode(err)
}

// newApp builds the command line anew for each run, so that no state outlives
// one. Options are read as text, and numbers by the program's own rules: the
// parser's would take NaN and split at commas.
func newApp(e env) *cli.App {
	app := &cli.App{
		Name:      "wring",
		Usage:     "keep, check and prove the gauges of a workshop",
		UsageText: "wring [--registry FILE] [--as PERSON] [--json] COMMAND ...",
		Version:   strings.TrimPrefix(version, "wring "),
		Reader:    e.In, Writer: e.Out, ErrWriter: e.Err,
		HideHelpCommand:           true,
		DisableSliceFlagSeparator: true,
		Suggest:                   true,
		ExitErrHandler:            func(*cli.Context, error) {},
		OnUsageError:              func(_ *cli.Context, err error, _ bool) error { return asUsage(err) },
		Flags: []cli.Flag{
			text("registry", "FILE", "of the registry; else WRING_REGISTRY, else "+defaultRegistry),
			text("as", "PERSON", "who acts; else WRING_AS, else the name logged in"),
			&cli.BoolFlag{Name: "json", Usage: "answer in JSON"},
		},
		Commands: commands(e),
	}
	app.Action = func(c *cli.Context) error {
		if name := c.Args().First(); name != "" {
			return usagef("%q is no command%s; see wring --help", name, offer(nearestCommand(app, name)))
		}
		return cli.ShowAppHelp(c)
	}
	app.CustomAppHelpTemplate = appHelp + exitHelp + "\n"
	return app
}

// commands lists them in the order of a gauge's life.
func commands(e env) []*cli.Command {
	list := []*cli.Command{
		newInit(e), newGauge(e), newStandard(e), newPlan(e), newCheck(e),
		newDue(e), newHistory(e), newCertificate(e), newDemo(e),
	}
	for _, c := range list {
		dress(c)
	}
	return list
}

// dress gives a command and those under it the habits that all share.
func dress(c *cli.Command) {
	c.HideHelpCommand = true
	c.OnUsageError = func(_ *cli.Context, err error, _ bool) error { return asUsage(err) }
	for _, sub := range c.Subcommands {
		dress(sub)
	}
	if len(c.Subcommands) > 0 {
		c.Action = func(ctx *cli.Context) error {
			if name := ctx.Args().First(); name != "" {
				return usagef("%s: %q is no command of it; want one of %s", c.Name, name, subNames(c))
			}
			return cli.ShowSubcommandHelp(ctx)
		}
	}
}

func subNames(c *cli.Command) string {
	var names []string
	for _, s := range c.Subcommands {
		names = append(names, s.Name)
	}
	return strings.Join(names, ", ")
}

func asUsage(err error) error {
	var u *usageError
	if err == nil || errors.As(err, &u) {
		return err
	}
	line, _, _ := strings.Cut(err.Error(), "\n")
	return &usageError{line}
}

// text is an option that is read as a line of text; its help begins with the
// word for the value.
func text(name, value, usage string) cli.Flag {
	return &cli.StringFlag{Name: name, Usage: "`" + value + "` " + usage}
}

// texts is an option that may be given several times.
func texts(name, value, usage string) cli.Flag {
	return &cli.StringSliceFlag{Name: name, Usage: "`" + value + "` " + usage}
}

func switchOn(name, usage string) cli.Flag { return &cli.BoolFlag{Name: name, Usage: usage} }

// words returns the plain words after a command, which must be as many as the
// names given; a name in brackets may be left out, and one that ends in "..."
// takes any number.
func words(c *cli.Context, names ...string) ([]string, error) {
	got := c.Args().Slice()
	least, most := 0, len(names)
	for _, n := range names {
		if !strings.HasPrefix(n, "[") {
			least++
		}
		if strings.HasSuffix(strings.Trim(n, "[]"), "...") {
			most = len(got)
		}
	}
	if len(got) < least {
		return nil, usagef("%s: %s is missing; want %s", c.Command.FullName(), names[len(got)], strings.Join(names, " "))
	}
	if len(got) > most {
		return nil, usagef("%s: %q is one word too many; want %s", c.Command.FullName(), got[most], wantWords(names))
	}
	for len(got) < len(names) {
		got = append(got, "")
	}
	return got, nil
}

func wantWords(names []string) string {
	if len(names) == 0 {
		return "options only"
	}
	return strings.Join(names, " ")
}

func offer(names []string) string {
	if len(names) == 0 {
		return ""
	}
	return "; nearest: " + strings.Join(names, ", ")
}

func nearestCommand(app *cli.App, name string) []string {
	if s := cli.SuggestCommand(app.Commands, name); s != "" && s != "help" {
		return []string{s}
	}
	return nil
}

// line writes one line, and keeps the first trouble of the writer.
func line(w io.Writer, format string, args ...any) error {
	_, err := fmt.Fprintf(w, format+"\n", args...)
	return err
}

const appHelp = `{{.Name}} - {{.Usage}}

USAGE:
   {{.UsageText}}

COMMANDS:{{range .VisibleCommands}}
   {{join .Names ", "}}{{"\t"}}{{.Usage}}{{end}}

OPTIONS:{{range .VisibleFlags}}
   {{.}}{{end}}

Numbers take a point and may carry a unit: 5.101, 0.2005in, 5.1 mm. Dates are
year-month-day. Options may stand before or after the other words.

`
