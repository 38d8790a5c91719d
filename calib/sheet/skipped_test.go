package sheet

import (
	"strings"
	"testing"
)

const skippedSheet = smallSheet + `
[[skipped]]
at = "7.7"
reason = "block at the laboratory"
`

func TestASheetSaysWhatWasLeftOutAndWhatWasRemarkedOnAReading(t *testing.T) {
	text := strings.Replace(skippedSheet, `["5.101"]`, `[{ value = "5.101", comment = "read twice" }]`, 1)
	c, err := handIn("s.toml", text, shortPlan())
	if err != nil {
		t.Fatal(err)
	}
	why, skipped := c.WhySkipped("length", shortPlan().Points[2])
	if !skipped || why != "block at the laboratory" {
		t.Errorf("left out: %v, %q", skipped, why)
	}
	if _, skipped := c.WhySkipped("foot pressure", shortPlan().Points[2]); skipped {
		t.Error("a point of length counts for the foot")
	}
	if r := c.Points[1].Readings[0]; r.Comment != "read twice" || r.Indication.String() != "5.101 mm" {
		t.Errorf("reading %+v", r)
	}
}

func TestASheetIsRefusedWhereItLeavesOutWhatCannotBe(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"no reason", "reason = \"block at the laboratory\"\n", "", `s.toml:16: skipped 1: reason: nothing given; want a value`},
		{"taken after all", `at = "7.7"`, `at = "5.1"`, `s.toml:17: skipped 1: at: 5.1 mm left out, and there are readings at it; want one of the two`},
		{"no point", `at = "7.7"`, `at = "7"`, `s.toml:17: skipped 1: at: 7 mm: no place of plan short; the nearest are 5.1 mm and 7.7 mm`},
		{"no part", "[[skipped]]\n", "[[skipped]]\npart = \"foot pressure\"\n", `s.toml:17: skipped 1: part: "foot pressure": no part of plan short; want one of length`},
		{"twice", "[[skipped]]\n", "[[skipped]]\nat = 7.7\nreason = \"x\"\n[[skipped]]\n", `s.toml:20: skipped 2: at: 7.7 mm left out for the second time; want it once`},
		{"key of a reading", `["5.101"]`, `[{ value = "5.101", remark = "x" }]`, `s.toml:14: point 2: reading 1: "remark": no key of a reading with a comment; want value, comment`},
		{"reading without a value", `["5.101"]`, `[{ comment = "x" }]`, `s.toml:14: point 2: reading 1: value: nothing given; want a value`},
	} {
		text := strings.Replace(skippedSheet, c.old, c.new, 1)
		if _, err := handIn("s.toml", text, shortPlan()); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}
