package main

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

const defaultRegistry = "registry.wring"

// A desk is where a command works: the streams, whose registry, who acts, and
// in which form it answers.
type desk struct {
	env
	registry string
	person   string
	json     bool
	shape    *calib.Shape
}

func deskOf(e env, c *cli.Context) desk {
	d := desk{
		env:      e,
		registry: cmp.Or(c.String("registry"), e.Getenv("WRING_REGISTRY"), defaultRegistry),
		person:   cmp.Or(c.String("as"), e.Getenv("WRING_AS")),
		json:     c.Bool("json"),
		shape:    calib.NewShape(),
	}
	if d.person == "" {
		d.person = e.LoggedIn()
	}
	return d
}

// today is the civil date by the clock that was handed in, where it stands.
func (d desk) today() calib.Date { return calib.DateOf(d.Now()) }

func (d desk) hand() registry.Hand {
	return registry.Hand{Person: d.person, Program: version, Now: d.Now}
}

// view reads the registry and lets it go again.
func (d desk) view(fn func(*registry.Tx) error) error {
	r, err := registry.OpenReading(d.registry)
	if err != nil {
		return d.opening(err)
	}
	return first(r.View(fn), r.Close())
}

// update writes to the registry: all that fn enters, or nothing.
func (d desk) update(fn func(*registry.Tx) error) error {
	if err := d.named(); err != nil {
		return err
	}
	r, err := registry.Open(d.registry, d.hand())
	if err != nil {
		return d.opening(err)
	}
	return first(r.Update(fn), r.Close())
}

// named refuses where nobody, or nobody who can be printed, stands for an entry.
func (d desk) named() error {
	const most = 40 // characters, of a signature in a table (house rule)
	switch {
	case d.person == "":
		return usagef("nobody is named; want --as PERSON")
	case strings.ContainsFunc(d.person, unicode.IsControl), utf8.RuneCountInString(d.person) > most, !utf8.ValidString(d.person):
		return usagef("--as %.60q: want a name or initials of at most %d characters in one line", d.person, most)
	}
	return nil
}

func (d desk) opening(err error) error {
	if errors.Is(err, registry.ErrMissing) {
		return &hinted{err, "nothing was made or kept; name it with --registry FILE, or make one with wring init"}
	}
	return err
}

// kept says what was entered: a line for a person, entry and line in JSON.
func (d desk) kept(seq uint64, format string, args ...any) error {
	text := fmt.Sprintf(format, args...)
	return d.answer(keptAnswer{seq, text}, func(out io.Writer) error { return line(out, "entry %d: %s", seq, text) })
}

// A keptAnswer is what --json says of an entry that was made.
type keptAnswer struct {
	Entry uint64 `json:"entry"`
	Text  string `json:"text"`
}

// answer writes v as JSON where that is wanted, else lets the text be written.
func (d desk) answer(v any, text func(io.Writer) error) error {
	if !d.json {
		return text(d.Out)
	}
	enc := json.NewEncoder(d.Out)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(v)
}

// date reads an option's date; nothing given is the date otherwise.
func date(c *cli.Context, name string, otherwise calib.Date) (calib.Date, error) {
	if c.String(name) == "" {
		return otherwise, nil
	}
	d, err := calib.ParseDate(c.String(name))
	return d, inOption(name, err)
}

// size reads an option's quantity; nothing given is no quantity.
func size(c *cli.Context, name string, dim unit.Dimension, fallback unit.Unit) (unit.Quantity, error) {
	if c.String(name) == "" {
		return unit.Quantity{}, nil
	}
	q, err := unit.Parse(c.String(name), dim, fallback)
	return q, inOption(name, err)
}

// first returns the first of several errors: one line is said at a time.
func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// reasonOf reads --reason; blanks are none.
func reasonOf(c *cli.Context) string { return strings.TrimSpace(c.String("reason")) }

// inOption says in which option something was wrong.
func inOption(name string, err error) error {
	if err == nil {
		return nil
	}
	return &usageError{fmt.Sprintf("--%s: %s", name, err)}
}

// choice reads an option that is one of a few words.
func choice[S ~string](c *cli.Context, name string, list []S) (S, error) {
	given := c.String(name)
	if given == "" {
		return "", nil
	}
	for _, s := range list {
		if string(s) == given || strings.ReplaceAll(string(s), " ", "-") == given {
			return s, nil
		}
	}
	return "", usagef("--%s %q: no such word; want one of %s", name, given, quotedList(list))
}

func quotedList[S ~string](list []S) string {
	var out []string
	for _, s := range list {
		out = append(out, string(s))
	}
	return strings.Join(out, ", ")
}

// wanted refuses a command that lacks an option it needs; wants says of each
// what is wanted.
func wanted(c *cli.Context, command string, wants map[string]string, names ...string) error {
	for _, name := range names {
		if c.String(name) == "" {
			return usagef("%s: --%s is missing; want %s", command, name, wants[name])
		}
	}
	return nil
}

// months reads an interval in whole calendar months.
func months(c *cli.Context, name string) (int, error) {
	given := c.String(name)
	if given == "" {
		return 0, nil
	}
	var n int
	if _, err := fmt.Sscanf(given+"\n", "%d\n", &n); err != nil || n < 1 || n > 240 || fmt.Sprint(n) != given {
		return 0, usagef("--%s %q: not a number of months; want a whole number from 1 to 240", name, given)
	}
	return n, nil
}
