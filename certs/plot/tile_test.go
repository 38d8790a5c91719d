package plot

import (
	"math"
	"strings"
	"testing"
)

// sheetMap is a map of an invented sheet of two places.
func sheetMap() Plot {
	return Plot{X: Axis{Quantity: "across", Unit: "mm", Range: &Range{0, 300}}, Y: Axis{Quantity: "along", Unit: "mm", Range: &Range{0, 500}},
		Keys:  []Key{{Even, "like the mean"}, {Below, "thinner"}},
		Tiles: []Tile{{Vertex{0, 0}, Vertex{150, 500}, Even, "5.08"}, {Vertex{150, 0}, Vertex{300, 500}, Below, "4.98-"}}}
}

func TestATileLiesWhereItsPlaceIsAndCarriesItsNumber(t *testing.T) {
	pic, err := Compose(sheetMap(), 160, 90, fixed{})
	if err != nil {
		t.Fatal(err)
	}
	f := pic.Frame
	var patches []Patch
	text := ""
	for _, s := range pic.Shapes {
		switch s := s.(type) {
		case Patch:
			patches = append(patches, s)
		case Words:
			text += s.Text + " "
		}
	}
	if len(patches) != 4 { // two of the map and two of the legend
		t.Fatalf("%d patches; want two and two in the legend", len(patches))
	}
	right := patches[3]
	middle := (f.Left + f.Right) / 2
	if c := right.Corners; right.Shade != Below || math.Abs(c[0].X-middle) > 1e-9 || math.Abs(c[0].Y-f.Top) > 1e-9 || math.Abs(c[2].X-f.Right) > 1e-9 || math.Abs(c[2].Y-f.Bottom) > 1e-9 {
		t.Errorf("right half at %v; want it from %g to %g", c, middle, f.Right)
	}
	for _, want := range []string{"5.08", "4.98-", "thinner"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %q", want, text)
		}
	}
}

func TestTilesThatCannotBeDrawnAreRefused(t *testing.T) {
	for name, spoil := range map[string]func(*Tile){
		"not finite":      func(t *Tile) { t.High.X = math.NaN() },
		"without room":    func(t *Tile) { t.High.X = t.Low.X },
		"beyond the axes": func(t *Tile) { t.High.X = 301 },
		"unknown shade":   func(t *Tile) { t.Shade = shadeCount },
	} {
		p := sheetMap()
		spoil(&p.Tiles[1])
		if _, err := Compose(p, 160, 90, fixed{}); err == nil || !strings.Contains(err.Error(), "tile 2") {
			t.Errorf("%s: %v; want tile 2 refused", name, err)
		}
	}
}
