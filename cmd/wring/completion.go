package main

import (
	"embed"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/limits"
	"example.org/wring/registry"
)

//go:embed completion
var completionScripts embed.FS

// completeCommand is what a shell calls the program by for the words that may
// follow: complete-words, the words typed so far, and the one that is being
// typed, which may be empty.
const completeCommand = "complete-words"

func shells() []string { return []string{"bash", "zsh", "fish"} }

func newCompletion(e env) *cli.Command {
	return &cli.Command{
		Name:        "completion",
		Usage:       "print what makes a shell complete commands, options, gauges, plans and standards",
		ArgsUsage:   "SHELL",
		UsageText:   "wring completion bash",
		Description: "SHELL is bash, zsh or fish. For bash, put `source <(wring completion bash)` into ~/.bashrc; for zsh, write it to a file _wring in a folder of $fpath, or put `source <(wring completion zsh)` behind compinit; for fish, write it to ~/.config/fish/completions/wring.fish.",
		Action:      reading(e, runCompletion),
	}
}

func runCompletion(d desk, c *cli.Context) error {
	w, err := words(c, "SHELL")
	if err != nil {
		return err
	}
	if !slices.Contains(shells(), w[0]) {
		return usagef("completion: %q: no shell known here; want one of %s", w[0], strings.Join(shells(), ", "))
	}
	script, err := completionScripts.ReadFile("completion/wring." + w[0])
	if err != nil {
		return err
	}
	_, err = d.Out.Write(script)
	return err
}

// completing answers a shell, where one asks. It says nothing where it knows
// nothing, and nothing that goes wrong: a person is typing.
func completing(app *cli.App, argv []string, e env) bool {
	if len(argv) < 3 || argv[1] != completeCommand {
		return false
	}
	typed, part := argv[2:len(argv)-1], argv[len(argv)-1]
	k := completer{app: app, env: e, typed: typed}
	for _, p := range k.candidates(part) {
		if strings.HasPrefix(p.word, part) || strings.HasPrefix(p.word, ":") {
			_, _ = fmt.Fprintf(e.Out, "%s\t%s\n", p.word, p.meaning)
		}
	}
	return true
}

// A completer knows what stands on a command line so far.
type completer struct {
	app   *cli.App
	env   env
	typed []string
}

// candidates lists the words that may stand in the place of part. A word with a
// colon before it asks the shell for its own: :files, :folders.
func (k *completer) candidates(part string) []pair {
	s := sorter{global: k.app.Flags, commands: k.app.Commands}
	var waits cli.Flag // an option whose value is being typed
	for rest := k.typed; len(rest) > 0; {
		waits = nil
		if f := s.flag(rest[0]); len(rest) == 1 && f != nil && takesValue(f) && !strings.Contains(rest[0], "=") {
			waits = f
		}
		rest = s.take(rest)
	}
	name, _, joined := strings.Cut(part, "=")
	switch {
	case waits != nil:
		return k.values(&s, valueWord(waits), waits.Names()[0])
	case joined && isOption(name) && s.flag(name) != nil:
		out := k.values(&s, valueWord(s.flag(name)), s.flag(name).Names()[0])
		for i := range out {
			out[i].word = name + "=" + out[i].word
		}
		return out
	case strings.HasPrefix(part, "-"):
		return k.optionsLeft(&s)
	case !s.takesWords() && len(s.words) > 0:
		return nil // behind a word that is no command
	case !s.takesWords():
		return meanings(s.commands)
	}
	return k.positional(&s)
}

// flag finds the option that a word names; nil where it names none.
func (s *sorter) flag(word string) cli.Flag {
	if !isOption(word) {
		return nil
	}
	name, _, _ := strings.Cut(strings.TrimLeft(word, "-"), "=")
	if f := find(s.leafFlags(), name); f != nil {
		return f
	}
	return find(s.global, name)
}

// optionsLeft lists the options that may still be given.
func (k *completer) optionsLeft(s *sorter) (out []pair) {
	for _, f := range slices.Concat(s.leafFlags(), s.global) {
		if slices.Contains(s.seen, f) || slices.Contains([]string{"help", "version"}, f.Names()[0]) {
			continue
		}
		for _, p := range options([]cli.Flag{f}) {
			word, _, _ := strings.Cut(p.word, " ")
			out = append(out, pair{word, p.meaning})
		}
	}
	return append(out, pair{"--help", "of the command"})
}

