package main

import (
	"bufio"
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/study"
	"example.org/wring/cmd/internal/aside"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

const studyHelp = `  one reading a line, as keyed or as the gauge types it; no earlier one is shown
  u  take back the last reading     ?  this help     q  leave, to go on later`

// A studyLeader asks turn by turn. It holds no registry open, and shows no
// reading again: who knows what was read before reads it again.
type studyLeader struct {
	desk
	in   *bufio.Scanner
	file *aside.File // nil where nothing can be put there
	left leftStudy
}

// A leftStudy is a led study that is not whole yet, as it lies beside the
// registry.
type leftStudy struct {
	Registry string           `json:"registry"` // identity of the one it was keyed for
	Gauge    string           `json:"gauge"`
	Sheet    sheet.StudySheet `json:"sheet"` // with the turns that were taken
}

// leadStudy asks for the readings in the planned order and puts them into the
// sheet. One that was left before it was whole is gone on with, if it is wanted.
func (d desk) leadStudy(s *sheet.StudySheet, g calib.Gauge, given bool) (*studyLeader, *sheet.StudySheet, error) {
	l := &studyLeader{desk: d, in: bufio.NewScanner(d.In), file: aside.At(d.registry + "." + g.ID + ".study")}
	found, err := l.goOn(g)
	switch {
	case err != nil:
		return nil, nil, err
	case found != nil && given:
		return nil, nil, usagef("study take: options beside a study that is gone on with; want them left out, or no to begin anew")
	case found != nil:
		s = found
	}
	rows := s.Cells
	if found == nil {
		rows = nil // those of a plan, which has no reading
	}
	s.Cells = nil
	x, turns, err := d.design(s, g)
	if err != nil {
		return nil, nil, err
	}
	l.left.Sheet = *s
	fmt.Fprintf(d.Err, "%s, %s; %d turns in the order of seed %d\n%s\n", g.ID, g.Kind, len(turns), x.Seed, studyHelp)
	s.Cells, err = l.turns(turns, min(len(rows), len(turns)), rows, g)
	return l, s, err
}

// turns takes the readings that are lacking, each looked at as it comes.
func (l *studyLeader) turns(turns []study.Turn, from int, rows []sheet.CellRow, g calib.Gauge) ([]sheet.CellRow, error) {
	rows = rows[:from:from]
	for len(rows) < len(turns) {
		t := turns[len(rows)]
		l.takesOver(turns, len(rows))
		typed, err := l.ask(fmt.Sprintf("  turn %d of %d, %s, part %s:", len(rows)+1, len(turns), t.Operator, t.Part))
		if err != nil {
			return nil, l.broken(err)
		}
		switch fault := readable(typed, g); {
		case strings.EqualFold(typed, "u") && len(rows) == 0:
			fmt.Fprintln(l.Err, "  nothing to take back")
			continue
		case strings.EqualFold(typed, "u"):
			rows = rows[:len(rows)-1]
			fmt.Fprintln(l.Err, "  the last reading is taken back")
		case fault != nil:
			_ = screen.Paragraph(l.Err, "  "+fault.Error(), "  ")
			continue
		default:
			rows = append(rows, sheet.CellRow{Turn: sheet.Field{Text: strconv.Itoa(len(rows) + 1)}, Part: sheet.Field{Text: t.Part}, Operator: sheet.Field{Text: t.Operator},
				Readings: []sheet.Field{{Text: typed}}})
			if l.Terminal { // where the line with it was wiped
				fmt.Fprintf(l.Err, "  turn %d of %d, %s, part %s: taken\n", len(rows), len(turns), t.Operator, t.Part)
			}
		}
		if err := l.save(rows); err != nil {
			return nil, err
		}
	}
	return rows, nil
}

// goOn offers what was left of a study of this gauge; nil where there is none,
// or it is not wanted.
func (l *studyLeader) goOn(g calib.Gauge) (*sheet.StudySheet, error) {
	if err := l.view(func(tx *registry.Tx) error {
		house, err := tx.House()
		l.left = leftStudy{Registry: house.Registry, Gauge: g.ID}
		return err
	}); err != nil {
		return nil, err
	}
	var found leftStudy
	there, err := l.file.Read(&found)
	if err == nil && there && (found.Registry != l.left.Registry || found.Gauge != g.ID) {
		err = errors.New("was keyed for another registry or gauge")
	}
	switch {
	case err != nil:
		name, other := l.file.PutAway()
		if other != nil {
			l.file = nil
			return nil, nil
		}
		fmt.Fprintf(l.Err, "%s: %s; it lies in %s now\n", l.file.Path(), err, name)
		return nil, nil
	case !there:
		return nil, nil
	}
	fmt.Fprintf(l.Err, "a study of %s, %s, was left before it was whole: %s there\n", g.ID, found.Sheet.Date.Text, plural(len(found.Sheet.Cells), "reading"))
	yes, err := l.agrees("go on with it? (yes, or no to begin anew)")
	if err != nil || !yes {
		return nil, err
	}
	return &found.Sheet, nil
}

// save puts the turns that were taken beside the registry.
func (l *studyLeader) save(rows []sheet.CellRow) error {
	if l.file == nil {
		return nil
	}
	left := l.left
	left.Sheet.Cells = rows
	err := l.file.Save(left)
	switch {
	case errors.Is(err, aside.ErrTaken):
		return fmt.Errorf("study of %s: %w elsewhere; want it finished there", left.Gauge, err)
	case err != nil:
		fmt.Fprintf(l.Err, "  %s: this study cannot be kept aside, so do not break it off\n", at(l.file.Path(), err))
		l.file = nil
	}
	return nil
}

// broken says with what broke a study off that it can be gone on with.
func (l *studyLeader) broken(err error) error {
	if l.file == nil || !l.file.There() {
		return err
	}
	return &hinted{err, fmt.Sprintf("nothing was kept yet; wring study take %s goes on with what was keyed", l.left.Gauge)}
}

// drop takes the file away when the study is kept, or not wanted.
func (l *studyLeader) drop() error {
	if l == nil || l.file == nil {
		return nil
	}
	return at(l.file.Path(), l.file.Remove())
}

// takesOver says when the gauge goes into other hands.
func (l *studyLeader) takesOver(turns []study.Turn, i int) {
	if i == 0 || turns[i-1].Operator != turns[i].Operator || turns[i-1].Repeat != turns[i].Repeat {
		fmt.Fprintf(l.Err, "round %d: the gauge to %s\n", turns[i].Repeat, turns[i].Operator)
	}
}

// readable refuses what is no reading of the gauge.
func readable(typed string, g calib.Gauge) error {
	q, err := unit.Parse(typed, g.Kind.Dimension(), g.ReadIn())
	switch {
	case err != nil:
		return err
	case q.Unit().Symbol() != g.Unit:
		return fmt.Errorf("%s on a gauge that is read in %s; want one unit throughout", q, g.Unit)
	case q.Inner().Cmp(g.Low.Inner()) < 0 || q.Inner().Cmp(g.High.Inner()) > 0:
		return fmt.Errorf("%s: outside the gauge's range, %s; want it read again", q, rangeOf(g))
	}
	return nil
}

// ask returns what was typed at a prompt, and at a terminal takes it off the
// screen.
func (l *studyLeader) ask(prompt string) (string, error) {
	for {
		fmt.Fprint(l.Err, prompt+" ")
		if !l.in.Scan() {
			fmt.Fprintln(l.Err)
			if err := l.in.Err(); err != nil {
				return "", err
			}
			return "", errors.New("the input ended before the study was whole; want every reading, or q to leave")
		}
		typed := strings.TrimSpace(l.in.Text())
		if l.Terminal {
			fmt.Fprint(l.Err, "\x1b[1A\r\x1b[2K") // up a line, and wipe it
		}
		switch typed {
		case "":
			fmt.Fprintln(l.Err, nothingTyped)
		case "?":
			fmt.Fprintln(l.Err, studyHelp)
		case "q", "Q":
			return "", errors.New("left before the study was whole")
		default:
			return typed, nil
		}
	}
}

// agrees asks a question of yes or no.
func (l *studyLeader) agrees(question string) (bool, error) {
	for {
		typed, err := l.ask(question)
		if err != nil {
			return false, err
		}
		switch strings.ToLower(typed) {
		case "yes", "y":
			return true, nil
		case "no", "n":
			return false, nil
		}
		fmt.Fprintf(l.Err, "  %q: want yes or no\n", typed)
	}
}
