package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/history"
	"example.org/wring/calib/presser"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

// A followed figure is one of a part other than length, as its drift is shown.
type followed struct {
	part  calib.Part
	name  string // "pressure, lowering"
	units history.Units
	whole float64 // largest size that was checked, in the inner unit of sizes
}

func (f followed) quantity(u history.Units, size float64) string {
	of := f.name + ", " + u.Of
	if u.Of == "" {
		of = f.name
	}
	if u.Size == "" {
		return of
	}
	return of + " at " + sizeText(u, size)
}

// units are those in which a person reads the drift.
func (g *fleetGauge) units() history.Units {
	if g.figure != nil {
		return g.figure.units
	}
	return unitsOf(g.state.Gauge)
}

// reach is the size at which a growing scale is shown, less the zero.
func (g *fleetGauge) reach() float64 {
	if g.figure != nil {
		return g.figure.whole
	}
	return g.state.Gauge.High.Inner().Float() - zeroOf(g.state.Gauge)
}

// readParts reads the series of every figure of a part, of one gauge or of all.
func readParts(tx *registry.Tx, part calib.Part, gauge string) ([]*fleetGauge, error) {
	var all []*fleetGauge
	return all, tx.Gauges(func(s registry.GaugeState) error {
		has := slices.ContainsFunc(s.Parts, func(p registry.PartState) bool { return p.Part == part })
		if !has || s.Status.Withdrawn() || gauge != "" && gauge != s.Gauge.ID {
			return nil
		}
		list, err := figuresOf(tx, s, part)
		all = append(all, list...)
		return at(s.Gauge.ID, err)
	})
}

// figuresOf assesses each figure of one gauge's part.
func figuresOf(tx *registry.Tx, s registry.GaugeState, part calib.Part) ([]*fleetGauge, error) {
	checks, newest, err := tx.PartSeries(s.Gauge.ID, part)
	if err != nil || len(checks) == 0 {
		return nil, err
	}
	basis, err := tx.Resolve(newest.Check.Basis)
	if err != nil {
		return nil, err
	}
	var out []*fleetGauge
	for _, one := range history.Series(checks) {
		g := &fleetGauge{state: s, checks: one.Checks, figure: &followed{part: part, name: one.Name, units: unitsOfFigure(part, one.Newest, basis)}}
		for _, p := range one.Checks[len(one.Checks)-1].Points {
			g.figure.whole = max(g.figure.whole, p.Nominal)
		}
		g.options = history.Options{Due: dueByInterval(s, part), Known: history.FromBudget()}
		if g.said, err = history.Assess(g.checks, g.options); err != nil {
			return nil, err
		}
		out = append(out, g)
	}
	return out, nil
}

func unitsOfFigure(part calib.Part, f calib.Figure, b calib.Basis) history.Units {
	shown := presser.ShownIn(part, f, b)
	u := history.Units{Error: shown.Symbol(), ErrorPerMM: shown.FromFloat(1), Shift: "all of it"}
	if !f.At.IsZero() {
		u.Size, u.SizePerMM = f.At.Unit().Symbol(), f.At.Unit().FromFloat(1)
	}
	if f.Low.Neg().Cmp(*f.High) != 0 {
		u.Of = "distance from the middle of the band"
	}
	return u
}

// A followedAnswer is what --json says of one figure of a part. Errors, U and
// limits are in Unit, and are distances from the middle of the figure's band.
type followedAnswer struct {
	Gauge  string        `json:"gauge"`
	Place  string        `json:"place,omitempty"`
	Part   calib.Part    `json:"part"`
	Figure string        `json:"figure"`
	State  history.State `json:"state"`
	Text   string        `json:"text"`
	Checks int           `json:"checks"` // that count, since the last adjustment
	From   calib.Date    `json:"from,omitzero"`
	To     calib.Date    `json:"to,omitzero"`

	Due      calib.Date `json:"due,omitzero"` // looked ahead to
	Unit     string     `json:"unit"`
	At       float64    `json:"at"`                // size that comes nearest to its limit then, in AtUnit
	AtUnit   string     `json:"at_unit,omitempty"` // empty where the figure is of the whole part
	Forecast float64    `json:"forecast"`          // expected there, in Unit
	Half     float64    `json:"half"`              // half of the interval of 95 % for one observation, in Unit
	Expanded float64    `json:"expanded"`          // U there, in Unit
	Limit    float64    `json:"limit"`             // half the band, in Unit
	Share    float64    `json:"share"`             // of the limit that both take up, 1 where it is reached
	Reaches  calib.Date `json:"reaches,omitzero"`
}

