package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/presser"
	"example.org/wring/calib/sheet"
	"example.org/wring/uncertainty/unit"
)

// partStations are those of what is recorded, one part after the other.
func (l *leader) partStations() []station {
	var out []station
	for _, part := range l.p.parts {
		switch part {
		case calib.LengthPart:
			out = append(out, l.lengthStations()...)
		case calib.LoadPart:
			out = append(out, l.loadStations()...)
		default:
			out = append(out, l.pressStations(part)...)
		}
	}
	return out
}

// reads makes the station of n readings at one place and in one direction.
func (l *leader) reads(part calib.Part, at unit.Quantity, name string, n int, into *[]sheet.Field) station {
	return station{
		ask:  func(got int) string { return readingPrompt(name, got, n, l.runningOf(part, *into)) },
		want: n, got: into, part: part, name: name, at: at,
		look: func(typed string) error {
			_, err := l.p.readingOf(part, typed)
			return err
		},
		doubt: func(typed string) string {
			if q, err := l.p.readingOf(part, typed); err == nil {
				if why := presser.Unbelievable(part, at, q, l.p.rehearsed, l.p.basis(l.p.plan)); why != "" {
					return why
				}
			}
			return l.stray(typed, *into, part, unit.Exact{})
		},
	}
}

// runningOf says mean and spread of an instrument's readings so far.
func (l *leader) runningOf(part calib.Part, got []sheet.Field) string {
	var list []unit.Quantity
	for _, f := range got {
		q, err := l.p.readingOf(part, f.Text)
		if err != nil || len(list) > 0 && q.Unit().Dimension() != list[0].Unit().Dimension() {
			return ""
		}
		list = append(list, q)
	}
	if len(list) == 0 {
		return ""
	}
	last := list[len(list)-1]
	return runningText(list, last.Unit(), last.Places())
}

// pressStations are those of a foot or a measuring force.
func (l *leader) pressStations(part calib.Part) []station {
	a, into := l.p.pressOf(part), &l.taken.Foot
	if part == calib.ForcePart {
		into = &l.taken.Force
	}
	if *into == nil || len((*into).Points) != len(a.points) {
		*into = &sheet.PressSheet{}
		for _, at := range a.points {
			(*into).Points = append((*into).Points, sheet.PressRow{At: typedField(at.String())})
		}
	}
	var out []station
	for i, at := range a.points {
		row := &(*into).Points[i]
		forward := l.reads(part, at, at.String()+", "+a.forward, a.terms.Readings, &row.Forward)
		forward.title = func() string { return fmt.Sprintf("%s at %s (%d of %d)", part, at, i+1, len(a.points)) }
		sum := func() string { return l.p.pressSoFar(part, *row) }
		if a.back == "" {
			forward.sum = sum
			out = append(out, forward)
			continue
		}
		back := l.reads(part, at, at.String()+", "+a.back, a.terms.Readings, &row.Back)
		back.sum = sum
		out = append(out, forward, back)
	}
	return out
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

// loadStations are the zero, the loads one after the other, the way down and
// the zero again.
func (l *leader) loadStations() []station {
	plan := l.p.plan.Load
	if l.taken.Load == nil || len(l.taken.Load.Points) != len(plan.Loads) {
		l.taken.Load = &sheet.LoadSheet{}
		for _, at := range plan.Loads {
			l.taken.Load.Points = append(l.taken.Load.Points, sheet.LoadRow{Load: typedField(at.String())})
		}
	}
	s := l.taken.Load
	off := func(title string, into *[]sheet.Field) station {
		zero := l.reads(calib.LoadPart, unit.Quantity{}, "zero", 1, into)
		zero.title = func() string { return title }
		return zero
	}
	var up, down []station
	for i, at := range plan.Loads {
		row := &s.Points[i]
		on := func(way string) func() string {
			return func() string {
				return fmt.Sprintf("%s: weights %s%s (%d of %d)", at, l.weights(i), way, i+1, len(plan.Loads))
			}
		}
		there := l.reads(calib.LoadPart, at, at.String()+", up", plan.Readings, &row.Up)
		there.title, there.with = on(""), func(stack string) error { return l.hang(i, stack) }
		back := l.reads(calib.LoadPart, at, at.String()+", down", plan.Readings, &row.Down)
		back.title = on(", on the way down")
		up, down = append(up, there), append(down, back)
	}
	if !plan.Down {
		down = nil
	}
	slices.Reverse(down)
	return slices.Concat([]station{off("nothing on the gauge", &s.Zero)}, up, down, []station{off("everything off the gauge", &s.Return)})
}

// weights says what is put on for a load: a person's own, else those of the
// rehearsal.
func (l *leader) weights(i int) string {
	var out []string
	if own := l.taken.Load.Points[i].Weights; len(own) > 0 {
		return strings.Join(texted(own), " + ") + ", your own"
	}
	for _, w := range l.p.rehearsed.Load.Points[i].Weights {
		out = append(out, w.Nominal.String()+w.Mark)
	}
	return strings.Join(out, " + ")
}

// hang takes other weights for a load than those proposed, and refuses what the
// sets lack or the gauge does not bear.
func (l *leader) hang(i int, stack string) error {
	if stack == "" {
		return errors.New("want the weights behind the w, as w 2 kg + WS-1:200 g")
	}
	var own []sheet.Field
	for part := range strings.SplitSeq(stack, "+") {
		own = append(own, typedField(strings.TrimSpace(part)))
	}
	one, alone := *l.p.sheet, *l.p
	read := slices.Repeat([]sheet.Field{typedField(l.p.plan.Load.Loads[i].String())}, l.p.plan.Load.Readings)
	one.Load = &sheet.LoadSheet{Points: []sheet.LoadRow{{Load: l.taken.Load.Points[i].Load, Weights: own, Up: read, Down: read}}}
	alone.sheet, alone.overrides = &one, nil
	check, err := one.Check(l.p.gauge, l.p.plan)
	if err != nil {
		return err
	}
	var without []calib.Gate
	for _, g := range calib.Gates() {
		if g != calib.GateRange && g != calib.GateNoValues {
			without = append(without, g)
		}
	}
	if _, err := alone.evaluate(&check, without); err != nil {
		return err
	}
	l.taken.Load.Points[i].Weights = own
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
