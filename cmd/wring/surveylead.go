package main

import (
	"bufio"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/survey"
	"example.org/wring/cmd/internal/aside"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/uncertainty/unit"
)

const surveyHelp = `  one reading a line, as keyed or as the gauge types it; a unit may follow
  Enter alone counts the method's dwell down; a reading typed at once skips it
  u  take back the last reading     ?  this help     q  leave, to go on later`

// A surveyLeader asks place by place. It holds no registry open. What was
// answered lies in a file beside the registry after each answer.
type surveyLeader struct {
	desk
	in   *bufio.Scanner
	p    *surveying
	file *aside.File // nil where nothing can be put there
	left leftSurvey
}

// run leads a person through a survey, shows it, and keeps it where that is
// wanted.
func (l *surveyLeader) run(c *cli.Context) error {
	if err := l.lead(!c.Bool("no-dwell")); err != nil {
		return err
	}
	job, err := l.p.resolve(l.desk)
	if err != nil {
		return err
	}
	shown := shownSurvey(job, 0)
	if err := showSurvey(l.desk, shown, c.String("budget"), true); err != nil {
		return err
	}
	if c.Bool("show-only") { // what was only shown can still be gone on with
		return first(l.notKept(shown), l.drawSurvey(c, shown), surveyStatus(job.result))
	}
	keep, err := l.agrees("keep it? (yes or no; q leaves it for later)", errSurveyUnsaid)
	if err != nil {
		return err
	}
	if !keep {
		return first(l.notKept(shown), l.drop(), l.drawSurvey(c, shown), surveyStatus(job.result))
	}
	if err := l.keepSurvey(c, job); err != nil && !errors.Is(err, errNo) {
		return err
	}
	return first(l.drop(), surveyStatus(job.result))
}

// lead asks for what is still lacking: where the places are, the zero, the
// readings at each place, and how the lot gives way.
func (l *surveyLeader) lead(dwell bool) error {
	p := l.p
	m := p.basis.Method
	if p.sheet.Grid.Given() {
		if err := l.grid(p.sheet.Grid.Text); err != nil {
			return inOption("grid", err)
		}
	}
	l.paragraph("%s, %s, by method %s revision %d with %s; %s", p.lot, p.basis.Lot.Material, m.Name, m.Revision, p.basis.Gauge.ID, p.sheet.Date.Text)
	l.say("%s", surveyHelp)
	if m.Note != "" {
		l.paragraph("  note: %s", m.Note)
	}
	if found, err := p.basis.Fitness(p.day); err == nil {
		for _, f := range found {
			l.paragraph("will be marked: %s", findingText(f))
		}
	}
	for _, part := range []func() error{l.where, l.zero, func() error { return l.places(m, dwell) }, l.pressed} {
		if err := part(); err != nil {
			return err
		}
	}
	return nil
}

func (l *surveyLeader) say(format string, args ...any) { fmt.Fprintf(l.Err, format+"\n", args...) }

// paragraph says what may be longer than a line.
func (l *surveyLeader) paragraph(format string, args ...any) {
	_ = screen.Paragraph(l.Err, fmt.Sprintf(format, args...), "  ")
}

// hear returns the next line at a prompt, which may be empty.
func (l *surveyLeader) hear(prompt string) (string, error) {
	for {
		fmt.Fprint(l.Err, prompt+" ")
		if !l.in.Scan() {
			l.say("")
			if err := l.in.Err(); err != nil {
				return "", err
			}
			return "", errSurveyEnded
		}
		switch typed := strings.TrimSpace(l.in.Text()); typed {
		case "?":
			l.say("%s", surveyHelp)
		case "q", "Q":
			return "", errSurveyLeft
		default:
			return typed, nil
		}
	}
}

var (
	errSurveyEnded = errors.New("the input ended before the survey was whole; want every reading, or q to leave")
	errSurveyLeft  = errors.New("left before the survey was whole")

	errSurveyUnsaid = errors.New("the input ended before it was said whether to keep the survey; want yes or no")
)

