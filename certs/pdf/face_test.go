package pdf

import (
	"errors"
	"testing"

	"example.org/wring/certs"
)

func TestTextIsSetAsWrittenOrAsWhatSaysTheSame(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	for in, want := range map[string]string{
		"µ μ ± ° ≤ ≥ ν ² ³ ⁻⁶ Δ α σ Ω × · ½ – “ ” § € ∞ ‰ −": "µ μ ± ° ≤ ≥ ν ² ³ ⁻⁶ Δ α σ Ω × · ½ – “ ” § € ∞ ‰ −",
		"Łódź, Ščerbina, Ødegård, Жук":                       "Łódź, Ščerbina, Ødegård, Жук",
		"25\u202fmm":                                         "25\u00a0mm",
		"25\u2009mm":                                         "25 mm",
		"MIC\u2011014":                                       "MIC-014",
		"\u230012 h7":                                        "Ø12 h7",
		"e\u0301t\u00e9":                                     "été",    // composed
		"\u2126 \u212b":                                      "Ω Å",    // compatibility forms of the letters
		"soft\u00adly":                                       "softly", // invisible
		"of\ufb01ce":                                         "office",
	} {
		if got, err := r.settable("here", in); err != nil || got != want {
			t.Errorf("%q is set as %q, %v; want %q", in, got, err, want)
		}
	}
}

func TestACharacterThatCannotBeShownIsRefusedWithItsPlace(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		text string
		char rune
	}{
		{"ok ✓", '✓'}, {"量規", '量'}, {"u(xᵢ)", 'ᵢ'}, {"𝑈 = 1", '𝑈'}, {"😀", '😀'}, {"x\u0323\u0332", '\u0323'}, {"\u202etxt", '\u202e'}, {"\ufffd", '\ufffd'},
	} {
		d := plain(certs.A4, certs.Facts{Title: "Item", Pairs: []certs.Fact{{Label: "Maker", Value: c.text}}})
		_, err := r.Render(d)
		var g *GlyphError
		if !errors.As(err, &g) || g.Character != c.char || g.Place != `facts "Item", "Maker"` || g.Text != c.text {
			t.Errorf("%q: %v; want %q named with its place", c.text, err, c.char)
		}
	}
	_, err = r.Render(plain(certs.A4, certs.Statement{Title: "Scope", Paragraphs: []string{"ok ✓"}}))
	if want := `document "VC-1": statement "Scope", paragraph 1: "ok ✓" holds '✓' (U+2713), which the built-in typefaces cannot show; write it in other characters`; err == nil || err.Error() != want {
		t.Errorf("%v; want %s", err, want)
	}
}

// Every substitute must itself be in the typefaces, or refusal would come too late.
func TestSubstitutesCanBeShown(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	if len(substituteTable) == 0 {
		t.Fatal("no substitutes")
	}
	for from, to := range substituteTable {
		for _, c := range to + remarkLead + "–" {
			for i := range r.faces {
				if !r.faces[i].Has(c) {
					t.Errorf("%U is set as %q, which typeface %d lacks", from, to, i)
				}
			}
		}
	}
}

func TestLinesAreBrokenAtSpacesAndLongWordsAnywhere(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	st := style{mono, 10, black} // every character 600/1000 of 10 pt: 2.1167 mm
	const ten = 10*0.6*10*25.4/72 + 0.01
	for _, c := range []struct {
		text string
		want []string
	}{
		{"", []string{""}},
		{"0123456789", []string{"0123456789"}},
		{"one two three", []string{"one two", "three"}},
		{"one two\u00a0three", []string{"one", "two\u00a0three"}},
		{"0123456789abc d", []string{"0123456789", "abc d"}},
		{"a 0123456789abc", []string{"a", "0123456789", "abc"}},
		{"µµµµµµµµµµµ", []string{"µµµµµµµµµµ", "µ"}},
	} {
		got := r.broken(c.text, st, ten)
		if len(got) != len(c.want) {
			t.Errorf("%q: %q; want %q", c.text, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%q: %q; want %q", c.text, got, c.want)
			}
		}
	}
	if got := r.broken("abc", st, 0); len(got) != 3 {
		t.Errorf("no room at all: %q; want a character a line", got)
	}
}

// A long identity is divided where a reader would pause.
func TestALongWordIsDividedBehindItsJoints(t *testing.T) {
	for piece, want := range map[string]string{"MIC-0123456789-01": "MIC-0123456789-", "GB_2026/b.c": "GB_2026/b.", "A-0123456789": "A-0123456789", "0123456789": "0123456789", "": ""} {
		if got := parted(piece); got != want {
			t.Errorf("%q is divided behind %q; want %q", piece, got, want)
		}
	}
}
