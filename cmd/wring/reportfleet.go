package main

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/history"
	"example.org/wring/certs"
	"example.org/wring/certs/plot"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/stat"
)

// loadMonths is how far ahead the load is shown, the present month first (house
// rule: a year of planning).
const loadMonths = 12

// A kindState is what is known of the items of one kind.
type kindState struct {
	kind                            string
	all, waited                     int // items; those that are waited for
	overdue, failed, never, flagged int
	checks, within                  int // of length as found; those within the limit
}

// A fleetState is what the report of the fleet says.
type fleetState struct {
	face    reportFace
	kinds   []*kindState // of gauges, then of standards, each in the order they were met
	gauges  int          // how many of the kinds are of gauges
	due     []dueAnswer  // all rows of the months ahead
	flagged []driftAnswer
	kindOf  map[string]*kindState // by identity
}

func runReportFleet(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	if err := d.reportStands(c); err != nil {
		return err
	}
	today := d.today()
	var f *fleetState
	if err := d.view(func(tx *registry.Tx) (err error) { f, err = fleetOf(tx, today); return err }); err != nil {
		return err
	}
	doc := f.face.document("Report of the fleet", "fleet on "+today.String(), "State of all gauges and standards on "+today.String(), today, f.parts(today)...)
	return d.writeReport(c, doc, "state of the fleet on "+today.String())
}

// fleetOf gathers the state of everything on a day.
func fleetOf(tx *registry.Tx, on calib.Date) (*fleetState, error) {
	f := &fleetState{kindOf: map[string]*kindState{}}
	var err error
	if f.face, err = faceOf(tx); err != nil {
		return nil, err
	}
	if err := tx.Gauges(func(s registry.GaugeState) error {
		if !s.Status.Withdrawn() {
			f.count(s.Gauge.ID, string(s.Gauge.Kind), s.Status.Recalled())
		}
		return nil
	}); err != nil {
		return nil, err
	}
	f.gauges = len(f.kinds)
	if err := tx.Standards(func(s registry.StandardState) error {
		f.count(s.Standard.ID, string(s.Standard.Kind), true)
		return nil
	}); err != nil {
		return nil, err
	}
	w := watch{on: on}
	if err := tx.Due(on.AddMonths(loadMonths), func(row *registry.DueRow) error {
		f.due = append(f.due, dueAnswer{})
		w.look(&f.due[len(f.due)-1], row)
		return nil
	}); err != nil {
		return nil, err
	}
	for _, s := range []struct {
		state string
		count func(*kindState)
	}{{stateOverdue, func(k *kindState) { k.overdue++ }}, {stateFailed, func(k *kindState) { k.failed++ }},
		{stateNever, func(k *kindState) { k.never++ }}, {stateBare, func(k *kindState) { k.never++ }}} {
		for id := range itemsIn(f.due, s.state) {
			if k := f.kindOf[id]; k != nil {
				s.count(k)
			}
		}
	}
	return f, f.addDrift(tx)
}

func (f *fleetState) count(id, kind string, waited bool) {
	i := slices.IndexFunc(f.kinds[f.gauges:], func(k *kindState) bool { return k.kind == kind })
	if i < 0 {
		i = len(f.kinds) - f.gauges
		f.kinds = append(f.kinds, &kindState{kind: kind})
	}
	k := f.kinds[f.gauges+i]
	k.all++
	if waited {
		k.waited++
	}
	f.kindOf[id] = k
}

// addDrift looks at the series of length: which are flagged, and how many
// checks came back within the limit.
func (f *fleetState) addDrift(tx *registry.Tx) error {
	err := eachInFleet(tx, everyGauge, func(g *fleetGauge) error {
		k := f.kindOf[g.state.Gauge.ID]
		for _, share := range history.Shares(g.checks, 0) {
			k.checks++
			if share <= 1 {
				k.within++
			}
		}
		if g.said.State.Flagged() {
			k.flagged++
			f.flagged = append(f.flagged, g.answer())
		}
		return nil
	})
	if err != nil {
		return err
	}
	slices.SortStableFunc(f.flagged, func(a, b driftAnswer) int {
		return cmp.Or(cmp.Compare(rank(a.State), rank(b.State)), cmp.Compare(b.Share, a.Share))
	})
	return nil
}

