package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

// run is the whole program but for the process around it.
func run(argv []string, e env) exitStatus {
	if status, child := structureChild(argv, e); child {
		return status
	}
	if e.onlyASCII() {
		e.Out, e.Err = screen.ASCII(e.Out), screen.ASCII(e.Err)
	}
	app := newApp(e, argv)
	if completing(app, argv, e) {
		return exitDone
	}
	ordered, err := reorder(app, argv)
	if err == nil {
		if asksHelp(ordered) {
			dressHelp(app)
		}
		err = app.Run(ordered)
	}
	complain(e.Err, err)
	return exitCode(err)
}

// newApp builds the command line anew for each run, so that no state outlives
// one, and of its commands the one that the words ask for, or all. Options are
// read as text, and numbers by the program's own rules: the parser's would take
// NaN and split at commas.
func newApp(e env, argv []string) *cli.App {
	app := &cli.App{
		Name:    "wring",
		Usage:   "keep, check and prove the gauges of a workshop",
		Version: strings.TrimPrefix(version, "wring "),
		Reader:  e.In, Writer: e.Out, ErrWriter: e.Err,
		HideHelpCommand:           true,
		DisableSliceFlagSeparator: true,
		ExitErrHandler:            func(*cli.Context, error) {},
		OnUsageError:              func(_ *cli.Context, err error, _ bool) error { return asUsage("wring", nil, err) },
		Flags: []cli.Flag{
			text("registry", "FILE", "of the registry; else WRING_REGISTRY, else "+defaultRegistry),
			text("as", "PERSON", "who acts; else WRING_AS, else the name logged in"),
			&cli.BoolFlag{Name: "json", Usage: "answer in JSON"},
		},
	}
	app.Commands = commands(e, asked(app.Flags, argv))
	app.Before = func(c *cli.Context) error {
		for _, name := range []string{"registry", "as"} {
			if c.IsSet(name) && c.String(name) == "" {
				return usagef("--%s: its value is missing; see wring --help", name)
			}
		}
		return nil
	}
	app.Action = func(c *cli.Context) error {
		if name := c.Args().First(); name != "" {
			return noCommand("", name, app.Commands)
		}
		app.CustomAppHelpTemplate = programHelp(app)
		return cli.ShowAppHelp(c)
	}
	return app
}

// asksHelp reports whether an option among the arguments may be that for help.
func asksHelp(argv []string) bool {
	return slices.ContainsFunc(argv, func(w string) bool { return strings.HasPrefix(w, "-h") || strings.HasPrefix(w, "--h") })
}

// dressHelp sets the help of the program and of every command. That takes
// longer than most answers (3 ms, measured), so it is done where help is asked
// for.
func dressHelp(app *cli.App) {
	app.CustomAppHelpTemplate = programHelp(app)
	for _, c := range app.Commands {
		setHelp(c, "wring")
	}
}

func setHelp(c *cli.Command, parent string) {
	path := parent + " " + c.Name
	c.CustomHelpTemplate = commandHelp(c, path)
	for _, sub := range c.Subcommands {
		setHelp(sub, path)
	}
}

// An offer is a command that is made when it is asked for: to make all takes
// longer than many an answer.
type offer struct {
	name string
	make func(env) *cli.Command
}

// offers lists the commands in the order of a gauge's life.
func offers() []offer {
	return []offer{
		{"init", newInit}, {"house", newHouse}, {"gauge", newGauge}, {"standard", newStandard}, {"plan", newPlan}, {"check", newCheck},
		{"method", newMethod}, {"lot", newLot}, {"survey", newSurvey}, {"study", newStudy}, {"compare", newCompare}, {"amend", newAmend},
		{"withdraw", newWithdraw}, {"told", newTold}, {"release", newRelease}, {"person", newPerson}, {"attachment", newAttachment}, {"due", newDue},
		{"drift", newDrift}, {"interval", newInterval}, {"lookback", newLookback}, {"history", newHistory}, {"certificate", newCertificate},
		{"label", newLabel}, {"report", newReport}, {"trace", newTrace}, {"verify", newVerify}, {"backup", newBackup}, {"restore", newRestore},
		{"export", newExport}, {"import", newImport}, {"table", newTable}, {"budget", newBudget}, {"validate", newValidate}, {"version", newVersion},
		{"demo", newDemo}, {"tutorial", newTutorial}, {"completion", newCompletion}, {"man", newMan},
	}
}

// asked names the one command that a command line is for; empty: the help of
// all is wanted, or their names.
func asked(global []cli.Flag, argv []string) string {
	if len(argv) == 0 || asksHelp(argv) || slices.Contains(argv, "help") || slices.Contains(argv, completeCommand) {
		return ""
	}
	s := sorter{global: global}
	for _, o := range offers() {
		s.commands = append(s.commands, &cli.Command{Name: o.name})
	}
	for rest := argv[1:]; len(rest) > 0 && s.leaf == nil; {
		rest = s.take(rest)
	}
	return strings.Join(s.path, "")
}

