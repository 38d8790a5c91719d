package main

import (
	"bufio"
	"cmp"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/calib/sheet"
	"example.org/wring/registry"
)

func newCheck(e env) *cli.Command {
	return &cli.Command{
		Name:      "check",
		Usage:     "check a gauge against gauge blocks by its plan, and keep the result",
		ArgsUsage: "GAUGE",
		UsageText: `wring check MIC-014 --standard GB-1 --standard TH-1 --temperature 20.4    (led, point by point)
   wring check MIC-014 --sheet mic-014.toml                                  (from a check sheet)`,
		Flags: []cli.Flag{
			text("sheet", "FILE", "of the whole check, TOML or CSV; - for standard input"),
			text("plan", "PLAN", "to follow, if not the gauge's"),
			texts("standard", "STANDARD", "used; name each block set and the thermometer"),
			texts("blocks", "POINT=STACK", "to take others than proposed, as 5.1=1.1+4"),
			text("stage", "STAGE", "as-found (if left out) or as-left"),
			text("date", "DATE", "of the check (today)"),
			text("temperature", "T", "of gauge and blocks, °C without a unit"),
			text("block-temperature", "T", "of the blocks, if it was read too"),
			text("humidity", "H", "in per cent"),
			text("condition", "TEXT", "of the gauge as it came"),
			text("remarks", "TEXT", "to keep with the check"),
			text("budget", "POINT", "whose budget is shown too; all for every point"),
			switchOn("show-only", "show the result and keep nothing"),
		},
		Action: func(c *cli.Context) error { return runCheck(deskOf(e, c), c) },
	}
}

func runCheck(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE")
	if err != nil {
		return err
	}
	p, err := prepareCheck(d, c, w[0])
	if err != nil {
		return nothingKept(err)
	}
	if c.String("sheet") == "" {
		if err := lead(d, p); err != nil {
			return nothingKept(err)
		}
	}
	job, err := p.resolve(d)
	if err != nil {
		return nothingKept(err)
	}
	shown := shownCheck(job, 0)
	if !d.json {
		if err := writeCheck(d.Out, shown, c.String("budget")); err != nil {
			return err
		}
	}
	if c.Bool("show-only") || (c.String("sheet") == "" && !agrees(d, p)) {
		return first(d.shownOnly(shown), verdictStatus(job.result))
	}
	return keepCheck(d, job)
}

// nothingKept says with every refusal that the registry is as it was.
func nothingKept(err error) error {
	if exitCode(err) != exitRefused {
		return err
	}
	return &hinted{err, "nothing was kept"}
}

func (d desk) shownOnly(shown checkAnswer) error {
	if d.json {
		return d.answer(shown, nil)
	}
	return line(d.Out, "not kept")
}

func keepCheck(d desk, job *checkJob) error {
	var seq uint64
	err := d.update(func(tx *registry.Tx) error {
		head, err := tx.KeepCheck(registry.KeptCheck{Check: job.check, Basis: job.refs, Result: job.result})
		seq = head.Seq
		return err
	})
	if err != nil {
		return nothingKept(err)
	}
	if d.json {
		return first(d.answer(shownCheck(job, seq), nil), verdictStatus(job.result))
	}
	return first(line(d.Out, "%s", keptLine(seq, "check of %s, %s, kept; its certificate: wring certificate %d", job.check.Gauge, job.check.Stage, seq)),
		verdictStatus(job.result))
}

// verdictStatus turns a verdict that is no pass into the answer no.
func verdictStatus(r calib.Result) error {
	if r.Verdict == "pass" || r.Verdict == "conditional pass" {
		return nil
	}
	return errNo
}

// A preparation is a check sheet, and what the registry holds for it, before
// the readings are all there.
type preparation struct {
	sheet     *sheet.CheckSheet
	overrides []string // POINT=STACK
	gauge     calib.Gauge
	plan      calib.Plan
	sets      []calib.StandardOnDay
	answers   *bufio.Scanner // what a person types, where the check is led
}

// A checkJob is a check that was worked out and can be kept.
type checkJob struct {
	check  calib.Check
	basis  calib.Basis
	refs   registry.Refs
	result calib.Result
}

// prepareCheck reads the sheet, lets options overrule it, and looks up the
// gauge, its plan and the standards. The registry is closed again when it
// returns.
func prepareCheck(d desk, c *cli.Context, id string) (*preparation, error) {
	p := &preparation{sheet: &sheet.CheckSheet{Name: "check"}, overrides: c.StringSlice("blocks")}
	if name := c.String("sheet"); name != "" {
		shown, data, err := d.readInput(name)
		if err != nil {
			return nil, err
		}
		if p.sheet, err = sheet.ReadCheck(shown, data); err != nil {
			return nil, err
		}
	}
	overrule(d, c, p.sheet)
	if s := p.sheet.Gauge; s.Given() && s.Text != id {
		return nil, fmt.Errorf("%s: a sheet for gauge %q; want one for %s", p.sheet.Name, s.Text, id)
	}
	day, err := calib.ParseDate(p.sheet.Date.Text)
	if err != nil {
		return nil, inSheet(p.sheet, p.sheet.Date, err)
	}
	if day.After(d.today()) {
		return nil, fmt.Errorf("date %s: lies ahead of today, %s; want the day the check was made", day, d.today())
	}
	return p, d.view(func(tx *registry.Tx) error { return p.lookUp(tx, id, day) })
}

