package main

import (
	"slices"
	"testing"

	"example.org/wring/certs/plot"
	"example.org/wring/cmd/internal/screen"
)

// A plot is described once: the terminal draws what the paper draws.
func TestTheTerminalDrawsTheSeriesThatThePaperDraws(t *testing.T) {
	limit := []plot.Vertex{{X: 2024, Y: 4}, {X: 2027, Y: 4}}
	p := plot.Plot{Y: plot.Axis{Quantity: "error at 5 mm", Unit: "µm"},
		Lines: []plot.Line{{Kind: plot.Zero, Points: []plot.Vertex{{X: 2024}, {X: 2027}}}, {Points: limit}, {Points: plot.Mirror(limit)},
			{Kind: plot.Zero, Points: []plot.Vertex{{X: 2025.5, Y: 4}, {X: 2025.5, Y: -4}}},
			{Kind: plot.Acceptance, Points: []plot.Vertex{{X: 2026, Y: 1}, {X: 2027, Y: 2}}}},
		Series: []plot.Series{{Points: []plot.Point{{X: 2025, Y: 3, Bar: 1}}}, {Mark: plot.Ring, Points: []plot.Point{{X: 2025.5, Y: 0.5, Bar: 0.7}}}}}
	c := seriesChart(&fleetGauge{}, p)
	if want := []screen.ChartMark{{X: 2025, Y: 3, Bar: 1, Mark: '●'}, {X: 2025.5, Y: 0.5, Bar: 0.7, Mark: '○'}}; !slices.Equal(c.Marks, want) {
		t.Errorf("marks %v; want %v", c.Marks, want)
	}
	if !slices.Equal(c.Limits, []float64{4, -4}) || !slices.Equal(c.Breaks, []float64{2025.5}) {
		t.Errorf("limits %v, breaks %v; want those of the plot", c.Limits, c.Breaks)
	}
}
