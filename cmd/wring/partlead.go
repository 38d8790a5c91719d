package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
)

// A group is readings that are asked for together: one place, one direction.
type group struct {
	title string // said before it; may be empty
	name  string // in the prompt
	n     int
	part  calib.Part
	into  *[]sheet.Field
	after func() string // said when they are there; nil for nothing
}

// groups asks for one group after the other. Taking back where there is no
// reading goes back to the last one of the group before.
func (l *leader) groups(list []group) error {
	for i := 0; i < len(list); {
		g := list[i]
		if g.title != "" {
			l.say("%s", g.title)
		}
		look := func(text string) error { return l.p.typedReading(g.part, text) }
		got, err := l.readings(g.name, g.n, look, *g.into)
		switch {
		case errors.Is(err, errBack) && i == 0:
			l.say("  nothing to take back")
		case errors.Is(err, errBack):
			i--
			*list[i].into = (*list[i].into)[:len(*list[i].into)-1]
		case err != nil:
			return err
		default:
			*g.into = got
			if g.after != nil {
				l.paragraph("  " + g.after())
			}
			i++
		}
	}
	return nil
}

// press asks for a foot or a measuring force.
func (l *leader) press(part calib.Part) error {
	a := l.p.pressOf(part)
	s := &sheet.PressSheet{Points: make([]sheet.PressRow, len(a.points))}
	if part == calib.FootPart {
		l.p.sheet.Foot = s
	} else {
		l.p.sheet.Force = s
	}
	var list []group
	for i, at := range a.points {
		row := &s.Points[i]
		row.At = typedField(at.String())
		sum := func() string { return l.p.pressSoFar(part, *row) }
		forward := group{title: fmt.Sprintf("%s at %s", part, at), name: at.String() + ", " + a.forward, n: a.terms.Readings, part: part, into: &row.Forward, after: sum}
		if a.back != "" {
			forward.after = nil
			list = append(list, forward, group{name: at.String() + ", " + a.back, n: a.terms.Readings, part: part, into: &row.Back, after: sum})
			continue
		}
		list = append(list, forward)
	}
	return l.groups(list)
}

// pressSoFar says of one opening, as soon as its readings are there, what the
// result will say of it.
func (p *preparation) pressSoFar(part calib.Part, row sheet.PressRow) string {
	one := *p.sheet
	one.Points, one.Zero, one.Foot, one.Force = nil, nil, nil, nil
	alone := *p
	alone.sheet, alone.parts, alone.overrides = &one, []calib.Part{part}, nil
	rows := &sheet.PressSheet{Points: []sheet.PressRow{row}}
	if part == calib.FootPart {
		one.Foot = rows
	} else {
		one.Force = rows
	}
	check, err := one.Check(p.gauge, p.plan)
	if err != nil {
		return err.Error()
	}
	result, err := alone.evaluate(&check, calib.Gates())
	if err != nil {
		return err.Error()
	}
	var said []string
	for _, f := range result.Part(part).Figures {
		if f.Judged() && !f.At.IsZero() {
			value, expanded, u := figureText(part, f, p.basis(p.plan))
			said = append(said, fmt.Sprintf("%s %s, U %s %s: %s", f.Name, value, expanded, u.Symbol(), f.Verdict))
		}
	}
	return strings.Join(said, "; ")
}

// load asks for the zero, the loads one after the other, the way down and the
// zero again.
func (l *leader) load() error {
	plan := l.p.plan.Load
	s := &sheet.LoadSheet{Points: make([]sheet.LoadRow, len(plan.Loads))}
	l.p.sheet.Load = s
	n := plan.Readings
	list := []group{{title: "nothing on the gauge", name: "zero", n: 1, part: calib.LoadPart, into: &s.Zero}}
	var down []group
	for i, at := range plan.Loads {
		row := &s.Points[i]
		row.Load = typedField(at.String())
		on := fmt.Sprintf("%s  weights %s", at, l.proposed(i))
		list = append(list, group{title: on, name: at.String() + ", up", n: n, part: calib.LoadPart, into: &row.Up})
		down = append(down, group{title: on + ", on the way down", name: at.String() + ", down", n: n, part: calib.LoadPart, into: &row.Down})
	}
	if plan.Down {
		slices.Reverse(down)
		list = append(list, down...)
	}
	return l.groups(append(list, group{title: "everything off the gauge", name: "zero", n: 1, part: calib.LoadPart, into: &s.Return}))
}

// proposed are the weights of the rehearsal at one load.
func (l *leader) proposed(i int) string {
	var out []string
	for _, w := range l.p.rehearsed.Load.Points[i].Weights {
		out = append(out, w.Nominal.String()+w.Mark)
	}
	return strings.Join(out, " + ")
}

// parts asks for what is recorded, one part after the other, with what a person
// must be told first.
func (l *leader) parts() error {
	l.cautions(l.p, &l.p.rehearsed)
	for _, part := range l.p.parts {
		var err error
		switch part {
		case calib.LengthPart:
			if err = l.zero(); err == nil {
				err = l.points()
			}
		case calib.LoadPart:
			err = l.load()
		default:
			err = l.press(part)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// offered reports whether a standard may serve a part that is recorded.
func (p *preparation) offered(k calib.StandardKind) bool {
	switch k {
	case calib.Thermometer:
		return true
	case calib.Balance, calib.ForceGauge, calib.LengthGauge:
		return p.records(calib.FootPart) || p.records(calib.ForcePart)
	case calib.WeightSet, calib.PressureTester:
		return p.records(calib.LoadPart)
	}
	return k.OfLength() && p.records(calib.LengthPart)
}

// used is what a leader asks for where no standard is named.
func (p *preparation) used() string {
	if slices.Equal(p.parts, []calib.Part{calib.LengthPart}) {
		return "blocks and thermometer used, with a blank between:"
	}
	return "standards and instruments used, with a blank between:"
}
