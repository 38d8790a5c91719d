package typeface

import (
	"reflect"
	"testing"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// glyphsBeyond lists the characters above last that a typeface holds, without
// private ones and the replacement character.
func glyphsBeyond(t *testing.T, ttf []byte, last rune) string {
	t.Helper()
	f, err := sfnt.Parse(ttf)
	if err != nil {
		t.Fatal(err)
	}
	var buf sfnt.Buffer
	var found []rune
	for c := last + 1; c < 0x20000; c++ {
		if unicode.Is(unicode.Co, c) || c == unicode.ReplacementChar || c >= 0xd800 && c < 0xe000 {
			continue
		}
		if g, err := f.GlyphIndex(&buf, c); err == nil && g != 0 {
			found = append(found, c)
		}
	}
	return string(found)
}

// The typefaces are asked for characters up to Last only.
func TestTheTypefacesHoldNothingMoreThatIsOfUse(t *testing.T) {
	for _, f := range fileTable {
		if found := glyphsBeyond(t, f.ttf, Last); found != "ﬁﬂ" {
			t.Errorf("typeface %s also holds %q; raise Last", f.name, found)
		}
	}
}

// A cut typeface draws each of its characters as the whole one does, and no
// other at all.
func TestACutTypefaceDrawsTheSame(t *testing.T) {
	for n := range Count {
		f, err := Load(n)
		if err != nil {
			t.Fatal(err)
		}
		for reach := range Reaches {
			p := f.Program(reach)
			kept := map[uint16]bool{0: true}
			for _, g := range p.Glyphs {
				kept[g] = true
			}
			tables := tablesOf(f.ttf)
			tables.cutGlyphs(kept)
			cut, err := sfnt.Parse(tables.file([]string{"OS/2", "cmap", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "name", "post"}))
			if err != nil {
				t.Fatal(err)
			}
			whole, err := sfnt.Parse(f.ttf)
			if err != nil {
				t.Fatal(err)
			}
			drawn := 0
			for c := rune(' '); c <= Last; c++ {
				if !f.Has(c) {
					continue
				}
				var a, b sfnt.Buffer
				was, err := whole.LoadGlyph(&a, sfnt.GlyphIndex(f.glyph[c]), fixed.I(100), nil)
				if err != nil {
					t.Fatal(err)
				}
				is, err := cut.LoadGlyph(&b, sfnt.GlyphIndex(f.glyph[c]), fixed.I(100), nil)
				if err != nil {
					t.Fatal(err)
				}
				switch {
				case kept[f.glyph[c]] && !reflect.DeepEqual(was, is):
					t.Errorf("%s, reach %d: %q is drawn otherwise", f.name, reach, c)
				case reach.holds(c) && !kept[f.glyph[c]]:
					t.Errorf("%s, reach %d: %q is not there", f.name, reach, c)
				case kept[f.glyph[c]]:
					drawn++
				}
				wide, err := whole.GlyphAdvance(&a, sfnt.GlyphIndex(f.glyph[c]), fixed.I(1000), font.HintingNone)
				if w, e := cut.GlyphAdvance(&b, sfnt.GlyphIndex(f.glyph[c]), fixed.I(1000), font.HintingNone); err != nil || e != nil || w != wide {
					t.Errorf("%s, reach %d: %q is %v wide, %v; want %v", f.name, reach, c, w, e, wide)
				}
			}
			if drawn < 100 {
				t.Errorf("%s, reach %d: %d characters; want a hundred at least", f.name, reach, drawn)
			}
		}
	}
}

func TestReachIsTheLeastThatHoldsATextWhole(t *testing.T) {
	for text, want := range map[string]Reach{
		"": Usual, "MIC-014, 25\u00a0mm ± 1 µm at 20 °C, ν ≥ 50, Δα, U²": Usual, "Ødegård": Latin, "Łódź": Latin, "Жук": Whole, "Łódź Ж a": Whole,
	} {
		if got := ReachOf(text); got != want {
			t.Errorf("%q reaches %d; want %d", text, got, want)
		}
	}
}
