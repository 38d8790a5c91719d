package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

// A restingRow is a check that rests on something that was amended or
// withdrawn.
type restingRow struct {
	Entry   uint64        `json:"entry"`
	Gauge   string        `json:"gauge"`
	Date    calib.Date    `json:"date"`
	Verdict calib.Verdict `json:"verdict"`
}

func restingOn(tx *registry.Tx, id string, seq uint64) ([]restingRow, error) {
	out := []restingRow{}
	list, err := tx.RestingOn(id, seq)
	for _, k := range list {
		out = append(out, restingRow{k.Head.Seq, k.Check.Check.Gauge, k.Check.Check.Date, k.Check.Result.Verdict})
	}
	return out, err
}

// writeResting names the checks that rest on what counts no more, and what can
// be done about them.
func writeResting(out io.Writer, subject string, list []restingRow) error {
	if len(list) == 0 {
		return line(out, "no check that stands rests on the old one")
	}
	t := screen.Table{Columns: []screen.Column{{Title: "check", Align: screen.Right}, {Title: "date"}, {Title: "gauge"}, {Title: "verdict", Wrap: true}}}
	for _, r := range list {
		t.Add(strconv.FormatUint(r.Entry, 10), r.Date.String(), r.Gauge, string(r.Verdict))
	}
	return first(line(out, "\n%s on the old one:", yes(len(list) == 1, "this check rests", "these checks rest")), t.Write(out),
		screen.Paragraph(out, fmt.Sprintf("\nTo work one out again with what counts now: wring amend CHECK --standard %s=%s --reason TEXT.", subject, subject), "  "))
}

// write says what was withdrawn, and what is left to do.
func (a withdrawAnswer) write(out io.Writer) error {
	if err := line(out, "entry %d: %s", a.Entry, noticeOf(a)); err != nil {
		return err
	}
	if a.Status != "" {
		if err := line(out, "its notice: wring certificate %d; who was told: wring told %d --whom TEXT", a.Entry, a.Withdrawn); err != nil {
			return err
		}
	}
	if len(a.LookBacks) > 0 {
		if err := line(out, "the look-back that it opened stays, entry %s: wring lookback %s", numbers(a.LookBacks), a.Subject); err != nil {
			return err
		}
	}
	if len(a.Surveys) > 0 {
		if err := screen.Paragraph(out, fmt.Sprintf("surveys that rest on it, to be looked at again: entry %s", numbers(a.Surveys)), "  "); err != nil {
			return err
		}
	}
	if len(a.Comparisons) > 0 {
		if err := line(out, "comparisons that took its figures, to be looked at again: entry %s", numbers(a.Comparisons)); err != nil {
			return err
		}
	}
	if len(a.Resting) == 0 {
		return nil
	}
	return writeResting(out, a.Subject, a.Resting)
}

// numbers lists entries.
func numbers(list []uint64) string {
	var each []string
	for _, n := range list {
		each = append(each, strconv.FormatUint(n, 10))
	}
	return strings.Join(each, ", ")
}
