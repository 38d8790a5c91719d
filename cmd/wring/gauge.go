package main

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

func newGauge(e env) *cli.Command {
	return &cli.Command{
		Name:  "gauge",
		Usage: "the measuring instruments: add, list, show, amend, status",
		Subcommands: []*cli.Command{
			{Name: "add", Usage: "enter a new gauge", ArgsUsage: "GAUGE",
				UsageText: `wring gauge add MIC-042 --kind "outside micrometer" --range 0..25 --resolution 0.001 --plan micrometer-0-25 --material steel`,
				Flags:     gaugeFlags(), Action: entering(e, runGaugeAdd)},
			{Name: "list", Usage: "list the gauges", Flags: []cli.Flag{
				text("place", "PLACE", "where they are"), text("kind", "KIND", "of gauge"), text("status", "STATUS", "that they have")},
				UsageText: "wring gauge list --place toolroom", Action: reading(e, runGaugeList)},
			{Name: "show", Usage: "show one gauge", ArgsUsage: "GAUGE", UsageText: "wring gauge show MIC-014", Action: reading(e, runGaugeShow)},
			{Name: "amend", Usage: "correct or change a gauge's record, with the reason", ArgsUsage: "GAUGE",
				UsageText: `wring gauge amend MIC-014 --place "bench 3" --reason "moved with the lathe"`,
				Flags:     append(gaugeFlags(), text("reason", "TEXT", "of the change (wanted)")), Action: entering(e, runGaugeAmend)},
			{Name: "status", Usage: "say what a gauge may be used for, with the reason", ArgsUsage: "GAUGE STATUS",
				Description: "STATUS is one of: " + quotedList(calib.Statuses()) + ". Out of quarantine, failure or storage a gauge comes back into service only through a check that it passes, made on the day of that status or later.",
				UsageText:   `wring gauge status MIC-014 quarantined --reason "dropped"`,
				Flags:       []cli.Flag{text("reason", "TEXT", "of the change (wanted)"), text("date", "DATE", "from which it holds (today)")},
				Action:      entering(e, runGaugeStatus)},
		},
	}
}

