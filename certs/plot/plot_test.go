package plot

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// fixed gives every character the same width, so that expected places can be
// worked out by hand.
type fixed struct{}

func (fixed) Width(_ Role, text string) float64 { return 1.5 * float64(len([]rune(text))) }
func (fixed) Height(Role) float64               { return 2 }

// micrometer is a check of an invented micrometer: limits ±4 µm over 0–25 mm.
func micrometer() Plot {
	limit := []Vertex{{0, 4}, {25, 4}}
	return Plot{
		X:     Axis{Quantity: "nominal size", Unit: "mm"},
		Y:     Axis{Quantity: "error", Unit: "µm", Signed: true},
		Bands: []Band{{"accepted", Tolerance, Mirror(limit), limit}},
		Lines: []Line{{"MPE", Limit, limit}, {"", Limit, Mirror(limit)}, {"acceptance limit", Acceptance, []Vertex{{0, 3}, {25, 3}}}},
		Series: []Series{
			{"within", Disc, []Point{{2.5, 1, 1}, {5.1, -2, 1}}},
			{"beyond", Cross, []Point{{25, 5.5, 1}}}},
	}
}

// Own computation: the ticks of a scale as a draughtsman would divide it.
func TestTicksAreRoundNumbersWithOnlyTheDigitsTheyNeed(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		wanted    int
		signed    bool
		labels    string
	}{
		{-4.4, 4.4, 5, true, "−4 −2 0 +2 +4"},
		{0, 25, 6, false, "0 5 10 15 20 25"},
		{-0.0023, 0.0023, 5, true, "−0.002 −0.001 0.000 +0.001 +0.002"},
		{0, 1, 2, false, "0.0 0.5 1.0"},
		{100, 1100, 4, false, "500 1000"},
		{1.55e6, 1.97e6, 2, false, "1600000 1800000"},
		{99.95, 100.05, 3, false, "99.95 100.00 100.05"},
		{-1, 1, 1, false, "−1 0 1"},
	} {
		var got []string
		for _, tick := range Ticks(Range{c.low, c.high}, c.wanted, c.signed) {
			got = append(got, tick.Label)
		}
		if s := strings.Join(got, " "); s != c.labels {
			t.Errorf("ticks from %g to %g: %s; want %s", c.low, c.high, s, c.labels)
		}
	}
}

func TestTicksLieInTheRangeEvenlyAndSayWhereTheyStand(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		size := math.Pow(10, 12*rnd.Float64()-6)
		low := (rnd.Float64() - 0.5) * size * 10
		r := Range{low, low + size}
		wanted := 2 + rnd.IntN(9)
		ticks := Ticks(r, wanted, false)
		if len(ticks) < 2 || len(ticks) > max(wanted+1, 5) {
			t.Fatalf("%d ticks on %v; want 2 to %d", len(ticks), r, max(wanted+1, 5))
		}
		for i, tick := range ticks {
			if tick.At < r.Low-1e-6*size || tick.At > r.High+1e-6*size {
				t.Fatalf("tick %g outside %v", tick.At, r)
			}
			said, err := strconv.ParseFloat(strings.Replace(tick.Label, "−", "-", 1), 64)
			if err != nil || math.Abs(said-tick.At) > 1e-6*size {
				t.Fatalf("tick at %g is labelled %q on %v", tick.At, tick.Label, r)
			}
			if i > 1 {
				if a, b := tick.At-ticks[i-1].At, ticks[1].At-ticks[0].At; math.Abs(a-b) > 1e-6*size {
					t.Fatalf("steps of %g and %g on %v; want one step", a, b, r)
				}
			}
		}
	}
}

