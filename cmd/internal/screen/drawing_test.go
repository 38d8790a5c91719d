package screen

import (
	"flag"
	"math"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/certs/plot"
)

var update = flag.Bool("update", false, "write the golden drawings anew")

// errorsGuarded is a check under guarded acceptance: the U of a point takes as much of
// the limit away. Figures invented.
func errorsGuarded() plot.Plot {
	limit := []plot.Vertex{{X: 0, Y: 4}, {X: 25, Y: 4}}
	accept := []plot.Vertex{{X: 0, Y: 3}, {X: 12.5, Y: 2.5}, {X: 25, Y: 1.5}}
	return plot.Plot{
		X: plot.Axis{Quantity: "nominal size", Unit: "mm"}, Y: plot.Axis{Quantity: "error of indication", Unit: "µm", Signed: true},
		Bands: []plot.Band{{Label: "guard band", Kind: plot.Guard, Low: accept, High: limit}, {Kind: plot.Guard, Low: plot.Mirror(limit), High: plot.Mirror(accept)},
			{Kind: plot.Tolerance, Low: plot.Mirror(accept), High: accept}},
		Lines: []plot.Line{{Kind: plot.Zero, Points: []plot.Vertex{{X: 0}, {X: 25}}}, {Label: "limit ±MPE", Points: limit}, {Points: plot.Mirror(limit)},
			{Label: "acceptance limit ±(MPE − U)", Kind: plot.Acceptance, Points: accept}, {Kind: plot.Acceptance, Points: plot.Mirror(accept)}},
		Series: []plot.Series{{Label: "pass", Points: []plot.Point{{X: 2.5, Y: 0.7, Bar: 1.1}, {X: 12.9, Y: -1.4, Bar: 1.5}}},
			{Label: "cannot decide", Mark: plot.Square, Points: []plot.Point{{X: 20.2, Y: 2.5, Bar: 2.1}}},
			{Label: "fail", Mark: plot.Cross, Points: []plot.Point{{X: 25, Y: 5.1, Bar: 2.5}}}},
	}
}

// pressures is a foot whose band has a step; the limits are of one sign.
func pressures() plot.Plot {
	low, high := plot.Steps([]float64{0, 5, 10}, []float64{18, 20}), plot.Steps([]float64{0, 5, 10}, []float64{22, 26})
	return plot.Plot{X: plot.Axis{Quantity: "opening", Unit: "mm"}, Y: plot.Axis{Quantity: "pressure", Unit: "kPa"},
		Bands: []plot.Band{{Low: low, High: high}}, Lines: []plot.Line{{Label: "limit", Points: low}, {Points: high}},
		Series: []plot.Series{{Label: "pressure, lowering", Points: []plot.Point{{X: 1, Y: 19, Bar: 0.4}, {X: 9, Y: 24.4, Bar: 0.4}}},
			{Label: "pressure, lifting", Mark: plot.Ring, Points: []plot.Point{{X: 1, Y: 20.5, Bar: 0.4}, {X: 9, Y: 26.2, Bar: 0.4}}}}}
}

// drift is a series with an adjustment, a trend and what it leads to.
func drift() plot.Plot {
	limit := []plot.Vertex{{X: 2022.6, Y: 4}, {X: 2027.1, Y: 4}}
	return plot.Plot{X: plot.Axis{Quantity: "date", Dates: true, Range: &plot.Range{Low: 2022.6, High: 2027.1}}, Y: plot.Axis{Quantity: "error at 25 mm", Unit: "µm", Signed: true},
		Lines: []plot.Line{{Kind: plot.Zero, Points: []plot.Vertex{{X: 2022.6}, {X: 2027.1}}}, {Label: "limit ±MPE", Points: limit}, {Points: plot.Mirror(limit)},
			{Label: "adjusted", Kind: plot.Zero, Points: []plot.Vertex{{X: 2023.9, Y: 4}, {X: 2023.9, Y: -4}}},
			{Label: "trend", Kind: plot.Acceptance, Points: []plot.Vertex{{X: 2025.9, Y: 1.8}, {X: 2026.9, Y: 2.9}}}},
		Series: []plot.Series{{Label: "as found", Points: []plot.Point{{X: 2022.9, Y: 3.1, Bar: 1.2}, {X: 2024.9, Y: 0.9, Bar: 1.2}, {X: 2025.9, Y: 1.8, Bar: 1.2}}},
			{Label: "as left", Mark: plot.Ring, Points: []plot.Point{{X: 2023.9, Y: 0.1, Bar: 1.2}}}, {Label: "forecast, 95 %", Mark: plot.Saltire, Points: []plot.Point{{X: 2026.9, Y: 2.9, Bar: 1.6}}}}}
}

func lot() plot.Plot {
	p := plot.Plot{X: plot.Axis{Quantity: "across", Unit: "mm", Range: &plot.Range{High: 300}}, Y: plot.Axis{Quantity: "along", Unit: "mm", Range: &plot.Range{High: 200}}}
	for i, t := range []plot.Tile{{Text: "0.2015+", Shade: plot.Above}, {Text: "0.1990"}, {Text: "0.1960--", Shade: plot.FarBelow}, {Text: "0.2120!", Shade: plot.Alarming}, {Text: "0.1995"}, {Text: "0.1975-", Shade: plot.Below}} {
		x, y := float64(i%3)*100, float64(i/3)*100
		t.Low, t.High = plot.Vertex{X: x, Y: y}, plot.Vertex{X: x + 100, Y: y + 100}
		p.Tiles = append(p.Tiles, t)
	}
	return p
}

