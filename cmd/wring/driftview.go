package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/calib/history"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/uncertainty/unit"
)

// A driftAnswer is what --json says of one gauge. Errors are in micrometres,
// sizes in millimetres.
type driftAnswer struct {
	Gauge  string        `json:"gauge"`
	Place  string        `json:"place,omitempty"`
	State  history.State `json:"state"`
	Text   string        `json:"text"`
	Checks int           `json:"checks"` // that count, since the last adjustment
	From   calib.Date    `json:"from,omitzero"`
	To     calib.Date    `json:"to,omitzero"`

	ZeroUM  float64 `json:"zero_um_per_year"`  // what a significant trend moves alike everywhere, µm a year
	ScaleUM float64 `json:"scale_um_per_year"` // and at 1 mm from the zero, µm a year

	Due        calib.Date `json:"due,omitzero"` // looked ahead to
	PointMM    float64    `json:"point_mm"`     // that comes nearest to its limit then, mm
	ForecastUM float64    `json:"forecast_um"`  // expected error there, µm
	HalfUM     float64    `json:"half_um"`      // half of the interval of 95 % for one observation, µm
	ExpandedUM float64    `json:"expanded_um"`  // U there, µm
	LimitUM    float64    `json:"limit_um"`     // µm
	Share      float64    `json:"share"`        // of the limit that error and doubt take up, 1 where it is reached
	Reaches    calib.Date `json:"reaches,omitzero"`

	Tests []testAnswer `json:"tests"`
}

// A testAnswer is one hypothesis that was looked at.
type testAnswer struct {
	Of      string   `json:"of"`                 // zero, scale, point
	Kind    string   `json:"kind"`               // trend, change
	PointMM *float64 `json:"point_mm,omitempty"` // of one point's test
	SizeUM  float64  `json:"size_um"`            // µm a year for a trend, µm for a change; of the scale at 1 mm
	UM      float64  `json:"u_um"`               // its standard uncertainty, in the same unit
	T       float64  `json:"t"`                  // size over uncertainty
	DoF     float64  `json:"dof"`                // degrees of freedom
	P       float64  `json:"p"`                  // corrected by Holm, 0 to 1
}

func (g *fleetGauge) answer() driftAnswer {
	a, f := g.said, g.said.Forecast
	out := driftAnswer{Gauge: g.state.Gauge.ID, Place: g.state.Gauge.Place, State: a.State, Text: a.Line(g.units()), Checks: a.Checks,
		From: a.From, To: a.To, ZeroUM: a.Zero * micrometres, ScaleUM: a.Scale * micrometres, Due: a.Due, PointMM: f.Point,
		ForecastUM: f.Error * micrometres, HalfUM: f.Half * micrometres, ExpandedUM: f.Expanded * micrometres, LimitUM: f.Limit * micrometres,
		Share: f.Share(), Reaches: a.Reaches, Tests: []testAnswer{}}
	for _, t := range a.Tests {
		one := testAnswer{Of: t.Of, Kind: t.Kind, SizeUM: t.Size * micrometres, UM: t.U * micrometres, T: t.T, DoF: t.DoF, P: t.P}
		if t.Of == "point" {
			one.PointMM = &t.Point
		}
		out.Tests = append(out.Tests, one)
	}
	return out
}

// unitsOf are those in which a person reads a gauge's drift: micrometres, or
// microinches where it is read in inches.
func unitsOf(g calib.Gauge) history.Units {
	if g.Unit == "in" || g.Unit == "thou" {
		in, _ := unit.Lookup("in", unit.Length)
		micro, _ := unit.Lookup("µin", unit.Length)
		return history.Units{Error: "µin", ErrorPerMM: micro.FromFloat(1), Size: "in", SizePerMM: in.FromFloat(1)}
	}
	return history.Units{Error: "µm", ErrorPerMM: micrometres, Size: "mm", SizePerMM: 1}
}

// driftOfOne draws one gauge's series, and writes it to the papers asked for.
func (d desk) driftOfOne(c *cli.Context, id string, all []*fleetGauge, paper driftPaper) error {
	var g *fleetGauge
	for _, one := range all {
		if one.state.Gauge.ID == id {
			g = one
		}
	}
	if g == nil {
		return fmt.Errorf("gauge %s: has no check of length that counts; want one first", id)
	}
	p, err := seriesPlot(g)
	if err != nil {
		return err
	}
	if err := paper.write(c, g, p); err != nil {
		return err
	}
	err = d.answer(g.answer(), func(out io.Writer) error {
		return first(screen.Paragraph(out, g.headline()+"\n", "  "), drawn(p).Write(out),
			line(out, ""), writeAhead(out, g), writeTests(out, g), writeControl(out, g))
	})
	return first(err, strictly(c, g.said.State.Flagged()))
}

