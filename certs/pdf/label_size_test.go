package pdf

import (
	"testing"

	"example.org/wring/certs"
)

// What is read at arm's length on the smallest usual label: letters of 5 points,
// those of a plain label of 6, and no date on two lines (house rule).
func TestLabelsAreReadAtArmsLengthAndDatesAreWhole(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	checked, due := "checked\u00a02026-11-16", "due\u00a02027-11-16"
	for _, c := range []struct {
		label certs.Label
		least float64 // points
	}{
		{certs.Label{Identity: "MIC-014", Lines: []string{checked, due}, Foot: "entry\u00a085 9b690e34ca7c", Code: "MIC-014 85 9b690e34ca7c"}, 6},
		{certs.Label{Identity: "GB-1", Lines: []string{"calibrated\u00a02026-02-03", due, "certificate GB-1-2026"}, Foot: "entry\u00a070 a6557064dea0", Code: "GB-1 70 a6557064dea0"}, 5.5},
		{certs.Label{Identity: "MIC-031", Lines: []string{checked, due, "limits of use: only 0 to 10 mm, outer spindle worn"}, Foot: "entry\u00a01171 1f2e3d4c5b6a", Code: "MIC-031 1171 1f2e3d4c5b6a"}, 5},
		{certs.Label{Word: "FAILED", Identity: "THK-005", Lines: []string{"do not use", "since\u00a02026-10-20"}, Foot: "entry\u00a081 b7b163af0dbb", Code: "THK-005 81 b7b163af0dbb"}, 5},
		{certs.Label{Word: "INDICATION ONLY", Identity: "CAL-2", Lines: []string{"not for acceptance, no standard", "since\u00a02026-10-20"}, Foot: "entry\u00a081 b7b163af0dbb", Code: "CAL-2 81 b7b163af0dbb"}, 5},
	} {
		marks, err := r.label(c.label, 38, 19)
		if err != nil {
			t.Fatal(err)
		}
		whole := map[string]bool{}
		for _, m := range marks {
			if text, ok := m.(textMark); ok {
				whole[text.text] = true
				if text.style.size < c.least {
					t.Errorf("%s: %q is %.1f points high; want %.1f", c.label.Identity, text.text, text.style.size, c.least)
				}
			}
		}
		for _, line := range c.label.Lines {
			if len(line) < 24 && !whole[line] {
				t.Errorf("%s: %q does not stand on one line: %v", c.label.Identity, line, whole)
			}
		}
	}
}
