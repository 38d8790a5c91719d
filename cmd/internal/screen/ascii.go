package screen

import (
	"io"
	"strings"
	"unicode/utf8"
)

// ASCII is a writer for a terminal that shows no other characters: lines and
// marks become the nearest that it has, and signs become words. What has no
// likeness becomes a question mark.
func ASCII(w io.Writer) io.Writer { return asciiWriter{w} }

type asciiWriter struct{ to io.Writer }

// Write takes texts whole: no character is divided between two calls.
func (a asciiWriter) Write(p []byte) (int, error) {
	var b strings.Builder
	for _, r := range string(p) {
		switch like, ok := asciiOf(r); {
		case r < utf8.RuneSelf:
			b.WriteRune(r)
		case ok:
			b.WriteString(like)
		default:
			b.WriteByte('?')
		}
	}
	if _, err := io.WriteString(a.to, b.String()); err != nil {
		return 0, err
	}
	return len(p), nil
}

func asciiOf(r rune) (string, bool) {
	for i, from := range asciiFrom {
		if from == r {
			return asciiTo[i], true
		}
	}
	return "", false
}
