package journal

import (
	"bytes"
	"time"
)

// read returns the entry in body, without its number. A registry of millions
// of entries is read this way, so the payload is not looked into: the members
// around it are taken off from both ends. That finds the right places, because
// the quotes in their names are bare, and within a string every quote follows
// a backslash: the last `,"program":` cannot stand in the text of a member.
func read(body []byte) (e Entry, ok bool) {
	rest, ok := bytes.CutPrefix(body, []byte(`{"at":`))
	if !ok || len(rest) < len(instant)+2 {
		return Entry{}, false
	}
	var at string
	if at, ok = text(rest[:len(instant)+2]); !ok {
		return Entry{}, false
	}
	if e.At, ok = parseInstant(at); !ok {
		return Entry{}, false
	}
	if rest, ok = bytes.CutPrefix(rest[len(instant)+2:], []byte(`,"kind":`)); !ok {
		return Entry{}, false
	}
	end := bytes.Index(rest, []byte(`,"payload":`))
	if end < 0 {
		return Entry{}, false
	}
	if e.Kind, ok = text(rest[:end]); !ok || e.Kind == "" {
		return Entry{}, false
	}
	rest = rest[end+len(`,"payload":`):]
	if rest, ok = bytes.CutSuffix(rest, []byte(`}`)); !ok {
		return Entry{}, false
	}
	if rest, e.Program, ok = lastMember(rest, `,"program":`); !ok {
		return Entry{}, false
	}
	if rest, e.Person, ok = lastMember(rest, `,"person":`); !ok {
		return Entry{}, false
	}
	e.Payload = rest[:len(rest):len(rest)]
	return e, len(rest) > 0
}

// lastMember takes the member that ends b, a string, off it.
func lastMember(b []byte, front string) (before []byte, value string, ok bool) {
	at := bytes.LastIndex(b, []byte(front))
	if at < 0 {
		return nil, "", false
	}
	value, ok = text(b[at+len(front):])
	return b[:at], value, ok
}

// text returns what the JSON string in b stands for, if b is one and no more.
func text(b []byte) (string, bool) {
	if len(b) < 2 || b[0] != '"' {
		return "", false
	}
	c := canon{in: b}
	s, err := c.text()
	return string(s), err == nil && c.pos == len(b)
}

// parseInstant is the inverse of formatting with instant. time.Parse alone
// takes a comma for the point.
func parseInstant(s string) (time.Time, bool) {
	t, err := time.Parse(instant, s)
	var again [len(instant)]byte
	return t, err == nil && string(t.AppendFormat(again[:0], instant)) == s
}
