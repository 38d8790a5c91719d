package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/calib/sheet"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// standardsStation offers what the registry knows where no standard is named,
// and for a mere Enter what was used last time.
func (l *leader) standardsStation() (station, error) {
	known, err := l.standardsHere()
	if err != nil {
		return station{}, err
	}
	prompt, offer := l.p.used(), strings.Join(l.known.standards, " ")
	if offer != "" {
		prompt = strings.TrimSuffix(prompt, ":") + " [" + offer + "]:"
	}
	return station{
		title: func() string { return "standards here: " + strings.Join(known, ", ") },
		ask:   func(int) string { return prompt },
		offer: offer, want: 1, got: &l.named,
		look: func(typed string) error {
			marks, err := l.take(strings.Fields(strings.NewReplacer(",", " ", "+", " ").Replace(typed)))
			if err == nil {
				l.tell(marks)
			}
			return err
		},
	}, nil
}

// take lets the check rest on the standards that were named.
func (l *leader) take(ids []string) ([]calib.Finding, error) {
	l.p.sheet.Standards = nil
	for _, id := range ids {
		l.p.sheet.Standards = append(l.p.sheet.Standards, sheet.Field{Text: id})
	}
	if err := l.view(func(tx *registry.Tx) error { return l.p.lookUp(tx, l.p.gauge.ID) }); err != nil {
		return nil, err
	}
	return l.p.rehearse()
}

func (l *leader) temperatureStation() station {
	celsius, _ := unit.Lookup("°C", unit.Temperature)
	return station{
		ask:  func(int) string { return "temperature of gauge and blocks, °C:" },
		want: 1, got: &l.warm,
		look: func(typed string) error {
			if _, err := unit.Parse(typed, unit.Temperature, celsius); err != nil {
				return err
			}
			before := l.p.sheet.Temperature
			l.p.sheet.Temperature = sheet.Field{Text: typed}
			marks, err := l.p.rehearse()
			if err != nil {
				l.p.sheet.Temperature = before
				return err
			}
			l.tell(marks)
			return nil
		},
	}
}

// lengthStations are the zero, where the plan takes one, and its points.
func (l *leader) lengthStations() []station {
	var out []station
	if l.p.plan.Zero != calib.ZeroNone {
		out = append(out, l.zeroStation())
	}
	if len(l.taken.Points) != len(l.p.plan.Points) {
		l.taken.Points = nil
		for _, at := range l.p.plan.Points {
			l.taken.Points = append(l.taken.Points, sheet.PointRow{At: typedField(at.String())})
		}
	}
	for i := range l.p.plan.Points {
		out = append(out, l.pointStation(i))
	}
	return out
}

func (l *leader) zeroStation() station {
	low, n, into := l.p.gauge.Low, l.p.zeros(), &l.taken.Zero
	return station{
		title: func() string { return fmt.Sprintf("zero, at %s", low) },
		ask:   func(got int) string { return readingPrompt("zero", got, n, l.running(*into)) },
		want:  n, got: into, part: calib.LengthPart, name: "zero",
		look: func(typed string) error { return l.believable(typed, low) },
		doubt: func(typed string) string {
			return first2(l.farOff(typed, low), l.stray(typed, *into, calib.LengthPart, unit.Exact{}))
		},
	}
}

func (l *leader) pointStation(i int) station {
	at, row, n := l.p.plan.Points[i], &l.taken.Points[i], l.p.plan.Readings
	return station{
		title: func() string {
			return fmt.Sprintf("%s: blocks %s (%d of %d)", at, l.blocks(at), i+1, len(l.p.plan.Points))
		},
		ask: func(got int) string {
			return readingPrompt(at.String(), got, n, l.runningAt(*row))
		},
		want: n, got: &row.Readings, part: calib.LengthPart, name: at.String(), at: at,
		look: func(typed string) error { return l.believable(typed, at) },
		doubt: func(typed string) string {
			return first2(l.farOff(typed, at), l.stray(typed, row.Readings, calib.LengthPart, l.limitAt(i)), l.moved(typed, *row))
		},
		with: func(stack string) error { return l.wring(at, stack) },
		sum:  func() string { return l.soFar(*row) },
	}
}

