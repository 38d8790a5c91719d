package main

import (
	"bufio"
	"errors"
	"fmt"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/calib/sheet"
	"example.org/wring/uncertainty/unit"
)

// errEnded is returned when the input ends before the check is whole.
var errEnded = errors.New("the input ended before the check was whole; want every reading, or q to leave")

// errLeft is returned when the person leaves.
var errLeft = errors.New("left before the check was whole")

const leadHelp = `  one reading a line, as keyed or as the gauge types it; a unit may follow
  u  take back the last reading     ?  this help     q  leave, nothing is kept`

// A leader asks point by point. It holds no registry open.
type leader struct {
	desk
	in *bufio.Scanner
	p  *preparation
}

// lead asks for what the sheet still lacks: standards, temperature, zero, and
// the readings at each of the plan's points.
func lead(d desk, p *preparation) error {
	if err := p.named(); err != nil {
		return err
	}
	l := leader{desk: d, in: bufio.NewScanner(d.In), p: p}
	p.answers = l.in
	l.say("%s, %s, by plan %s revision %d; %s", p.gauge.ID, p.gauge.Kind, p.plan.Name, p.plan.Revision, p.sheet.Date.Text)
	l.say("%s", leadHelp)
	if err := l.temperature(); err != nil {
		return err
	}
	if p.plan.Zero != calib.ZeroNone {
		zero, err := l.readings("zero", 1, p.gauge.Low)
		if err != nil {
			return err
		}
		p.sheet.Zero = zero
	}
	for _, at := range p.plan.Points {
		if err := l.point(at); err != nil {
			return err
		}
	}
	return nil
}

// named refuses before the first reading where no block set is named: a person
// shall not key thirty readings for nothing.
func (p *preparation) named() error {
	for _, s := range p.sets {
		if s.Standard.Kind.OfLength() {
			return nil
		}
	}
	return fmt.Errorf("no block set is named; want --standard STANDARD")
}

func (l *leader) say(format string, args ...any) { fmt.Fprintf(l.Err, format+"\n", args...) }

// ask returns the next line typed at a prompt. Prompts go to standard error,
// so that what is printed stays clean.
func (l *leader) ask(prompt string) (string, error) {
	for {
		fmt.Fprint(l.Err, prompt+" ")
		if !l.in.Scan() {
			if err := l.in.Err(); err != nil {
				return "", err
			}
			return "", errEnded
		}
		switch typed := strings.TrimSpace(l.in.Text()); typed {
		case "":
		case "?":
			l.say("%s", leadHelp)
		case "q":
			return "", errLeft
		default:
			return typed, nil
		}
	}
}

func (l *leader) temperature() error {
	if l.p.sheet.Temperature.Given() || l.p.plan.Environment.IsZero() {
		return nil
	}
	celsius, _ := unit.Lookup("°C", unit.Temperature)
	for {
		typed, err := l.ask("temperature of gauge and blocks, °C:")
		if err != nil {
			return err
		}
		if _, err := unit.Parse(typed, unit.Temperature, celsius); err != nil {
			l.say("  %s", err)
			continue
		}
		l.p.sheet.Temperature = sheet.Field{Text: typed}
		return nil
	}
}

// point shows the blocks of one point and takes its readings.
func (l *leader) point(at unit.Quantity) error {
	stack, err := length.Propose(at, l.p.sets)
	if err != nil {
		return err
	}
	if own, ok := l.p.overridden(at); ok {
		l.say("%s  blocks %s, your own", at, own)
	} else {
		l.say("%s  blocks %s", at, stackText(stack))
	}
	readings, err := l.readings(at.String(), l.p.plan.Readings, at)
	if err != nil {
		return err
	}
	l.p.sheet.Points = append(l.p.sheet.Points, sheet.PointRow{At: sheet.Field{Text: at.String()}, Readings: readings})
	return nil
}

// readings takes n readings, each looked at as it comes.
func (l *leader) readings(name string, n int, about unit.Quantity) ([]sheet.Field, error) {
	var got []sheet.Field
	for len(got) < n {
		typed, err := l.ask(fmt.Sprintf("  %s, reading %d of %d:", name, len(got)+1, n))
		if err != nil {
			return nil, err
		}
		if typed == "u" {
			got = got[:max(0, len(got)-1)]
			continue
		}
		q, err := parseLength(typed, l.p.gauge)
		if err == nil {
			err = l.believe(q, about)
		}
		if err != nil {
			l.say("  %s", err)
			continue
		}
		got = append(got, sheet.Field{Text: typed})
	}
	return got, nil
}

// believe asks for another reading where the plan would name this one as far
// outside.
func (l *leader) believe(q, about unit.Quantity) error {
	most := l.p.plan.Believable
	if most.IsZero() || q.Inner().Sub(about.Inner()).Abs().Cmp(most.Inner()) <= 0 {
		return nil
	}
	return fmt.Errorf("%s on %s is off by more than the believable ±%s; read it again", q, about, most)
}

// agrees asks whether the result that was shown shall be kept.
func agrees(d desk, p *preparation) bool {
	l := leader{desk: d, in: p.answers, p: p}
	for {
		typed, err := l.ask("keep it? (yes or no)")
		switch {
		case err != nil || typed == "no" || typed == "n":
			return false
		case typed == "yes" || typed == "y":
			return true
		}
	}
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

// overridden returns the stack that --blocks names for a point, as typed.
func (p *preparation) overridden(at unit.Quantity) (string, bool) {
	for _, o := range p.overrides {
		point, stack, _ := strings.Cut(o, "=")
		if q, err := parseLength(point, p.gauge); err == nil && q.Same(at) {
			return stack, true
		}
	}
	return "", false
}

// holder returns the standard that holds a block of that size, the first named
// if none does, which is then said with its name.
func (p *preparation) holder(size unit.Quantity) string {
	id := ""
	for _, s := range p.sets {
		if !s.Standard.Kind.OfLength() {
			continue
		}
		if _, ok := s.Certificate.Find(size.Inner()); ok {
			return s.Standard.ID
		}
		if id == "" {
			id = s.Standard.ID
		}
	}
	return id
}
