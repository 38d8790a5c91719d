package journal

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// maxDepth is how deep arrays and objects may be nested: a house rule, far
// above any record and far below what would exhaust the stack.
const maxDepth = 100

// Canonical returns the one byte form of v under the JSON Canonicalization
// Scheme (RFC 8785): no white space, members sorted by the UTF-16 code units
// of their names (3.2.3), strings with the fewest escapes (3.2.2.2), numbers
// as ECMAScript prints a double (3.2.2.3).
//
// v is anything encoding/json can encode; a [json.RawMessage] is taken as text
// to be brought into the form. Refused, because two readers could differ on
// them: NaN and infinities, text that is not UTF-8, half a surrogate pair, two
// members of one name. Two house rules are stricter than the RFC: a whole
// number that a double cannot hold exactly is refused instead of changed, and
// so is a number other than zero that a double can only hold as zero.
//
// Canonical of its own result is that result.
func Canonical(v any) ([]byte, error) {
	if text, ok := v.(json.RawMessage); ok {
		c := canon{in: text}
		return c.document()
	}
	text, err := json.Marshal(v)
	if err != nil {
		return nil, fmt.Errorf("canonical json: %w; want what JSON can hold", err)
	}
	c := canon{in: text, encoded: true}
	return c.document()
}

// A canon reads one JSON text and writes its canonical form as it goes.
type canon struct {
	in  []byte
	pos int

	// encoded marks text that encoding/json wrote. It replaces bytes that are
	// not UTF-8 by the escape \ufffd, and writes a real U+FFFD as itself, so
	// there the escape means that something was lost.
	encoded bool
}

// A member is one name with the canonical form of its value.
type member struct {
	name  string
	value []byte
}

func (c *canon) document() ([]byte, error) {
	out, err := c.value(make([]byte, 0, len(c.in)), 0)
	if err != nil {
		return nil, err
	}
	if c.space(); c.pos < len(c.in) {
		return nil, c.found("the end of the text")
	}
	return out, nil
}

// value appends the canonical form of the value that comes next.
func (c *canon) value(out []byte, depth int) ([]byte, error) {
	if depth > maxDepth {
		return nil, fmt.Errorf("canonical json: byte %d: nested deeper than %d; want less", c.pos, maxDepth)
	}
	c.space()
	if c.pos == len(c.in) {
		return nil, c.found("a value")
	}
	switch b := c.in[c.pos]; {
	case b == '{':
		return c.object(out, depth)
	case b == '[':
		return c.array(out, depth)
	case b == '"':
		s, err := c.text()
		return appendText(out, s), err
	case b == '-' || b >= '0' && b <= '9':
		return c.number(out)
	}
	for _, word := range []string{"null", "true", "false"} {
		if bytes.HasPrefix(c.in[c.pos:], []byte(word)) {
			c.pos += len(word)
			return append(out, word...), nil
		}
	}
	return nil, c.found("a value")
}

func (c *canon) object(out []byte, depth int) ([]byte, error) {
	var members []member
	for c.pos++; ; c.pos++ {
		if c.space(); c.next('}') && len(members) == 0 {
			break
		}
		if !c.next('"') {
			return nil, c.found("a member's name")
		}
		name, err := c.text()
		if err != nil {
			return nil, err
		}
		if c.space(); !c.next(':') {
			return nil, c.found("a colon")
		}
		c.pos++
		value, err := c.value(nil, depth+1)
		if err != nil {
			return nil, err
		}
		members = append(members, member{name, value})
		if c.space(); c.next('}') {
			break
		}
		if !c.next(',') {
			return nil, c.found("a comma or the end of the object")
		}
	}
	c.pos++
	slices.SortFunc(members, func(a, b member) int { return compareUTF16(a.name, b.name) })
	out = append(out, '{')
	for i, m := range members {
		if i > 0 {
			if m.name == members[i-1].name {
				return nil, fmt.Errorf("canonical json: member %q: given twice; want it once", m.name)
			}
			out = append(out, ',')
		}
		out = append(append(appendText(out, m.name), ':'), m.value...)
	}
	return append(out, '}'), nil
}

func (c *canon) array(out []byte, depth int) (_ []byte, err error) {
	out = append(out, '[')
	start := len(out)
	for c.pos++; ; c.pos++ {
		if c.space(); c.next(']') && len(out) == start {
			break
		}
		if len(out) > start {
			out = append(out, ',')
		}
		if out, err = c.value(out, depth+1); err != nil {
			return nil, err
		}
		if c.space(); c.next(']') {
			break
		}
		if !c.next(',') {
			return nil, c.found("a comma or the end of the array")
		}
	}
	c.pos++
	return append(out, ']'), nil
}

// text reads a string and returns what it stands for.
func (c *canon) text() (string, error) {
	if s, ok := c.plainText(); ok {
		return s, nil
	}
	var s strings.Builder
	for c.pos++; c.pos < len(c.in); {
		switch b := c.in[c.pos]; {
		case b == '"':
			c.pos++
			return s.String(), nil
		case b < 0x20:
			return "", c.found("a control character written as an escape")
		case b == '\\':
			r, err := c.escape()
			if err != nil {
				return "", err
			}
			s.WriteRune(r)
		case b < utf8.RuneSelf:
			s.WriteByte(b)
			c.pos++
		default:
			r, n := utf8.DecodeRune(c.in[c.pos:])
			if r == utf8.RuneError && n == 1 {
				return "", c.found("text in UTF-8")
			}
			s.WriteRune(r)
			c.pos += n
		}
	}
	return "", c.found("the end of the string")
}

// plainText reads a string of printable ASCII without escapes, as most are; it
// stays where it is before any other.
func (c *canon) plainText() (string, bool) {
	for i, b := range c.in[c.pos+1:] {
		switch {
		case b == '"':
			s := string(c.in[c.pos+1 : c.pos+1+i])
			c.pos += i + 2
			return s, true
		case b < 0x20 || b == '\\' || b >= utf8.RuneSelf:
			return "", false
		}
	}
	return "", false
}

func (c *canon) space() {
	for c.pos < len(c.in) && strings.IndexByte(" \t\r\n", c.in[c.pos]) >= 0 {
		c.pos++
	}
}

func (c *canon) next(b byte) bool { return c.pos < len(c.in) && c.in[c.pos] == b }

// found says what stands at the place of reading, and what was wanted there.
func (c *canon) found(want string) error {
	if c.pos >= len(c.in) {
		return fmt.Errorf("canonical json: byte %d: the text ends; want %s", len(c.in), want)
	}
	return fmt.Errorf("canonical json: byte %d: found %q; want %s", c.pos, c.in[c.pos:c.pos+1], want)
}
