package main

import (
	"encoding/json"
	"fmt"

	"example.org/wring/calib/survey"
	"example.org/wring/registry"
	"example.org/wring/registry/journal"
	"example.org/wring/uncertainty/unit"
)

// lotEntries returns the entries about a lot or a method; none where the name
// is neither's.
func lotEntries(tx *registry.Tx, name string) ([]journal.Entry, error) {
	list, err := tx.LotEntries(name)
	if err != nil || len(list) > 0 {
		return list, err
	}
	return tx.MethodEntries(name)
}

// tellLot says what an entry about lots and their thickness holds.
func (a *historyAnswer) tellLot(e journal.Entry) error {
	var err error
	switch e.Kind {
	case registry.KindMethod:
		var m survey.Method
		err = json.Unmarshal(e.Payload, &m)
		a.Text = fmt.Sprintf("revision %d: %s", m.Revision, m.Title)
	case registry.KindLot:
		var l survey.Lot
		err = json.Unmarshal(e.Payload, &l)
		a.Text = "registered: " + l.Material
		if l.Revision > 1 {
			a.Text = fmt.Sprintf("revision %d: %s", l.Revision, l.Material)
		}
		for _, t := range []struct{ name, text string }{{"mean", limitsIn(l, l.Mean)}, {"places", limitsIn(l, l.Place)}} {
			if t.text != "" {
				a.Text += ", " + t.name + " " + t.text + " " + l.Unit
			}
		}
	default:
		var k registry.KeptSurvey
		err = json.Unmarshal(e.Payload, &k)
		s, r := k.Survey, k.Result
		value, expanded := inFigure(readIn(s), r.Mean)
		a.Date = s.Date
		a.Text = fmt.Sprintf("%s surveyed with %s by %s revision %d: %s; mean %s ± %s %s of %s", s.Lot, s.Gauge, s.Method, s.Revision,
			verdictOr(string(r.Verdict)), value, expanded, readIn(s).Symbol(), plural(len(s.Places), "place"))
		for _, f := range r.Findings {
			a.Text += "; marked: " + string(f.Gate)
		}
		if r.Override != "" {
			a.Text += "; USED ALL THE SAME: " + r.Override
		}
	}
	return err
}

func verdictOr(v string) string { return yes(v == "", "not judged", v) }

// readIn is the unit that a survey's readings have.
func readIn(s survey.Survey) unit.Unit { return s.Places[0].Readings[0].Indication.Unit() }