func (f *fleetState) parts(today calib.Date) []certs.Part {
	parts := []certs.Part{f.outcome()}
	if f.gauges > 0 {
		parts = append(parts, f.stateTable("Gauges by kind", "Never checked", f.kinds[:f.gauges], true))
	}
	if len(f.kinds) > f.gauges {
		parts = append(parts, f.stateTable("Standards by kind", "No certificate", f.kinds[f.gauges:], false))
	}
	if t := f.reliability(); len(t.Rows) > 0 {
		parts = append(parts, t)
	}
	l := loadOf(f.due, today)
	return append(append(parts, f.flaggedPart()), l.parts()...)
}

func (f *fleetState) outcome() certs.Outcome {
	say := func(what string, list []*kindState) string {
		var sum kindState
		for _, k := range list {
			sum.all, sum.waited, sum.overdue, sum.failed, sum.never = sum.all+k.all, sum.waited+k.waited, sum.overdue+k.overdue, sum.failed+k.failed, sum.never+k.never
		}
		text := fmt.Sprintf("%s, %d waited for: %d overdue (%s %%)", plural(sum.all, what), sum.waited, sum.overdue, shareText(sum.overdue, sum.waited))
		if what == "gauge" {
			text += fmt.Sprintf(", %d not passed", sum.failed)
		}
		return text + fmt.Sprintf(", %d %s.", sum.never, yes(what == "gauge", "never checked", "without a certificate"))
	}
	word := "Nothing is overdue"
	if len(f.kinds) == 0 {
		return certs.Outcome{Title: "In short", Word: word, Lines: []string{"No gauge and no standard is in the registry."}}
	}
	if n := len(itemsIn(f.due, stateOverdue)); n > 0 {
		word = fmt.Sprintf("%d overdue", n)
	}
	return certs.Outcome{Title: "In short", Word: word, Lines: []string{say("gauge", f.kinds[:f.gauges]), say("standard", f.kinds[f.gauges:]),
		plural(len(f.flagged), "gauge") + yes(len(f.flagged) == 1, " drifts or is", " drift or are") + " outside the limit."}}
}

func shareText(part, whole int) string {
	if whole == 0 {
		return "–"
	}
	return fixed(100*float64(part)/float64(whole), 1)
}

func (f *fleetState) stateTable(title, never string, kinds []*kindState, gauges bool) certs.Table {
	t := certs.Table{Title: title, Columns: []certs.Column{{Heading: "Kind"}, {Heading: "All", Align: certs.Right}, {Heading: "Waited for", Align: certs.Right},
		{Heading: "Overdue", Align: certs.Right}, {Heading: "Share", Unit: "%", Align: certs.Point}, {Heading: never, Align: certs.Right}}}
	if gauges {
		t.Columns = append(t.Columns, certs.Column{Heading: "Not passed", Align: certs.Right}, certs.Column{Heading: "Drift or outside", Align: certs.Right})
		t.Notes = []string{"All: without those lost or retired. Waited for: without those stored. Share: of those waited for that are overdue."}
	}
	for _, k := range kinds {
		cells := []string{k.kind, strconv.Itoa(k.all), strconv.Itoa(k.waited), strconv.Itoa(k.overdue), shareText(k.overdue, k.waited), strconv.Itoa(k.never)}
		if gauges {
			cells = append(cells, strconv.Itoa(k.failed), strconv.Itoa(k.flagged))
		}
		t.Rows = append(t.Rows, certs.Row{Cells: cells})
	}
	return t
}

// intervalLevel is that of the interval for a share (house rule: as for U).
const intervalLevel = 0.95

// reliability is the share of checks that came back within the limit.
func (f *fleetState) reliability() certs.Table {
	t := certs.Table{Title: "Reliability by kind", Columns: []certs.Column{{Heading: "Kind"}, {Heading: "Checks", Align: certs.Right}, {Heading: "Within", Align: certs.Right},
		{Heading: "Reliable", Unit: "%", Align: certs.Point}, {Heading: "From", Unit: "%", Align: certs.Point}, {Heading: "To", Unit: "%", Align: certs.Point}},
		Notes: []string{"Checks of length as found, all years; within: the error at every point within its limit, whatever the rule of the verdict. From, to: exact interval of 95 % for the share (Clopper and Pearson), wide where checks are few."}}
	for _, k := range f.kinds[:f.gauges] {
		if k.checks == 0 {
			continue
		}
		cells := []string{k.kind, strconv.Itoa(k.checks), strconv.Itoa(k.within), shareText(k.within, k.checks), "–", "–"}
		if low, high, err := stat.BinomialInterval(k.within, k.checks, intervalLevel); err == nil {
			cells[4], cells[5] = fixed(100*low, 1), fixed(100*high, 1)
		}
		t.Rows = append(t.Rows, certs.Row{Cells: cells})
	}
	return t
}

