package main

import (
	"errors"
	"fmt"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/table"
	"example.org/wring/registry"
)

// gauge enters one line of a table of gauges.
func (im *importer) gauge(r table.Record) (tableLine, error) {
	known, isKnown, err := im.knownGauge(r.ID())
	if err != nil {
		return tableLine{}, err
	}
	g, err := r.Gauge(known.Gauge, im.house.Unit)
	if err != nil {
		return tableLine{}, err
	}
	if err := first(im.d.shape.Identity("gauge", r.ID()), gaugeStands(im.d, im.tx, g.Gauge)); err != nil {
		return tableLine{}, err
	}
	l := tableLine{Name: r.ID(), Does: doesEnter, Text: fmt.Sprintf("%s %s", g.Gauge.Kind, rangeOf(g.Gauge))}
	if isKnown {
		if l, err = im.amendGauge(known, g.Gauge); err != nil {
			return l, err
		}
	} else if err := im.newGauge(g); err != nil {
		return l, err
	}
	entered, err := im.earlier(known, g.Earlier)
	if entered {
		l.Text += "; last check " + g.Earlier.Date.String()
		if l.Does == doesSame {
			l.Does = doesAmend
		}
	}
	return l, err
}

func (im *importer) knownGauge(id string) (registry.GaugeState, bool, error) {
	if !im.tx.HasGauge(id) {
		return registry.GaugeState{}, false, nil
	}
	s, err := im.tx.Gauge(id)
	return s, err == nil, err
}

// amendGauge leaves a gauge that is here alike as it is, and brings one that
// differs up to the table where a reason was given.
func (im *importer) amendGauge(known registry.GaugeState, g calib.Gauge) (tableLine, error) {
	l := tableLine{Name: g.ID, Does: doesSame}
	list := changes(known, g)
	switch {
	case len(list) == 0:
		return l, nil
	case known.Gauge.Unit != g.Unit:
		return l, fmt.Errorf("unit: %q: %s is read in %s; a gauge read in another unit is another gauge", g.Unit, g.ID, known.Gauge.Unit)
	case im.o.amend == "":
		return l, fmt.Errorf("%s: is here with other values: %s; want them alike, or --amend REASON", g.ID, changeText(list))
	}
	l.Does, l.Text = doesAmend, changeText(list)
	_, err := im.tx.AmendGauge(registry.Amendment{Gauge: g, Changes: list, Reason: im.o.amend})
	return l, err
}

// newGauge enters a gauge that is not here, and the status it has.
func (im *importer) newGauge(g table.GaugeLine) error {
	if _, err := im.tx.AddGauge(g.Gauge); err != nil {
		return err
	}
	s := g.Status
	if s.Status == "" || s.Status == calib.InService {
		return nil
	}
	if s.Date.IsZero() {
		s.Date = im.d.today()
	}
	if s.Date.After(im.d.today()) {
		return fmt.Errorf("status since: %s lies ahead of today, %s; want the day from which it holds", s.Date, im.d.today())
	}
	if s.Reason == "" {
		s.Reason = "as in " + im.file.Name
	}
	if err := im.d.shape.Check(s); err != nil {
		return err
	}
	_, err := im.tx.ChangeStatus(s)
	return err
}

// earlier enters when a gauge was last checked elsewhere. One that was checked
// here, or of which as much is known, needs no such entry.
func (im *importer) earlier(known registry.GaugeState, c calib.EarlierCheck) (bool, error) {
	switch {
	case c.Date.IsZero() && (c.Verdict != "" || c.Certificate != "") && known.Last == nil:
		return false, errors.New("last check: nothing given, and a verdict or certificate of it; want its date")
	case c.Date.IsZero():
		return false, nil
	case c.Date.After(im.d.today()):
		return false, fmt.Errorf("last check: %s lies ahead of today, %s; want the day it was made", c.Date, im.d.today())
	case known.Last != nil && !known.Last.Date.Before(c.Date), known.Earlier != nil && !known.Earlier.Date.Before(c.Date):
		return false, nil
	}
	if err := im.d.shape.Check(c); err != nil {
		return false, err
	}
	_, err := im.tx.AddEarlier(c)
	return err == nil, err
}

// standard enters one line of a table of standards.
func (im *importer) standard(r table.Record) (tableLine, error) {
	known, err := im.tx.Standard(r.ID())
	var missing *registry.NotFoundError
	isKnown := err == nil
	if err != nil && !errors.As(err, &missing) {
		return tableLine{}, err
	}
	s, err := r.Standard(known.Standard)
	if err != nil {
		return tableLine{}, err
	}
	if err := im.d.shape.Check(s); err != nil {
		return tableLine{}, err
	}
	l := tableLine{Name: s.ID, Does: doesEnter, Text: string(s.Kind)}
	if !isKnown {
		_, err := im.tx.AddStandard(s)
		return l, err
	}
	l.Does = doesSame
	return l, alike(s.ID, table.Standards, table.StandardRow(known.Standard), table.StandardRow(s), "want them alike")
}

// alike refuses a row of a table that is here with other values.
func alike(id, of string, was, now []string, want string) error {
	var other []string
	for i, name := range table.Heading(of) {
		if now[i] != was[i] {
			other = append(other, fmt.Sprintf("%s: %s → %s", name, was[i], now[i]))
		}
	}
	if len(other) > 0 {
		return fmt.Errorf("%s: is here with other values: %s; %s", id, strings.Join(other, "; "), want)
	}
	return nil
}
