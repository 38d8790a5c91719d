package main

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

func newDue(e env) *cli.Command {
	return &cli.Command{
		Name:      "due",
		Usage:     "what is overdue, what falls due, what was never checked",
		UsageText: "wring due --within 30d --place \"bench 1\"",
		Flags: append(dueFlags(),
			text("calendar", "FILE", "to write the list to as iCalendar; a later one moves its events"),
			switchOn("strict", "exit with 3 if anything but \"due\" is in the list: overdue, not passed, never checked"),
		),
		Action: reading(e, runDue),
	}
}

// dueFlags say what of the due list is wanted.
func dueFlags() []cli.Flag {
	return []cli.Flag{
		text("within", "SPAN", "ahead: 30d, 6w or 2m (as the house has set, else 30d)"),
		text("on", "DATE", "to look from (today)"),
		text("place", "PLACE", "where they are"), text("owner", "NAME", "whose they are"), text("kind", "KIND", "of gauge or standard"),
	}
}

// A dueAnswer is one line of the list as --json has it.
type dueAnswer struct {
	registry.DueRow
	State string `json:"state"` // overdue, due, not passed, never checked, no certificate
	Days  *int   `json:"days"`  // until due, negative when overdue; null where nothing was ever done
}

// The states of what is due: a gauge that was never checked or whose last check
// did not pass, a standard without a certificate, and what the calendar says.
const (
	stateNever   = "never checked"
	stateBare    = "no certificate"
	stateFailed  = "not passed"
	stateOverdue = "overdue"
	stateDue     = "due"
)

func runDue(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	on, err := date(c, "on", d.today())
	if err != nil {
		return err
	}
	if _, err := ahead("within", c.String("within"), on); err != nil {
		return err
	}
	file := c.String("calendar")
	list, t := []dueAnswer{}, newDueTable()
	var late bool
	var span, reminder string
	var source calendarSource
	err = d.view(func(tx *registry.Tx) (err error) {
		if file != "" {
			if source, err = calendarOf(tx); err != nil {
				return err
			}
		}
		span, err = eachDue(tx, c, on, func(a *dueAnswer) {
			late = late || a.State != stateDue
			if d.json || file != "" { // a long list takes more time to keep than to set
				list = append(list, *a)
			}
			if !d.json {
				t.add(a)
			}
		})
		if err == nil {
			reminder, err = d.reminder(tx)
		}
		return err
	})
	if err != nil {
		return err
	}
	if file != "" {
		if err := writeCalendar(file, source, list, on, d.Now()); err != nil {
			return err
		}
	}
	if d.json && len(list) > 0 {
		err = jsonList(d.Out, list)
	} else {
		err = d.answer(list, func(out io.Writer) error { return t.write(out, span) })
	}
	if err := first(err, d.saying(reminder)); err != nil {
		return err
	}
	if c.Bool("strict") && late {
		return errNo
	}
	return nil
}

// jsonList writes a list that is not empty as [desk.answer] would, element by
// element: one of a large fleet would else be held three times over.
func jsonList[T any](out io.Writer, list []T) error {
	var one bytes.Buffer
	enc := json.NewEncoder(&one)
	enc.SetEscapeHTML(false)
	enc.SetIndent("  ", "  ")
	w := bufio.NewWriterSize(out, 1<<16) // what a pipe of Linux takes at once
	before := "[\n  "
	for i := range list {
		one.Reset()
		if err := enc.Encode(&list[i]); err != nil {
			return err
		}
		w.WriteString(before)
		w.Write(bytes.TrimSuffix(one.Bytes(), []byte("\n")))
		before = ",\n  "
	}
	w.WriteString("\n]\n")
	return w.Flush()
}

// dueOn gathers what the options ask for, and says of which span it is.
func dueOn(tx *registry.Tx, c *cli.Context, on calib.Date) (list []dueAnswer, span string, err error) {
	list = []dueAnswer{}
	span, err = eachDue(tx, c, on, func(a *dueAnswer) { list = append(list, *a) })
	return list, span, err
}

