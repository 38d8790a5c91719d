package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/survey"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

func newSurvey(e env) *cli.Command {
	return &cli.Command{
		Name:      "survey",
		Usage:     "take the thickness of a lot by a method, and keep the result",
		ArgsUsage: "LOT",
		UsageText: `wring survey FELT-26-31 --sheet felt.csv
wring survey FELT-26-31 --gauge THK-005 --grid 3x5`,
		Description: "Without a sheet the survey is led place by place: the foot's dwell is counted down, a compression run is asked for where the method says a pressure, the result is shown, and then it is kept or not. What is broken off is gone on with another time. A reading that is typed before the dwell was counted down is marked. The gauge must be fit for the method today: in service, in date, its length and its foot verified. If it is not, the survey is refused, or kept with --override REASON, which is printed ever after. A lot that does not pass is kept too; the exit status is then 3. With --show ENTRY a kept survey is shown again.",
		Flags: append([]cli.Flag{
			text("sheet", "FILE", "of the whole survey, TOML or CSV; - for standard input"),
			text("method", "METHOD", "to follow, if not the lot's"),
			text("gauge", "GAUGE", "it is taken with"),
			text("grid", "CxR", "columns across and rows along, as 3x5"),
			text("date", "DATE", "of the survey (today)"),
			text("temperature", "T", "of the room, °C without a unit"), text("humidity", "H", "in per cent"),
			texts("compression", "PRESSURE=READING", "one step of a compression run, as \"5 psi=0.203\"; two or more"),
			text("wanted", "U", "of the mean, to be told how many places that takes"),
			text("share", "P", "of the lot that the tolerance interval holds (0.95)"),
			text("confidence", "P", "with which it does (0.95)"),
			text("override", "REASON", "why a gauge is used that is not fit for it today"),
			text("remarks", "TEXT", "to keep with the survey"),
			text("budget", "PLACE", "whose budget is shown too; mean, or all"),
			switchOn("no-dwell", "count no dwell down; the survey is marked with it"),
			switchOn("show-only", "show the result and keep nothing"),
			text("show", "ENTRY", "of a kept survey, to show or draw it again"),
			text("svg", "FILE", "to draw the map of the lot"),
		}, paperFlags()...),
		Action: entering(e, runSurvey),
	}
}

// A surveyJob is a survey that was worked out and can be kept.
type surveyJob struct {
	survey survey.Survey
	basis  survey.Basis
	refs   registry.SurveyRefs
	result survey.Result
}

func runSurvey(d desk, c *cli.Context) error {
	w, err := words(c, "LOT")
	if err != nil {
		return err
	}
	if entry := c.String("show"); entry != "" {
		return d.showSurvey(c, w[0], entry)
	}
	p, err := prepareSurvey(d, c, w[0])
	if err != nil {
		return err
	}
	if p.leader != nil {
		return p.leader.broken(p.leader.run(c))
	}
	job, err := p.resolve(d)
	if err != nil {
		return err
	}
	shown := shownSurvey(job, 0)
	if err := showSurvey(d, shown, c.String("budget"), false); err != nil {
		return err
	}
	if c.Bool("show-only") {
		return first(d.notKept(shown), d.drawSurvey(c, shown), surveyStatus(job.result))
	}
	return d.keepSurvey(c, job)
}

// showSurvey shows a person the result before it is kept, as showResult does.
func showSurvey(d desk, shown surveyAnswer, budget string, led bool) error {
	switch {
	case !d.json:
		return shown.write(d.Out, budget, d.colour())
	case led:
		return shown.write(d.Err, budget, false)
	}
	_, err := shown.budgetOf(budget)
	return err
}

// colour says whether a person at a terminal is shown colour beside the words.
func (d desk) colour() bool { return d.Terminal && d.Getenv("NO_COLOR") == "" }

func (d desk) notKept(shown surveyAnswer) error {
	if d.json {
		return d.answer(shown, nil)
	}
	return line(d.Out, "not kept")
}

