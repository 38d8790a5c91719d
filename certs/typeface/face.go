package typeface

import (
	"encoding/binary"
	"fmt"
)

// Name names a typeface.
type Name int

// The typefaces.
const (
	Regular Name = iota
	Bold
	Mono
	Count // of them
)

// Last is the last character the typefaces are asked for; beyond it they hold
// two ligatures and private characters only, which a test confirms.
const Last = 0x266b

// A Face knows which characters a typeface holds and how wide they are. It may
// serve many goroutines.
type Face struct {
	name    string
	ttf     []byte
	glyph   [Last + 1]uint16 // 0: none
	advance [Last + 1]uint16 // in 1/1000 of the size, as PDF states widths; 0: no glyph
}

// Load returns one of the built-in typefaces.
func Load(n Name) (*Face, error) {
	if n < 0 || n >= Count {
		return nil, fmt.Errorf("typeface %d: not one of the %d built in; want one of them", n, Count)
	}
	f := &Face{name: fileTable[n].name, ttf: fileTable[n].ttf}
	f.read(fileTable[n].measures)
	return f, nil
}

// read takes the glyph and the advance of each character as they lie ready, six
// bytes for each, high bytes first. To look them up in the file took a tenth of
// the time in which a certificate is set (measured).
func (f *Face) read(measures []byte) {
	for ; len(measures) >= 6; measures = measures[6:] {
		c := binary.BigEndian.Uint16(measures)
		f.glyph[c], f.advance[c] = binary.BigEndian.Uint16(measures[2:]), binary.BigEndian.Uint16(measures[4:])
	}
}

// Has reports whether the typeface can show a character.
func (f *Face) Has(c rune) bool { return c >= 0 && c <= Last && f.advance[c] > 0 }

// Advance is the width of a character in 1/1000 of the size; 0 where there is
// none.
func (f *Face) Advance(c rune) int {
	if c < 0 || c > Last {
		return 0
	}
	return int(f.advance[c])
}

// Width is the length of a text in 1/1000 of the size.
func (f *Face) Width(text string) (thousandths int) {
	for _, c := range text {
		thousandths += f.Advance(c)
	}
	return thousandths
}

// Reach says how far a text reaches into the characters of a typeface.
type Reach int

// The reaches, each within the next.
const (
	Usual   Reach = iota // ASCII and the symbols of the trade
	Latin                // names of most of Europe
	Whole                // everything that a typeface has
	Reaches              // of them
)

// ReachOf is the least reach that holds a text.
func ReachOf(text string) Reach {
	least := Usual
	for _, c := range text {
		for least < Whole && !least.holds(c) {
			least++
		}
	}
	return least
}

func (r Reach) holds(c rune) bool {
	if r >= Whole {
		return true
	}
	for i := range r + 1 {
		for _, span := range reachTable[i] {
			if c >= span[0] && c <= span[1] {
				return true
			}
		}
	}
	return false
}

// Program returns what a file must carry of the typeface to show texts of a
// reach.
func (f *Face) Program(r Reach) Program { return f.cut(r.holds) }