func TestClippingKeepsWhatLiesInsideAndCutsTheRestAtTheEdge(t *testing.T) {
	f := Frame{0, 0, 10, 10}
	for _, c := range []struct {
		name string
		run  []Spot
		want [][]Spot
	}{
		{"inside stays", []Spot{{1, 1}, {9, 9}}, [][]Spot{{{1, 1}, {9, 9}}}},
		{"outside goes", []Spot{{-5, -1}, {15, -1}}, nil},
		{"through is cut twice", []Spot{{-5, 5}, {15, 5}}, [][]Spot{{{0, 5}, {10, 5}}}},
		{"a corner joins", []Spot{{1, 1}, {5, 5}, {9, 1}}, [][]Spot{{{1, 1}, {5, 5}, {9, 1}}}},
		{"out and in again is two runs", []Spot{{1, 5}, {5, -5}, {9, 5}}, [][]Spot{{{1, 5}, {3, 0}}, {{7, 0}, {9, 5}}}},
		{"on the edge stays", []Spot{{0, 0}, {10, 0}}, [][]Spot{{{0, 0}, {10, 0}}}},
	} {
		got := clipLine(c.run, f)
		if len(got) != len(c.want) {
			t.Errorf("%s: %v; want %v", c.name, got, c.want)
			continue
		}
		for i := range got {
			for j := range got[i] {
				if math.Hypot(got[i][j].X-c.want[i][j].X, got[i][j].Y-c.want[i][j].Y) > 1e-9 {
					t.Errorf("%s: %v; want %v", c.name, got, c.want)
				}
			}
		}
	}
	if a := areaOf(clipArea([]Spot{{-5, -5}, {5, -5}, {5, 5}, {-5, 5}}, f)); math.Abs(a-25) > 1e-9 {
		t.Errorf("a square of which a quarter lies inside keeps an area of %g; want 25", a)
	}
}

func areaOf(p []Spot) (a float64) {
	for i, b := range p {
		c := p[(i+1)%len(p)]
		a += (b.X*c.Y - c.X*b.Y) / 2
	}
	return math.Abs(a)
}

func TestEveryShapeLiesInThePicture(t *testing.T) {
	narrow := micrometer()
	narrow.X.Range = &Range{2, 26}
	narrow.Y.Range = &Range{-3, 6}
	steps := micrometer()
	steps.Lines = append(steps.Lines, Line{"by range", Limit, Steps([]float64{0, 10, 25}, []float64{3, 4})})
	one := Plot{Series: []Series{{"", Disc, []Point{{X: 150, Y: 0}}}}}
	years := micrometer() // a tick, with a broad label, where the axis ends
	years.X.Range = &Range{0, 250_000}
	for name, p := range map[string]Plot{"micrometer": micrometer(), "given axes": narrow, "steps": steps, "one point": one, "tick at the end": years} {
		for _, width := range []float64{170, 88} {
			pic, err := Compose(p, width, 60, fixed{})
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			for _, s := range pic.Shapes {
				for _, at := range corners(s) {
					if !(at.X >= 0 && at.X <= width && at.Y >= 0 && at.Y <= 60) {
						t.Errorf("%s: %T reaches %v; want within %g mm × 60 mm", name, s, at, width)
					}
				}
			}
		}
	}
}

// corners returns the outermost places of a shape, for the letters of fixed.
func corners(s Shape) []Spot {
	switch s := s.(type) {
	case Area:
		return s.Corners
	case Stroke:
		return s.Path
	case Sign:
		return []Spot{s.At}
	case Words:
		w := fixed{}.Width(s.Role, s.Text)
		from := map[Anchor]float64{Start: 0, Middle: -w / 2, End: -w}[s.Anchor]
		if s.Turned {
			return []Spot{{s.At.X, s.At.Y - from - w}, {s.At.X - 2, s.At.Y - from}}
		}
		return []Spot{{s.At.X + from, s.At.Y - 2}, {s.At.X + from + w, s.At.Y}}
	}
	return nil
}