func runGaugeAdd(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE")
	if err != nil {
		return err
	}
	if err := wanted(c, "gauge add", map[string]string{"kind": "one of " + quotedList(calib.Kinds()),
		"range": "its low and high end, as 0..25", "resolution": "the size of one step, as 0.001"}, "kind", "range", "resolution"); err != nil {
		return err
	}
	var seq uint64
	g := calib.Gauge{ID: w[0]}
	err = d.update(func(tx *registry.Tx) error {
		o, err := tx.House()
		if err != nil {
			return err
		}
		if kind := calib.Kind(c.String("kind")); kind.Dimension() == unit.Length {
			g.Unit = o.House.Unit
		}
		if err := gaugeFrom(c, &g); err != nil {
			return err
		}
		if err := gaugeStands(d, tx, g); err != nil {
			return err
		}
		head, err := tx.AddGauge(g)
		seq = head.Seq
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(seq, "%s, %s %s to %s, is in service", g.ID, g.Kind, g.Low, g.High)
}

// gaugeStands holds a gauge's record to its form, and to the plan it names.
func gaugeStands(d desk, tx *registry.Tx, g calib.Gauge) error {
	if err := first(d.shape.Check(g), g.Sound()); err != nil || g.Plan == "" {
		return err
	}
	p, err := tx.Plan(g.Plan, 0)
	return first(err, planFits(p.Plan, g))
}

// planFits refuses a plan that is for another kind of gauge.
func planFits(p calib.Plan, g calib.Gauge) error {
	if p.Name != "" && p.Kind != g.Kind {
		return fmt.Errorf("plan %s: is for the kind %s, and %s is of the kind %s; want a plan for its kind", p.Name, p.Kind, g.ID, g.Kind)
	}
	for _, at := range p.Points {
		if at.Inner().Cmp(g.Low.Inner()) >= 0 && at.Inner().Cmp(g.High.Inner()) <= 0 {
			return nil
		}
	}
	if len(p.Points) > 0 {
		return fmt.Errorf("plan %s: has no point from %s to %s, which %s reads; want a plan for its range", p.Name, g.Low, g.High, g.ID)
	}
	return nil
}

func runGaugeList(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	kind, err := choice(c, "kind", calib.Kinds())
	if err != nil {
		return err
	}
	status, err := choice(c, "status", calib.Statuses())
	if err != nil {
		return err
	}
	list := []registry.GaugeState{} // for --json alone: a large fleet's states take more memory than its table
	t := gaugeTable()
	err = d.view(func(tx *registry.Tx) error {
		return tx.Gauges(func(s registry.GaugeState) error {
			if matches(s.Gauge.Place, c.String("place")) && matches(string(s.Gauge.Kind), string(kind)) && matches(string(s.Status), string(status)) {
				if d.json {
					list = append(list, s)
				} else {
					t.Add(gaugeCells(s)...)
				}
			}
			return nil
		})
	})
	if err != nil {
		return err
	}
	return d.answer(list, func(out io.Writer) error {
		if t.Empty() {
			return line(out, "no gauge that fits; wring gauge add enters one")
		}
		return t.Write(out)
	})
}

// matches holds a field to a filter; an empty filter lets everything through.
func matches(field, filter string) bool { return filter == "" || strings.EqualFold(field, filter) }

// gaugeTable says of each gauge what it is, where, whether it may be used and
// when it is due.
func gaugeTable() screen.Table {
	return screen.Table{Columns: []screen.Column{{Title: "gauge"}, {Title: "kind", Wrap: true}, {Title: "range"}, {Title: "place", Wrap: true},
		{Title: "status", Wrap: true}, {Title: "due"}}}
}

func gaugeCells(s registry.GaugeState) []string {
	due := s.Due.String()
	if s.Last == nil && s.Earlier == nil {
		due = "unchecked"
	}
	return []string{s.Gauge.ID, string(s.Gauge.Kind), rangeOf(s.Gauge), s.Gauge.Place, string(s.Status), due}
}

func rangeOf(g calib.Gauge) string {
	u := g.ReadIn()
	return g.Low.In(u).Shortest() + " to " + g.High.In(u).Shortest() + " " + u.Symbol()
}

func runGaugeShow(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE")
	if err != nil {
		return err
	}
	var s registry.GaugeState
	if err := d.view(func(tx *registry.Tx) (err error) { s, err = tx.Gauge(w[0]); return err }); err != nil {
		return err
	}
	return d.answer(s, func(out io.Writer) error { return screen.Facts(out, gaugeFacts(s)...) })
}

func gaugeFacts(s registry.GaugeState) [][2]string {
	g := s.Gauge
	interval := "of its plan"
	if g.IntervalMonths > 0 {
		interval = plural(g.IntervalMonths, "month")
	}
	facts := [][2]string{
		{"gauge", g.ID}, {"kind", string(g.Kind)}, {"description", g.Description}, {"maker", g.Maker}, {"type", g.Type},
		{"serial number", g.Serial}, {"software", g.Software}, {"range", rangeOf(g)}, {"resolution", g.Resolution.String()},
		{"place", g.Place}, {"owner", g.Owner}, {"seal", g.Seal}, {"material", materialText(g.Material)},
		{"flatness", g.Flatness.String()}, {"parallelism", g.Parallelism.String()}, {"foot diameter", g.FootDiameter.String()},
		{"foot area", g.FootArea.String()}, {"foot U, k = 2", g.FootExpanded.String()},
		{"plan", g.Plan}, {"interval", interval}, {"accepted intervals", acceptedText(s)}, {"uses", usesText(s)}, {"intermediate checks", intermediateText(g)}, {"due date", yes(g.DueAgreed, "agreed on for certificates", "")},
		{"status", statusText(s)},
	}
	switch e := s.Earlier; {
	case s.Last == nil && e == nil:
		return append(facts, [2]string{"last check", "never"})
	case s.Last == nil:
		return append(facts, [2]string{"last check", e.Date.String() + ", before its records began here: " + cmp.Or(string(e.Verdict), "verdict not known")}, [2]string{"due", s.Due.String()})
	}
	last := s.Last.Date.String() + " " + string(s.Last.Stage) + ": " + string(s.Last.Verdict)
	return append(facts, [2]string{"last check", last}, [2]string{"due", s.Due.String()})
}

func statusText(s registry.GaugeState) string {
	text := string(s.Status)
	if !s.Since.IsZero() {
		text += " since " + s.Since.String()
	}
	if s.Reason != "" {
		text += " (" + s.Reason + ")"
	}
	return text
}

func materialText(m calib.Material) string {
	if m.Coefficient.IsZero() {
		return m.Name
	}
	return strings.TrimSpace(cmp.Or(m.Name, "own figure") + ", " + m.Coefficient.String() + " ± " + m.HalfWidth.String())
}

func runGaugeStatus(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE", "STATUS...")
	if err != nil {
		return err
	}
	change := calib.StatusChange{Gauge: w[0], Reason: reasonOf(c)}
	if change.Status, err = statusWord(strings.Join(c.Args().Slice()[1:], " ")); err != nil {
		return err
	}
	if change.Date, err = date(c, "date", d.today()); err != nil {
		return err
	}
	if change.Date.After(d.today()) {
		return usagef("--date %s: lies ahead of today, %s; want the day from which it holds", change.Date, d.today())
	}
	if change.Reason == "" {
		return usagef("gauge status: --reason is missing; want why the status changes")
	}
	if err := d.shape.Check(change); err != nil {
		return err
	}
	var seq uint64
	err = d.update(func(tx *registry.Tx) error {
		head, err := tx.ChangeStatus(change)
		seq = head.Seq
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(seq, "%s is %s from %s", change.Gauge, change.Status, change.Date)
}

func statusWord(given string) (calib.Status, error) {
	for _, s := range calib.Statuses() {
		if string(s) == given || strings.ReplaceAll(string(s), " ", "-") == given {
			return s, nil
		}
	}
	return "", usagef("status %q: no such status; want one of %s", given, quotedList(calib.Statuses()))
}

func yes(b bool, a, otherwise string) string {
	if b {
		return a
	}
	return otherwise
}
