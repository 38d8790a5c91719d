package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/survey"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

func newMethod(e env) *cli.Command {
	return &cli.Command{
		Name:  "method",
		Usage: "how the thickness of a soft sheet is taken: list, show, add",
		Subcommands: []*cli.Command{
			{Name: "list", Usage: "list the methods", UsageText: "wring method list --presets",
				Flags: []cli.Flag{switchOn("presets", "list the built-in methods instead")}, Action: reading(e, runMethodList)},
			{Name: "show", Usage: "show a method in the form that method add reads", ArgsUsage: "METHOD", UsageText: "wring method show leather --preset\nwring method show leather --preset > mine.toml",
				Flags: []cli.Flag{text("revision", "N", "to show, if not the newest"), switchOn("preset", "show a built-in method")}, Action: reading(e, runMethodShow)},
			{Name: "add", Usage: "enter a method from a file or a preset; a name that is there gets a new revision", ArgsUsage: "[FILE]",
				UsageText: "wring method add --preset leather\nwring method add mine.toml",
				Flags: []cli.Flag{text("preset", "NAME", "of a built-in method, see wring method list --presets"),
					text("name", "NAME", "under which it is kept, if not its own")}, Action: entering(e, runMethodAdd)},
		},
	}
}

func presetMethod(name string) (survey.Method, error) {
	data, ok := survey.Preset(name)
	if !ok {
		return survey.Method{}, usagef("--preset %q: not built in; wring method list --presets shows those that are", name)
	}
	return sheet.ReadMethod("preset "+name, data)
}

func runMethodAdd(d desk, c *cli.Context) error {
	w, err := words(c, "[FILE]")
	if err != nil {
		return err
	}
	if (w[0] == "") == (c.String("preset") == "") {
		return usagef("method add: want either a FILE or --preset NAME")
	}
	m, err := methodFrom(d, c.String("preset"), w[0])
	if err != nil {
		return err
	}
	if name := c.String("name"); name != "" {
		m.Name = name
	}
	m.Revision = 1 // the registry counts
	if err := first(d.shape.Check(m), m.Sound()); err != nil {
		return fmt.Errorf("method: %w", err)
	}
	var kept registry.KeptMethod
	if err := d.update(func(tx *registry.Tx) (err error) { kept, err = tx.AddMethod(m); return err }); err != nil {
		return err
	}
	return d.kept(kept.Entry, "method %s, revision %d, %s", m.Name, kept.Method.Revision, m.Title)
}

func methodFrom(d desk, preset, file string) (survey.Method, error) {
	if preset != "" {
		return presetMethod(preset)
	}
	name, data, err := d.readInput(file)
	if err != nil {
		return survey.Method{}, err
	}
	return sheet.ReadMethod(name, data)
}

func runMethodList(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	list := []survey.Method{}
	if c.Bool("presets") {
		for _, name := range survey.Presets() {
			m, err := presetMethod(name)
			if err != nil {
				return err
			}
			list = append(list, m)
		}
	} else if err := d.view(func(tx *registry.Tx) error {
		kept, err := tx.Methods()
		for _, k := range kept {
			list = append(list, k.Method)
		}
		return err
	}); err != nil {
		return err
	}
	return d.answer(list, func(out io.Writer) error {
		if len(list) == 0 {
			return line(out, "no method yet; wring method list --presets shows those built in")
		}
		t := screen.Table{Columns: []screen.Column{{Title: "method"}, {Title: "rev.", Align: screen.Right}, {Title: "pressure or load", Wrap: true},
			{Title: "dwell\ns", Align: screen.Right}, {Title: "places", Align: screen.Right}, {Title: "mark"}, {Title: "source", Wrap: true}}}
		for _, m := range list {
			t.Add(m.Name, positive(m.Revision), pressText(m.Pressure), dwellText(m.Dwell), strconv.Itoa(m.Places.Least), string(m.Mark), m.Source)
		}
		return t.Write(out)
	})
}

// pressText writes a band of pressure, the unit once where both ends have it.
func pressText(b calib.Band) string {
	switch {
	case b.IsZero():
		return ""
	case b.Low.IsZero():
		return "at most " + b.High.String()
	case b.High.IsZero():
		return "at least " + b.Low.String()
	case b.Low.Unit().Symbol() == b.High.Unit().Symbol():
		return b.Low.Number() + " to " + b.High.String()
	}
	return b.Low.String() + " to " + b.High.String()
}

func dwellText(w survey.Dwell) string {
	if w.IsZero() {
		return ""
	}
	return strconv.FormatFloat(w.Seconds, 'f', -1, 64)
}

func runMethodShow(d desk, c *cli.Context) error {
	w, err := words(c, "METHOD")
	if err != nil {
		return err
	}
	var m survey.Method
	if c.Bool("preset") {
		m, err = presetMethod(w[0])
	} else {
		m, err = keptMethod(d, w[0], c.String("revision"))
	}
	if err != nil {
		return err
	}
	return d.answer(m, func(out io.Writer) error {
		_, err := out.Write(sheet.WriteMethod(m))
		return err
	})
}

func keptMethod(d desk, name, revision string) (survey.Method, error) {
	n := 0
	if revision != "" {
		var err error
		if n, err = strconv.Atoi(revision); err != nil || n < 1 {
			return survey.Method{}, usagef("--revision %q: want a whole number from 1", revision)
		}
	}
	var kept registry.KeptMethod
	err := d.view(func(tx *registry.Tx) (err error) { kept, err = tx.Method(name, n); return err })
	var missing *registry.NotFoundError
	if _, builtIn := survey.Preset(name); builtIn && errors.As(err, &missing) && missing.What == "method" {
		err = &hinted{err, fmt.Sprintf("one of that name is built in: wring method show %s --preset shows it, wring method add --preset %s enters it", name, name)}
	}
	return kept.Method, err
}
