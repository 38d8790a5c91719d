package pdf

import (
	"strings"
	"unicode/utf8"
)

// broken divides a text into lines of at most width mm. It breaks at spaces,
// never at a no-break space, and inside a word only if the word alone is wider
// than the line: a long name is wrapped, not clipped.
func (r *Renderer) broken(text string, s style, width float64) []string {
	f := &r.faces[s.face]
	var lines []string
	line := ""
	for _, word := range strings.Split(text, " ") {
		longer := word
		if line != "" {
			longer = line + " " + word
		}
		if f.width(longer, s.size) <= width {
			line = longer
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for word != "" && f.width(word, s.size) > width {
			head := f.fitting(word, s.size, width)
			lines = append(lines, head)
			word = word[len(head):]
		}
		line = word
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// shortened returns the text if it fits, else what fits of it with a sign that
// more follows. It is for repetitions only: the whole stands on the first page.
func (r *Renderer) shortened(text string, s style, width float64) string {
	lines := r.broken(text, s, width)
	if len(lines) == 1 {
		return text
	}
	return r.broken(text, s, width-r.width("…", s))[0] + "…"
}

// fitting returns the longest beginning of word that fits, at least one
// character.
func (f *face) fitting(word string, size, width float64) string {
	end := 0
	for i, c := range word {
		next := i + utf8.RuneLen(c)
		if end > 0 && f.width(word[:next], size) > width {
			break
		}
		end = next
	}
	return word[:end]
}

func (r *Renderer) width(text string, s style) float64 { return r.faces[s.face].width(text, s.size) }

// leading is the distance of baselines for a style, in mm (house rule).
func (s style) leading() float64 { return s.size * 1.32 * point }

// ascent is the height kept above the first baseline, in mm: the ascent of the
// Go typefaces is 0.94 of the size; figures and capitals reach 0.74.
func (s style) ascent() float64 { return s.size * 0.78 * point }

// figure is the height of a figure above the baseline, in mm.
func (s style) figure() float64 { return s.size * 0.72 * point }
