package pdf

import (
	"strings"
	"unicode/utf8"

	"example.org/wring/certs/typeface"
)

// broken divides a text into lines of at most width mm. It breaks at spaces,
// never at a no-break space, and inside a word only if the word alone is wider
// than the line: a long name is wrapped, not clipped.
func (r *Renderer) broken(text string, s style, width float64) []string {
	f, room := r.faces[s.face], s.room(width)
	var lines []string
	start, end := 0, 0 // of the line, which is empty at first
	used := 0          // by it, in the unit of advances
	for at := 0; at <= len(text); at++ {
		word, _, _ := strings.Cut(text[at:], " ")
		wide := f.Width(word)
		if longer := used + f.Advance(' ') + wide; end > start && float64(longer) <= room {
			at, used = at+len(word), longer
			end = at
			continue
		}
		if end > start {
			lines = append(lines, text[start:end])
		}
		start, end = at, at+len(word)
		for float64(wide) > room && utf8.RuneCountInString(text[start:end]) > 1 {
			head := parted(fitting(f, text[start:end], room))
			lines = append(lines, head)
			start += len(head)
			wide = f.Width(text[start:end])
		}
		at, used = end, wide
	}
	if end > start || len(lines) == 0 {
		lines = append(lines, text[start:end])
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
	return strings.TrimRight(fitting(r.faces[s.face], text, s.room(width-r.width("…", s))), " \u00a0") + "…"
}

// room is a width, mm, in the unit of advances; half of one more, for a column
// made as wide as its word must hold it whatever the rounding did.
func (s style) room(width float64) float64 { return width/(s.size*point)*1000 + 0.5 }

// fitting returns the longest beginning of a text that fits, at least one
// character of it.
func fitting(f *typeface.Face, text string, room float64) string {
	used := 0
	for i, c := range text {
		used += f.Advance(c)
		if float64(used) > room && i > 0 {
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