// commands makes the command of that name, or all where it is empty.
func commands(e env, only string) (list []*cli.Command) {
	for _, o := range offers() {
		if only == "" || only == o.name {
			c := o.make(e)
			dress(c, "wring")
			list = append(list, c)
		}
	}
	return list
}

// dress gives a command and those under it the habits that all share; parent
// is what is typed before its name.
func dress(c *cli.Command, parent string) {
	path := parent + " " + c.Name
	c.HideHelpCommand = true
	c.OnUsageError = func(_ *cli.Context, err error, _ bool) error { return asUsage(path, c.Flags, err) }
	c.Before = func(ctx *cli.Context) error { return first(nothingEmpty(ctx, path), nothingIdle(ctx, path)) }
	for _, sub := range c.Subcommands {
		dress(sub, path)
	}
	if len(c.Subcommands) > 0 {
		c.Action = func(ctx *cli.Context) error {
			if name := ctx.Args().First(); name != "" {
				return noCommand(c.Name+": ", name, c.Subcommands)
			}
			c.CustomHelpTemplate = commandHelp(c, path)
			return cli.ShowSubcommandHelp(ctx)
		}
	}
}

// noCommand refuses a word that is no command of a list, and offers the nearest.
func noCommand(of, name string, list []*cli.Command) error {
	var names []string
	for _, c := range list {
		if !c.Hidden {
			names = append(names, c.Name)
		}
	}
	if near := registry.Nearest(name, names); len(near) > 0 {
		return usagef("%s%q: no such command; nearest: %s", of, name, strings.Join(near, ", "))
	}
	return usagef("%s%q: no such command; want one of %s", of, name, strings.Join(names, ", "))
}

// nothingEmpty refuses an option whose value is empty, as of a variable of the
// shell that was never set: it would be ignored. A command that amends a record
// empties a field by it.
func nothingEmpty(c *cli.Context, path string) error {
	if c.Command.Name == "amend" {
		return nil
	}
	for _, f := range c.Command.Flags {
		name := f.Names()[0]
		_, several := f.(*cli.StringSliceFlag)
		if c.IsSet(name) && (!several && takesValue(f) && c.String(name) == "" || several && slices.Contains(c.StringSlice(name), "")) {
			return usagef("--%s: its value is missing; see %s --help", name, path)
		}
	}
	return nil
}

// nothingIdle refuses an option that would be ignored beside, or without,
// another.
func nothingIdle(c *cli.Context, path string) error {
	for _, f := range c.Command.Flags {
		name := f.Names()[0]
		if !c.IsSet(name) {
			continue
		}
		if with := needs[path][name]; len(with) > 0 && !slices.ContainsFunc(with, c.IsSet) {
			return usagef("--%s: says nothing without --%s; want it left out, or both", name, strings.Join(with, " or --"))
		}
		for _, idle := range excludes[path][name] {
			if c.IsSet(idle) {
				return usagef("--%s: says nothing beside --%s; want one of the two", idle, name)
			}
		}
	}
	return nil
}

// asUsage says in the program's own words what the flag parser has to say of a
// command with these options; path is what is typed to call it.
func asUsage(path string, flags []cli.Flag, err error) error {
	var u *usageError
	if err == nil || errors.As(err, &u) {
		return err
	}
	text, _, _ := strings.Cut(err.Error(), "\n")
	name, unknown := strings.CutPrefix(text, "flag provided but not defined: -")
	bare, empty := strings.CutPrefix(text, "flag needs an argument: -")
	switch {
	case unknown:
		name, names := strings.TrimLeft(name, "-"), []string{"registry", "as", "json"}
		for _, f := range flags {
			names = append(names, f.Names()[0])
		}
		if near := registry.Nearest(name, names); len(near) > 0 {
			return usagef("--%s: no such option; nearest: --%s", name, strings.Join(near, ", --"))
		}
		return usagef("--%s: no such option; see %s --help", name, path)
	case empty:
		return usagef("--%s: its value is missing; see %s --help", strings.TrimLeft(bare, "-"), path)
	}
	return &usageError{text}
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
	path := strings.TrimPrefix(c.Command.HelpName, "wring ")
	if len(got) < least {
		return nil, usagef("%s: %s is missing; want wring %s %s", path, strings.Trim(names[len(got)], "."), path, usageWords(names))
	}
	if len(got) > most {
		return nil, usagef("%s: %q is one word too many; want wring %s", path, got[most], strings.TrimSpace(path+" "+usageWords(names)))
	}
	for i, n := range names {
		if !strings.HasPrefix(n, "[") && strings.TrimSpace(got[i]) == "" {
			return nil, usagef("%s: %s is empty; want wring %s %s", path, strings.Trim(n, "."), path, usageWords(names))
		}
	}
	for len(got) < len(names) {
		got = append(got, "")
	}
	return got, nil
}

func usageWords(names []string) string {
	return strings.ReplaceAll(strings.Join(names, " "), "...", "")
}

// line writes one line, and keeps the first trouble of the writer.
func line(w io.Writer, format string, args ...any) error {
	_, err := fmt.Fprintf(w, format+"\n", args...)
	return err
}