// writeAhead says what is expected at the next due date, with its band.
func writeAhead(out io.Writer, g *fleetGauge) error {
	text := g.said.Ahead(g.units())
	if text == "" {
		return nil
	}
	return screen.Paragraph(out, strings.ToUpper(text[:1])+text[1:]+".\n", "")
}

// headline says the state once.
func (g *fleetGauge) headline() string {
	text := g.said.Line(g.units())
	if g.figure != nil {
		return g.state.Gauge.ID + ", " + g.figure.name + ": " + stateFirst(g.said.State, text)
	}
	return g.state.Gauge.ID + ": " + stateFirst(g.said.State, text)
}

// stateFirst puts the state before what is said, unless it is said first.
func stateFirst(s history.State, text string) string {
	if strings.HasPrefix(text, string(s)) {
		return text
	}
	return string(s) + ": " + text
}

// writeTests says of the whole family what was tested and how it came out; of
// single points only the plainest.
func writeTests(out io.Writer, g *fleetGauge) error {
	if len(g.said.Tests) == 0 {
		return line(out, "no test: it takes two checks since the last adjustment")
	}
	u := g.units()
	t := screen.Table{Columns: []screen.Column{{Title: "test"}, {Title: "of"}, {Title: "found\n" + u.Error, Align: screen.Decimal}, {Title: "u\n" + u.Error, Align: screen.Decimal},
		{Title: "t", Align: screen.Decimal}, {Title: "d.o.f.", Align: screen.Decimal}, {Title: "p (Holm)", Align: screen.Decimal}}}
	for _, x := range plainest(g.said.Tests) {
		of, scale := cmp.Or(map[string]string{"zero": u.Shift}[x.Of], x.Of), u.ErrorPerMM
		switch x.Of {
		case "scale":
			of, scale = "scale, over the range", scale*g.reach()
		case "point":
			of = "point " + strconv.FormatFloat(x.Point*u.SizePerMM, 'g', 8, 64) + " " + u.Size
		}
		t.Add(x.Kind, of, fixed(x.Size*scale, 2), fixed(x.U*scale, 2), fixed(x.T, 1), fixed(x.DoF, 1), probabilityText(x.P))
	}
	if err := t.Write(out); err != nil {
		return err
	}
	alone := ""
	if slices.ContainsFunc(g.said.Tests, func(t history.Test) bool { return t.Of == "scale" }) {
		alone = " Zero and scale are each tested as if the other stood still, so that a moving zero shows in the row of the scale too; which of them it is the first line says."
	}
	return screen.Paragraph(out, fmt.Sprintf("\nA trend is by the year, a change since the check before.%s Significant: p up to %g for a trend, %g for a change. Variances pooled from budget, gauge and like gauges (Smyth 2004), p-values corrected together (Holm 1979).",
		alone, history.TrendLevel, history.ChangeLevel), "")
}

// plainest leaves of the single points' tests the one of each kind that is
// nearest to being significant.
func plainest(list []history.Test) []history.Test {
	var out []history.Test
	best := map[string]int{}
	for _, t := range list {
		i, seen := best[t.Kind]
		switch {
		case t.Of != "point":
			out = append(out, t)
		case !seen:
			best[t.Kind] = len(out)
			out = append(out, t)
		case max(t.T, -t.T) > max(out[i].T, -out[i].T):
			out[i] = t
		}
	}
	return out
}

// writeControl says what the control charts of the gauge's zero show, where
// there are enough values for one: of a gauge that is checked again and again
// at one point, its error there.
func writeControl(out io.Writer, g *fleetGauge) error {
	values := history.ZeroSeries(g.checks, zeroOf(g.state.Gauge))
	if len(values) < history.Baseline {
		return nil
	}
	u := g.units()
	frozen, err := history.NewChart(values)
	if err != nil {
		return line(out, "\nno control chart: the zero does not scatter")
	}
	moving, err := history.NewIndividualsChart(values)
	if err != nil {
		return err
	}
	text := "\nControl chart of the zero, " + plural(len(values), "value") + "."
	for _, c := range []history.Chart{frozen, moving} {
		text += fmt.Sprintf(" By the %s: centre %s, warning ±%s, action ±%s %s; %s.", c.By, fixed(c.Centre*u.ErrorPerMM, 2),
			fixed(c.Warning()*u.ErrorPerMM, 2), fixed(c.Action()*u.ErrorPerMM, 2), u.Error, runsText(c, values))
	}
	return screen.Paragraph(out, text+" Warning at 2 s, action at 3 s.", "")
}

// runsText names every rule that is broken, and the value that completes it.
func runsText(c history.Chart, values []float64) string {
	var broken []string
	for _, r := range c.Runs(values) {
		broken = append(broken, fmt.Sprintf("value %d: %s", r.At+1, r.Rule))
	}
	if len(broken) == 0 {
		return "no rule of ISO 7870-2 is broken"
	}
	return strings.Join(broken, ", ") + " (ISO 7870-2)"
}
