package main

import (
	"bufio"
	"errors"
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/calib/sheet"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// errEnded is returned when the input ends before the check is whole.
var errEnded = errors.New("the input ended before the check was whole; want every reading, or q to leave")

// errLeft is returned when the person leaves.
var errLeft = errors.New("left before the check was whole")

// errBack is returned when a reading is taken back where there is none.
var errBack = errors.New("nothing to take back")

const leadHelp = `  one reading a line, as keyed or as the gauge types it; a unit may follow
  u  take back the last reading     ?  this help     q  leave, nothing is kept`

// A leader asks point by point. It holds no registry open.
type leader struct {
	desk
	in   *bufio.Scanner
	p    *preparation
	told map[string]bool // marks that were said already

	doubted string // a reading that was said to be far off
}

// lead asks for what is still lacking: standards, temperature, zero, and the
// readings at each of the plan's points. What is known to be wrong is said
// before it asks anything.
func lead(d desk, p *preparation) error {
	l := leader{desk: d, in: bufio.NewScanner(d.In), p: p, told: map[string]bool{}}
	p.answers = l.in
	named := len(p.sheet.Standards) > 0
	var marks []calib.Finding
	if named {
		var err error
		if marks, err = p.rehearse(); err != nil {
			return err
		}
	}
	l.say("%s, %s, by plan %s revision %d; %s", p.gauge.ID, p.gauge.Kind, p.plan.Name, p.plan.Revision, p.sheet.Date.Text)
	l.say("%s", leadHelp)
	l.tell(marks)
	steps := []func() error{l.temperature, l.parts}
	if !named {
		steps = slices.Insert(steps, 0, l.standards)
	}
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// standards offers what the registry knows where no standard is named.
func (l *leader) standards() error {
	var known []string
	if err := l.view(func(tx *registry.Tx) error {
		return tx.Standards(func(s registry.StandardState) error {
			if l.p.offered(s.Standard.Kind) {
				known = append(known, s.Standard.ID+" ("+string(s.Standard.Kind)+")")
			}
			return nil
		})
	}); err != nil {
		return err
	}
	if len(known) == 0 {
		return errors.New("no standard is in the registry; want one by wring standard add, with its certificate")
	}
	l.paragraph("standards here: " + strings.Join(known, ", "))
	for {
		typed, err := l.ask(l.p.used())
		if err != nil {
			return err
		}
		marks, err := l.take(strings.Fields(strings.NewReplacer(",", " ", "+", " ").Replace(typed)))
		if err == nil {
			l.tell(marks)
			return nil
		}
		l.paragraph("  " + err.Error())
	}
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

// tell says once what will be marked.
func (l *leader) tell(marks []calib.Finding) {
	for _, f := range marks {
		if text := findingText(f); !l.told[text] {
			l.told[text] = true
			l.paragraph("will be marked: " + text)
		}
	}
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

// paragraph says what may be longer than a line.
func (l *leader) paragraph(text string) { _ = screen.Paragraph(l.Err, text, "  ") }

// ask returns the next line typed at a prompt. Prompts go to standard error,
// so that what is printed stays clean.
func (l *leader) ask(prompt string) (string, error) {
	for {
		fmt.Fprint(l.Err, prompt+" ")
		if !l.in.Scan() {
			l.say("")
			if err := l.in.Err(); err != nil {
				return "", err
			}
			return "", errEnded
		}
		switch typed := strings.TrimSpace(l.in.Text()); typed {
		case "":
		case "?":
			l.say("%s", leadHelp)
		case "q", "Q":
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
		_, err = unit.Parse(typed, unit.Temperature, celsius)
		if err == nil {
			l.p.sheet.Temperature = sheet.Field{Text: typed}
			var marks []calib.Finding
			if marks, err = l.p.rehearse(); err == nil {
				l.tell(marks)
				return nil
			}
			l.p.sheet.Temperature = sheet.Field{}
		}
		l.paragraph("  " + err.Error())
	}
}

func (l *leader) zero() error {
	if l.p.plan.Zero == calib.ZeroNone {
		return nil
	}
	l.say("zero, at %s", l.p.gauge.Low)
	for {
		zero, err := l.readings("zero", l.p.zeros(), l.near(l.p.gauge.Low), nil)
		if errors.Is(err, errBack) {
			l.say("  nothing to take back")
			continue
		}
		l.p.sheet.Zero = zero
		return err
	}
}

// points takes the readings of one point after the other. Taking back at a
// point without readings goes back to the last reading of the one before.
func (l *leader) points() error {
	var got []sheet.Field // readings of the point that is open
	for n := 0; n < len(l.p.plan.Points); {
		at := l.p.plan.Points[n]
		l.blocks(at)
		readings, err := l.readings(at.String(), l.p.plan.Readings, l.near(at), got)
		switch {
		case errors.Is(err, errBack) && n == 0:
			l.say("  nothing to take back")
			got = nil
		case errors.Is(err, errBack):
			n--
			got = l.p.sheet.Points[n].Readings
			got = got[:len(got)-1]
			l.p.sheet.Points = l.p.sheet.Points[:n]
		case err != nil:
			return err
		default:
			row := sheet.PointRow{At: sheet.Field{Text: at.String()}, Readings: readings}
			l.p.sheet.Points = append(l.p.sheet.Points, row)
			l.say("  %s", l.p.soFar(row))
			n, got = n+1, nil
		}
	}
	return nil
}

func (l *leader) blocks(at unit.Quantity) {
	if own, ok := l.p.overridden(at); ok {
		_, stack, _ := strings.Cut(own, "=")
		l.say("%s  blocks %s, your own", at, stack)
	} else if stack, err := length.Propose(at, l.p.sets); err == nil { // rehearsed: there is one
		l.say("%s  blocks %s", at, stackText(stack))
	}
}

// readings takes what is lacking to n readings, each looked at as it comes. It
// returns errBack where one is taken back and there is none.
func (l *leader) readings(name string, n int, look func(string) error, got []sheet.Field) ([]sheet.Field, error) {
	for len(got) < n {
		typed, err := l.ask(fmt.Sprintf("  %s, reading %d of %d:", name, len(got)+1, n))
		if err != nil {
			return nil, err
		}
		if strings.EqualFold(typed, "u") {
			if len(got) == 0 {
				return nil, errBack
			}
			l.say("  %s taken back", got[len(got)-1].Text)
			got = got[:len(got)-1]
			continue
		}
		if err := look(typed); err != nil {
			l.paragraph("  " + err.Error())
			continue
		}
		got = append(got, sheet.Field{Text: typed})
	}
	return got, nil
}

// near looks at an indication of a length.
func (l *leader) near(about unit.Quantity) func(string) error {
	return func(typed string) error {
		q, err := parseLength(typed, l.p.gauge)
		if err == nil {
			err = l.believe(typed, q, about)
		}
		return err
	}
}

// believe asks for another reading where the plan would name this one as far
// outside. Typed again it is taken, where the plan marks it and does not stop:
// a gauge that is truly far out must get into the record.
func (l *leader) believe(typed string, q, about unit.Quantity) error {
	most := l.p.plan.Believable
	if most.IsZero() || q.Inner().Sub(about.Inner()).Abs().Cmp(most.Inner()) <= 0 {
		return nil
	}
	off := fmt.Sprintf("%s on %s is off by more than the believable ±%s; read it again", q, about, most)
	switch {
	case l.p.plan.ActionOf(calib.GateBelievable) == calib.Stop:
		return errors.New(off)
	case l.doubted != typed:
		l.doubted = typed
		return errors.New(off + ", and type it again if it is so")
	}
	l.say("  taken, and marked")
	return nil
}

// zeros is how many readings of the zero are asked for: as many as at a point
// where it is subtracted, and its own scatter then counts.
func (p *preparation) zeros() int {
	if p.plan.Zero == calib.ZeroSubtracted {
		return p.plan.Readings
	}
	return 1
}

// agrees asks whether the result that was shown shall be kept. The end of the
// input is no answer.
func agrees(d desk, p *preparation) (bool, error) {
	l := leader{desk: d, in: p.answers, p: p}
	for {
		typed, err := l.ask("keep it? (yes or no)")
		if errors.Is(err, errLeft) {
			return false, nil
		}
		if errors.Is(err, errEnded) {
			return false, errors.New("the input ended before it was said whether to keep the check; want yes or no")
		}
		if err != nil {
			return false, err
		}
		switch strings.ToLower(typed) {
		case "yes", "y":
			return true, nil
		case "no", "n":
			return false, nil
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