func (d desk) keepSurvey(c *cli.Context, job *surveyJob) error {
	var seq uint64
	err := d.update(func(tx *registry.Tx) error {
		head, err := tx.KeepSurvey(registry.KeptSurvey{Survey: job.survey, Basis: job.refs, Result: job.result})
		seq = head.Seq
		return err
	})
	if err != nil {
		return err
	}
	shown := shownSurvey(job, seq)
	if d.json {
		err = d.answer(shown, nil)
	} else {
		err = line(d.Out, "entry %d: survey of %s, kept", seq, job.survey.Lot)
	}
	return first(err, d.drawSurvey(c, shown), surveyStatus(job.result))
}

// surveyStatus turns a verdict that is no pass into the answer no. A lot
// without a tolerance is not judged, and that is no answer.
func surveyStatus(r survey.Result) error {
	if r.Verdict == "" || r.Verdict.Passed() {
		return nil
	}
	return errNo
}

// showSurvey shows a kept survey again, from its entry alone.
func (d desk) showSurvey(c *cli.Context, lot, entry string) error {
	var seq uint64
	if _, err := fmt.Sscan(entry, &seq); err != nil || fmt.Sprint(seq) != entry {
		return usagef("--show %q: want the number of a survey's entry, as wring lot show %s lists them", entry, lot)
	}
	var job surveyJob
	var withdrawn uint64
	err := d.view(func(tx *registry.Tx) error {
		k, err := tx.Survey(seq)
		if err != nil {
			return err
		}
		if k.Survey.Survey.Lot != lot {
			return fmt.Errorf("entry %d: a survey of %s; want one of %s", seq, k.Survey.Survey.Lot, lot)
		}
		withdrawn = k.Withdrawn
		job = surveyJob{survey: k.Survey.Survey, refs: k.Survey.Basis, result: k.Survey.Result}
		job.basis, err = tx.ResolveSurvey(job.refs)
		return err
	})
	if err != nil {
		return err
	}
	shown := shownSurvey(&job, seq)
	shown.Withdrawn = withdrawn
	if d.json {
		err = d.answer(shown, nil)
	} else {
		err = shown.write(d.Out, c.String("budget"), d.colour())
	}
	return first(err, d.drawSurvey(c, shown), surveyStatus(job.result))
}

// A surveying is a survey sheet, and what the registry holds for it, before
// the readings are all there.
type surveying struct {
	sheet  *sheet.SurveySheet
	lot    string
	day    calib.Date
	basis  survey.Basis
	refs   registry.SurveyRefs
	leader *surveyLeader // where it is led
}

// prepareSurvey reads the sheet, lets options overrule it, and looks up what
// the survey will rest on, so that an unfit gauge is said before the first
// reading.
func prepareSurvey(d desk, c *cli.Context, lot string) (*surveying, error) {
	p := &surveying{sheet: &sheet.SurveySheet{Name: "survey"}, lot: lot}
	if name := c.String("sheet"); name != "" {
		shown, data, err := d.readInput(name)
		if err != nil {
			return nil, err
		}
		if p.sheet, err = sheet.ReadSurvey(shown, data); err != nil {
			return nil, err
		}
	}
	if err := surveyOptionsStand(c); err != nil {
		return nil, err
	}
	if c.String("sheet") == "" {
		if err := p.goOn(d, c); err != nil {
			return nil, err
		}
	}
	s := p.sheet
	for name, field := range map[string]*sheet.Field{"method": &s.Method, "gauge": &s.Gauge, "grid": &s.Grid, "date": &s.Date, "temperature": &s.Temperature, "humidity": &s.Humidity,
		"wanted": &s.Wanted, "share": &s.Share, "confidence": &s.Confidence, "override": &s.Override, "remarks": &s.Remarks} {
		if c.String(name) != "" {
			*field = sheet.Field{Text: c.String(name)}
		}
	}
	for _, step := range c.StringSlice("compression") {
		one, ok := pressStep(step)
		if !ok {
			return nil, usagef("--compression %q: want PRESSURE=READING, as \"5 psi=0.203\"", step)
		}
		s.Compression = append(s.Compression, one)
	}
	if !s.Date.Given() {
		s.Date.Text = d.today().String()
	}
	if !s.Person.Given() {
		s.Person.Text = d.person
	}
	day, err := calib.ParseDate(s.Date.Text)
	if err == nil && day.After(d.today()) {
		err = fmt.Errorf("date %s: lies ahead of today, %s; want the day the readings were taken", day, d.today())
	}
	if err != nil {
		return nil, inSurvey(s, s.Date, err)
	}
	if p.day = day; s.Lot.Given() && s.Lot.Text != lot {
		return nil, inSurvey(s, s.Lot, fmt.Errorf("lot %q: a sheet for another lot; want one for %s", s.Lot.Text, lot))
	}
	if !s.Gauge.Given() {
		if err := p.onlyGauge(d, c); err != nil {
			return nil, err
		}
	}
	return p, p.lookUp(d)
}