// blocks says what is wrung for a point.
func (l *leader) blocks(at unit.Quantity) string {
	if own, ok := l.p.overridden(at); ok {
		_, stack, _ := strings.Cut(own, "=")
		return stack + ", your own"
	}
	stack, _ := length.Propose(at, l.p.sets) // rehearsed: there is one
	return stackText(stack)
}

// wring takes other blocks for a point than those proposed.
func (l *leader) wring(at unit.Quantity, stack string) error {
	if stack == "" {
		return errors.New("want the blocks behind the w, as w 1.1+4")
	}
	if _, _, err := l.p.stack(&l.p.rehearsed, at.String(), stack); err != nil {
		return err
	}
	before := l.p.overrides
	l.p.overrides = append(slices.DeleteFunc(slices.Clone(before), func(o string) bool { return l.overrides(o, typedField(at.String())) }), at.String()+"="+stack)
	if _, err := l.p.rehearse(); err != nil {
		l.p.overrides = before
		return err
	}
	return nil
}

// overrides reports whether an option --blocks is for a point.
func (l *leader) overrides(option string, at sheet.Field) bool {
	point, _, _ := strings.Cut(option, "=")
	a, err1 := parseLength(point, l.p.gauge)
	b, err2 := parseLength(at.Text, l.p.gauge)
	return err1 == nil && err2 == nil && a.Same(b)
}

// running says mean and spread of the readings of one place so far.
func (l *leader) running(got []sheet.Field) string {
	var list []unit.Quantity
	for _, f := range got {
		q, err := parseLength(f.Text, l.p.gauge)
		if err != nil {
			return ""
		}
		list = append(list, q)
	}
	return runningText(list, l.p.gauge.ReadIn(), l.places())
}

// places is how many digits after the point the gauge is read to.
func (l *leader) places() int {
	step := l.p.gauge.Resolution
	_, decimals, _ := strings.Cut(l.p.gauge.ReadIn().From(step.Inner()).Shortest(), ".")
	if len(decimals) > 6 { // a step in another unit system has no short form
		return step.Places()
	}
	return len(decimals)
}

// runningText writes mean and spread in one unit, the mean with a place more
// than is read.
func runningText(list []unit.Quantity, u unit.Unit, places int) string {
	if len(list) == 0 {
		return ""
	}
	mean, spread := length.Running(list)
	return fmt.Sprintf("mean %s, spread %s", u.From(mean).Text(places+1), u.From(spread).Text(places))
}

// runningAt adds the error.
func (l *leader) runningAt(row sheet.PointRow) string {
	text := l.running(row.Readings)
	if _, e, ok := l.errorOf(row); ok && text != "" {
		text += ", error " + l.p.gauge.ReadIn().From(e).Signed(l.places()+1)
	}
	return text
}

// zeros is how many readings of the zero are asked for: as many as at a point
// where it is subtracted, and its own scatter then counts.
func (p *preparation) zeros() int {
	if p.plan.Zero == calib.ZeroSubtracted {
		return p.plan.Readings
	}
	return 1
}

func stackText(stack []calib.BlockUse) string {
	var out []string
	for _, b := range stack {
		out = append(out, b.Nominal.String())
	}
	return strings.Join(out, " + ")
}

func parseLength(text string, g calib.Gauge) (unit.Quantity, error) {
	return unit.Parse(text, unit.Length, g.ReadIn())
}

// overridden returns the option --blocks that names a point, as typed.
func (p *preparation) overridden(at unit.Quantity) (string, bool) {
	for _, o := range p.overrides {
		point, _, _ := strings.Cut(o, "=")
		if q, err := parseLength(point, p.gauge); err == nil && q.Same(at) {
			return o, true
		}
	}
	return "", false
}
