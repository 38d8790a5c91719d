package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/assess"
	"example.org/wring/calib/length"
	"example.org/wring/calib/sheet"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// A preparation is a check sheet, and what the registry holds for it, before
// the readings are all there.
type preparation struct {
	sheet     *sheet.CheckSheet
	overrides []string // POINT=STACK
	gauge     calib.Gauge
	status    calib.Status
	plan      calib.Plan
	parts     []calib.Part // that are recorded
	sets      []calib.StandardOnDay
	house     calib.House  // where the loads are; zero for a plan of length alone
	rehearsed calib.Check  // with readings that are all right
	expected  calib.Result // of the rehearsed one
	day       calib.Date
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
	if err := optionsStand(c); err != nil {
		return nil, err
	}
	overrule(d, c, p.sheet)
	day, err := calib.ParseDate(p.sheet.Date.Text)
	if err != nil {
		return nil, inSheet(p.sheet, p.sheet.Date, err)
	}
	if day.After(d.today()) {
		return nil, inSheet(p.sheet, p.sheet.Date, fmt.Errorf("date %s: lies ahead of today, %s; want the day the check was made", day, d.today()))
	}
	p.day = day
	if err := d.view(func(tx *registry.Tx) error { return p.lookUp(tx, id) }); err != nil {
		return nil, err
	}
	return p, first(p.chooseParts(c), p.hasPoint("budget", c.String("budget")))
}

// hasPoint refuses an option that names a point which the plan lacks, before
// anybody has keyed a reading.
func (p *preparation) hasPoint(option, which string) error {
	if part, ok := partOf(which); ok && slices.Contains(p.plan.Parts(), part) {
		return nil
	}
	if which == "" || which == "all" {
		return nil
	}
	q, err := parseLength(which, p.gauge)
	if err != nil {
		return inOption(option, err)
	}
	if !slices.ContainsFunc(p.plan.Points, q.Same) {
		return usagef("--%s %s: no point of plan %s; want one of its points, or all", option, q, p.plan.Name)
	}
	return nil
}

// optionsStand refuses an option's value where the option can still be named.
func optionsStand(c *cli.Context) error {
	celsius, _ := unit.Lookup("°C", unit.Temperature)
	var errs []error
	for _, f := range []struct {
		name string
		in   unit.Unit
	}{{"temperature", celsius}, {"block-temperature", celsius}, {"humidity", percent()}} {
		_, err := size(c, f.name, f.in.Dimension(), f.in)
		errs = append(errs, err)
	}
	_, other := size(c, "air-pressure", unit.Pressure, unit.Unit{})
	errs = append(errs, other)
	_, err := date(c, "date", calib.Date{})
	stage, stages := c.String("stage"), []calib.Stage{calib.AsFound, calib.AsLeft}
	if err == nil && stage != "" {
		_, err = choice(c, "stage", stages)
	}
	if err == nil {
		_, err = choice(c, "purpose", calib.Purposes())
	}
	ids := c.StringSlice("standard")
	for i, id := range ids {
		if slices.Contains(ids[:i], id) {
			return usagef("--standard %q: named twice; want each standard once", id)
		}
	}
	return first(append(errs, err)...)
}

