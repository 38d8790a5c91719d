package pdf

import (
	"strings"

	"example.org/wring/certs/typeface"
)

// broken divides a text into lines of at most width mm. It breaks at spaces,
// never at a no-break space, and inside a word only if the word alone is wider
// than the line: a long name is wrapped, not clipped.
func (r *Renderer) broken(text string, s style, width float64) []string {
	f := r.faces[s.face]
	var lines []string
	line := ""
	for _, word := range strings.Split(text, " ") {
		longer := word
		if line != "" {
			longer = line + " " + word
		}
		if fits(f, longer, s.size, width) {
			line = longer
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for word != "" && !fits(f, word, s.size, width) {
			head := parted(fitting(f, word, s.size, width))
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

// parted ends a piece of a long word behind its last joint, as an identity has
// them, unless that would leave half of the line empty.
func parted(piece string) string {
	if at := strings.LastIndexAny(piece, "-_./") + 1; 2*at > len(piece) {
		return piece[:at]
	}
	return piece
}

// shortened returns the text if it fits, else what fits of it with a sign that
// more follows. It is for repetitions only: the whole stands on the first page.
func (r *Renderer) shortened(text string, s style, width float64) string {
	lines := r.broken(text, s, width)
	if len(lines) == 1 {
		return text
	}
	return strings.TrimRight(fitting(r.faces[s.face], text, s.size, width-r.width("…", s)), " \u00a0") + "…"
}

// fits reports whether the text is at most width mm long, and looks no further
// than that.
func fits(f *typeface.Face, text string, size, width float64) bool {
	return fitting(f, text, size, width) == text
}

// fitting returns the longest beginning of a text that fits, at least one
// character of it.
func fitting(f *typeface.Face, text string, size, width float64) string {
	// In the unit of advances; half of one more, for a column made as wide as
	// its word must hold it whatever the rounding did.
	room := width/(size*point)*1000 + 0.5
	used := 0.0
	for i, c := range text {
		used += float64(f.Advance(c))
		if used > room && i > 0 {
			return text[:i]
		}
	}
	return text
}

// leading is the distance of baselines for a style, in mm (house rule).
func (s style) leading() float64 { return s.size * 1.32 * point }

// ascent is the height kept above the first baseline, in mm: the ascent of the
// Go typefaces is 0.94 of the size; figures and capitals reach 0.74.
func (s style) ascent() float64 { return s.size * 0.78 * point }

// figure is the height of a figure above the baseline, in mm.
func (s style) figure() float64 { return s.size * 0.72 * point }