func (g *fleetGauge) followedAnswer() followedAnswer {
	a, f, u := g.said, g.said.Forecast, g.units()
	return followedAnswer{Gauge: g.state.Gauge.ID, Place: g.state.Gauge.Place, Part: g.figure.part, Figure: g.figure.name, State: a.State, Text: a.Line(u),
		Checks: a.Checks, From: a.From, To: a.To, Due: a.Due, Unit: u.Error, At: f.Point * u.SizePerMM, AtUnit: u.Size,
		Forecast: f.Error * u.ErrorPerMM, Half: f.Half * u.ErrorPerMM, Expanded: f.Expanded * u.ErrorPerMM, Limit: f.Limit * u.ErrorPerMM,
		Share: f.Share(), Reaches: a.Reaches}
}

func (d desk) driftOfParts(c *cli.Context, all []*fleetGauge) error {
	list := []followedAnswer{}
	for _, g := range all {
		if askedFor(g.state.Gauge, c) {
			list = append(list, g.followedAnswer())
		}
	}
	slices.SortStableFunc(list, func(a, b followedAnswer) int {
		return cmp.Or(cmp.Compare(rank(a.State), rank(b.State)), cmp.Compare(b.Share, a.Share), cmp.Compare(a.Gauge, b.Gauge), cmp.Compare(a.Figure, b.Figure))
	})
	err := d.answer(list, func(out io.Writer) error {
		if len(list) == 0 {
			return line(out, "no gauge that fits has a figure of that part with a band; wring check enters one")
		}
		t := screen.Table{Columns: []screen.Column{{Title: "gauge"}, {Title: "figure", Wrap: true}, {Title: "state"}, {Title: "what it shows", Wrap: true}}}
		for _, a := range list {
			t.Add(a.Gauge, a.Figure, string(a.State), a.Text)
		}
		return t.Write(out)
	})
	return first(err, strictly(c, slices.ContainsFunc(list, func(a followedAnswer) bool { return a.State.Flagged() })))
}

// driftOfFigures draws the series of every figure of one gauge's part; on
// paper, where that is asked for, the worst one.
func (d desk) driftOfFigures(c *cli.Context, id string, part calib.Part, all []*fleetGauge, paper driftPaper) error {
	if len(all) == 0 {
		return fmt.Errorf("gauge %s: has no check of %s with a band that counts; want one first", id, part)
	}
	slices.SortStableFunc(all, func(a, b *fleetGauge) int {
		return cmp.Or(cmp.Compare(rank(a.said.State), rank(b.said.State)), cmp.Compare(b.said.Forecast.Share(), a.said.Forecast.Share()))
	})
	p, err := seriesPlot(all[0])
	if err == nil {
		err = paper.write(c, all[0], p)
	}
	if err != nil {
		return err
	}
	list := []followedAnswer{}
	for _, g := range all {
		list = append(list, g.followedAnswer())
	}
	err = d.answer(list, func(out io.Writer) error {
		for i, g := range all {
			p, err := seriesPlot(g)
			if err := first(err, screen.Paragraph(out, yes(i > 0, "\n", "")+g.headline()+"\n", "  "), drawn(p).Write(out), line(out, ""), writeAhead(out, g), writeTests(out, g)); err != nil {
				return err
			}
		}
		return nil
	})
	return first(err, strictly(c, all[0].said.State.Flagged()))
}
