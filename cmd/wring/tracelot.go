package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/registry"
)

// A tracedSurvey is a lot's result at the end of a chain, with the chains of
// the checks that it rests on: of the gauge's length, and of its foot.
type tracedSurvey struct {
	Entry    uint64        `json:"entry"`
	Lot      string        `json:"lot"`
	Date     calib.Date    `json:"date"`
	Method   string        `json:"method"`
	Revision int           `json:"revision"`
	Gauge    string        `json:"gauge"`
	By       string        `json:"by"` // who took the readings
	Mean     calib.Figure  `json:"mean"`
	Verdict  calib.Verdict `json:"verdict,omitempty"`
	Override string        `json:"override,omitempty"`
	Program  string        `json:"program"` // that worked it out
	Checks   []traceAnswer `json:"checks"`

	Withdrawn uint64 `json:"withdrawn_by,omitempty"` // entry; 0 where it stands

	kept registry.KeptSurvey
}

// surveyNamed finds the survey that a word names: the newest of a lot, or the
// one with that entry's number. It reports false for anything else.
func surveyNamed(tx *registry.Tx, word string) (registry.Surveyed, bool, error) {
	list, err := tx.SurveysOf(word)
	if err != nil {
		return registry.Surveyed{}, false, err
	}
	for _, s := range slices.Backward(list) {
		if s.Withdrawn == 0 {
			return s, true, nil
		}
	}
	if _, err := tx.Lot(word); err == nil {
		return registry.Surveyed{}, false, fmt.Errorf("lot %s: has no survey that stands; want wring survey %s first", word, word)
	}
	seq, err := strconv.ParseUint(word, 10, 64)
	if err != nil {
		return registry.Surveyed{}, false, nil
	}
	k, err := tx.Survey(seq)
	var other *registry.RuleError
	var missing *registry.NotFoundError
	if errors.As(err, &other) || errors.As(err, &missing) {
		return registry.Surveyed{}, false, nil
	}
	return k, err == nil, err
}

// fromSurvey follows a survey through its gauge's checks to their standards.
func (a *traceAnswer) fromSurvey(tx *registry.Tx, k registry.Surveyed) error {
	s := k.Survey.Survey
	t := tracedSurvey{Entry: k.Head.Seq, Lot: s.Lot, Date: s.Date, Method: s.Method, Revision: s.Revision, Gauge: s.Gauge, By: s.Person, Mean: k.Survey.Result.Mean,
		Verdict: k.Survey.Result.Verdict, Override: k.Survey.Result.Override, Program: k.Entry.Program, Checks: []traceAnswer{}, kept: k.Survey, Withdrawn: k.Withdrawn}
	for _, seq := range []uint64{k.Survey.Basis.Sizes, k.Survey.Basis.Foot} {
		if seq == 0 {
			continue
		}
		one := traceAnswer{Subject: fmt.Sprint(seq), Links: []traceLink{}, head: a.head, house: a.house}
		if err := one.fromCheck(tx, seq); err != nil {
			return err
		}
		one.Unbroken = one.breaks() == 0
		t.Checks = append(t.Checks, one)
	}
	a.Survey = &t
	return nil
}

// breaks counts what does not hold: of every link, and of a survey each check
// that was amended or withdrawn since.
func (a traceAnswer) breaks() int {
	n := 0
	for _, l := range a.Links {
		n += len(l.Breaks)
	}
	if a.Survey == nil {
		return n
	}
	if a.Survey.Withdrawn > 0 {
		n++
	}
	for _, c := range a.Survey.Checks {
		n += c.breaks()
		if c.Check.AmendedBy > 0 {
			n++
		}
	}
	return n
}

func (t tracedSurvey) title() string {
	value, expanded := inFigure(readIn(t.kept.Survey), t.Mean)
	text := fmt.Sprintf("survey %d of lot %s, %s with %s by %s revision %d: mean %s ± %s %s, %s", t.Entry, t.Lot, t.Date, t.Gauge, t.Method, t.Revision,
		value, expanded, readIn(t.kept.Survey).Symbol(), verdictOr(string(t.Verdict)))
	if t.Override != "" {
		text += "; USED ALL THE SAME: " + t.Override
	}
	return text + yes(t.Withdrawn > 0, fmt.Sprintf("; BREAK: withdrawn by entry %d", t.Withdrawn), "")
}

func (t tracedSurvey) write(out io.Writer) error {
	for _, c := range t.Checks {
		if err := first(line(out, ""), c.writeChain(out)); err != nil {
			return err
		}
		if c.Check.AmendedBy > 0 {
			if err := line(out, "BREAK, check: the survey rests on check %d, %s since; want the lot measured again", c.Check.Entry, c.Check.fate()); err != nil {
				return err
			}
		}
	}
	return nil
}

// parts is the chain of each check as a paper shows it.
func (t tracedSurvey) parts() []certs.Part {
	var out []certs.Part
	for _, c := range t.Checks {
		out = append(out, c.linkParts()...)
	}
	return out
}
