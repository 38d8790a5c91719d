package main

import (
	"testing"
	"unicode/utf8"
)

// A terminal of 80 columns breaks a longer line within a word.
func TestWhatIsSaidOfAMereEnterFitsALine(t *testing.T) {
	if n := utf8.RuneCountInString(nothingTyped); n > 80 {
		t.Errorf("%q has %d characters; want 80 at most", nothingTyped, n)
	}
}
