package main

import (
	"bufio"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/survey"
	"example.org/wring/cmd/internal/aside"
	"example.org/wring/registry"
)

// A leftSurvey is a led survey that is not whole yet, as it lies beside the
// registry.
type leftSurvey struct {
	Registry string              `json:"registry"` // identity of the one it was keyed for
	Lot      string              `json:"lot"`
	Basis    registry.SurveyRefs `json:"basis"` // as it stood when it was begun
	Sheet    sheet.SurveySheet   `json:"sheet"`

	Placed bool `json:"placed,omitempty"` // where the places are was answered whole

	Pressing bool `json:"pressing,omitempty"` // how the lot gives way is being asked
	Pressed  bool `json:"pressed,omitempty"`  // and was answered whole
}

// goOn offers what was left of a survey of this lot, and begins a new one where
// nothing was left, or it cannot be gone on with, or is not wanted.
func (p *surveying) goOn(d desk, c *cli.Context) error {
	l := &surveyLeader{desk: d, in: bufio.NewScanner(d.In), p: p, file: aside.At(d.registry + "." + p.lot + ".survey")}
	if err := l.view(func(tx *registry.Tx) error {
		if _, err := tx.Lot(p.lot); err != nil {
			return err
		}
		house, err := tx.House()
		l.left = leftSurvey{Registry: house.Registry, Lot: p.lot}
		return err
	}); err != nil {
		return err
	}
	p.leader = l
	var found leftSurvey
	there, err := l.file.Read(&found)
	if err == nil && there {
		err = l.stale(found)
	}
	switch {
	case err != nil:
		l.putAway(err)
		return nil
	case !there:
		return nil
	}
	l.paragraph("a survey of %s, %s by %s with %s, was left before it was whole: %s there", p.lot, found.Sheet.Date.Text, found.Sheet.Person.Text, found.Sheet.Gauge.Text,
		plural(found.readings(), "reading"))
	yes, err := l.agrees("go on with it? (yes, or no to begin anew)", errSurveyEnded)
	if err != nil || !yes {
		return l.broken(err)
	}
	return l.takeUp(found, c)
}

// readings counts those that were taken.
func (s leftSurvey) readings() int {
	n := len(s.Sheet.Zero) + len(s.Sheet.Compression)
	for _, p := range s.Sheet.Places {
		n += len(p.Readings)
	}
	return n
}

// stale says why what was left is not to be gone on with.
func (l *surveyLeader) stale(found leftSurvey) error {
	if found.Registry != l.left.Registry || found.Lot != l.left.Lot {
		return errors.New("was keyed for another registry or lot")
	}
	day, err := calib.ParseDate(found.Sheet.Date.Text)
	if err != nil {
		return err
	}
	seed := survey.Survey{Lot: found.Lot, Method: found.Sheet.Method.Text, Gauge: found.Sheet.Gauge.Text, Date: day}
	return l.view(func(tx *registry.Tx) error {
		_, now, err := tx.SurveyBasis(seed)
		was := found.Basis
		was.Status, was.Limits, was.Due = now.Status, now.Limits, now.Due // looked at again
		if err == nil && now != was {
			err = errors.New("its lot, method or gauge was changed since")
		}
		return err
	})
}

// putAway says in one line what is wrong with a file, and puts it out of the
// way of a new survey.
func (l *surveyLeader) putAway(why error) {
	path := l.file.Path()
	name, err := l.file.PutAway()
	if err != nil {
		l.file = nil
		l.say("%s: %s; nothing can be kept beside the registry", path, why)
		return
	}
	l.say("%s: %s; it lies in %s now", path, why, name)
}

// takeUp goes on with what was left. Options that say another survey are
// refused; the others overrule.
func (l *surveyLeader) takeUp(found leftSurvey, c *cli.Context) error {
	s := found.Sheet
	for _, o := range []struct{ name, was string }{{"gauge", s.Gauge.Text}, {"method", s.Method.Text}, {"date", s.Date.Text}, {"grid", s.Grid.Text}} {
		if given := c.String(o.name); given != "" && given != o.was {
			return l.broken(usagef("--%s %q: the survey that was left has %q; want the option left out, or no to begin anew", o.name, given, o.was))
		}
	}
	if len(c.StringSlice("compression")) > 0 {
		found.Sheet.Compression, found.Pressing = nil, false // the option's run takes its place
	}
	found.Sheet.Name = "survey"
	*l.p.sheet, l.left = found.Sheet, found
	return nil
}

