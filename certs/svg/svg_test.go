package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"example.org/wring/certs/plot"
)

func drift() plot.Plot {
	limit := []plot.Vertex{{X: 2022, Y: 4}, {X: 2027, Y: 4}}
	return plot.Plot{X: plot.Axis{Quantity: "date", Unit: "year"}, Y: plot.Axis{Quantity: `error <&"of indication">`, Unit: "µm", Signed: true},
		Lines:  []plot.Line{{Label: "limit", Points: limit}, {Points: plot.Mirror(limit)}, {Label: "forecast", Kind: plot.Acceptance, Points: limit}},
		Bands:  []plot.Band{{Label: "band", Kind: plot.Guard, Low: plot.Mirror(limit), High: limit}},
		Series: []plot.Series{{Label: "as found", Points: []plot.Point{{X: 2023, Y: 1, Bar: 1}}}, {Label: "as left", Mark: plot.Ring, Points: []plot.Point{{X: 2024, Y: 0, Bar: 1}}}}}
}

func TestTheDrawingIsWellFormedAndTheSameEachTime(t *testing.T) {
	a, err := Render("MIC-021 & others", drift(), 160, 90)
	if err != nil {
		t.Fatal(err)
	}
	b, _ := Render("MIC-021 & others", drift(), 160, 90)
	if !bytes.Equal(a, b) {
		t.Error("two renderings differ")
	}
	dec := xml.NewDecoder(bytes.NewReader(a))
	texts := ""
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if c, ok := tok.(xml.CharData); ok {
			texts += string(c)
		}
	}
	for _, want := range []string{"MIC-021 & others", `error <&"of indication">`, "as left", "limit"} {
		if !strings.Contains(texts, want) {
			t.Errorf("%q is not in the texts %q", want, texts)
		}
	}
}

func TestWhatCannotBeDrawnIsRefused(t *testing.T) {
	p := drift()
	p.Series[0].Points[0].Y = math.NaN()
	if _, err := Render("x", p, 160, 90); err == nil {
		t.Error("NaN was drawn")
	}
}
