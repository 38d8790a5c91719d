package pdf

import (
	"fmt"
	"unicode/utf8"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"
)

// faceName names a typeface.
type faceName int

const (
	regular faceName = iota
	bold
	mono
	faceCount
)

// lastGlyph is the last character the Go typefaces are asked for; beyond it
// they hold two ligatures and private characters only, which a test confirms.
const lastGlyph = 0x266b

// millimetres in a point: 25.4/72, exact.
const point = 25.4 / 72

// A face knows which characters a typeface holds and how wide they are.
type face struct {
	name    string
	ttf     []byte
	advance [lastGlyph + 1]uint16 // in 1/1000 of the size, as the file states widths; 0: no glyph
}

func parseFace(name string, ttf []byte) (face, error) {
	parsed, err := sfnt.Parse(ttf)
	if err != nil {
		return face{}, err
	}
	f := face{name: name, ttf: ttf}
	var buf sfnt.Buffer
	em := int(parsed.UnitsPerEm())
	for c := rune(' '); c <= lastGlyph; c++ {
		g, err := parsed.GlyphIndex(&buf, c)
		if err != nil {
			return face{}, fmt.Errorf("character %U: %w", c, err)
		}
		if g == 0 {
			continue
		}
		// At a size of one em in font units, the advance comes unscaled.
		a, err := parsed.GlyphAdvance(&buf, g, fixed.I(em), font.HintingNone)
		if err != nil {
			return face{}, fmt.Errorf("width of %U: %w", c, err)
		}
		f.advance[c] = uint16((int(a)*1000 + 32*em) / (64 * em))
	}
	return f, nil
}

func (f *face) has(c rune) bool { return c >= 0 && c <= lastGlyph && f.advance[c] > 0 }

// width returns the length of a text of the given size in points, in mm.
func (f *face) width(text string, size float64) float64 {
	thousandths := 0
	for _, c := range text {
		if c <= lastGlyph {
			thousandths += int(f.advance[c])
		}
	}
	return float64(thousandths) / 1000 * size * point
}

// settable replaces what can be replaced and refuses what has no glyph.
func (r *Renderer) settable(place, text string) (string, error) {
	text = norm.NFC.String(text)
	plain := make([]byte, 0, len(text))
	for _, c := range text {
		if s, ok := substituteTable[c]; ok {
			plain = append(plain, s...)
			continue
		}
		for i := range r.faces {
			if !r.faces[i].has(c) {
				return "", &GlyphError{Place: place, Text: text, Character: c}
			}
		}
		plain = utf8.AppendRune(plain, c)
	}
	return string(plain), nil
}

// A GlyphError names a character that the built-in typefaces cannot show.
type GlyphError struct {
	Place     string // where it stands in the document
	Text      string // the whole text it stands in
	Character rune
}

func (e *GlyphError) Error() string {
	return fmt.Sprintf("%s: %q holds %q (%U), which the built-in typefaces cannot show; write it in other characters",
		e.Place, e.Text, e.Character, e.Character)
}
