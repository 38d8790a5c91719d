package journal

import (
	"bytes"
	"encoding/json"
	"time"
)

// A cursor takes a record's JSON apart from the left. It looks for the layout
// of an entry and steps over the payload without reading it, because a
// registry of millions of entries is read this way.
type cursor struct{ rest []byte }

// read returns the entry in body, without its number.
func read(body []byte) (e Entry, ok bool) {
	c := cursor{body}
	at, ok := c.member(`{"at":`)
	if !ok {
		return Entry{}, false
	}
	t, err := time.Parse(instant, at)
	if err != nil || len(at) != len(instant) {
		return Entry{}, false
	}
	e.At = t
	if e.Kind, ok = c.member(`,"kind":`); !ok || e.Kind == "" {
		return Entry{}, false
	}
	if !c.skip(`,"payload":`) {
		return Entry{}, false
	}
	if e.Payload, ok = c.value(); !ok {
		return Entry{}, false
	}
	if e.Person, ok = c.member(`,"person":`); !ok {
		return Entry{}, false
	}
	if e.Program, ok = c.member(`,"program":`); !ok {
		return Entry{}, false
	}
	return e, string(c.rest) == "}"
}

func (c *cursor) skip(s string) bool {
	if len(c.rest) < len(s) || string(c.rest[:len(s)]) != s {
		return false
	}
	c.rest = c.rest[len(s):]
	return true
}

// member steps over front and returns the string that follows it.
func (c *cursor) member(front string) (string, bool) {
	if !c.skip(front) {
		return "", false
	}
	n := stringLen(c.rest)
	if n == 0 {
		return "", false
	}
	raw := c.rest[:n]
	c.rest = c.rest[n:]
	if bytes.IndexByte(raw, '\\') < 0 {
		return string(raw[1 : n-1]), true
	}
	r := canon{in: raw}
	s, err := r.text()
	return s, err == nil && r.pos == n
}

// value returns the bytes of the JSON value that comes next: a string, what
// brackets enclose, or the characters of a number or a word.
func (c *cursor) value() (json.RawMessage, bool) {
	depth, n := 0, 0
	for n < len(c.rest) {
		switch c.rest[n] {
		case '"':
			s := stringLen(c.rest[n:])
			if s == 0 {
				return nil, false
			}
			n += s
		case '{', '[':
			depth++
			n++
		case '}', ']':
			depth--
			n++
		case ',':
			if depth == 0 {
				return nil, false
			}
			n++
			continue
		default:
			n += plainLen(c.rest[n:])
		}
		if depth < 0 {
			return nil, false
		}
		if depth == 0 {
			v := c.rest[:n:n]
			c.rest = c.rest[n:]
			return json.RawMessage(v), true
		}
	}
	return nil, false
}

// stringLen is the length of the JSON string at the beginning of b, with both
// its quotes, or 0 if there is none.
func stringLen(b []byte) int {
	if len(b) == 0 || b[0] != '"' {
		return 0
	}
	for n := 1; n < len(b); {
		q := bytes.IndexByte(b[n:], '"')
		if q < 0 {
			return 0
		}
		esc := bytes.IndexByte(b[n:n+q], '\\')
		if esc < 0 {
			return n + q + 1
		}
		n += esc + 2
	}
	return 0
}

// plainLen is the length of what stands at the beginning of b before the next
// character that has a meaning for the nesting; at least 1.
func plainLen(b []byte) int {
	for n, ch := range b {
		switch ch {
		case '"', '{', '}', '[', ']', ',':
			return max(n, 1)
		}
	}
	return len(b)
}
