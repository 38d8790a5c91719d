package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/calib/limits"
	"example.org/wring/calib/sheet"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

func newPlan(e env) *cli.Command {
	return &cli.Command{
		Name:  "plan",
		Usage: "how a kind of gauge is checked and judged: add, list, show",
		Subcommands: []*cli.Command{
			{Name: "add", Usage: "enter a plan from a file or a preset; a name that is there gets a new revision", ArgsUsage: "[FILE]",
				UsageText: "wring plan add --preset micrometer-75-100 --name large-micrometers\nwring plan add my-plan.toml",
				Flags: []cli.Flag{text("preset", "NAME", "of a built-in plan, see wring plan list --presets"),
					text("name", "NAME", "under which it is kept, if not its own")}, Action: entering(e, runPlanAdd)},
			{Name: "list", Usage: "list the plans", UsageText: "wring plan list --presets",
				Flags: []cli.Flag{switchOn("presets", "list the built-in plans instead")}, Action: reading(e, runPlanList)},
			{Name: "show", Usage: "show a plan in the form that plan add reads", ArgsUsage: "PLAN", UsageText: "wring plan show micrometer-0-25\nwring plan show micrometer-0-25 > mine.toml",
				Flags: []cli.Flag{text("revision", "N", "to show, if not the newest"), switchOn("preset", "show a built-in plan")}, Action: reading(e, runPlanShow)},
		},
	}
}

func runPlanAdd(d desk, c *cli.Context) error {
	w, err := words(c, "[FILE]")
	if err != nil {
		return err
	}
	if (w[0] == "") == (c.String("preset") == "") {
		return usagef("plan add: want either a FILE or --preset NAME")
	}
	p, err := planFrom(d, c.String("preset"), w[0])
	if err != nil {
		return err
	}
	if name := c.String("name"); name != "" {
		p.Name = name
	}
	var kept registry.KeptPlan
	err = d.update(func(tx *registry.Tx) error {
		house, err := tx.House()
		if err != nil {
			return err
		}
		if p.Rule.Name == "" {
			p.Rule = house.House.Rule
		}
		if err := planStands(d, p); err != nil {
			return err
		}
		kept, err = tx.AddPlan(p)
		return err
	})
	if err != nil {
		return err
	}
	return d.kept(kept.Entry, "plan %s, revision %d, %s", p.Name, kept.Plan.Revision, p.Title)
}

// planStands looks at form and rule; the sheet was looked at when it was read.
func planStands(d desk, p calib.Plan) error {
	p.Revision = max(p.Revision, 1) // given by the registry
	if err := d.shape.Check(p); err != nil {
		return err
	}
	if _, err := length.RuleOf(p.Rule); err != nil {
		return err
	}
	for _, part := range p.Parts() {
		terms, _ := p.TermsOf(part)
		if _, err := length.RuleOf(terms.Rule); err != nil {
			return fmt.Errorf("%s: %w", part, err)
		}
	}
	return nil
}

func planFrom(d desk, preset, file string) (calib.Plan, error) {
	if preset != "" {
		return presetPlan(preset)
	}
	name, data, err := d.readInput(file)
	if err != nil {
		return calib.Plan{}, err
	}
	return sheet.ReadPlan(name, data)
}

func presetPlan(name string) (calib.Plan, error) {
	data, ok := limits.Preset(name)
	if !ok {
		return calib.Plan{}, usagef("--preset %q: not built in; wring plan list --presets shows those that are", name)
	}
	return sheet.ReadPlan("preset "+name, data)
}

func runPlanList(d desk, c *cli.Context) error {
	if _, err := words(c); err != nil {
		return err
	}
	list := []calib.Plan{}
	if c.Bool("presets") {
		for _, name := range limits.Presets() {
			p, err := presetPlan(name)
			if err != nil {
				return err
			}
			list = append(list, p)
		}
	} else if err := d.view(func(tx *registry.Tx) error {
		kept, err := tx.Plans()
		for _, k := range kept {
			list = append(list, k.Plan)
		}
		return err
	}); err != nil {
		return err
	}
	return d.answer(list, func(out io.Writer) error {
		if len(list) == 0 {
			return line(out, "no plan yet; wring plan list --presets shows those built in")
		}
		return planTable(list).Write(out)
	})
}

func planTable(list []calib.Plan) screen.Table {
	t := screen.Table{Columns: []screen.Column{{Title: "plan"}, {Title: "rev.", Align: screen.Right}, {Title: "title", Wrap: true},
		{Title: "points", Align: screen.Right}, {Title: "months", Align: screen.Right}}}
	for _, p := range list {
		t.Add(p.Name, positive(p.Revision), p.Title, pointsText(p), positive(p.IntervalMonths))
	}
	return t
}

// pointsText is how many places a plan's parts have, with the word of each part
// beside length.
func pointsText(p calib.Plan) string {
	var out []string
	for _, part := range p.Parts() {
		switch part {
		case calib.LengthPart:
			out = append(out, strconv.Itoa(len(p.Points)))
		case calib.FootPart:
			out = append(out, fmt.Sprintf("%s %d", wordOf(part), len(p.Foot.Openings)))
		case calib.ForcePart:
			out = append(out, fmt.Sprintf("%s %d", wordOf(part), len(p.Force.Points)))
		case calib.LoadPart:
			out = append(out, fmt.Sprintf("%s %d", wordOf(part), len(p.Load.Loads)))
		}
	}
	return strings.Join(out, ", ")
}

// positive writes a count, and nothing for one that there is none of.
func positive(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func ruleText(r calib.Rule) string {
	rule, err := length.RuleOf(r)
	if err != nil {
		return r.Name
	}
	return rule.String()
}

func runPlanShow(d desk, c *cli.Context) error {
	w, err := words(c, "PLAN")
	if err != nil {
		return err
	}
	var p calib.Plan
	if c.Bool("preset") {
		p, err = presetPlan(w[0])
	} else {
		p, err = keptPlan(d, w[0], c.String("revision"))
	}
	if err != nil {
		return err
	}
	return d.answer(p, func(out io.Writer) error {
		_, err := out.Write(sheet.WritePlan(p))
		return err
	})
}

func keptPlan(d desk, name, revision string) (calib.Plan, error) {
	n := 0
	if revision != "" {
		var err error
		if n, err = strconv.Atoi(revision); err != nil || n < 1 {
			return calib.Plan{}, usagef("--revision %q: want a whole number from 1", revision)
		}
	}
	var kept registry.KeptPlan
	err := d.view(func(tx *registry.Tx) (err error) {
		if kept, err = tx.Plan(name, n); err == nil || n == 0 {
			return err
		}
		all, other := tx.Revisions(name)
		if other == nil && len(all) > 0 {
			return fmt.Errorf("plan %s: has no revision %d; its newest is %d", name, n, len(all))
		}
		return err
	})
	return kept.Plan, err
}
