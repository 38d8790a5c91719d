package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/agreement"
	"example.org/wring/calib/sheet"
	"example.org/wring/registry"
	"example.org/wring/registry/journal"
)

func newCompare(e env) *cli.Command {
	return &cli.Command{
		Name:        "compare",
		Usage:       "whether two gauges or parties agree on the same specimens",
		ArgsUsage:   "[ENTRY] [ENTRY]",
		UsageText:   "wring compare --sheet sheet-4.toml\nwring compare 45 62\nwring compare 84 --pdf comparison.pdf",
		Description: "Two figures of one specimen, each with its expanded uncertainty: from a sheet, or from two checks or two surveys that were kept, by their entries. Whether both used the same method is said first. A comparison is kept; its own ENTRY alone shows it again. Exit status is 3 where they do not agree.",
		Flags: append([]cli.Flag{
			text("sheet", "FILE", "of the comparison, TOML or CSV; - for standard input"),
			text("date", "DATE", "of the comparison (today)"), text("title", "TEXT", "what is compared"), text("remarks", "TEXT", "to keep with it"),
			switchOn("show-only", "show the result and keep nothing"),
		}, paperFlags()...),
		Action: entering(e, runCompare),
	}
}

func runCompare(d desk, c *cli.Context) error {
	w, err := words(c, "[ENTRY]", "[ENTRY]")
	if err != nil {
		return err
	}
	sheetName := c.String("sheet")
	switch {
	case sheetName != "" && w[0] != "":
		return usagef("compare: a sheet and an entry; want one or the other")
	case sheetName == "" && w[0] == "":
		return usagef("compare: nothing to compare; want --sheet FILE, or the entries of two checks or surveys")
	case sheetName == "" && w[1] == "":
		for _, fresh := range []string{"date", "title", "remarks", "show-only"} {
			if c.IsSet(fresh) {
				return usagef("--%s: belongs to a new comparison; entry %s is kept already", fresh, w[0])
			}
		}
		return d.showComparison(c, w[0])
	case c.String("pdf") != "":
		return usagef("compare: --pdf is for a comparison that was kept; want its entry, wring compare ENTRY --pdf FILE")
	}
	var x agreement.Comparison
	if sheetName != "" {
		x, err = d.comparisonSheet(c, sheetName)
	} else {
		x, err = d.comparedEntries(c, w[0], w[1])
	}
	if err == nil {
		err = d.shape.Check(x)
	}
	if err != nil {
		return err
	}
	return d.compare(c, x)
}

// compare works a comparison out, shows it and keeps it.
func (d desk) compare(c *cli.Context, x agreement.Comparison) error {
	k := registry.KeptComparison{Comparison: x}
	if err := d.view(func(tx *registry.Tx) (err error) {
		k.A, k.B, err = tx.UsesOf(x)
		return err
	}); err != nil {
		return err
	}
	var err error
	if k.Result, err = agreement.Evaluate(x, k.On()); err != nil {
		return fmt.Errorf("comparison: %w", err)
	}
	a := comparisonAnswer{Comparison: x, Result: k.Result}
	if !d.json {
		if err := a.write(d.Out); err != nil {
			return err
		}
	}
	if c.Bool("show-only") {
		if d.json {
			return first(d.answer(a, nil), a.status())
		}
		return first(line(d.Out, "not kept"), a.status())
	}
	if err := d.update(func(tx *registry.Tx) error {
		head, err := tx.KeepComparison(k)
		a.Entry = head.Seq
		return err
	}); err != nil {
		return err
	}
	if d.json {
		return first(d.answer(a, nil), a.status())
	}
	return first(line(d.Out, "entry %d: comparison kept; again: wring compare %d", a.Entry, a.Entry), a.status())
}

func (d desk) comparisonSheet(c *cli.Context, name string) (agreement.Comparison, error) {
	shown, data, err := d.readInput(name)
	if err != nil {
		return agreement.Comparison{}, err
	}
	s, err := sheet.ReadComparison(shown, data)
	if err != nil {
		return agreement.Comparison{}, err
	}
	for name, field := range map[string]*sheet.Field{"date": &s.Date, "title": &s.Title, "remarks": &s.Remarks} {
		if given := c.String(name); given != "" {
			*field = sheet.Field{Text: given}
		}
	}
	if !s.Date.Given() {
		s.Date = sheet.Field{Text: d.today().String()}
	}
	if !s.Person.Given() {
		s.Person = sheet.Field{Text: d.person}
	}
	x, err := s.Comparison()
	if err != nil {
		return x, err
	}
	return x, d.notAhead(x.Date)
}

// notAhead refuses a date that lies ahead of today.
func (d desk) notAhead(day calib.Date) error {
	if day.After(d.today()) {
		return fmt.Errorf("date %s: lies ahead of today, %s; want the day it was done", day, d.today())
	}
	return nil
}

// comparedEntries makes a comparison of two entries.
func (d desk) comparedEntries(c *cli.Context, first, second string) (agreement.Comparison, error) {
	x := agreement.Comparison{Title: c.String("title"), Person: d.person, Remarks: c.String("remarks")}
	var err error
	if x.Date, err = date(c, "date", d.today()); err != nil {
		return x, err
	}
	if err := d.notAhead(x.Date); err != nil {
		return x, err
	}
	var sides [2]comparedSide
	for i, word := range []string{first, second} {
		seq, err := entryNumber(word)
		if err != nil {
			return x, err
		}
		if err := d.view(func(tx *registry.Tx) (err error) { sides[i], err = sideOf(tx, seq); return err }); err != nil {
			return x, err
		}
	}
	a, b := sides[0], sides[1]
	if a.of != b.of {
		return x, fmt.Errorf("entry %s is a %s, entry %s a %s; want two of a kind", first, a.of, second, b.of)
	}
	x = join(x, a, b)
	if len(x.Specimens) == 0 {
		return x, fmt.Errorf("entries %s and %s: nothing that both measured; want two %ss of the same sizes or lot", first, second, a.of)
	}
	return x, nil
}

func (d desk) showComparison(c *cli.Context, word string) error {
	var a comparisonAnswer
	house, head, err := d.shownEntry(word, func(tx *registry.Tx, seq uint64) (journal.Head, error) {
		k, err := tx.Comparison(seq)
		a = comparisonAnswer{Entry: seq, Comparison: k.Comparison.Comparison, Result: k.Comparison.Result, Withdrawn: k.Withdrawn}
		return k.Head, err
	})
	if err != nil {
		return err
	}
	if c.String("pdf") != "" {
		return d.setPaper(c, a.document(house, head, d.today()), a.name())
	}
	return d.answer(a, a.write)
}
