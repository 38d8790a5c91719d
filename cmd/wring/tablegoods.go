package main

import (
	"errors"
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/survey"
	"example.org/wring/calib/table"
	"example.org/wring/registry"
)

// lot enters one line of a table of lots.
func (im *importer) lot(r table.Record) (tableLine, error) {
	l, err := r.Lot(im.house)
	if err != nil {
		return tableLine{}, err
	}
	_, err = length.RuleOf(l.Rule)
	if err := first(im.d.shape.Identity("lot", l.ID), err, im.d.shape.Check(l), l.Sound()); err != nil {
		return tableLine{}, err
	}
	out := tableLine{Name: l.ID, Does: doesEnter, Text: l.Material}
	known, err := im.tx.Lot(l.ID)
	var missing *registry.NotFoundError
	switch {
	case errors.As(err, &missing):
		_, err = im.tx.AddLot(l)
		return out, err
	case err != nil:
		return out, err
	}
	out.Does = doesSame
	return out, alike(l.ID, table.Lots, table.LotRow(known.Lot), table.LotRow(l), "want them alike, or a new revision by wring lot add")
}

// survey enters the lines of one survey, worked out by its method.
func (im *importer) survey(g table.Group) (tableLine, error) {
	s, err := g.SurveySheet()
	if err != nil {
		return tableLine{}, err
	}
	if !s.Person.Given() {
		s.Person = sheet.Field{Text: im.d.person}
	}
	day, err := calib.ParseDate(s.Date.Text)
	switch {
	case err != nil:
		return tableLine{}, err
	case day.After(im.d.today()):
		return tableLine{}, fmt.Errorf("date: %s lies ahead of today, %s; want the day the readings were taken", day, im.d.today())
	case !s.Gauge.Given():
		return tableLine{}, errors.New("gauge: nothing given; want the gauge it was taken with")
	}
	basis, refs, err := im.tx.SurveyBasis(survey.Survey{Lot: s.Lot.Text, Method: s.Method.Text, Gauge: s.Gauge.Text, Date: day})
	if err != nil {
		return tableLine{}, err
	}
	took, err := s.Survey(basis.Method, basis.Lot, basis.Gauge)
	if err := first(err, im.d.shape.Check(took)); err != nil {
		return tableLine{}, g.Placed(err)
	}
	l := tableLine{Name: took.Lot, Does: doesSame}
	seq, known, err := im.tx.KnownSurvey(took)
	if known || err != nil {
		l.Text = fmt.Sprintf("entry %d", seq)
		return l, err
	}
	result, err := survey.Evaluate(took, basis)
	var stop *calib.StopError
	if asStop(err, &stop) {
		err = fmt.Errorf("%w; or why it was used all the same, in the column override", err)
	}
	if err != nil {
		return tableLine{}, g.Placed(err)
	}
	_, err = im.tx.KeepSurvey(registry.KeptSurvey{Survey: took, Basis: refs, Result: result})
	l.Does, l.Text = doesEnter, fmt.Sprintf("survey of %s with %s, %s", took.Date, took.Gauge, plural(len(took.Places), "place"))
	if result.Verdict != "" {
		l.Text += ": " + string(result.Verdict)
	}
	return l, err
}
