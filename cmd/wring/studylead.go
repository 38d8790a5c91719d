package main

import (
	"bufio"
	"errors"
	"fmt"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/study"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/uncertainty/unit"
)

const studyHelp = `  one reading a line, as keyed or as the gauge types it; no earlier one is shown
  u  take back the last reading     ?  this help     q  leave, nothing is kept`

// A studyLeader asks turn by turn. It holds no registry open, and shows no
// reading again: who knows what was read before reads it again.
type studyLeader struct {
	desk
	in *bufio.Scanner
}

// leadStudy asks for the readings in the planned order and puts them into the
// sheet.
func (d desk) leadStudy(s *sheet.StudySheet, g calib.Gauge) (*studyLeader, error) {
	x, turns, err := d.design(s, g)
	if err != nil {
		return nil, err
	}
	l := &studyLeader{desk: d, in: bufio.NewScanner(d.In)}
	fmt.Fprintf(d.Err, "%s, %s; %d turns in the order of seed %d\n%s\n", g.ID, g.Kind, len(turns), x.Seed, studyHelp)
	rows := make([]sheet.CellRow, 0, len(turns))
	for len(rows) < len(turns) {
		t := turns[len(rows)]
		l.takesOver(turns, len(rows))
		typed, err := l.ask(fmt.Sprintf("  turn %d of %d, %s, part %s:", len(rows)+1, len(turns), t.Operator, t.Part))
		if err != nil {
			return nil, err
		}
		if strings.EqualFold(typed, "u") {
			if len(rows) == 0 {
				fmt.Fprintln(d.Err, "  nothing to take back")
				continue
			}
			rows = rows[:len(rows)-1]
			fmt.Fprintln(d.Err, "  the last reading is taken back")
			continue
		}
		if err := readable(typed, g); err != nil {
			_ = screen.Paragraph(d.Err, "  "+err.Error(), "  ")
			continue
		}
		rows = append(rows, sheet.CellRow{Turn: sheet.Field{Text: fmt.Sprint(len(rows) + 1)}, Part: sheet.Field{Text: t.Part}, Operator: sheet.Field{Text: t.Operator},
			Readings: []sheet.Field{{Text: typed}}})
	}
	s.Cells = rows
	return l, nil
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
		case "?":
			fmt.Fprintln(l.Err, studyHelp)
		case "q", "Q":
			return "", errors.New("left before the study was whole")
		default:
			return typed, nil
		}
	}
}

// agrees asks whether the study that was shown shall be kept.
func (l *studyLeader) agrees() (bool, error) {
	for {
		typed, err := l.ask("keep it? (yes or no)")
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