// overrule puts options in the place of what the sheet says, and what is known
// at the desk in the place of what it leaves out.
func overrule(d desk, c *cli.Context, s *sheet.CheckSheet) {
	for name, field := range map[string]*sheet.Field{
		"plan": &s.Plan, "stage": &s.Stage, "date": &s.Date, "temperature": &s.Temperature, "humidity": &s.Humidity,
		"block-temperature": &s.BlockTemperature, "condition": &s.Condition, "remarks": &s.Remarks,
	} {
		if c.String(name) != "" {
			*field = sheet.Field{Text: c.String(name)}
		}
	}
	if ids := c.StringSlice("standard"); len(ids) > 0 {
		s.Standards = nil
		for _, id := range ids {
			s.Standards = append(s.Standards, sheet.Field{Text: id})
		}
	}
	if !s.Date.Given() {
		s.Date.Text = d.today().String()
	}
	if !s.Person.Given() {
		s.Person.Text = d.person
	}
}

func inSheet(s *sheet.CheckSheet, f sheet.Field, err error) error {
	if f.Line() == 0 {
		return err
	}
	return &sheet.LineError{Name: s.Name, Line: f.Line(), Err: err}
}

// lookUp finds what the check will rest on, so that a person is led by it and
// an unknown name is said before the first reading.
func (p *preparation) lookUp(tx *registry.Tx, id string, day calib.Date) error {
	seed := calib.Check{Gauge: id, Plan: p.sheet.Plan.Text, Date: day}
	for _, f := range p.sheet.Standards {
		seed.Standards = append(seed.Standards, f.Text)
	}
	b, _, err := tx.Basis(seed)
	if err != nil {
		return err
	}
	p.gauge, p.plan, p.sets = b.Gauge, b.Plan, b.Standards
	return nil
}

// resolve turns the sheet into a check, works it out, and says what it rests on.
func (p *preparation) resolve(d desk) (*checkJob, error) {
	check, err := p.sheet.Check(p.gauge, p.plan)
	if err != nil {
		return nil, err
	}
	if err := p.placeBlocks(&check); err != nil {
		return nil, err
	}
	if err := d.shape.Check(check); err != nil {
		return nil, err
	}
	job := &checkJob{check: check}
	if err := d.view(func(tx *registry.Tx) (err error) {
		job.basis, job.refs, err = tx.Basis(check)
		return err
	}); err != nil {
		return nil, err
	}
	if job.result, err = length.Evaluate(check, job.basis); err != nil {
		return nil, fmt.Errorf("check %s: %w", check.Gauge, err)
	}
	return job, nil
}

// placeBlocks gives each block its standard and each point without blocks the
// proposed ones.
func (p *preparation) placeBlocks(check *calib.Check) error {
	if err := p.applyOverrides(check); err != nil {
		return err
	}
	if err := p.sheet.Assign(check, p.sets); err != nil {
		return err
	}
	for i := range check.Points {
		if len(check.Points[i].Blocks) > 0 {
			continue
		}
		stack, err := p.propose(check.Points[i])
		if err != nil {
			return fmt.Errorf("point %d: %w", i+1, err)
		}
		check.Points[i].Blocks = stack
	}
	return nil
}

func (p *preparation) propose(point calib.Point) ([]calib.BlockUse, error) {
	for _, s := range p.sets {
		if s.Standard.Kind.OfLength() {
			return length.Propose(point.Nominal, p.sets)
		}
	}
	return nil, fmt.Errorf("%s: no block set is named; want --standard STANDARD, or standards in the sheet", point.Nominal)
}

// applyOverrides writes the stacks of --blocks into the check.
func (p *preparation) applyOverrides(check *calib.Check) error {
	for _, o := range p.overrides {
		at, stack, ok := strings.Cut(o, "=")
		if !ok {
			return usagef("--blocks %q: want POINT=STACK, as 5.1=1.1+4", o)
		}
		uses, n, err := p.stack(check, at, stack)
		if err != nil {
			return &usageError{fmt.Sprintf("--blocks %q: %s", o, err)}
		}
		check.Points[n].Blocks = uses
	}
	return nil
}

func (p *preparation) stack(check *calib.Check, at, stack string) ([]calib.BlockUse, int, error) {
	nominal, err := parseLength(at, p.gauge)
	if err != nil {
		return nil, 0, err
	}
	for n, point := range check.Points {
		if !point.Nominal.Same(nominal) {
			continue
		}
		var uses []calib.BlockUse
		for _, part := range strings.Split(stack, "+") {
			id, size, named := strings.Cut(part, ":")
			if !named {
				id, size = "", part
			}
			q, err := parseLength(size, p.gauge)
			if err != nil {
				return nil, 0, err
			}
			uses = append(uses, calib.BlockUse{Standard: cmp.Or(id, p.holder(q)), Nominal: q})
		}
		return uses, n, nil
	}
	return nil, 0, fmt.Errorf("%s is no point of this check", nominal)
}
