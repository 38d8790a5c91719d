package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/registry"
)

func runReportDue(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	if err := d.reportStands(c); err != nil {
		return err
	}
	on, err := date(c, "on", d.today())
	if err != nil {
		return err
	}
	if _, err := ahead("within", c.String("within"), on); err != nil {
		return err
	}
	var face reportFace
	var list []dueAnswer
	var span string
	if err := d.view(func(tx *registry.Tx) (err error) {
		if face, err = faceOf(tx); err != nil {
			return err
		}
		list, span, err = dueOn(tx, c, on)
		return err
	}); err != nil {
		return err
	}
	doc := face.document("Report of what is due", "due list of "+on.String(), "Due "+span, d.today(), dueParts(list)...)
	return d.writeReport(c, doc, "due "+span)
}

// dueParts say how many are late, and list all.
func dueParts(list []dueAnswer) []certs.Part {
	word := "Nothing is overdue"
	if n := len(itemsIn(list, stateOverdue)); n > 0 {
		word = fmt.Sprintf("%d overdue", n)
	}
	var lines []string
	for _, s := range []struct{ state, words string }{
		{stateNever, "never checked"}, {stateBare, "without a certificate"}, {stateFailed, "did not pass the last check"}, {stateDue, "due in these days"},
	} {
		if n := len(itemsIn(list, s.state)); n > 0 {
			lines = append(lines, plural(n, "item")+" "+s.words+".")
		}
	}
	if len(list) == 0 {
		return []certs.Part{certs.Outcome{Title: "In short", Word: word, Lines: []string{"Nothing falls due in these days."}}}
	}
	t := certs.Table{Title: "Due list", Columns: []certs.Column{{Heading: "Item"}, {Heading: "Due"}, {Heading: "Days", Align: certs.Right}, {Heading: "State"},
		{Heading: "What"}, {Heading: "Kind"}, {Heading: "Place"}, {Heading: "Owner"}},
		Notes: []string{"Days: until it is due; below zero, since it was. Where an item has several parts, each has its line."}}
	for _, a := range list {
		days, state := "", capitalised(a.State)
		if a.Days != nil {
			days = strings.Replace(strconv.Itoa(*a.Days), "-", "\u2212", 1)
		}
		if a.Status != "" && a.Status != calib.InService {
			state += ", " + string(a.Status)
		}
		t.Rows = append(t.Rows, certs.Row{Cells: []string{a.ID, a.Due.String(), days, state, a.due(), a.What, a.Place, a.Owner}})
	}
	return []certs.Part{certs.Outcome{Title: "In short", Word: word, Lines: lines}, filled(t)}
}

// filled leaves out the columns in which no row has anything.
func filled(t certs.Table) certs.Table {
	empty := func(i int) bool {
		return !slices.ContainsFunc(t.Rows, func(r certs.Row) bool { return r.Cells[i] != "" })
	}
	for i := len(t.Columns) - 1; i > 0; i-- {
		if empty(i) {
			t.Columns = slices.Delete(t.Columns, i, i+1)
			for j, r := range t.Rows {
				t.Rows[j].Cells = slices.Delete(r.Cells, i, i+1)
			}
		}
	}
	return t
}

// itemsIn are the items that have a row in a state, each once.
func itemsIn(list []dueAnswer, state string) map[string]bool {
	out := map[string]bool{}
	for _, a := range list {
		if a.State == state {
			out[a.ID] = true
		}
	}
	return out
}