func TestAPointStandsWhereItsAxesSay(t *testing.T) {
	p := micrometer()
	p.X.Range, p.Y.Range = &Range{0, 30}, &Range{-10, 10}
	pic, err := Compose(p, 170, 60, fixed{})
	if err != nil {
		t.Fatal(err)
	}
	f := pic.Frame
	want := Spot{f.Left + (f.Right-f.Left)*25/30, f.Top + (f.Bottom-f.Top)*(10-5.5)/20}
	var found bool
	for _, s := range pic.Shapes {
		if sign, ok := s.(Sign); ok && sign.Mark == Cross && sign.At.Y > f.Top { // the legend holds one too, above
			found = true
			if math.Hypot(sign.At.X-want.X, sign.At.Y-want.Y) > 1e-9 {
				t.Errorf("cross at %v; want %v", sign.At, want)
			}
		}
	}
	if !found {
		t.Error("the point beyond the limit is not drawn as a cross")
	}
}

func TestOnlyTheAcceptanceLimitIsDashed(t *testing.T) {
	for kind, pen := range map[LineKind]Pen{Limit: LimitPen, Acceptance: AcceptancePen, Zero: ZeroPen} {
		if kind.pen() != pen {
			t.Errorf("line kind %d is drawn with pen %d; want %d", kind, kind.pen(), pen)
		}
	}
}

func TestWhatCannotBeDrawnIsNamed(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	point := func(x, y, bar float64) func(*Plot) {
		return func(p *Plot) { p.Series[0].Points[1] = Point{x, y, bar} }
	}
	for _, c := range []struct {
		name  string
		spoil func(*Plot)
		want  string
	}{
		{"x", point(nan, 0, 0), `plot: series 1 "within", point 2: at NaN, 0; want finite numbers`},
		{"y", point(0, inf, 0), `plot: series 1 "within", point 2: at 0, +Inf; want finite numbers`},
		{"beyond belief", point(0, 1e13, 0), `plot: series 1 "within", point 2: at 0, 1e+13; want finite numbers`},
		{"bar", point(0, 0, nan), `plot: series 1 "within", point 2: bar of NaN; want a finite number, not negative`},
		{"negative bar", point(0, 0, -1), `plot: series 1 "within", point 2: bar of -1; want a finite number, not negative`},
		{"line", func(p *Plot) { p.Lines[2].Points[0].Y = nan }, `plot: line 3 "acceptance limit": vertex 1 at 0, NaN; want finite numbers`},
		{"short line", func(p *Plot) { p.Lines[0].Points = Steps([]float64{0}, []float64{1}) }, `plot: line 1 "MPE": 0 vertices; want at least 2`},
		{"band", func(p *Plot) { p.Bands[0].Low = []Vertex{{0, -inf}, {25, -4}} }, `plot: lower edge of band 1 "accepted": vertex 1 at 0, -Inf; want finite numbers`},
		{"axis", func(p *Plot) { p.X.Range = &Range{5, 5} }, `plot: axis "nominal size": range 5 to 5; want finite ends, the lower first, and room between them`},
		{"axis without room", func(p *Plot) { p.X.Range = &Range{1e11, 1e11 + 1} }, `plot: axis "nominal size": range 1e+11 to 1.00000000001e+11; want finite ends, the lower first, and room between them`},
		{"outside", func(p *Plot) { p.X.Range = &Range{0, 10} }, `plot: series 2 "beyond", point 1: at 25, 5.5 beyond the given axes; want every point inside`},
		{"empty", func(p *Plot) { p.Series = nil }, `plot: no points; want at least one`},
	} {
		p := micrometer()
		c.spoil(&p)
		if _, err := Compose(p, 170, 60, fixed{}); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v; want %s", c.name, err, c.want)
		}
	}
}

// Half a gauge falls due nowhere, however tall the drawing.
func TestAnAxisOfCountsIsDividedAtWholeNumbers(t *testing.T) {
	for _, high := range []float64{2.2, 4.4, 5, 11, 770} {
		for wanted := 1; wanted < 40; wanted++ {
			ticks := Axis{Whole: true}.Ticks(Range{High: high}, wanted)
			for _, tick := range ticks {
				if tick.At != math.Trunc(tick.At) || strings.Contains(tick.Label, ".") || len(ticks) < 2 {
					t.Fatalf("to %g, %d wanted: %v", high, wanted, ticks)
				}
			}
		}
	}
}
