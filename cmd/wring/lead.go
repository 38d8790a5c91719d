package main

import (
	"bufio"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/cmd/internal/aside"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

// errEnded is returned when the input ends before the check is whole.
var errEnded = errors.New("the input ended before the check was whole; want every reading, or q to leave")

// errUnsaid is returned when the input ends at the last question.
var errUnsaid = errors.New("the input ended before it was said whether to keep the check; want yes or no")

// errLeft is returned when the person leaves.
var errLeft = errors.New("left before the check was whole")

// nothingTyped is said of a mere Enter where an answer is wanted.
const nothingTyped = "  nothing was typed; want an answer, ? for help, or q to leave it for later"

const leadHelp = `  one reading a line, as keyed or as the gauge types it; a unit may follow
  u  take back the last reading      r  take this place again, from its first
  s  WHY   leave this place out      c  TEXT  a comment on the last reading
  w  STACK  other blocks or weights, as  w 1.1+4  or  w 2 kg + 1 kg*
  ?  this help                       q  leave, and go on from here another time`

// A leader asks station by station. It holds no registry open. What was
// answered lies in a file beside the registry after each answer.
type leader struct {
	desk
	in    *bufio.Scanner
	p     *preparation
	told  map[string]bool // marks that were said already
	known experience      // of this gauge, from its last check

	taken sheet.CheckSheet // the readings; p.sheet holds all else
	named []sheet.Field    // what was answered for the standards, at most once
	warm  []sheet.Field    // and for the temperature

	file    *aside.File // nil where nothing can be put there
	left    leftEntry
	latest  *station // where the last reading was taken; nil before the first
	shifted float64  // of the error since the last check, as a person owned, mm
}

// runLed leads a person through a check, shows it, and keeps it where that is
// wanted. Whatever breaks it off leaves what was keyed beside the registry.
func runLed(d desk, c *cli.Context, p *preparation) error {
	l := &leader{desk: d, in: bufio.NewScanner(d.In), p: p, told: map[string]bool{}}
	if err := l.goOn(c); err != nil {
		return l.broken(err)
	}
	list, err := l.begin()
	if err != nil {
		return l.broken(err)
	}
	for i := 0; ; {
		if err := l.walk(list, i); err != nil {
			return l.broken(err)
		}
		err := l.finish(c)
		if !errors.Is(err, errBack) {
			return l.broken(err)
		}
		i = l.back(list, len(list), l.takeBack)
		if err := l.save(); err != nil {
			return l.broken(err)
		}
	}
}

// begin says what is known to be wrong before it asks anything, and lists the
// stations.
func (l *leader) begin() ([]station, error) {
	p := l.p
	named := len(p.sheet.Standards) > 0
	var marks []calib.Finding
	if named {
		var err error
		if marks, err = p.rehearse(); err != nil {
			return nil, err
		}
	}
	if err := l.remember(); err != nil {
		return nil, err
	}
	l.say("%s, %s, by plan %s revision %d; %s", p.gauge.ID, p.gauge.Kind, p.plan.Name, p.plan.Revision, p.sheet.Date.Text)
	l.say("%s", leadHelp)
	l.tell(marks)
	var list []station
	if !named || len(l.named) > 0 {
		s, err := l.standardsStation()
		if err != nil {
			return nil, err
		}
		list = append(list, s)
	}
	if len(l.warm) > 0 || !p.sheet.Temperature.Given() && !p.plan.Environment.IsZero() {
		list = append(list, l.temperatureStation())
	}
	list = append(list, station{got: new([]sheet.Field), title: l.cautioned})
	return slices.Concat(list, l.partStations()), nil
}

// cautioned tells a person once what a load can do.
func (l *leader) cautioned() string {
	if !l.told["cautions"] {
		l.told["cautions"] = true
		l.cautions(l.p, &l.p.rehearsed)
	}
	return ""
}

// finish works the check out, shows it and asks whether to keep it. It returns
// errBack where a person wants to go back first.
func (l *leader) finish(c *cli.Context) error {
	job, err := l.resolve()
	if err != nil {
		l.paragraph("  " + err.Error())
		return l.choose("go back, or leave it? (u or q)", map[string]error{"u": errBack}, err)
	}
	shown := shownCheck(job, 0)
	if err := showResult(l.desk, c, job, shown, true); err != nil {
		return err
	}
	if c.Bool("show-only") {
		return first(l.shownOnly(shown), l.drop(), verdictStatus(job.result))
	}
	no := errors.New("no")
	switch err := l.choose("keep it? (yes or no; u goes back, q leaves it for later)",
		map[string]error{"yes": nil, "y": nil, "no": no, "n": no, "u": errBack}, errUnsaid); {
	case errors.Is(err, no):
		return first(l.shownOnly(shown), l.drop(), verdictStatus(job.result))
	case err != nil:
		return err
	}
	if err := keepCheck(l.desk, job); err != nil && !errors.Is(err, errNo) {
		return err
	}
	return first(l.drop(), verdictStatus(job.result))
}

// choose asks until one of the words is typed, and returns what it stands for;
// ended is what the end of the input stands for.
func (l *leader) choose(question string, words map[string]error, ended error) error {
	for {
		typed, err := l.ask(question)
		if errors.Is(err, errEnded) {
			return ended
		}
		if err != nil {
			return err
		}
		if answer, ok := words[strings.ToLower(typed)]; ok {
			return answer
		}
		l.paragraph(fmt.Sprintf("  %q: want one of %s", typed, strings.Join(slices.Sorted(maps.Keys(words)), ", ")))
	}
}

// resolve works out what was taken, without the places that were left out.
func (l *leader) resolve() (*checkJob, error) {
	whole, p := *l.p.sheet, *l.p
	whole.Zero, whole.Foot, whole.Force, whole.Load, whole.Skipped = l.taken.Zero, l.taken.Foot, l.taken.Force, l.taken.Load, l.taken.Skipped
	out := func(part calib.Part, at sheet.Field) bool {
		return slices.ContainsFunc(whole.Skipped, func(r sheet.SkipRow) bool { return r.Part.Text == string(part) && r.At.Text == at.Text })
	}
	whole.Points = slices.DeleteFunc(slices.Clone(l.taken.Points), func(r sheet.PointRow) bool { return out(calib.LengthPart, r.At) })
	p.overrides = slices.DeleteFunc(slices.Clone(p.overrides), func(o string) bool {
		return slices.ContainsFunc(l.taken.Points, func(r sheet.PointRow) bool { return out(calib.LengthPart, r.At) && l.overrides(o, r.At) })
	})
	whole.Foot = withoutSkipped(whole.Foot, func(at sheet.Field) bool { return out(calib.FootPart, at) })
	whole.Force = withoutSkipped(whole.Force, func(at sheet.Field) bool { return out(calib.ForcePart, at) })
	if whole.Load != nil {
		load := *whole.Load
		load.Points = slices.DeleteFunc(slices.Clone(load.Points), func(r sheet.LoadRow) bool { return out(calib.LoadPart, r.Load) })
		whole.Load = &load
	}
	p.sheet = &whole
	return p.resolve(l.desk)
}

func withoutSkipped(s *sheet.PressSheet, out func(sheet.Field) bool) *sheet.PressSheet {
	if s == nil {
		return nil
	}
	rest := *s
	rest.Points = slices.DeleteFunc(slices.Clone(s.Points), func(r sheet.PressRow) bool { return out(r.At) })
	return &rest
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

func (l *leader) say(format string, args ...any) { fmt.Fprintf(l.Err, format+"\n", args...) }

// paragraph says what may be longer than a line.
func (l *leader) paragraph(text string) { _ = screen.Paragraph(l.Err, text, "  ") }

// ask returns the next line typed at a prompt. Prompts go to standard error,
// so that what is printed stays clean.
func (l *leader) ask(prompt string) (string, error) { return l.askOr(prompt, "") }

// askOr is ask with what a mere Enter stands for; nothing is asked again.
func (l *leader) askOr(prompt, offer string) (string, error) {
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
			if offer != "" {
				return offer, nil
			}
			l.say(nothingTyped)
		case "?":
			l.say("%s", leadHelp)
		case "q", "Q":
			return "", errLeft
		default:
			return typed, nil
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

// standardsHere lists what the registry has that may serve.
func (l *leader) standardsHere() (known []string, err error) {
	err = l.view(func(tx *registry.Tx) error {
		return tx.Standards(func(s registry.StandardState) error {
			if l.p.offered(s.Standard.Kind) {
				known = append(known, s.Standard.ID+" ("+string(s.Standard.Kind)+")")
			}
			return nil
		})
	})
	if err == nil && len(known) == 0 {
		err = errors.New("no standard is in the registry; want one by wring standard add, with its certificate")
	}
	return known, err
}
