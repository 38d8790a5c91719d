package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/study"
)

func newStudy(e env) *cli.Command {
	return &cli.Command{
		Name:        "study",
		Usage:       "what a measuring process is worth: parts × operators × repeats",
		Description: "Several people measure the same parts, each several times. Analysis of variance tells repeatability, reproducibility and the variation of the parts apart, and sets them against a tolerance.",
		Subcommands: []*cli.Command{
			{Name: "plan", Usage: "write the turns of a study in random order, as a sheet to fill in", ArgsUsage: "GAUGE",
				UsageText: "wring study plan THK-002 --parts 5 --operators EK,JV,MH --repeats 2 --tolerance 0.95..1.05 --seed 7",
				Flags:     append(studyFlags(), text("out", "FILE", "to write to; standard output if left out"), switchOn("replace", "write over a file that is there")), Action: reading(e, runStudyPlan)},
			{Name: "take", Usage: "take a study, work it out and keep it", ArgsUsage: "GAUGE",
				UsageText:   "wring study take THK-002 --sheet study.csv\nwring study take THK-002 --parts 5 --operators EK,JV --repeats 2",
				Description: "Without a sheet, or with one that has no reading yet, the study is led: it says whose turn it is with which part, in random order, and shows no earlier reading. Exit status is 3 where the process does not serve for the tolerance.",
				Flags: slices.Concat(studyFlags(), []cli.Flag{text("sheet", "FILE", "of the study, TOML or CSV; - for standard input"),
					text("date", "DATE", "of the study (today)"), text("remarks", "TEXT", "to keep with it"), switchOn("show-only", "show the result and keep nothing")}), Action: entering(e, runStudyTake)},
			{Name: "show", Usage: "a study that was kept", ArgsUsage: "ENTRY", UsageText: "wring study show 84 --pdf study.pdf", Flags: paperFlags(), Action: reading(e, runStudyShow)},
			{Name: "list", Usage: "the studies that were kept, one beside the other", UsageText: "wring study list", Action: reading(e, runStudyList)},
		},
	}
}

func studyFlags() []cli.Flag {
	return []cli.Flag{
		text("parts", "PARTS", "how many, or their names parted by commas"),
		text("operators", "PEOPLE", "who measure, parted by commas"),
		text("repeats", "N", "how often each measures each part"),
		text("seed", "N", "of the random order; from the clock if left out"),
		text("tolerance", "LOW..HIGH", "of the parts"),
		text("multiple", "X", "of s to set against the tolerance (6)"),
		text("probability", "P", "of the intervals (0.95)"),
		text("pooling", "WORD", "of the interaction: by-test (if left out), pooled, kept-apart"),
		text("title", "TEXT", "what is studied"),
		text("process", "TEXT", "how it is measured: foot, pressure, dwell"),
	}
}

// studySheet reads the sheet, if there is one, and lets options overrule it.
func (d desk) studySheet(c *cli.Context) (*sheet.StudySheet, error) {
	s := &sheet.StudySheet{Name: "study"}
	if name := c.String("sheet"); name != "" {
		shown, data, err := d.readInput(name)
		if err != nil {
			return nil, err
		}
		if s, err = sheet.ReadStudy(shown, data); err != nil {
			return nil, err
		}
	}
	for name, field := range map[string]*sheet.Field{"title": &s.Title, "process": &s.Process, "repeats": &s.Repeats, "seed": &s.Seed, "multiple": &s.Multiple,
		"probability": &s.Probability, "pooling": &s.Pooling, "date": &s.Date, "remarks": &s.Remarks} {
		if given := c.String(name); given != "" {
			*field = sheet.Field{Text: given}
		}
	}
	if given := c.String("tolerance"); given != "" {
		low, high, ok := strings.Cut(given, "..")
		if !ok {
			return nil, usagef("--tolerance %q: not a range; want its low and high limit, as 0.95..1.05", given)
		}
		s.Low, s.High = sheet.Field{Text: strings.TrimSpace(low)}, sheet.Field{Text: strings.TrimSpace(high)}
	}
	if err := namesOf(c, s); err != nil {
		return nil, err
	}
	if !s.Date.Given() {
		s.Date = sheet.Field{Text: d.today().String()}
	}
	if !s.Person.Given() {
		s.Person = sheet.Field{Text: d.person}
	}
	return s, nil
}

// namesOf reads the options that name parts and operators.
func namesOf(c *cli.Context, s *sheet.StudySheet) error {
	fields := func(given string) []sheet.Field {
		var out []sheet.Field
		for name := range strings.SplitSeq(given, ",") {
			out = append(out, sheet.Field{Text: strings.TrimSpace(name)})
		}
		return out
	}
	if given := c.String("operators"); given != "" {
		s.Operators = fields(given)
	}
	given := c.String("parts")
	if given == "" {
		return nil
	}
	n, err := strconv.ParseUint(given, 10, 16)
	if err != nil {
		s.Parts = fields(given)
		return nil
	}
	const most = 100 // as study.Study says
	if n < 2 || n > most {
		return usagef("--parts %q: want from 2 to %d, or their names parted by commas", given, most)
	}
	s.Parts = nil
	for i := range n {
		s.Parts = append(s.Parts, sheet.Field{Text: strconv.FormatUint(i+1, 10)})
	}
	return nil
}

// design completes what is wanted before the first reading: who, what, how
// often, in which order.
func (d desk) design(s *sheet.StudySheet, g calib.Gauge) (study.Study, []study.Turn, error) {
	if !s.Seed.Given() {
		s.Seed = sheet.Field{Text: strconv.FormatUint(1+uint64(d.Now().UnixMilli())%study.MostSeed, 10)}
	}
	x, err := s.Design(g)
	if err != nil {
		return x, nil, err
	}
	switch {
	case len(x.Parts) == 0:
		return x, nil, usagef("study: --parts is missing; want how many, or their names parted by commas")
	case len(x.Operators) == 0:
		return x, nil, usagef("study: --operators is missing; want who measure, parted by commas")
	case x.Repeats == 0:
		return x, nil, usagef("study: --repeats is missing; want how often each measures each part, 2 or more")
	}
	turns, err := study.Order(x.Parts, x.Operators, x.Repeats, x.Seed)
	if err != nil {
		return x, nil, err
	}
	return x, turns, x.Designed(g)
}

func runStudyPlan(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE")
	if err != nil {
		return err
	}
	s, err := d.studySheet(c)
	if err != nil {
		return err
	}
	b, _, err := d.studyBasis(w[0], s.Date.Text)
	if err != nil {
		return err
	}
	x, turns, err := d.design(s, b.Gauge)
	if err != nil {
		return err
	}
	data := sheet.WriteStudyPlan(x, turns)
	if d.json {
		return d.answer(studyPlanAnswer{x.Gauge, x.Seed, turns}, nil)
	}
	if out := c.String("out"); out != "" {
		if err := writePaper(out, data, c.Bool("replace")); err != nil {
			return err
		}
		return line(d.Out, "%s: %s in the order of seed %d", out, plural(len(turns), "turn"), x.Seed)
	}
	_, err = d.Out.Write(data)
	return err
}
