package main

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

// reorder puts the words of a command line into the one order in which the
// flag parser loses none of them: options of the program, the command, its
// options, then "--" and everything else. A person may so write an option
// after the gauge's name, and a reading may be negative. The word help before
// or behind a command asks for its help. An option that may be given once and
// is given twice is refused: one of the two would be ignored.
func reorder(app *cli.App, argv []string) ([]string, error) {
	if len(argv) == 0 {
		return argv, nil
	}
	s := sorter{global: app.Flags, commands: app.Commands}
	rest := argv[1:]
	for len(rest) > 0 {
		rest = s.take(rest)
	}
	if s.help && (len(s.words) == 0 || s.takesWords()) {
		return slices.Concat(argv[:1], s.path, []string{"--help"}), nil
	}
	if s.twice != "" {
		return nil, usagef("--%s: given twice; want it once", s.twice)
	}
	out := slices.Concat(argv[:1], s.globals, s.path, s.options)
	if s.leaf != nil && len(s.words) > 0 {
		out = append(out, "--")
	}
	return append(out, s.words...), nil
}

// sorter parts a command line as it reads it.
type sorter struct {
	global   []cli.Flag
	commands []*cli.Command // those that may follow
	leaf     *cli.Command   // the command so far
	help     bool           // its help is wanted
	seen     []cli.Flag     // options so far that may be given once
	twice    string         // the first of them that was given again

	globals, path, options, words []string
}

// take puts the first word, and its value if it has one, where it belongs.
func (s *sorter) take(rest []string) []string {
	word := rest[0]
	switch {
	case word == "--" && s.takesWords():
		s.words = append(s.words, rest[1:]...)
		return nil
	case !isOption(word):
		s.word(word)
		return rest[1:]
	}
	name, _, joined := strings.Cut(strings.TrimLeft(word, "-"), "=")
	into, flag := &s.options, find(s.leafFlags(), name)
	if flag == nil {
		if flag = find(s.global, name); flag != nil {
			into = &s.globals
		}
	}
	s.once(flag)
	n := 1
	if flag != nil && !joined && takesValue(flag) && len(rest) > 1 {
		n = 2
	}
	*into = append(*into, rest[:n]...)
	return rest[n:]
}

// once notes an option, and that it was there before.
func (s *sorter) once(flag cli.Flag) {
	_, several := flag.(*cli.StringSliceFlag)
	switch {
	case flag == nil || several:
	case slices.Contains(s.seen, flag) && s.twice == "":
		s.twice = flag.Names()[0]
	default:
		s.seen = append(s.seen, flag)
	}
}

// takesWords reports whether the command is whole, so that plain words follow.
func (s *sorter) takesWords() bool { return s.leaf != nil && len(s.leaf.Subcommands) == 0 }

// word is a command's name as long as one may follow, then a plain word.
func (s *sorter) word(w string) {
	if !s.takesWords() {
		if w == "help" && len(s.words) == 0 {
			s.help = true
			return
		}
		for _, c := range s.commands {
			if c.HasName(w) {
				s.leaf, s.commands = c, c.Subcommands
				s.path = append(s.path, w)
				return
			}
		}
	}
	s.words = append(s.words, w)
}

func (s *sorter) leafFlags() []cli.Flag {
	if s.leaf == nil {
		return nil
	}
	return s.leaf.Flags
}

// isOption tells -t and --temperature from a word, from "-" for standard
// input, and from a negative number.
func isOption(w string) bool {
	return len(w) > 1 && w[0] == '-' && !(w[1] >= '0' && w[1] <= '9') && w[1] != '.'
}

func find(flags []cli.Flag, name string) cli.Flag {
	for _, f := range flags {
		if slices.Contains(f.Names(), name) {
			return f
		}
	}
	return nil
}

func takesValue(f cli.Flag) bool {
	_, isBool := f.(*cli.BoolFlag)
	return !isBool
}