// where asks for the grid, or for each position.
func (l *surveyLeader) where() error {
	if l.left.Placed {
		return nil
	}
	for !l.p.sheet.Grid.Given() {
		typed, err := l.hear("places: a grid, columns across x rows along, as 3x5; or p to give positions:")
		switch {
		case err != nil:
			return err
		case strings.EqualFold(typed, "p"):
			return l.positions()
		}
		if err := l.grid(typed); err != nil {
			l.paragraph("  %s", err)
			continue
		}
		l.p.sheet.Grid = sheet.Field{Text: typed}
	}
	g, _ := sheet.ParseGrid(l.p.sheet.Grid.Text)
	l.p.sheet.Places, l.left.Placed = nil, true
	for r := range g.Rows {
		for c := range g.Columns {
			l.p.sheet.Places = append(l.p.sheet.Places, sheet.SpotRow{At: sheet.Field{Text: g.Cell(c, r)}})
		}
	}
	return l.save()
}

// grid refuses one that is too small for the method before anybody reads.
func (l *surveyLeader) grid(typed string) error {
	g, err := sheet.ParseGrid(typed)
	if err != nil {
		return err
	}
	if least := l.p.basis.Method.Places.LeastFor(l.p.basis.Lot.Width); g.Columns*g.Rows < least {
		return fmt.Errorf("grid %s: %d places; method %s wants at least %d", typed, g.Columns*g.Rows, l.p.basis.Method.Name, least)
	}
	return nil
}

// positions asks for each place: across and along, in mm without a unit.
func (l *surveyLeader) positions() error {
	least := l.p.basis.Method.Places.LeastFor(l.p.basis.Lot.Width)
	millimetre, _ := unit.Lookup("mm", unit.Length)
	for {
		n := len(l.p.sheet.Places)
		typed, err := l.hear(fmt.Sprintf("place %d, across and along in mm, as 50 100; Enter alone ends them:", n+1))
		switch {
		case err != nil:
			return err
		case typed == "" && n >= least:
			l.left.Placed = true
			return l.save()
		case typed == "":
			l.say("  %s; method %s wants at least %d", plural(n, "place"), l.p.basis.Method.Name, least)
			continue
		}
		parts := strings.Fields(typed)
		if len(parts) != 2 {
			l.say("  %q: want two distances, as 50 100", typed)
			continue
		}
		_, errX := unit.Parse(parts[0], unit.Length, millimetre)
		_, errY := unit.Parse(parts[1], unit.Length, millimetre)
		if err := first(errX, errY); err != nil {
			l.paragraph("  %s", err)
			continue
		}
		row := sheet.SpotRow{Across: sheet.Field{Text: parts[0]}, Along: sheet.Field{Text: parts[1]}}
		l.p.sheet.Places = append(l.p.sheet.Places, row)
		if err := l.save(); err != nil {
			return err
		}
	}
}

// zero asks for the reading on the bare anvil where the gauge's check took it
// off its readings.
func (l *surveyLeader) zero() error {
	if l.p.basis.Sizes.Plan.Zero != calib.ZeroSubtracted || len(l.p.sheet.Zero) > 0 {
		return nil
	}
	for {
		typed, err := l.hear("zero, foot on the bare anvil:")
		if err != nil {
			return err
		}
		if _, err := l.reading(typed); err != nil {
			l.paragraph("  %s", err)
			continue
		}
		l.p.sheet.Zero = []sheet.Field{{Text: typed}}
		return l.save()
	}
}

// reading holds what was typed to the gauge's own unit.
func (l *surveyLeader) reading(typed string) (unit.Quantity, error) {
	q, err := parseLength(typed, l.p.basis.Gauge)
	if err == nil && q.Unit().Symbol() != l.p.basis.Gauge.Unit {
		err = fmt.Errorf("%s: %s is read in %s; want it so", q, l.p.basis.Gauge.ID, l.p.basis.Gauge.Unit)
	}
	return q, err
}

