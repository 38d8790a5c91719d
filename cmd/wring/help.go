package main

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/cmd/internal/screen"
)

const helpNotes = `Numbers take a point and may carry a unit: 5.101, 0.2005in, 5.1 mm.
Dates are year-month-day: 2026-03-02. Options may stand before or after the
other words. wring help COMMAND shows a command's options with an example.`

// A pair is a word of the command line with what it means.
type pair struct{ word, meaning string }

// programHelp is what wring --help prints.
func programHelp(app *cli.App) string {
	return "wring - " + app.Usage + "\n\nUSAGE:\n   wring [--registry FILE] [--as PERSON] [--json] COMMAND ...\n" +
		section("COMMANDS", meanings(app.Commands)) +
		section("OPTIONS", append(options(app.Flags), pair{"--help", "this help"}, pair{"--version", "of the program"})) +
		"\n" + helpNotes + "\n\n" + exitHelp + "\n"
}

// commandHelp is what a command's --help prints: its form, an example, and its
// commands or options.
func commandHelp(c *cli.Command, path string) string {
	var b strings.Builder
	head := screen.Wrap(path+" - "+c.Usage, screen.Width)
	fmt.Fprintf(&b, "%s\n\nUSAGE:\n   %s", strings.Join(head, "\n"), path)
	if len(c.Subcommands) > 0 {
		b.WriteString(" COMMAND ...\n" + section("COMMANDS", meanings(c.Subcommands)))
		return b.String()
	}
	if c.ArgsUsage != "" {
		b.WriteString(" " + c.ArgsUsage)
	}
	b.WriteString(" [options]\n")
	for i, example := range strings.Split(c.UsageText, "\n") {
		b.WriteString("\nEXAMPLE:\n   " + strings.Join(wrapCommand(strings.TrimSpace(example)), " \\\n      ") + "\n")
		if shown := workedExample(path); i == 0 && len(shown) > 0 {
			b.WriteString("\n" + strings.Join(shown, "\n") + "\n")
		}
	}
	if c.Description != "" {
		b.WriteString("\n" + strings.Join(screen.Wrap(c.Description, screen.Width), "\n") + "\n")
	}
	b.WriteString(section("OPTIONS", options(c.Flags)))
	b.WriteString("\n--registry, --as and --json go with every command: see wring --help.\n")
	return b.String()
}

// wrapCommand breaks a long command line before an option, so that it can be
// copied as it stands.
func wrapCommand(text string) []string {
	const room = screen.Width - 8 // what stands before and behind
	var out []string
	line := ""
	for i, part := range strings.Split(text, " --") {
		if i > 0 {
			part = "--" + part
		}
		switch {
		case line == "":
			line = part
		case len(line)+1+len(part) > room:
			out, line = append(out, line), part
		default:
			line += " " + part
		}
	}
	return append(out, line)
}

func meanings(list []*cli.Command) (out []pair) {
	for _, c := range list {
		out = append(out, pair{c.Name, c.Usage})
	}
	return out
}

// options lists flags; the word for a value stands in the usage between
// backquotes, so that "--sheet FILE" and "of the check" read as one.
func options(flags []cli.Flag) (out []pair) {
	for _, f := range flags {
		doc, ok := f.(cli.DocGenerationFlag)
		if !ok || f.Names()[0] == "help" || f.Names()[0] == "version" {
			continue
		}
		p := pair{"--" + f.Names()[0], doc.GetUsage()}
		if rest, found := strings.CutPrefix(p.meaning, "`"); found {
			value, meaning, _ := strings.Cut(rest, "`")
			p = pair{p.word + " " + value, strings.TrimSpace(meaning)}
			if _, several := f.(*cli.StringSliceFlag); several {
				p.word += " ..."
			}
		}
		out = append(out, p)
	}
	return out
}

func section(title string, list []pair) string {
	if len(list) == 0 {
		return ""
	}
	width := 0
	for _, p := range list {
		width = max(width, len(p.word))
	}
	var b strings.Builder
	fmt.Fprintf(&b, "\n%s:\n", title)
	for _, p := range list {
		word := p.word
		for _, line := range screen.Wrap(p.meaning, screen.Width-width-5) {
			fmt.Fprintf(&b, "   %-*s  %s\n", width, word, line)
			word = ""
		}
	}
	return b.String()
}