// surveyOptionsStand refuses an option's value where the option can still be
// named.
func surveyOptionsStand(c *cli.Context) error {
	celsius, _ := unit.Lookup("°C", unit.Temperature)
	inch, _ := unit.Lookup("in", unit.Length) // any unit of length: only the number is looked at
	var errs []error
	for _, f := range []struct {
		name string
		in   unit.Unit
	}{{"temperature", celsius}, {"humidity", percent()}, {"wanted", inch}, {"share", percent()}, {"confidence", percent()}} {
		q, err := size(c, f.name, f.in.Dimension(), f.in)
		if f.name == "wanted" && err == nil && !q.IsZero() && q.Inner().Sign() <= 0 {
			err = usagef("--wanted %s: not above 0; want an expanded uncertainty", q)
		}
		errs = append(errs, err)
	}
	if grid := c.String("grid"); grid != "" {
		_, err := sheet.ParseGrid(grid)
		errs = append(errs, inOption("grid", err))
	}
	_, err := date(c, "date", calib.Date{})
	return first(append(errs, err)...)
}

func inSurvey(s *sheet.SurveySheet, f sheet.Field, err error) error {
	if f.Line() == 0 {
		return err
	}
	return &sheet.LineError{Name: s.Name, Line: f.Line(), Err: err}
}

// onlyGauge takes the only gauge of thickness that is in use, where there is
// one; else it lists those that there are.
func (p *surveying) onlyGauge(d desk, c *cli.Context) error {
	var ids []string
	if err := d.view(func(tx *registry.Tx) error {
		return tx.Gauges(func(g registry.GaugeState) error {
			if g.Gauge.Kind == calib.ThicknessGauge && g.Status.InUse() {
				ids = append(ids, g.Gauge.ID)
			}
			return nil
		})
	}); err != nil {
		return err
	}
	if len(ids) == 1 && c.String("sheet") == "" {
		p.sheet.Gauge.Text = ids[0]
		return nil
	}
	if len(ids) == 0 {
		return fmt.Errorf("survey of %s: no gauge is named, and no thickness gauge is in service; want --gauge GAUGE", p.lot)
	}
	return usagef("survey: --gauge is missing; want one of %s", quotedList(ids))
}

// lookUp gathers the basis, and refuses a gauge that is not fit today.
func (p *surveying) lookUp(d desk) error {
	seed := survey.Survey{Lot: p.lot, Method: p.sheet.Method.Text, Gauge: p.sheet.Gauge.Text, Date: p.day}
	if err := d.view(func(tx *registry.Tx) (err error) { p.basis, p.refs, err = tx.SurveyBasis(seed); return err }); err != nil {
		return err
	}
	found, err := p.basis.Fitness(p.day)
	if err != nil {
		return err
	}
	if p.sheet.Override.Text == "" {
		_, err = calib.PartFindings(found)
	}
	return p.unfit(err)
}

// unfit says of a gauge that is not fit which one, and what can be done.
func (p *surveying) unfit(err error) error {
	if err == nil {
		return nil
	}
	var stop *calib.StopError
	if asStop(err, &stop) {
		return &hinted{fmt.Errorf("survey of %s: %w", p.lot, err), "nothing was kept; take a gauge that is fit, or give --override REASON, which is printed with the result ever after"}
	}
	return err
}

// resolve turns the sheet into a survey, and works it out.
func (p *surveying) resolve(d desk) (*surveyJob, error) {
	s, err := p.sheet.Survey(p.basis.Method, p.basis.Lot, p.basis.Gauge)
	if err != nil {
		return nil, err
	}
	if err := d.shape.Check(s); err != nil {
		return nil, err
	}
	job := &surveyJob{survey: s, basis: p.basis, refs: p.refs}
	job.result, err = survey.Evaluate(s, p.basis)
	return job, p.unfit(err)
}
