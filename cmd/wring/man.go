package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/cmd/internal/screen"
)

func newMan(e env) *cli.Command {
	return &cli.Command{
		Name:        "man",
		Usage:       "write the manual pages",
		ArgsUsage:   "[DIR]",
		UsageText:   "wring man manual",
		Description: "Without a folder, the page of the whole program goes to standard output: wring man | man -l -. With one, each command gets its own page there beside it, as wring-check.1. They are made of the same words as the help.",
		Action:      reading(e, runMan),
	}
}

func runMan(d desk, c *cli.Context) error {
	w, err := words(c, "[DIR]")
	if err != nil {
		return err
	}
	app := newApp(d.env, nil)
	if w[0] == "" {
		_, err := d.Out.Write(programPage(app))
		return err
	}
	pages := map[string][]byte{"wring.1": programPage(app)}
	for _, k := range leaves(app.Commands, "wring") {
		name := strings.ReplaceAll(k.path, " ", "-") + ".1"
		pages[name] = commandPage(k)
	}
	if err := os.MkdirAll(w[0], 0o777); err != nil && !errors.Is(err, os.ErrExist) {
		return plainPathError(err)
	}
	for name, page := range pages {
		if err := writeWhole(filepath.Join(w[0], name), page); err != nil {
			return err
		}
	}
	return d.answer(manAnswer{w[0], len(pages)}, func(out io.Writer) error { return line(out, "%s: %s", w[0], plural(len(pages), "manual page")) })
}

// A manAnswer is what --json says of manual pages that were written.
type manAnswer struct {
	Folder string `json:"folder"`
	Pages  int    `json:"pages"`
}

// A leafCommand is a command that does something, with what is typed for it.
type leafCommand struct {
	*cli.Command
	path string
}

// leaves lists the commands that do something, in the order of help.
func leaves(list []*cli.Command, path string) (out []leafCommand) {
	for _, c := range list {
		at := path + " " + c.Name
		switch {
		case c.Hidden:
		case len(c.Subcommands) > 0:
			out = append(out, leaves(c.Subcommands, at)...)
		default:
			out = append(out, leafCommand{c, at})
		}
	}
	return out
}

// A roff is a page of man(7) as it is written.
type roff struct{ strings.Builder }

func (r *roff) request(format string, args ...any) { fmt.Fprintf(r, format+"\n", args...) }

// words writes text; what would be a request or a switch of typeface is
// escaped.
func (r *roff) words(text string) {
	for _, l := range screen.Wrap(text, manWidth) {
		r.WriteString(escaped(l) + "\n")
	}
}

// manWidth is the length of a source line before its escapes; longer ones are
// bad style to mandoc.
const manWidth = 60

// escaped writes one line so that it prints as it is: man(7) knows ASCII, a
// backslash begins an escape, a hyphen may become a dash, and a point or an
// apostrophe at the beginning makes a request.
func escaped(text string) string {
	var b strings.Builder
	if strings.HasPrefix(text, ".") || strings.HasPrefix(text, "'") {
		b.WriteString(`\&`)
	}
	for _, c := range text {
		switch {
		case c == '\\':
			b.WriteString(`\e`)
		case c == '-':
			b.WriteString(`\-`)
		case c == '\'':
			b.WriteString(`\(aq`)
		case c == '`':
			b.WriteString(`\(ga`)
		case c == '^':
			b.WriteString(`\(ha`)
		case c == '~':
			b.WriteString(`\(ti`)
		case c > 126:
			fmt.Fprintf(&b, `\[u%04X]`, c)
		default:
			b.WriteRune(c)
		}
	}
	return b.String()
}

// head begins a page.
func (r *roff) head(title, usage string) {
	r.request(`.TH %s 1 %s "%s" "Gauges and their checks"`, strings.ToUpper(escaped(title)), versionDate, escaped(version))
	r.request(".SH NAME")
	r.request(`%s \- %s`, escaped(title), escaped(usage))
}

// list writes words with their meanings.
func (r *roff) list(title string, pairs []pair) {
	if len(pairs) == 0 {
		return
	}
	r.request(".SH %s", title)
	for _, p := range pairs {
		r.request(".TP\n.B %s", escaped(p.word))
		r.words(p.meaning)
	}
}

// example sets lines as they are typed and shown.
func (r *roff) example(lines []string) {
	r.request(".RS 4\n.nf")
	for _, l := range lines {
		if l == "" {
			r.request(".sp") // mandoc wants no empty line
			continue
		}
		r.request("%s", escaped(l))
	}
	r.request(".fi\n.RE")
}

func programPage(app *cli.App) []byte {
	var r roff
	r.head("wring", app.Usage)
	r.request(".SH SYNOPSIS\n.B wring\n%s", escaped("[--registry FILE] [--as PERSON] [--json] COMMAND ..."))
	r.request(".SH DESCRIPTION")
	r.words(strings.ReplaceAll(helpNotes, "\n", " "))
	var list []pair
	for _, k := range leaves(app.Commands, "wring") {
		list = append(list, pair{strings.TrimPrefix(k.path, "wring "), k.Usage})
	}
	r.list("COMMANDS", list)
	r.list("OPTIONS", append(options(app.Flags), pair{"--help", "the help"}, pair{"--version", "of the program"}))
	r.list("EXIT STATUS", exitPairs())
	r.list("ENVIRONMENT", environment())
	r.list("FILES", files())
	r.request(".SH SEE ALSO")
	var see []string
	for _, p := range list {
		see = append(see, `\fBwring\-`+escaped(strings.ReplaceAll(p.word, " ", "-"))+`\fR(1)`)
	}
	r.request("%s", strings.Join(see, ",\n"))
	return []byte(r.String())
}

func commandPage(k leafCommand) []byte {
	var r roff
	r.head(strings.ReplaceAll(k.path, " ", "-"), k.Usage)
	r.request(".SH SYNOPSIS\n.B %s\n%s", escaped(k.path), escaped(strings.TrimSpace(k.ArgsUsage+" [options]")))
	if k.Description != "" {
		r.request(".SH DESCRIPTION")
		r.words(k.Description)
	}
	r.list("OPTIONS", options(k.Flags))
	r.request(".SH EXAMPLES")
	for i, text := range strings.Split(k.UsageText, "\n") {
		var shown []string
		if i == 0 {
			shown = workedExample(k.path)
		}
		if i > 0 {
			r.request(".PP")
		}
		r.example(slices.Concat(joinLines(wrapCommand(text)), shown))
	}
	r.request(".SH SEE ALSO\n.BR wring (1)")
	return []byte(r.String())
}

// joinLines makes one command of the lines that help breaks it into.
func joinLines(lines []string) []string {
	return strings.Split(strings.Join(lines, " \\\n    "), "\n")
}

// exitPairs takes the exit statuses from the help.
func exitPairs() (out []pair) {
	for l := range strings.Lines(exitHelp) {
		if number, meaning, found := strings.Cut(strings.TrimSpace(l), "  "); found {
			out = append(out, pair{number, meaning})
		}
	}
	return out
}

func environment() []pair {
	return []pair{
		{"WRING_REGISTRY", "the registry, where --registry names none"},
		{"WRING_AS", "who acts, where --as names nobody"},
	}
}

func files() []pair {
	return []pair{
		{defaultRegistry, "in the present folder: the registry, where nothing names one"},
		{"REGISTRY.GAUGE.entry", "beside a registry: a led check that is not whole yet, which the next wring check of that gauge goes on with"},
		{"REGISTRY.LOT.survey", "the same of a led survey, which the next wring survey of that lot goes on with"},
	}
}
