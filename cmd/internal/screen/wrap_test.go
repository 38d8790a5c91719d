package screen

import (
	"strings"
	"testing"
)

func TestANumberIsNotPartedFromItsUnit(t *testing.T) {
	got := strings.Join(Wrap("the check was made at 20.4"+NoBreak+"°C", 27), "|")
	if want := "the check was made at|20.4 °C"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}