// places takes the readings of one place after the other; taking back goes on
// into the place before.
func (l *surveyLeader) places(m survey.Method, dwell bool) error {
	list := l.p.sheet.Places
	for i := 0; i < len(list); {
		row := &list[i]
		if len(row.Readings) >= m.Places.Readings {
			i++
			continue
		}
		name := row.At.Text
		if name == "" {
			name = fmt.Sprintf("%d, %s across, %s along", i+1, row.Across.Text, row.Along.Text)
		}
		typed, dwelt, err := l.dwelt(m.Dwell, dwell, fmt.Sprintf("  place %s, reading %d of %d, %d of %s:", name, len(row.Readings)+1, m.Places.Readings, i+1, plural(len(list), "place")))
		if err != nil {
			return err
		}
		if strings.EqualFold(typed, "u") {
			i = l.takeBack(list, i)
		} else if err := l.inRange(typed); err != nil {
			l.paragraph("  %s", err)
			continue
		} else {
			row.Readings = append(row.Readings, sheet.Field{Text: typed})
			if !dwelt && !m.Dwell.IsZero() {
				row.Undwelt = append(row.Undwelt, len(row.Readings))
			}
		}
		if err := l.save(); err != nil {
			return err
		}
	}
	return nil
}

// inRange holds what was typed to the gauge's range.
func (l *surveyLeader) inRange(typed string) error {
	q, err := l.reading(typed)
	if g := l.p.basis.Gauge; err == nil && (q.Inner().Cmp(g.Low.Inner()) < 0 || q.Inner().Cmp(g.High.Inner()) > 0) {
		err = fmt.Errorf("%s: %s reads from %s to %s; read it again", q, g.ID, g.Low, g.High)
	}
	return err
}

// takeBack drops the last reading and returns the place where it was.
func (l *surveyLeader) takeBack(list []sheet.SpotRow, i int) int {
	if len(list[i].Readings) == 0 && i > 0 {
		i--
	}
	r := list[i].Readings
	if len(r) == 0 {
		l.say("  nothing to take back")
		return i
	}
	l.say("  %s taken back", r[len(r)-1].Text)
	list[i].Readings = r[:len(r)-1]
	list[i].Undwelt = slices.DeleteFunc(list[i].Undwelt, func(n int) bool { return n == len(r) })
	return i
}

// dwelt asks for a reading, and says whether the dwell was counted down before
// it: Enter alone counts.
func (l *surveyLeader) dwelt(w survey.Dwell, wanted bool, prompt string) (typed string, dwelt bool, err error) {
	for {
		typed, err = l.hear(prompt)
		if err != nil || typed != "" {
			return typed, dwelt, err
		}
		if wanted && !w.IsZero() {
			dwelt = l.count(w)
		} else {
			l.say(nothingTyped)
		}
	}
}

// count shows the seconds of a dwell as they go by the clock that was handed
// in, and reports whether they went by. Without somebody at a terminal nothing
// is waited for.
func (l *surveyLeader) count(w survey.Dwell) bool {
	if !l.Terminal || l.Pause == nil {
		return false
	}
	end := l.Now().Add(time.Duration(w.Seconds * float64(time.Second)))
	for left := end.Sub(l.Now()); left > 0; left = end.Sub(l.Now()) {
		fmt.Fprintf(l.Err, "\r  foot rests: %d s  ", int(left.Round(time.Second).Seconds()))
		before := l.Now()
		l.Pause(min(left, time.Second))
		if !l.Now().After(before) { // a clock that stands still ends no dwell
			l.say("")
			return false
		}
	}
	l.say("\r  read now        ")
	return true
}

// agrees asks a question of yes or no; ended is what the end of the input
// stands for.
func (l *surveyLeader) agrees(question string, ended error) (bool, error) {
	for {
		typed, err := l.hear(question)
		switch {
		case errors.Is(err, errSurveyEnded):
			return false, ended
		case err != nil:
			return false, err
		}
		switch strings.ToLower(typed) {
		case "yes", "y":
			return true, nil
		case "no", "n":
			return false, nil
		}
		l.say("  %q: want yes or no", typed)
	}
}