// eachDue calls fn with each line of the list that the options ask for, and says
// of which span it is. The line is valid until fn returns.
func eachDue(tx *registry.Tx, c *cli.Context, on calib.Date, fn func(*dueAnswer)) (span string, err error) {
	within := c.String("within")
	if within == "" {
		o, err := tx.House()
		if err != nil {
			return "", err
		}
		within = o.House.DueWithin
	}
	until, err := ahead("within", within, on)
	if err != nil {
		return "", err
	}
	span = fmt.Sprintf("from %s to %s", on, until)
	for _, filter := range []string{"place", "owner", "kind"} {
		if c.String(filter) != "" {
			span += fmt.Sprintf(", %s %q", filter, c.String(filter))
		}
	}
	place, owner, kind := c.String("place"), c.String("owner"), c.String("kind")
	found, w := false, watch{on: on}
	var a dueAnswer
	err = tx.Due(until, func(row *registry.DueRow) error {
		if matches(row.Place, place) && matches(row.Owner, owner) && matches(row.What, kind) {
			found = true
			w.look(&a, row)
			fn(&a)
		}
		return nil
	})
	if err == nil && !found {
		err = filtersKnown(tx, c)
	}
	return span, err
}

// usualSpan is how far ahead is looked where nobody says (house rule).
const usualSpan = "30d"

// ahead reads an option's span such as 30d, 6w or 2m, months by the calendar.
func ahead(option, span string, from calib.Date) (calib.Date, error) {
	span = cmp.Or(span, usualSpan)
	n, err := strconv.Atoi(strings.TrimRight(span, "dwm"))
	letters := strings.TrimLeft(span, "0123456789")
	if err != nil || n < 0 || n > 36500 || len(letters) != 1 {
		return from, usagef("--%s %q: not a span; want days, weeks or months, as 30d, 6w or 2m", option, span)
	}
	switch letters {
	case "w":
		return from.AddDays(7 * n), nil
	case "m":
		return from.AddMonths(n), nil
	default:
		return from.AddDays(n), nil
	}
}

// A watch looks at rows from a day on. Many fall due on one day, so what is said
// of that day is kept.
type watch struct {
	on, day calib.Date
	days    *int
}

// look says in a in which state a row is.
func (w *watch) look(a *dueAnswer, row *registry.DueRow) {
	a.DueRow, a.State, a.Days = *row, stateNever, nil
	if row.Due.IsZero() {
		a.State = yes(row.Standard, stateBare, stateNever)
		return
	}
	if row.Due != w.day {
		days := row.Due.DaysSince(w.on)
		w.day, w.days = row.Due, &days
	}
	a.Days = w.days
	switch {
	case row.Verdict != "" && row.Due == row.Last:
		a.State = stateFailed
	case *a.Days < 0:
		a.State = stateOverdue
	default:
		a.State = stateDue
	}
}

// due names what of a gauge is due, where that is not the whole full check: the
// length of a plan that has nothing else goes without saying.
func (a *dueAnswer) due() string {
	switch {
	case a.Clock == calib.IntermediateCheck:
		return "intermediate check"
	case a.Part == calib.LengthPart:
		return ""
	}
	return string(a.Part)
}

// A dueTable sets the list. Many fall due on one day, so that day is kept as it
// is set.
type dueTable struct {
	screen.Table
	day       calib.Date
	due, days string
}

func newDueTable() *dueTable {
	return &dueTable{Table: screen.Table{Columns: []screen.Column{{Title: "due"}, {Title: "days", Align: screen.Right}, {Title: "state", Wrap: true}, {Title: "gauge"},
		{Title: "what", Wrap: true}, {Title: "kind", Wrap: true}, {Title: "place", Wrap: true}, {Title: "owner", Wrap: true}}}}
}

func (t *dueTable) add(a *dueAnswer) {
	if a.Due != t.day {
		t.day, t.due, t.days = a.Due, a.Due.String(), ""
		if a.Days != nil {
			t.days = strconv.Itoa(*a.Days)
		}
	}
	state := a.State
	if a.Status != "" && a.Status != calib.InService {
		state += ", " + string(a.Status)
	}
	t.Add(t.due, t.days, state, a.ID, a.due(), a.What, a.Place, a.Owner)
}

func (t *dueTable) write(out io.Writer, span string) error {
	if t.Empty() {
		return line(out, "nothing is due %s", span)
	}
	return t.Write(out)
}