// overrule puts options in the place of what the sheet says, and what is known
// at the desk in the place of what it leaves out.
func overrule(d desk, c *cli.Context, s *sheet.CheckSheet) {
	for name, field := range map[string]*sheet.Field{
		"plan": &s.Plan, "stage": &s.Stage, "purpose": &s.Purpose, "date": &s.Date, "temperature": &s.Temperature, "humidity": &s.Humidity, "air-pressure": &s.Pressure,
		"block-temperature": &s.BlockTemperature, "received": &s.Received, "site": &s.Site, "condition": &s.Condition, "remarks": &s.Remarks,
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
func (p *preparation) lookUp(tx *registry.Tx, id string) error {
	if _, err := tx.Gauge(id); err != nil {
		return err
	}
	if s := p.sheet.Gauge; s.Given() && s.Text != id {
		return inSheet(p.sheet, s, fmt.Errorf("gauge %q: a sheet for another gauge; want one for %s", s.Text, id))
	}
	seed := calib.Check{Gauge: id, Plan: p.sheet.Plan.Text, Date: p.day}
	for _, f := range p.sheet.Standards {
		seed.Standards = append(seed.Standards, f.Text)
	}
	b, _, err := tx.Basis(seed)
	if err != nil {
		return noStandard(tx, err)
	}
	p.gauge, p.status, p.plan, p.sets = b.Gauge, b.Status, b.Plan, b.Standards
	p.house = b.House
	for _, on := range b.Standards {
		if on.Standard.Kind.OfLength() && on.Certificate.Number == "" {
			return fmt.Errorf("standard %s: has no certificate that counts on %s; want one, or another standard", on.Standard.ID, p.day)
		}
	}
	return planFits(b.Plan, b.Gauge)
}

// noStandard says of a standard that is not there, but is a gauge, what it is.
func noStandard(tx *registry.Tx, err error) error {
	var missing *registry.NotFoundError
	if !errors.As(err, &missing) || missing.What != "standard" {
		return err
	}
	if g, other := tx.Gauge(missing.ID); other == nil {
		return fmt.Errorf("standard %q: is a gauge, %s; want a standard", missing.ID, g.Gauge.Kind)
	}
	return err
}

// resolve turns the sheet into a check, works it out, and says what it rests on.
func (p *preparation) resolve(d desk) (*checkJob, error) {
	job, err := p.filled(d)
	if err != nil {
		return nil, err
	}
	if err := d.view(job.lookUp); err != nil {
		return nil, err
	}
	return job, job.workOut()
}

// filled is the check as it was handed in, with the blocks and weights that
// were left to be proposed.
func (p *preparation) filled(d desk) (*checkJob, error) {
	check, err := p.sheet.Check(p.gauge, p.plan)
	if err != nil {
		return nil, err
	}
	if err := first(p.placeBlocks(&check), p.placeWeights(&check)); err != nil {
		return nil, err
	}
	return &checkJob{check: check}, d.shape.Check(check)
}

func (j *checkJob) lookUp(tx *registry.Tx) (err error) {
	j.basis, j.refs, err = tx.Basis(j.check)
	return err
}

func (j *checkJob) kept() registry.KeptCheck {
	return registry.KeptCheck{Check: j.check, Basis: j.refs, Result: j.result}
}

func (j *checkJob) workOut() (err error) {
	if j.result, err = assess.Check(j.check, j.basis); err != nil {
		return fmt.Errorf("check %s: %w", j.check.Gauge, err)
	}
	return nil
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

// stack reads the blocks that --blocks names for one point.
func (p *preparation) stack(check *calib.Check, at, stack string) ([]calib.BlockUse, int, error) {
	nominal, err := parseLength(at, p.gauge)
	if err != nil {
		return nil, 0, err
	}
	n := slices.IndexFunc(check.Points, func(point calib.Point) bool { return point.Nominal.Same(nominal) })
	if n < 0 {
		return nil, 0, fmt.Errorf("%s is no point of this check", nominal)
	}
	var uses []calib.BlockUse
	sum := unit.Exact{}
	for part := range strings.SplitSeq(stack, "+") {
		use, err := p.block(strings.TrimSpace(part))
		if err != nil {
			return nil, 0, err
		}
		uses, sum = append(uses, use), sum.Add(use.Nominal.Inner())
	}
	if u := nominal.Unit(); sum.Cmp(nominal.Inner()) != 0 {
		return nil, 0, fmt.Errorf("the blocks make %s %s; want %s", u.From(sum).Shortest(), u.Symbol(), nominal)
	}
	return uses, n, nil
}

// block reads "1.1" or "GB-1:1.1", and wants it in one of the sets in use.
func (p *preparation) block(text string) (calib.BlockUse, error) {
	id, size, named := strings.Cut(text, ":")
	if !named {
		id, size = "", text
	}
	q, err := parseLength(size, p.gauge)
	if err != nil {
		return calib.BlockUse{}, err
	}
	var sets []string
	for _, s := range p.sets {
		if !s.Standard.Kind.OfLength() || named && s.Standard.ID != id {
			continue
		}
		if _, ok := s.Certificate.Find(q.Inner()); ok {
			return calib.BlockUse{Standard: s.Standard.ID, Nominal: q}, nil
		}
		sets = append(sets, s.Standard.ID)
	}
	if len(sets) == 0 {
		return calib.BlockUse{}, fmt.Errorf("%s: no block set of that name is in use; want it by --standard", text)
	}
	return calib.BlockUse{}, fmt.Errorf("%s: no block of %s; want one that its certificate lists", q, strings.Join(sets, " or "))
}
