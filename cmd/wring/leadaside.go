package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/cmd/internal/aside"
	"example.org/wring/registry"
)

// A leftEntry is a led check that is not whole yet, as it lies beside the
// registry. Fields are added so that an old file reads as before; anything else
// is a new form of package aside.
type leftEntry struct {
	Registry string `json:"registry"` // identity of the one it was keyed for
	Entries  uint64 `json:"entries"`  // that the registry had when it was begun
	Gauge    string `json:"gauge"`
	Plan     string `json:"plan"`
	Revision int    `json:"revision"`

	Sheet  sheet.CheckSheet `json:"sheet"` // all but the readings
	Taken  sheet.CheckSheet `json:"taken"` // the readings, and what was left out
	Blocks []string         `json:"blocks,omitempty"`
	Parts  []calib.Part     `json:"parts"`
	Named  []sheet.Field    `json:"named,omitempty"`
	Warm   []sheet.Field    `json:"warm,omitempty"`

	Pending string `json:"pending,omitempty"` // a reading that is being asked about
	Carry   string `json:"carry,omitempty"`   // comment on the next reading
}

// entryFile is where a check of a gauge that is not whole lies.
func (d desk) entryFile(gauge string) string { return d.registry + "." + gauge + ".entry" }

// goOn offers what was left of a check of this gauge, and begins a new one
// where nothing was left, or it cannot be gone on with, or is not wanted.
func (l *leader) goOn(c *cli.Context) error {
	p := l.p
	if err := l.view(func(tx *registry.Tx) error {
		house, err := tx.House()
		head, err2 := tx.Head()
		l.left = leftEntry{Registry: house.Registry, Entries: head.Seq, Gauge: p.gauge.ID, Plan: p.plan.Name, Revision: p.plan.Revision}
		return first(err, err2)
	}); err != nil {
		return err
	}
	l.file = aside.At(l.entryFile(p.gauge.ID))
	var found leftEntry
	there, err := l.file.Read(&found)
	if err == nil && there {
		err = l.stale(found)
	}
	switch {
	case err != nil:
		return l.putAway(err)
	case !there:
		return nil
	}
	l.paragraph(fmt.Sprintf("a check of %s, %s of %s by %s, was left before it was whole: %s there",
		found.Gauge, stageText(found.Sheet.Stage), found.Sheet.Date.Text, found.Sheet.Person.Text, plural(found.readings(), "reading")))
	no := errors.New("no")
	switch err := l.choose("go on with it? (yes, or no to begin anew)", map[string]error{"yes": nil, "y": nil, "no": no, "n": no}, errEnded); {
	case errors.Is(err, no):
		return nil
	case err != nil:
		return err
	}
	return l.takeUp(found, c)
}

func stageText(f sheet.Field) string {
	if f.Text == "" {
		return string(calib.AsFound)
	}
	return strings.ReplaceAll(f.Text, "-", " ")
}

// stale says why what was left is not to be gone on with.
func (l *leader) stale(found leftEntry) error {
	now := l.left
	switch {
	case found.Registry != now.Registry:
		return errors.New("was keyed for another registry")
	case found.Gauge != now.Gauge:
		return fmt.Errorf("was keyed for gauge %q", found.Gauge)
	}
	return l.view(func(tx *registry.Tx) error {
		g, err := tx.Gauge(found.Gauge)
		if err != nil {
			return err
		}
		plan, err := tx.Plan(found.Plan, 0)
		switch {
		case err != nil:
			return err
		case plan.Plan.Revision != found.Revision:
			return fmt.Errorf("was keyed by plan %s revision %d, which is at revision %d now", found.Plan, found.Revision, plan.Plan.Revision)
		case g.Last != nil && g.Last.Entry > found.Entries:
			return fmt.Errorf("is older than entry %d, a check of %s", g.Last.Entry, found.Gauge)
		}
		return nil
	})
}