func (f *fleetState) flaggedPart() certs.Part {
	if len(f.flagged) == 0 {
		return certs.Statement{Title: "Drift", Paragraphs: []string{"No gauge with a series of length drifts or is outside its limit."}}
	}
	t := certs.Table{Title: "Drift", Columns: []certs.Column{{Heading: "Gauge"}, {Heading: "Place"}, {Heading: "State"}, {Heading: "What its series says"}}}
	for _, a := range f.flagged {
		t.Rows = append(t.Rows, certs.Row{Cells: []string{a.Gauge, a.Place, string(a.State), plainBlanks(a.Text)}})
	}
	return t
}

// A load is how many items wait now, and how many fall due in each month.
type load struct {
	waiting int
	months  [loadMonths]map[string]bool
	names   [loadMonths]string // 2026-11
}

// monthOf counts months since year 0.
func monthOf(d calib.Date) int {
	var y, m int
	fmt.Sscanf(d.String(), "%d-%d", &y, &m)
	return 12*y + m - 1
}

func loadOf(due []dueAnswer, today calib.Date) load {
	l := load{}
	for i := range l.months {
		n := monthOf(today) + i
		l.months[i], l.names[i] = map[string]bool{}, fmt.Sprintf("%04d-%02d", n/12, n%12+1)
	}
	late := map[string]bool{}
	for _, a := range due {
		if a.State != stateDue {
			late[a.ID] = true
		} else if i := monthOf(a.Due) - monthOf(today); i < loadMonths {
			l.months[i][a.ID] = true
		}
	}
	l.waiting = len(late)
	return l
}

// parts draw the load, and list it, if there is any.
func (l load) parts() []certs.Part {
	if l.waiting == 0 && !slices.ContainsFunc(l.months[:], func(m map[string]bool) bool { return len(m) > 0 }) {
		return []certs.Part{certs.Statement{Title: "Load of the coming months", Paragraphs: []string{fmt.Sprintf("Nothing waits, and nothing falls due in the %d months from %s on.", loadMonths, l.names[0])}}}
	}
	return []certs.Part{l.figure(), l.table()}
}

func (l load) figure() certs.Figure {
	const width, least = 0.8, 4.0 // of a column; items that the axis has room for (house rules)
	const from, to = -1.6, loadMonths - 0.4
	p := plot.Plot{X: plot.Axis{Quantity: "months after " + l.names[0], Range: &plot.Range{Low: from, High: to}},
		Y: plot.Axis{Quantity: "items", Whole: true}, Columns: true, Lines: []plot.Line{{Kind: plot.Zero, Points: []plot.Vertex{{X: from}, {X: to}}}}}
	top := least
	column := func(at float64, n int, shade plot.Shade) {
		if n > 0 {
			top = max(top, float64(n))
			p.Tiles = append(p.Tiles, plot.Tile{Low: plot.Vertex{X: at - width/2}, High: plot.Vertex{X: at + width/2, Y: float64(n)}, Shade: shade, Text: strconv.Itoa(n)})
		}
	}
	column(-1, l.waiting, plot.Alarming)
	for i, m := range l.months {
		column(float64(i), len(m), plot.Below)
	}
	p.Keys = []plot.Key{{Shade: plot.Alarming, Label: "waits now"}, {Shade: plot.Below, Label: "falls due in that month"}}
	p.Y.Range = &plot.Range{High: 1.1 * top}
	return certs.Figure{Title: "Load of the coming months", Plot: p,
		Caption: "Each gauge and standard once a month, by the intervals as they stand. Waits now: overdue, not passed, never checked, without a certificate."}
}

func (l load) table() certs.Table {
	t := certs.Table{Title: "Load by month", Columns: []certs.Column{{Heading: "Month"}, {Heading: "Items", Align: certs.Right}, {Heading: "Which"}}}
	for i, m := range l.months {
		t.Rows = append(t.Rows, certs.Row{Cells: []string{l.names[i], strconv.Itoa(len(m)), someOf(m)}})
	}
	return t
}

// someOf names the first items of a month: a planner knows the rest by the due
// list.
func someOf(items map[string]bool) string {
	const most = 8 // names in a cell (house rule)
	var names []string
	for id := range items {
		names = append(names, id)
	}
	slices.Sort(names)
	if len(names) <= most {
		return quotedList(names)
	}
	return quotedList(names[:most]) + fmt.Sprintf(" and %d more", len(names)-most)
}
