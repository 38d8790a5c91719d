package pdf

import (
	"fmt"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"example.org/wring/certs/typeface"
)

// The typefaces of the styles, by short names.
const (
	regular = typeface.Regular
	bold    = typeface.Bold
	mono    = typeface.Mono
)

// millimetres in a point: 25.4/72, exact.
const point = 25.4 / 72

// width returns the length of a text in a style, in mm.
func (r *Renderer) width(text string, s style) float64 {
	return float64(r.faces[s.face].Width(text)) / 1000 * s.size * point
}

// settable replaces what can be replaced and refuses what has no glyph.
func (r *Renderer) settable(place, text string) (string, error) {
	if plainASCII(text) {
		return text, nil
	}
	text = norm.NFC.String(text)
	plain := make([]byte, 0, len(text))
	for _, c := range text {
		if s, ok := substituteTable[c]; ok {
			plain = append(plain, s...)
			continue
		}
		for i := range r.faces {
			if !r.faces[i].Has(c) {
				return "", &GlyphError{Place: place, Text: text, Character: c}
			}
		}
		plain = utf8.AppendRune(plain, c)
	}
	return string(plain), nil
}

// plainASCII reports whether every typeface holds a text as it stands.
func plainASCII(text string) bool {
	for i := range len(text) {
		if text[i] < ' ' || text[i] > '~' {
			return false
		}
	}
	return true
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