// putAway says in one line what is wrong with a file, and puts it out of the
// way of a new check.
func (l *leader) putAway(why error) error {
	name, err := l.file.PutAway()
	if err != nil {
		l.file = nil
		l.say("%s: %s; nothing can be kept beside the registry", l.entryFile(l.left.Gauge), why)
		return nil
	}
	l.say("%s: %s; it lies in %s now", l.entryFile(l.left.Gauge), why, name)
	return nil
}

// takeUp goes on with what was left. Options that say another check are
// refused; the others overrule.
func (l *leader) takeUp(found leftEntry, c *cli.Context) error {
	p := l.p
	for _, o := range []struct{ name, given, was string }{
		{"stage", c.String("stage"), stageText(found.Sheet.Stage)},
		{"purpose", c.String("purpose"), found.Sheet.Purpose.Text},
		{"date", c.String("date"), found.Sheet.Date.Text},
		{"plan", c.String("plan"), found.Plan},
		{"standard", strings.Join(c.StringSlice("standard"), " "), strings.Join(texted(found.Sheet.Standards), " ")},
		{"part", strings.Join(c.StringSlice("part"), " "), strings.Join(wordsOf(found.Parts), " ")},
		{"blocks", strings.Join(c.StringSlice("blocks"), " "), strings.Join(found.Blocks, " ")},
	} {
		if o.given != "" && strings.ReplaceAll(o.given, "-", " ") != strings.ReplaceAll(o.was, "-", " ") {
			return usagef("--%s %q: the check that was left has %q; want the option left out, or no to begin anew", o.name, o.given, o.was)
		}
	}
	p.sheet, p.overrides, p.parts = &found.Sheet, found.Blocks, found.Parts
	p.sheet.Name = "check"
	overrule(l.desk, c, p.sheet)
	l.taken, l.named, l.warm, l.left = found.Taken, found.Named, found.Warm, found
	var err error
	if p.day, err = calib.ParseDate(p.sheet.Date.Text); err != nil {
		return err
	}
	return l.view(func(tx *registry.Tx) error { return p.lookUp(tx, p.gauge.ID) })
}

func texted(list []sheet.Field) []string {
	var out []string
	for _, f := range list {
		out = append(out, f.Text)
	}
	return out
}

// readings counts those that were taken.
func (e leftEntry) readings() int {
	n := len(e.Taken.Zero)
	l := leader{taken: e.Taken}
	for _, part := range calib.Parts() {
		for _, group := range l.groupsOf(part) {
			n += len(group)
		}
	}
	if load := e.Taken.Load; load != nil {
		n += len(load.Zero) + len(load.Return)
	}
	return n
}

// save puts what was answered beside the registry. Where that cannot be done it
// is said once, and the check goes on without; but never beside another process
// that goes on with the same.
func (l *leader) save() error {
	if l.file == nil {
		return nil
	}
	l.left.Sheet, l.left.Taken, l.left.Blocks, l.left.Parts = *l.p.sheet, l.taken, l.p.overrides, l.p.parts
	l.left.Named, l.left.Warm = l.named, l.warm
	err := l.file.Save(l.left)
	switch {
	case errors.Is(err, aside.ErrTaken):
		l.file = nil
		return fmt.Errorf("check of %s: %w elsewhere; want it finished there", l.p.gauge.ID, err)
	case err != nil:
		l.say("  %s: this check cannot be kept aside, so do not break it off", at(l.file.Path(), err))
		l.file = nil
	}
	return nil
}

// drop takes the file away when the check is kept, or not wanted.
func (l *leader) drop() error {
	if l.file == nil {
		return nil
	}
	return at(l.file.Path(), l.file.Remove())
}

// broken says with what broke a check off that it can be gone on with.
func (l *leader) broken(err error) error {
	var h *hinted
	status := exitCode(err)
	if l.file == nil || !l.file.There() || errors.As(err, &h) || !slices.Contains([]exitStatus{exitRefused, exitBusy, exitUsage}, status) {
		return err
	}
	if errors.Is(err, registry.ErrUnconfirmed) {
		return &hinted{err, "whether it was kept is not known; look with wring history"}
	}
	return &hinted{err, fmt.Sprintf("nothing was kept yet; wring check %s goes on with what was keyed", l.p.gauge.ID)}
}
