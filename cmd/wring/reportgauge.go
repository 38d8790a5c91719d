package main

import (
	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/registry"
)

// A gaugeRecord is what is told of one gauge: how it stands, its series, and
// everything that happened to it.
type gaugeRecord struct {
	face   reportFace
	state  registry.GaugeState
	series []*fleetGauge
	past   pastOf
}

// gaugeRecordOf gathers the record. A gauge that left the fleet has no series
// that anybody looks at.
func gaugeRecordOf(tx *registry.Tx, id string) (r gaugeRecord, err error) {
	if r.state, err = tx.Gauge(id); err != nil {
		return r, err
	}
	if r.face, err = faceOf(tx); err != nil {
		return r, err
	}
	if r.series, err = readFleet(tx, just(id)); err != nil {
		return r, err
	}
	for _, p := range r.state.Parts {
		if p.Part == calib.LengthPart {
			continue
		}
		list, err := readParts(tx, p.Part, id)
		if err != nil {
			return r, err
		}
		r.series = append(r.series, list...)
	}
	r.past, err = historyOf(tx, id)
	return r, err
}

func runReportGauge(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE")
	if err != nil {
		return err
	}
	if err := d.reportStands(c); err != nil {
		return err
	}
	var r gaugeRecord
	if err := d.view(func(tx *registry.Tx) (err error) { r, err = gaugeRecordOf(tx, w[0]); return err }); err != nil {
		return err
	}
	today := d.today()
	parts := append([]certs.Part{r.outcome(today), r.facts()}, r.drift()...)
	doc := r.face.document("Report of a gauge", w[0]+" on "+today.String(), r.subject(), today, append(parts, r.past.document(today).Parts...)...)
	return d.writeReport(c, doc, "report of "+w[0])
}

func (r gaugeRecord) subject() string {
	g := r.state.Gauge
	return capitalised(string(g.Kind)) + " " + g.ID + ", " + rangeOf(g)
}

// outcome says whether it may be used, and what its last check and its series
// say.
func (r gaugeRecord) outcome(today calib.Date) certs.Outcome {
	s := r.state
	o := certs.Outcome{Title: "State", Word: capitalised(string(s.Status))}
	switch {
	case s.Last == nil:
		o.Lines = append(o.Lines, "Never checked in this registry.")
	default:
		o.Lines = append(o.Lines, "Last check "+s.Last.Date.String()+", "+string(s.Last.Stage)+": "+string(s.Last.Verdict)+".")
	}
	switch {
	case s.Due.IsZero():
	case s.Last != nil && !s.Last.Verdict.Passed() && s.Due.String() == s.Last.Date.String():
		o.Lines = append(o.Lines, "Due at once, for the last check did not pass.")
	default:
		o.Lines = append(o.Lines, yes(s.Due.Before(today), "Overdue since ", "Due ")+s.Due.String()+".")
	}
	for _, g := range r.series {
		o.Lines = append(o.Lines, plainBlanks(capitalised(g.about()+stateFirst(g.said.State, g.said.Line(g.units())))+"."))
	}
	return o
}

// about names the figure that a series is of, where it is not the length.
func (g *fleetGauge) about() string {
	if g.figure == nil {
		return ""
	}
	return g.figure.name + ": "
}

func (r gaugeRecord) facts() certs.Facts {
	f := certs.Facts{Title: "Record"}
	for _, pair := range gaugeFacts(r.state) {
		if pair[1] != "" {
			f.Pairs = append(f.Pairs, certs.Fact{Label: capitalised(pair[0]), Value: plainBlanks(pair[1])})
		}
	}
	return f
}

// drift draws each series at the point that is spoken of.
func (r gaugeRecord) drift() (parts []certs.Part) {
	for _, g := range r.series {
		p, err := seriesPlot(g)
		if err != nil { // no point is in every check: the table of entries has all
			continue
		}
		title := "Errors in time"
		if g.figure != nil {
			title += ", " + g.figure.name
		}
		parts = append(parts, certs.Figure{Title: title, Plot: p,
			Caption: "At the point that comes nearest to its limit. Bars: expanded uncertainty U. What was found since the last adjustment counts for the trend."})
	}
	return parts
}