// save puts what was answered beside the registry. Where that cannot be done it
// is said once, and the survey goes on without; but never beside another
// process that goes on with the same.
func (l *surveyLeader) save() error {
	if l.file == nil {
		return nil
	}
	l.left.Sheet, l.left.Basis = *l.p.sheet, l.p.refs
	err := l.file.Save(l.left)
	switch {
	case errors.Is(err, aside.ErrTaken):
		l.file = nil
		return fmt.Errorf("survey of %s: %w elsewhere; want it finished there", l.p.lot, err)
	case err != nil:
		l.say("  %s: this survey cannot be kept aside, so do not break it off", at(l.file.Path(), err))
		l.file = nil
	}
	return nil
}

// drop takes the file away when the survey is kept, or not wanted.
func (l *surveyLeader) drop() error {
	if l.file == nil {
		return nil
	}
	return at(l.file.Path(), l.file.Remove())
}

// broken says with what broke a survey off that it can be gone on with.
func (l *surveyLeader) broken(err error) error {
	if l.file == nil || !l.file.There() || !slices.Contains([]exitStatus{exitRefused, exitBusy, exitUsage}, exitCode(err)) {
		return err
	}
	if errors.Is(err, registry.ErrUnconfirmed) {
		return &hinted{err, "whether it was kept is not known; look with wring lot show " + l.p.lot}
	}
	how := ""
	var h *hinted
	if errors.As(err, &h) {
		how = ", with --override REASON where the gauge is not fit"
	}
	return &hinted{err, fmt.Sprintf("nothing was kept yet; wring survey %s goes on with what was keyed%s", l.p.lot, how)}
}

// pressed offers a compression run where the method says a pressure and nothing
// says yet what it does to the lot.
func (l *surveyLeader) pressed() error {
	m, s := l.p.basis.Method, l.p.sheet
	given := len(s.Compression) > 0 && !l.left.Pressing || s.Stated != nil
	if m.Pressure.IsZero() || given || l.left.Pressed {
		return nil
	}
	l.paragraph("  how the lot gives way: one spot read at two pressures or more corrects the thicknesses to what the method wants, %s to %s; without it that is only marked", m.Pressure.Low, m.Pressure.High)
	for {
		l.left.Pressing = true
		typed, err := l.hear(fmt.Sprintf("  pressure and reading %d, as %s = %s; Enter alone ends:", len(s.Compression)+1, m.Pressure.Low, s.Places[0].Readings[0].Text))
		switch n := len(s.Compression); {
		case err != nil:
			return err
		case typed == "" && n == 1:
			l.say("  one pressure tells nothing; want another, or u to take it back")
			continue
		case typed == "":
			l.left.Pressed = true
			return l.save()
		case strings.EqualFold(typed, "u") && n == 0:
			l.say("  nothing to take back")
			continue
		case strings.EqualFold(typed, "u"):
			l.say("  %s = %s taken back", s.Compression[n-1].Pressure.Text, s.Compression[n-1].Reading.Text)
			s.Compression = s.Compression[:n-1]
		default:
			step, err := l.step(typed)
			if err != nil {
				l.paragraph("  %s", err)
				continue
			}
			s.Compression = append(s.Compression, step)
		}
		if err := l.save(); err != nil {
			return err
		}
	}
}

// step reads one pressure with its reading, and refuses what the whole survey
// would be refused for.
func (l *surveyLeader) step(typed string) (sheet.PressStep, error) {
	step, ok := pressStep(typed)
	if !ok {
		return step, fmt.Errorf("%q: want PRESSURE = READING, as 5 psi = 0.203", typed)
	}
	trial := *l.p.sheet
	trial.Compression = append(slices.Clone(trial.Compression), step)
	_, err := trial.Survey(l.p.basis.Method, l.p.basis.Lot, l.p.basis.Gauge)
	var bad *sheet.LineError
	if errors.As(err, &bad) {
		err = bad.Err
	}
	return step, err
}

func pressStep(text string) (sheet.PressStep, bool) {
	pressure, reading, ok := strings.Cut(text, "=")
	return sheet.PressStep{Pressure: sheet.Field{Text: strings.TrimSpace(pressure)}, Reading: sheet.Field{Text: strings.TrimSpace(reading)}}, ok
}
