package ical

import (
	"strings"
	"testing"
	"time"
	"unicode/utf8"
)

func write(t *testing.T, c Calendar) string {
	t.Helper()
	var b strings.Builder
	if err := c.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// RFC 5545, 3.1 and 3.3.11 (from memory): line ends, folding, escapes.
func TestLinesAreFoldedAndEscapedAsTheStandardSays(t *testing.T) {
	long := strings.Repeat("Balgmacherei Ä, Ö; Ü \\ ", 12)
	text := write(t, Calendar{Product: "p", Stamp: time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC), Sequence: 7,
		Events: []Event{{UID: "u", Year: 2027, Month: 12, Day: 31, Summary: long, Description: "a\nb\x07"}}})
	if strings.Contains(strings.ReplaceAll(text, "\r\n", ""), "\n") || !strings.HasSuffix(text, "END:VCALENDAR\r\n") {
		t.Error("a line does not end with CR LF")
	}
	for line := range strings.SplitSeq(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		if len(line) > 75 || !utf8.ValidString(line) {
			t.Errorf("%d octets, whole characters %v: %q", len(line), utf8.ValidString(line), line)
		}
	}
	whole := strings.ReplaceAll(text, "\r\n ", "")
	escaped := strings.NewReplacer(`\`, `\\`, ",", `\,`, ";", `\;`).Replace(long)
	for _, want := range []string{"SUMMARY:" + escaped + "\r\n", `DESCRIPTION:a\nb` + "\r\n", "DTSTAMP:20261125T100000Z\r\n", "SEQUENCE:7\r\n",
		"DTSTART;VALUE=DATE:20271231\r\n", "DTEND;VALUE=DATE:20280101\r\n", "UID:u\r\n"} {
		if !strings.Contains(whole, want) {
			t.Errorf("%q is not in\n%s", want, whole)
		}
	}
}

func TestADayThatIsNoneIsRefused(t *testing.T) {
	for _, e := range []Event{{UID: "u", Year: 2027, Month: 2, Day: 30}, {Year: 2027, Month: 2, Day: 3}} {
		if err := (Calendar{Events: []Event{e}}).Write(&strings.Builder{}); err == nil {
			t.Errorf("%+v: taken", e)
		}
	}
}

// Whatever the text, unfolding gives it back in lines of the right length.
func FuzzFold(f *testing.F) {
	f.Add("a line that is longer than seventy-five octets, with Ä and Ö at places where it breaks: Ü")
	f.Fuzz(func(t *testing.T, s string) {
		s = escape(s)
		var b strings.Builder
		fold(&b, s)
		if got := strings.TrimSuffix(strings.ReplaceAll(b.String(), "\r\n ", ""), "\r\n"); got != s {
			t.Errorf("%q came back as %q", s, got)
		}
		for line := range strings.SplitSeq(strings.TrimSuffix(b.String(), "\r\n"), "\r\n") {
			if len(line) > 75 {
				t.Errorf("%d octets: %q", len(line), line)
			}
		}
	})
}
