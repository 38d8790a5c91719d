package ical

import (
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"
)

// An Event takes one whole day.
type Event struct {
	UID         string // stable: an import of the same UID moves the event (RFC 5545, 3.8.4.7)
	Year        int
	Month       time.Month
	Day         int
	Summary     string
	Description string // empty: none
	Location    string // empty: none
}

// A Calendar is what is written as one file.
type Calendar struct {
	Product  string    // PRODID: who wrote it
	Stamp    time.Time // when
	Sequence uint64    // revision: grows with every state of the source (RFC 5545, 3.8.7.4)
	Events   []Event
}

// mostOctets is the longest content line without its line end (RFC 5545, 3.1).
const mostOctets = 75

// Write writes the file. An event has a UID and a date that exists.
func (c Calendar) Write(w io.Writer) error {
	var b strings.Builder
	put := func(name, value string) { fold(&b, name+":"+value) }
	put("BEGIN", "VCALENDAR")
	put("VERSION", "2.0")
	put("PRODID", escape(c.Product))
	put("CALSCALE", "GREGORIAN")
	put("METHOD", "PUBLISH")
	for i, e := range c.Events {
		day := time.Date(e.Year, e.Month, e.Day, 0, 0, 0, 0, time.UTC)
		if e.UID == "" || day.Day() != e.Day {
			return fmt.Errorf("event %d: UID %q on %04d-%02d-%02d; want a UID and a day that exists", i+1, e.UID, e.Year, e.Month, e.Day)
		}
		put("BEGIN", "VEVENT")
		put("UID", escape(e.UID))
		put("DTSTAMP", c.Stamp.UTC().Format("20060102T150405Z"))
		put("SEQUENCE", fmt.Sprint(c.Sequence))
		put("DTSTART;VALUE=DATE", day.Format("20060102"))
		put("DTEND;VALUE=DATE", day.AddDate(0, 0, 1).Format("20060102"))
		put("SUMMARY", escape(e.Summary))
		for _, field := range [][2]string{{"DESCRIPTION", e.Description}, {"LOCATION", e.Location}} {
			if field[1] != "" {
				put(field[0], escape(field[1]))
			}
		}
		put("TRANSP", "TRANSPARENT")
		put("END", "VEVENT")
	}
	put("END", "VCALENDAR")
	_, err := io.WriteString(w, b.String())
	return err
}

// escape writes a text value (RFC 5545, 3.3.11). Control characters but for the
// line break have no place in one and are left out.
func escape(s string) string {
	var b strings.Builder
	for _, r := range strings.ToValidUTF8(s, "\uFFFD") {
		switch {
		case r == '\\' || r == ';' || r == ',':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r >= 0x20 && r != 0x7f:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// fold breaks a content line before the octet that would be one too many, never
// within a character; the next one goes on behind a blank.
func fold(b *strings.Builder, line string) {
	room := mostOctets
	for len(line) > room {
		at := room
		for !utf8.RuneStart(line[at]) {
			at--
		}
		b.WriteString(line[:at] + "\r\n ")
		line, room = line[at:], mostOctets-1
	}
	b.WriteString(line + "\r\n")
}