func TestTheDrawingsAreThoseThatWereLookedAt(t *testing.T) {
	var b strings.Builder
	for _, d := range []struct {
		name string
		draw func() error
	}{
		{"errors, guard band", Drawing{errorsGuarded(), "U"}.on(&b)},
		{"pressures, limits with a step", Drawing{pressures(), "U"}.on(&b)},
		{"drift", Drawing{drift(), "U"}.on(&b)},
		{"one point", Drawing{plot.Plot{X: plot.Axis{Quantity: "x"}, Y: plot.Axis{Quantity: "y"}, Series: []plot.Series{{Points: []plot.Point{{X: 3, Y: 7}}}}}, "U"}.on(&b)},
		{"lot", func() error { return Map{Plot: lot()}.Write(&b) }},
		{"errors, guard band, for a terminal of ASCII", func() error { return Drawing{errorsGuarded(), "U"}.Write(ASCII(&b)) }},
	} {
		b.WriteString("== " + d.name + "\n")
		if err := d.draw(); err != nil {
			t.Errorf("%s: %v", d.name, err)
		}
	}
	for line := range strings.Lines(b.String()) {
		if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > Width {
			t.Errorf("%d characters: %q", n, line)
		}
	}
	const golden = "testdata/drawings.txt"
	if *update {
		if err := os.WriteFile(golden, []byte(b.String()), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), b.String()); d != "" {
		t.Error(d)
	}
}

func (d Drawing) on(b *strings.Builder) func() error { return func() error { return d.Write(b) } }

func TestWhatCannotBeDrawnIsRefused(t *testing.T) {
	for _, p := range []plot.Plot{{}, {Series: []plot.Series{{Points: []plot.Point{{Y: math.NaN()}}}}}, {Series: []plot.Series{{Points: []plot.Point{{Bar: math.Inf(1)}}}}}} {
		var b strings.Builder
		if err := (Drawing{Plot: p}).Write(&b); err == nil || b.Len() > 0 {
			t.Errorf("%+v: %q, %v", p, b.String(), err)
		}
	}
}

// Law: every mark stands in the row and column nearest to its value, whatever
// the plot; own computation from the spans that all renderings share.
func TestAMarkStandsWhereItsValueIs(t *testing.T) {
	p := errorsGuarded()
	c := canvas{plot: p}
	c.x, c.y = p.Spans()
	c.clear(70)
	c.points()
	for _, s := range p.Series {
		for _, at := range s.Points {
			column := int(math.Round(69 * (at.X - c.x.Low) / (c.x.High - c.x.Low)))
			row := int(math.Round(15 * (c.y.High - at.Y) / (c.y.High - c.y.Low)))
			if got := c.cells[row][column]; got != markRune(s.Mark) {
				t.Errorf("%s at %g, %g: %q in row %d, column %d", s.Label, at.X, at.Y, got, row, column)
			}
		}
	}
}

// A reader compares the limit with a plan: no digit of it may be missing.
func TestALimitIsLabelledWithEveryDigitThatWasAgreed(t *testing.T) {
	for _, c := range []struct {
		at     float64
		signed bool
		want   string
	}{{50.8, true, "+50.8"}, {-12.345, true, "-12.345"}, {12345.6, false, "12345.6"}, {0.00002, true, "+0.00002"}, {0.1 + 0.2, true, "+0.3"}, {2e6, false, "2000000"}} {
		limit := []plot.Vertex{{X: 0, Y: c.at}, {X: 1, Y: c.at}}
		p := plot.Plot{X: plot.Axis{Quantity: "x"}, Y: plot.Axis{Quantity: "y", Signed: c.signed, Range: &plot.Range{Low: c.at - 1, High: c.at + 1}},
			Lines: []plot.Line{{Points: limit}}, Series: []plot.Series{{Points: []plot.Point{{Y: c.at}}}}}
		var b strings.Builder
		if err := (Drawing{Plot: p}).Write(&b); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), c.want+" │") {
			t.Errorf("%v is not labelled %q in\n%s", c.at, c.want, b.String())
		}
	}
}

// Colour only repeats what marks say.
func TestTheMapSaysTheSameWithoutColour(t *testing.T) {
	var plain, coloured strings.Builder
	if err := (Map{Plot: lot()}).Write(&plain); err != nil {
		t.Fatal(err)
	}
	if err := (Map{Plot: lot(), Colour: true}).Write(&coloured); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(plain.String(), "\x1b") || !strings.Contains(coloured.String(), redInk+"0.2120!"+plainInk) {
		t.Errorf("%q, %q", plain.String(), coloured.String())
	}
	bare := strings.NewReplacer(redInk, "", blueInk, "", yellowInk, "", plainInk, "").Replace(coloured.String())
	if bare != plain.String() {
		t.Errorf("%q with colour taken off, %q without", bare, plain.String())
	}
}

func TestATerminalOfASCIIGetsNothingElse(t *testing.T) {
	if len(asciiFrom) != len(asciiTo) {
		t.Fatalf("%d characters, %d likenesses", len(asciiFrom), len(asciiTo))
	}
	var b strings.Builder
	n, err := ASCII(&b).Write([]byte("−1.5 ± 0.7 µm, 20 °C │ Ж"))
	if want := "-1.5 +- 0.7 um, 20 degC | ?"; err != nil || b.String() != want || n != len("−1.5 ± 0.7 µm, 20 °C │ Ж") {
		t.Errorf("%d %v %q, want %q", n, err, b.String(), want)
	}
}
