package main

import (
	"errors"
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/calib/sheet"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// Experience is what the gauge's last check says of this one.
type experience struct {
	standards []string   // that were used
	date      calib.Date // zero: never checked
	points    []calib.PointResult
	scatter   length.Scatter // of its readings, mm
}

// remember reads the last check of the gauge. Its errors are compared with only
// where this check finds the gauge as that one left it.
func (l *leader) remember() error {
	return l.view(func(tx *registry.Tx) error {
		g, err := tx.Gauge(l.p.gauge.ID)
		if err != nil || g.Last == nil {
			return err
		}
		k, err := tx.Check(g.Last.Entry)
		if err != nil {
			return err
		}
		check := k.Check.Check
		for _, id := range check.Standards {
			if s, err := tx.Standard(id); err == nil && l.p.offered(s.Standard.Kind) {
				l.known.standards = append(l.known.standards, id)
			}
		}
		for i, r := range k.Check.Result.Points {
			if i < len(check.Points) {
				l.known.scatter.AddS(r.S, len(check.Points[i].Readings))
			}
		}
		l.known.date, l.known.points = check.Date, k.Check.Result.Points
		return nil
	})
}

// first2 returns the first of several objections.
func first2(whys ...string) string {
	for _, w := range whys {
		if w != "" {
			return w
		}
	}
	return ""
}

// beyond says how a reading of a length is further off than the plan believes.
func (l *leader) beyond(typed string, on unit.Quantity) (string, error) {
	q, err := parseLength(typed, l.p.gauge)
	most := l.p.plan.Believable
	if err != nil || most.IsZero() || q.Inner().Sub(on.Inner()).Abs().Cmp(most.Inner()) <= 0 {
		return "", err
	}
	return fmt.Sprintf("%s on %s is beyond the believable ±%s", q, on, most), nil
}

// believable refuses what is no length, and what the plan would stop at.
func (l *leader) believable(typed string, on unit.Quantity) error {
	far, err := l.beyond(typed, on)
	if err == nil && far != "" && l.p.plan.ActionOf(calib.GateBelievable) == calib.Stop {
		err = errors.New(far + "; read it again")
	}
	return err
}

// farOff doubts what the plan would mark: a gauge that is truly far out must
// get into the record.
func (l *leader) farOff(typed string, on unit.Quantity) string {
	far, _ := l.beyond(typed, on)
	if far != "" {
		far += "; it will be marked"
	}
	return far
}

// stray doubts a reading that lies away from those before it. Readings that
// were doubted themselves are no measure for it.
func (l *leader) stray(typed string, got []sheet.Field, part calib.Part, limit unit.Exact) string {
	q, err := l.p.readingOf(part, typed)
	if err != nil {
		return ""
	}
	var before []float64
	for _, f := range got {
		if x, err := l.p.readingOf(part, f.Text); err == nil && f.Comment == "" && x.Unit().Dimension() == q.Unit().Dimension() {
			before = append(before, x.Inner().Float())
		}
	}
	step, scatter := length.LastPlace(q), l.scatter(part)
	if part == calib.LengthPart {
		step = l.p.gauge.Resolution.Inner().Float()
	}
	off, stray := scatter.Stray(q.Inner().Float(), before, step, limit.Float())
	if !stray {
		return ""
	}
	u := q.Unit()
	return fmt.Sprintf("%s is %s %s from the mean of the others here, beyond their scatter", q, u.From(unit.FromFloat(off)).Signed(q.Places()), u.Symbol())
}

// scatter pools the readings of this check and, for lengths, of the last.
func (l *leader) scatter(part calib.Part) length.Scatter {
	var s length.Scatter
	if part == calib.LengthPart {
		s = l.known.scatter
	}
	for _, group := range l.groupsOf(part) {
		var x []float64
		for _, f := range group {
			if q, err := l.p.readingOf(part, f.Text); err == nil && f.Comment == "" {
				x = append(x, q.Inner().Float())
			}
		}
		s.Add(x)
	}
	return s
}

// groupsOf lists the readings taken so far of one part, each list at one place
// and in one direction.
func (l *leader) groupsOf(part calib.Part) (out [][]sheet.Field) {
	presses := func(s *sheet.PressSheet) {
		for _, r := range s.Points {
			out = append(out, r.Forward, r.Back)
		}
	}
	switch {
	case part == calib.LengthPart:
		for _, r := range l.taken.Points {
			out = append(out, r.Readings)
		}
	case part == calib.FootPart && l.taken.Foot != nil:
		presses(l.taken.Foot)
	case part == calib.ForcePart && l.taken.Force != nil:
		presses(l.taken.Force)
	case part == calib.LoadPart && l.taken.Load != nil:
		for _, r := range l.taken.Load.Points {
			out = append(out, r.Up, r.Down)
		}
	}
	return out
}

// limitAt is the limit of the error at a point, by the rehearsal.
func (l *leader) limitAt(i int) unit.Exact {
	if i < len(l.p.expected.Points) {
		return l.p.expected.Points[i].Limit
	}
	return unit.Exact{}
}

// moved doubts the first reading of a point whose error is another than at the
// last check, unless a person has owned that it moved by as much.
func (l *leader) moved(typed string, row sheet.PointRow) string {
	if len(row.Readings) > 0 || l.p.sheet.Stage.Text != "" && l.p.sheet.Stage.Text != "as-found" && l.p.sheet.Stage.Text != string(calib.AsFound) {
		return ""
	}
	row.Readings = []sheet.Field{typedField(typed)}
	nominal, e, ok := l.errorOf(row)
	i := slices.IndexFunc(l.known.points, func(k calib.PointResult) bool { return k.Nominal.Cmp(nominal) == 0 })
	if !ok || i < 0 {
		return ""
	}
	last, step := l.known.points[i], l.p.gauge.Resolution.Inner().Float()
	now, before := e.Float(), last.Error.Float()
	if !length.Moved(now, before, last.Expanded, step) || !length.Moved(now-l.shifted, before, last.Expanded, step) {
		return ""
	}
	l.shifted = now - before
	u, places := l.p.gauge.ReadIn(), l.places()+1
	return fmt.Sprintf("error %s %s; at the last check, %s, it was %s, U %s", u.From(e).Signed(places), u.Symbol(), l.known.date,
		u.From(last.Error).Signed(places), u.From(unit.FromFloat(last.Expanded)).Text(places))
}
