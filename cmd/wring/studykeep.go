package main

import (
	"fmt"
	"io"
	"strconv"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/study"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
	"example.org/wring/registry/journal"
)

// studyBasis looks up the gauge of a study as it stands.
func (d desk) studyBasis(gauge, day string) (study.Basis, registry.UseRefs, error) {
	date, err := calib.ParseDate(day)
	if err != nil {
		return study.Basis{}, registry.UseRefs{}, err
	}
	if date.After(d.today()) {
		return study.Basis{}, registry.UseRefs{}, fmt.Errorf("date %s: lies ahead of today, %s; want the day it was taken", date, d.today())
	}
	var b study.Basis
	var refs registry.UseRefs
	err = d.view(func(tx *registry.Tx) (err error) {
		refs, err = tx.UseOf(gauge)
		if err == nil {
			b, err = tx.ResolveUse(refs)
		}
		return err
	})
	return b, refs, err
}

func runStudyTake(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE")
	if err != nil {
		return err
	}
	s, err := d.studySheet(c)
	if err != nil {
		return err
	}
	b, refs, err := d.studyBasis(w[0], s.Date.Text)
	if err != nil {
		return err
	}
	led := s.Empty()
	var l *studyLeader
	if led {
		if l, s, err = d.leadStudy(s, b.Gauge, designGiven(c)); err != nil {
			return err
		}
	}
	x, err := s.Study(b.Gauge)
	if err != nil {
		return err
	}
	if err := d.shape.Check(x); err != nil {
		return err
	}
	k := registry.KeptStudy{Study: x, Basis: refs}
	if k.Result, err = study.Evaluate(x, b); err != nil {
		return fmt.Errorf("study of %s: %w", x.Gauge, err)
	}
	a := studyAnswer{Study: x, Result: k.Result, gauge: b.Gauge}
	out := d.Out
	if d.json {
		out = d.Err
	}
	if !d.json || led {
		if err := a.write(out); err != nil {
			return err
		}
	}
	keep := !c.Bool("show-only")
	if keep && led {
		if keep, err = l.agrees("keep it? (yes or no)"); err != nil {
			return l.broken(err)
		}
	}
	if !keep {
		if !c.Bool("show-only") { // what was only shown can still be gone on with
			if err := l.drop(); err != nil {
				return err
			}
		}
		if d.json {
			return first(d.answer(a, nil), a.status())
		}
		return first(line(d.Out, "not kept"), a.status())
	}
	return d.keepStudy(k, a, l)
}

// designGiven reports whether an option or a sheet says how a study is to be
// taken.
func designGiven(c *cli.Context) bool {
	for _, f := range append(studyFlags(), text("sheet", "", ""), text("date", "", "")) {
		if c.String(f.Names()[0]) != "" {
			return true
		}
	}
	return false
}

func (d desk) keepStudy(k registry.KeptStudy, a studyAnswer, l *studyLeader) error {
	if err := d.update(func(tx *registry.Tx) error {
		head, err := tx.KeepStudy(k)
		a.Entry = head.Seq
		return err
	}); err != nil {
		return err
	}
	if err := l.drop(); err != nil {
		return err
	}
	if d.json {
		return first(d.answer(a, nil), a.status())
	}
	return first(line(d.Out, "entry %d: study of %s kept; again: wring study show %d", a.Entry, k.Study.Gauge, a.Entry), a.status())
}

// entryNumber reads the number of an entry.
func entryNumber(word string) (uint64, error) {
	seq, err := strconv.ParseUint(word, 10, 64)
	if err != nil || seq == 0 {
		return 0, usagef("%q: no number of an entry; want one, as history and list show it", word)
	}
	return seq, nil
}

func runStudyShow(d desk, c *cli.Context) error {
	w, err := words(c, "ENTRY")
	if err != nil {
		return err
	}
	var a studyAnswer
	house, head, err := d.shownEntry(w[0], func(tx *registry.Tx, seq uint64) (journal.Head, error) {
		k, err := tx.Study(seq)
		if err == nil {
			a, err = answerOf(tx, k)
		}
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

// shownEntry reads an entry for showing it again, and what its paper names: the
// house and the hash of the entry.
func (d desk) shownEntry(word string, read func(*registry.Tx, uint64) (journal.Head, error)) (house registry.Opening, head string, err error) {
	seq, err := entryNumber(word)
	if err != nil {
		return house, "", err
	}
	err = d.view(func(tx *registry.Tx) error {
		h, err := read(tx, seq)
		if err != nil {
			return err
		}
		head = h.String()
		house, err = tx.House()
		return err
	})
	return house, head, err
}

func answerOf(tx *registry.Tx, k registry.Studied) (studyAnswer, error) {
	b, err := tx.ResolveUse(k.Study.Basis)
	return studyAnswer{Entry: k.Head.Seq, Study: k.Study.Study, Result: k.Study.Result, gauge: b.Gauge, Withdrawn: k.Withdrawn}, err
}

func runStudyList(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	list := []studyAnswer{}
	if err := d.view(func(tx *registry.Tx) error {
		all, err := tx.Studies()
		for _, k := range all {
			a, err := answerOf(tx, k)
			if err != nil {
				return err
			}
			list = append(list, a)
		}
		return err
	}); err != nil {
		return err
	}
	return d.answer(list, func(out io.Writer) error {
		if len(list) == 0 {
			return line(out, "no study was kept; wring study plan GAUGE begins one")
		}
		t := screen.Table{Columns: []screen.Column{{Title: "entry", Align: screen.Right}, {Title: "date"}, {Title: "gauge"}, {Title: "of", Wrap: true},
			{Title: "repeat-\nability", Align: screen.Right}, {Title: "reproduc-\nibility", Align: screen.Right}, {Title: "toler-\nance, %", Align: screen.Right}, {Title: "serves"}}}
		for _, a := range list {
			t.Add(a.row()...)
		}
		return t.Write(out)
	})
}
