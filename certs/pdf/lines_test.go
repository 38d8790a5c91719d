package pdf

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// brokenByWords is broken in the plainest way: every line is measured whole for
// every word.
func brokenByWords(r *Renderer, text string, s style, width float64) (lines []string) {
	fits := func(text string) bool { return fitting(r.faces[s.face], text, s.room(width)) == text }
	line := ""
	for _, word := range strings.Split(text, " ") {
		longer := word
		if line != "" {
			longer = line + " " + word
		}
		if fits(longer) {
			line = longer
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for word != "" && !fits(word) {
			head := parted(fitting(r.faces[s.face], word, s.room(width)))
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

func TestLinesAreBrokenWhereEachIsFullWhateverStandsInThem(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	rnd := rand.New(rand.NewPCG(10, 3))
	signs := []rune("aaabiiW-_./±\u00a0\ufffdЖ      ")
	long := 0
	for range 20_000 {
		text := make([]rune, rnd.IntN(40))
		for i := range text {
			text[i] = signs[rnd.IntN(len(signs))]
		}
		width := 30 * rnd.Float64()
		got, want := r.broken(string(text), textStyle, width), brokenByWords(r, string(text), textStyle, width)
		if !slices.Equal(got, want) {
			t.Fatalf("%q in %g mm is broken into %q; want %q", string(text), width, got, want)
		}
		if len(got) > 2 {
			long++
		}
	}
	if long < 1000 {
		t.Errorf("%d texts of three lines; want a thousand at least", long)
	}
}
