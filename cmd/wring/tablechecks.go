package main

import (
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/table"
	"example.org/wring/cmd/internal/inorder"
	"example.org/wring/registry"
)

// checksAhead is how many checks are worked out ahead of those being kept: a
// house rule, some megabytes.
const checksAhead = 500

// checks enters the checks in their order. Working one out takes far longer
// than keeping it, so that it is done on all processors, by what the registry
// holds when their turn is still to come. What a check before it changed, as
// the status of its gauge, is noticed when it is kept, and it is worked out
// again.
func (im *importer) checks(groups []table.Group) {
	for list := range slices.Chunk(im.whole(groups), checksAhead) {
		foreseen := make([]foresight, len(list))
		for i, g := range list {
			foreseen[i] = im.foresee(g)
		}
		for i, f := range inorder.Each(foreseen, foresight.workOut) {
			l, err := im.check(list[i], f)
			im.note(list[i].First(), l, err)
		}
	}
}

// A foresight is a check as it will be kept if nothing changes before its turn;
// the zero one foresees nothing.
type foresight struct {
	job   *checkJob
	ready registry.ReadyCheck
}

func (im *importer) foresee(g table.Group) foresight {
	job, err := im.read(g)
	if err != nil {
		return foresight{}
	}
	_, known, err := im.tx.KnownCheck(job.check)
	if known || err != nil || job.lookUp(im.tx) != nil {
		return foresight{}
	}
	return foresight{job: job}
}

// workOut works the check out; one that cannot be is left to its turn, which
// says why.
func (f foresight) workOut() foresight {
	if f.job == nil || f.job.workOut() != nil {
		return foresight{}
	}
	var err error
	if f.ready, err = registry.Ready(f.job.kept()); err != nil {
		return foresight{}
	}
	return f
}

// holds reports whether the check was worked out by what holds now.
func (f foresight) holds(tx *registry.Tx) bool {
	if f.job == nil {
		return false
	}
	_, now, err := tx.Basis(f.job.check)
	return err == nil && now.Same(f.job.refs)
}

// check enters the lines of one check, worked out by its plan.
func (im *importer) check(g table.Group, f foresight) (tableLine, error) {
	foreseen := f.holds(im.tx)
	if !foreseen {
		var err error
		if f.job, err = im.read(g); err != nil {
			return tableLine{}, err
		}
	}
	job := f.job
	l := tableLine{Name: job.check.Gauge, Does: doesSame}
	seq, known, err := im.tx.KnownCheck(job.check)
	if known || err != nil {
		l.Text = fmt.Sprintf("entry %d", seq)
		return l, err
	}
	if foreseen {
		_, err = im.tx.KeepReady(f.ready)
	} else if err = first(job.lookUp(im.tx), job.workOut()); err == nil {
		_, err = im.tx.KeepCheck(job.kept())
	} else {
		return tableLine{}, g.Placed(err)
	}
	l.Does, l.Text = doesEnter, fmt.Sprintf("check %s of %s, %s: %s", job.check.Stage, job.check.Date, plural(len(job.check.Points), "point"), job.result.Verdict)
	return l, err
}

// read is the check in the lines of a group, by the gauge's plan.
func (im *importer) read(g table.Group) (*checkJob, error) {
	s, err := g.CheckSheet()
	if err != nil {
		return nil, err
	}
	if !s.Person.Given() {
		s.Person = sheet.Field{Text: im.d.person}
	}
	p := &preparation{sheet: s}
	if p.day, err = calib.ParseDate(s.Date.Text); err != nil {
		return nil, err
	}
	if p.day.After(im.d.today()) {
		return nil, fmt.Errorf("date: %s lies ahead of today, %s; want the day the check was made", p.day, im.d.today())
	}
	if err := p.lookUp(im.tx, s.Gauge.Text); err != nil {
		return nil, err
	}
	p.parts = s.Parts()
	job, err := p.filled(im.d)
	if err != nil {
		return nil, g.Placed(err)
	}
	return job, nil
}
