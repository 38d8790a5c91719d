package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"time"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
	"example.org/wring/registry/journal"
	"example.org/wring/uncertainty/unit"
)

func newHistory(e env) *cli.Command {
	return &cli.Command{
		Name:      "history",
		Usage:     "everything that happened to a gauge, newest last",
		ArgsUsage: "GAUGE",
		UsageText: "wring history MIC-014",
		Action:    reading(e, runHistory),
	}
}

// A historyAnswer is one entry about a gauge.
type historyAnswer struct {
	Entry   uint64          `json:"entry"`
	At      time.Time       `json:"at"` // by the clock, UTC
	Person  string          `json:"person"`
	Kind    string          `json:"kind"`
	Date    calib.Date      `json:"date,omitzero"` // as stated
	Late    bool            `json:"late"`          // stated for another day than the clock's
	Text    string          `json:"text"`
	Program string          `json:"program"`
	Payload json.RawMessage `json:"payload"`
}

func runHistory(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE")
	if err != nil {
		return err
	}
	var list []historyAnswer
	err = d.view(func(tx *registry.Tx) error {
		entries, err := tx.Entries(w[0])
		if err != nil {
			return err
		}
		s, err := tx.Gauge(w[0])
		for _, e := range entries {
			a, err := tell(tx, s.Gauge.ReadIn(), e)
			if err != nil {
				return err
			}
			list = append(list, a)
		}
		return err
	})
	if err != nil {
		return err
	}
	return d.answer(list, func(out io.Writer) error {
		t := screen.Table{Columns: []screen.Column{{Title: "entry", Align: screen.Right}, {Title: "entered"}, {Title: "stated for"}, {Title: "by"}, {Title: "what", Wrap: true}}}
		for _, a := range list {
			t.Add(strconv.FormatUint(a.Entry, 10), a.At.Format(time.DateOnly), a.Date.String(), a.Person, a.Text+yes(a.Late, "; entered late", ""))
		}
		return t.Write(out)
	})
}

// tell says in one line what an entry holds, sizes in the gauge's unit.
func tell(tx *registry.Tx, u unit.Unit, e journal.Entry) (historyAnswer, error) {
	a := historyAnswer{Entry: e.Seq, At: e.At, Person: e.Person, Kind: e.Kind, Program: e.Program, Payload: e.Payload}
	var err error
	switch e.Kind {
	case registry.KindGauge:
		var g calib.Gauge
		err = json.Unmarshal(e.Payload, &g)
		a.Text = fmt.Sprintf("registered: %s, %s", g.Kind, rangeOf(g))
		if g.Plan != "" {
			a.Text += ", plan " + g.Plan
		}
	case registry.KindAmendment:
		var m registry.Amendment
		err = json.Unmarshal(e.Payload, &m)
		a.Text = "amended: " + changeText(m.Changes) + " (" + m.Reason + ")"
	case registry.KindStatus:
		var s calib.StatusChange
		err = json.Unmarshal(e.Payload, &s)
		a.Date, a.Text = s.Date, "is "+string(s.Status)+" ("+s.Reason+")"
	case registry.KindCheck:
		var k registry.KeptCheck
		if err = json.Unmarshal(e.Payload, &k); err != nil {
			return a, err
		}
		a.Date = k.Check.Date
		a.Text, err = checkText(tx, u, k)
	default:
		a.Text = e.Kind
	}
	a.Late = !a.Date.IsZero() && a.Date.DaysSince(calib.DateOf(e.At)) < -1 // a day's grace for the clock's zone
	return a, err
}

// checkText says verdict and worst point: the one that uses most of its limit.
func checkText(tx *registry.Tx, u unit.Unit, k registry.KeptCheck) (string, error) {
	plan, err := tx.Plan(k.Check.Plan, k.Check.Revision)
	if err != nil {
		return "", err
	}
	worst := k.Result.Points[0]
	for _, p := range k.Result.Points {
		if p.Error.Abs().Mul(worst.Limit).Cmp(worst.Error.Abs().Mul(p.Limit)) > 0 {
			worst = p
		}
	}
	e, expanded, _ := inUnit(u, worst, plan.Plan.Digits)
	text := fmt.Sprintf("checked %s by %s: %s; largest error %s, U %s, limit ±%s %s at %s %s; plan %s revision %d",
		k.Check.Stage, k.Check.Person, k.Result.Verdict, e, expanded, u.From(worst.Limit).Shortest(), u.Symbol(),
		u.From(worst.Nominal).Shortest(), u.Symbol(), k.Check.Plan, k.Check.Revision)
	for _, f := range k.Result.Findings {
		text += "; marked: " + string(f.Gate)
	}
	return text, nil
}
