package main

import (
	"fmt"
	"math"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/history"
	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
	"example.org/wring/certs/plot"
	"example.org/wring/certs/svg"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

// A seen value is the error at the point that is spoken of, at one check.
type seen struct {
	date  calib.Date
	stage calib.Stage
	point history.Point
}

// spokenOf is the point that comes nearest to its limit, at every check that
// has it, and the days on which the gauge was adjusted.
func (g *fleetGauge) spokenOf() (list []seen, breaks []calib.Date) {
	size := g.said.Forecast.Point
	for i, segment := range history.Segments(g.checks) {
		if i > 0 {
			breaks = append(breaks, segment[0].Date)
		}
		for _, c := range segment {
			for _, p := range c.Points {
				if p.Nominal == size {
					list = append(list, seen{c.Date, c.Stage, p})
					break
				}
			}
		}
	}
	return list, breaks
}

// year is a date on the axis of a plot.
func year(d calib.Date) float64 { return plot.YearOf(int(d.Day())) }

func (g *fleetGauge) quantity() string {
	u := g.units()
	if g.figure != nil {
		return g.figure.quantity(u, g.said.Forecast.Point)
	}
	return fmt.Sprintf("error at %s", sizeText(u, g.said.Forecast.Point))
}

func sizeText(u history.Units, mm float64) string {
	return fmt.Sprintf("%g %s", math.Round(mm*u.SizePerMM*1e6)/1e6, u.Size)
}

// drawn is the series for a terminal.
func drawn(p plot.Plot) screen.Drawing { return screen.Drawing{Plot: p, Bars: "U"} }

// seriesPlot describes the series, for papers and terminals: limits, U, adjustments, and
// where a trend leads.
func seriesPlot(g *fleetGauge) (plot.Plot, error) {
	u := g.units()
	list, breaks := g.spokenOf()
	if len(list) == 0 {
		return plot.Plot{}, fmt.Errorf("gauge %s: no point is in every check; want checks by one plan", g.state.Gauge.ID)
	}
	found, left := plot.Series{Label: "as found"}, plot.Series{Label: "as left", Mark: plot.Ring}
	for _, s := range list {
		p := plot.Point{X: year(s.date), Y: s.point.Error * u.ErrorPerMM, Bar: s.point.Expanded * u.ErrorPerMM}
		if s.stage == calib.AsLeft {
			left.Points = append(left.Points, p)
		} else {
			found.Points = append(found.Points, p)
		}
	}
	last := list[len(list)-1]
	from, to := year(list[0].date)-0.25, year(last.date)+0.25
	if !g.said.Due.IsZero() {
		to = math.Max(to, year(g.said.Due)+0.25)
	}
	limit := []plot.Vertex{{X: from, Y: last.point.Limit * u.ErrorPerMM}, {X: to, Y: last.point.Limit * u.ErrorPerMM}}
	p := plot.Plot{X: plot.Axis{Quantity: "date", Dates: true, Range: &plot.Range{Low: from, High: to}}, Y: plot.Axis{Quantity: g.quantity(), Unit: u.Error, Signed: true},
		Lines: []plot.Line{{Kind: plot.Zero, Points: []plot.Vertex{{X: from}, {X: to}}}, {Label: "limit ±MPE", Points: limit}, {Points: plot.Mirror(limit)}}}
	for i, b := range breaks {
		l := plot.Line{Kind: plot.Zero, Points: []plot.Vertex{{X: year(b), Y: limit[0].Y}, {X: year(b), Y: -limit[0].Y}}}
		if i == 0 {
			l.Label = "adjusted"
		}
		p.Lines = append(p.Lines, l)
	}
	f, ahead := g.said.Forecast, plot.Series{Label: "forecast, 95 %", Mark: plot.Saltire}
	if g.said.Checks > 1 {
		ahead.Points = []plot.Point{{X: year(g.said.Due), Y: f.Error * u.ErrorPerMM, Bar: f.Half * u.ErrorPerMM}}
	}
	if g.said.Trend != nil {
		p.Lines = append(p.Lines, plot.Line{Label: "trend", Kind: plot.Acceptance,
			Points: []plot.Vertex{{X: year(last.date), Y: last.point.Error * u.ErrorPerMM}, {X: year(g.said.Due), Y: f.Error * u.ErrorPerMM}}})
	}
	for _, s := range []plot.Series{found, left, ahead} {
		if len(s.Points) > 0 {
			p.Series = append(p.Series, s)
		}
	}
	return p, nil
}

// A driftPaper is what a paper says beside the series.
type driftPaper struct {
	house registry.Opening
	head  string
}

// Size of a drawing, mm (house rule).
const (
	drawnWidth  = 170
	drawnHeight = 95
)

func (w driftPaper) write(c *cli.Context, g *fleetGauge, p plot.Plot) error {
	title := "Series of " + g.state.Gauge.ID
	if file := c.String("svg"); file != "" {
		data, err := svg.Render(title, p, drawnWidth, drawnHeight)
		if err != nil {
			return err
		}
		if err := writeWhole(file, data); err != nil {
			return err
		}
	}
	file := c.String("pdf")
	if file == "" {
		return nil
	}
	r, err := pdf.New()
	if err != nil {
		return err
	}
	data, err := r.Render(w.document(g, title, p))
	if err != nil {
		return err
	}
	return writeWhole(file, data)
}

func (w driftPaper) document(g *fleetGauge, title string, p plot.Plot) certs.Document {
	h, r := w.house.House, g.state.Gauge
	d := certs.Document{Title: title, Number: r.ID, Subject: r.ID, House: certs.House{Name: h.Organisation, Address: addressLines(h.Address)},
		Paper: certs.A4, Issued: g.said.To.String(), Head: w.head, Program: version, End: "End of series",
		Parts: []certs.Part{
			certs.Outcome{Title: "State", Word: string(g.said.State), Lines: []string{g.said.Line(g.units())}},
			certs.Facts{Title: "Gauge", Pairs: []certs.Fact{{Label: "Identity", Value: r.ID}, {Label: "Kind", Value: string(r.Kind)}, {Label: "Range", Value: rangeOf(r)}}},
			certs.Figure{Title: "Errors in time", Plot: p, Caption: "Bars: expanded uncertainty U; of the forecast, where 95 % of further checks would fall. As-found errors since the last adjustment count for the trend."},
		}}
	if h.Invented {
		d.Foot = []string{"Invented for demonstration: house, people, gauges and figures are made up."}
	}
	return d
}