// positional offers what the command's own words may be.
func (k *completer) positional(s *sorter) []pair {
	var out []pair
	wants := strings.Fields(s.leaf.ArgsUsage)
	if len(s.words) >= len(wants) {
		return nil
	}
	for want := range strings.SplitSeq(strings.Trim(wants[len(s.words)], "[].…"), "|") {
		out = append(out, k.values(s, want, "")...)
	}
	return out
}

// valueWord is the word for an option's value, as its help has it.
func valueWord(f cli.Flag) string {
	doc, ok := f.(cli.DocGenerationFlag)
	if !ok {
		return ""
	}
	_, rest, _ := strings.Cut(doc.GetUsage(), "`")
	word, _, _ := strings.Cut(rest, "`")
	return word
}

// values lists what a word of the help stands for; option is the option's name,
// empty for a word of the command's own.
func (k *completer) values(s *sorter, want, option string) []pair {
	command := strings.Join(s.path, " ")
	switch want {
	case "FILE":
		return []pair{{":files", ""}}
	case "DIR":
		return []pair{{":folders", ""}}
	case "SHELL":
		return wordsAsPairs(shells())
	case "PAPER":
		return wordsAsPairs([]string{"A4", "Letter"})
	case "STAGE":
		return wordsAsPairs([]calib.Stage{calib.AsFound, calib.AsLeft})
	case "PURPOSE":
		return wordsAsPairs(calib.Purposes())
	case "PART":
		return wordsAsPairs(partWords())
	case "ROUTE":
		return wordsAsPairs(calib.Routes())
	case "STATUS":
		return wordsAsPairs(calib.Statuses())
	case "KIND":
		if strings.HasPrefix(command, "standard") {
			return wordsAsPairs(calib.StandardKinds())
		}
		return wordsAsPairs(calib.Kinds())
	case "GAUGE", "STANDARD", "PLAN", "PLACE":
		if want == "PLAN" && option == "" && slices.ContainsFunc(s.seen, func(f cli.Flag) bool { return f.Names()[0] == "preset" }) {
			return presetPairs()
		}
		if want == "GAUGE" && command == "gauge add" || want == "STANDARD" && command == "standard add" {
			return nil // a new one
		}
		return k.registered(s, want)
	case "NAME":
		switch option {
		case "preset":
			return presetPairs()
		case "":
			return slices.Concat(k.registered(s, "GAUGE"), k.registered(s, "STANDARD"), k.registered(s, "PLAN"))
		}
	}
	return nil
}

// wordsAsPairs lists words of a fixed list, as an option takes them without
// quotation marks.
func wordsAsPairs[S ~string](list []S) (out []pair) {
	for _, w := range list {
		out = append(out, pair{strings.ReplaceAll(string(w), " ", "-"), ""})
	}
	return out
}

func presetPairs() (out []pair) {
	for _, name := range limits.Presets() {
		out = append(out, pair{name, "built-in plan"})
	}
	return out
}

// registered lists what the registry holds. A registry that cannot be read
// offers nothing.
func (k *completer) registered(s *sorter, want string) (out []pair) {
	d := desk{env: k.env, registry: k.registryOf(s)}
	d.Err = io.Discard
	_ = d.view(func(tx *registry.Tx) error {
		switch want {
		case "PLAN":
			plans, err := tx.Plans()
			for _, p := range plans {
				out = append(out, pair{p.Plan.Name, p.Plan.Title})
			}
			return err
		case "STANDARD":
			return tx.Standards(func(s registry.StandardState) error {
				out = append(out, pair{s.Standard.ID, string(s.Standard.Kind)})
				return nil
			})
		}
		return tx.Gauges(func(g registry.GaugeState) error {
			p := pair{g.Gauge.ID, strings.TrimSuffix(string(g.Gauge.Kind)+", "+g.Gauge.Place, ", ")}
			if want == "PLACE" {
				p = pair{g.Gauge.Place, ""}
			}
			if p.word != "" && !slices.Contains(out, p) {
				out = append(out, p)
			}
			return nil
		})
	})
	return out
}

// registryOf is the registry that the command line so far names.
func (k *completer) registryOf(s *sorter) string {
	for i, w := range s.globals {
		name, value, joined := strings.Cut(strings.TrimLeft(w, "-"), "=")
		switch {
		case name != "registry":
		case joined:
			return value
		case i+1 < len(s.globals):
			return s.globals[i+1]
		}
	}
	if named := k.env.Getenv("WRING_REGISTRY"); named != "" {
		return named
	}
	return defaultRegistry
}
