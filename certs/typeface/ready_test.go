package typeface

import (
	"bytes"
	"encoding/binary"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// WRING_UPDATE=1 makes the measures ready anew.
func TestTheMeasuresThatLieReadyAreThoseOfTheTypeface(t *testing.T) {
	for n, file := range []string{Regular: "regular", Bold: "bold", Mono: "mono"} {
		made := measured(t, fileTable[n].ttf)
		if os.Getenv("WRING_UPDATE") != "" {
			if err := os.WriteFile(filepath.Join("ready", file), made, 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if !bytes.Equal(fileTable[n].measures, made) {
			t.Errorf("ready/%s is not what is read from the typeface; want WRING_UPDATE=1 go test ./certs/typeface", file)
		}
	}
}

// measured reads glyph and advance of every character out of a typeface.
func measured(t *testing.T, ttf []byte) (measures []byte) {
	t.Helper()
	parsed, err := sfnt.Parse(ttf)
	if err != nil {
		t.Fatal(err)
	}
	var buf sfnt.Buffer
	em := int(parsed.UnitsPerEm())
	for c := rune(' '); c <= Last; c++ {
		g, err := parsed.GlyphIndex(&buf, c)
		if err != nil {
			t.Fatal(err)
		}
		if g == 0 {
			continue
		}
		// At a size of one em in font units, the advance comes unscaled.
		a, err := parsed.GlyphAdvance(&buf, g, fixed.I(em), font.HintingNone)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range []uint16{uint16(c), uint16(g), uint16((int(a)*1000 + 32*em) / (64 * em))} {
			measures = binary.BigEndian.AppendUint16(measures, v)
		}
	}
	return measures
}
