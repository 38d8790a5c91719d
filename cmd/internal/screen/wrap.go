package screen

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Width is the longest line that is set, in characters: that of a plain
// terminal (house rule). A pipe and a file get the same bytes as a terminal.
const Width = 80

// NoBreak is the blank between a number and its unit, at which no line is
// broken; it is set as a plain blank.
const NoBreak = "\u00a0"

// Wrap breaks text at blanks into lines of at most width characters. A word
// that is longer stands on a line of its own. Breaks and the blanks that begin
// a paragraph stay.
func Wrap(text string, width int) []string {
	var out []string
	for paragraph := range strings.SplitSeq(text, "\n") {
		lead := paragraph[:len(paragraph)-len(strings.TrimLeft(paragraph, " "))]
		line := lead
		for word := range strings.FieldsFuncSeq(paragraph, func(c rune) bool { return c == ' ' }) {
			word = strings.ReplaceAll(word, NoBreak, " ")
			switch {
			case line == lead:
				line += word
			case length(line)+1+length(word) <= width:
				line += " " + word
			default:
				out = append(out, line)
				line = word
			}
		}
		out = append(out, line)
	}
	return out
}

// Paragraph writes text in lines of at most [Width], all but the first of each
// paragraph behind the indent.
func Paragraph(w io.Writer, text, indent string) error {
	var b strings.Builder
	for part := range strings.SplitSeq(text, "\n") {
		for i, line := range Wrap(part, Width-length(indent)) {
			if i > 0 {
				b.WriteString(indent)
			}
			fmt.Fprintln(&b, line)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// Facts sets labels and values in two columns, and leaves out what has no
// value. A long value goes on under itself.
func Facts(w io.Writer, pairs ...[2]string) error {
	width := 0
	for _, p := range pairs {
		if p[1] != "" {
			width = max(width, length(p[0]))
		}
	}
	var b strings.Builder
	for _, p := range pairs {
		if p[1] == "" {
			continue
		}
		label := p[0]
		for _, line := range Wrap(p[1], max(Width-width-len(gap), 20)) {
			fmt.Fprintln(&b, label+strings.Repeat(" ", width-length(label))+gap+line)
			label = ""
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// length counts characters.
func length(s string) int {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return utf8.RuneCountInString(s)
		}
	}
	return len(s)
}
