package main

import (
	"io"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/registry"
)

func newCheck(e env) *cli.Command {
	return &cli.Command{
		Name:      "check",
		Usage:     "check a gauge by its plan, and keep the result",
		ArgsUsage: "GAUGE",
		UsageText: `wring check MIC-014 --sheet mic-014.toml
wring check MIC-014 --standard GB-1 --standard TH-1 --temperature 20.4`,
		Description: "Without a sheet the check is led: each thing that is wanted is asked for, the result is shown, and then it is kept or not. With a sheet it is kept at once. A check that does not pass is kept too; the exit status is then 3.",
		Flags: []cli.Flag{
			text("sheet", "FILE", "of the whole check, TOML or CSV; - for standard input"),
			text("plan", "PLAN", "to follow, if not the gauge's"),
			texts("standard", "STANDARD", "used; name each set and instrument"),
			texts("blocks", "POINT=STACK", "to take others than proposed, as 5.1=1.1+4"),
			text("stage", "STAGE", "as-found (if left out) or as-left"),
			text("purpose", "PURPOSE", "full (if left out) or intermediate, between two full ones"),
			text("date", "DATE", "of the check (today)"),
			text("temperature", "T", "of gauge and blocks, °C without a unit"),
			text("block-temperature", "T", "of the blocks, if it was read too"),
			text("humidity", "H", "in per cent"),
			text("air-pressure", "P", "with its unit, for the density of the air"),
			texts("part", "PART", "to record, if not all of the plan: length, foot, force, load"),
			text("received", "DATE", "when the gauge came, where that matters"),
			text("site", "PLACE", "where it was made, if not where the house makes its checks"),
			text("condition", "TEXT", "of the gauge as it came"),
			text("remarks", "TEXT", "to keep with the check"),
			text("budget", "POINT", "or part whose budget is shown too, or all"),
			switchOn("plot", "draw errors, limits and U too, as on the certificate"),
			switchOn("show-only", "show the result and keep nothing"),
		},
		Action: entering(e, runCheck),
	}
}

func runCheck(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE")
	if err != nil {
		return err
	}
	if err := d.plotSeen(c); err != nil {
		return err
	}
	p, err := prepareCheck(d, c, w[0])
	if err != nil {
		return err
	}
	if c.String("sheet") == "" {
		return runLed(d, c, p)
	}
	job, err := p.resolve(d)
	if err != nil {
		return err
	}
	d.cautions(p, &job.check)
	shown := shownCheck(job, 0)
	if err := showResult(d, c, job, shown, false); err != nil {
		return err
	}
	if c.Bool("show-only") {
		return first(d.shownOnly(shown), verdictStatus(job.result))
	}
	return keepCheck(d, job)
}

// showResult shows a person the result before it is kept. Where the answer is
// JSON nobody looks, unless the check is led: then it goes beside the prompts.
func showResult(d desk, c *cli.Context, job *checkJob, shown checkAnswer, led bool) error {
	show := func(out io.Writer) error {
		err := writeCheck(out, shown, c.String("budget"))
		if err == nil && c.Bool("plot") {
			err = first(line(out, ""), writeFigures(out, job.paper()), line(out, ""))
		}
		return err
	}
	switch {
	case !d.json:
		return show(d.Out)
	case led:
		return show(d.Err)
	}
	_, err := shown.budgetPoints(c.String("budget"))
	return err
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
		head, err := tx.KeepCheck(job.kept())
		seq = head.Seq
		return err
	})
	if err != nil {
		return err
	}
	if d.json {
		return first(d.answer(shownCheck(job, seq), nil), verdictStatus(job.result))
	}
	return first(line(d.Out, "entry %d: check of %s, %s, kept; certificate: wring certificate %d", seq, job.check.Gauge, job.check.Stage, seq),
		verdictStatus(job.result))
}

// verdictStatus turns a verdict that is no pass into the answer no.
func verdictStatus(r calib.Result) error {
	if r.Verdict == "pass" || r.Verdict == "conditional pass" {
		return nil
	}
	return errNo
}
