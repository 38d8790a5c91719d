package journal

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
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

// A Form is a JSON value that is in canonical form, so that nobody brings it
// into it twice. The zero Form is none.
type Form struct{ text []byte }

// FormOf is [Canonical], and keeps in mind that it was.
func FormOf(v any) (Form, error) {
	text, err := Canonical(v)
	return Form{text}, err
}

// Text is the form in bytes, which must not be changed.
func (f Form) Text() json.RawMessage { return f.text }

// A canon reads one JSON text and writes its canonical form as it goes.
type canon struct {
	in  []byte
	pos int

	// encoded marks text that encoding/json wrote. It replaces bytes that are
	// not UTF-8 by the escape \ufffd, and writes a real U+FFFD as itself, so
	// there the escape means that something was lost.
	encoded bool

	// members holds those of the objects that are open, one object's behind
	// those of the object around it, and spare what is being put in order.
	members []member
	spare   []byte
}

// A member is one name of an object, and where it stands with its value in what
// is written.
type member struct {
	name     []byte
	from, to int
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
		if s := c.plainText(); s != nil {
			return append(out, s...), nil
		}
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
	out = append(out, '{')
	first, start, inOrder := len(c.members), len(out), true
	for c.pos++; ; c.pos++ {
		if c.space(); c.next('}') && len(c.members) == first {
			break
		}
		m := member{from: len(out)}
		var err error
		if out, err = c.member(out, &m, depth); err != nil {
			return nil, err
		}
		if n := len(c.members); n > first && compareUTF16(c.members[n-1].name, m.name) >= 0 {
			inOrder = false
		}
		c.members = append(c.members, m)
		if c.space(); c.next('}') {
			break
		}
		if !c.next(',') {
			return nil, c.found("a comma or the end of the object")
		}
		out = append(out, ',')
	}
	c.pos++
	if !inOrder {
		var err error
		if out, err = c.sorted(out, start, c.members[first:]); err != nil {
			return nil, err
		}
	}
	c.members = c.members[:first]
	return append(out, '}'), nil
}

// member appends one member, and notes its name and where it stands.
func (c *canon) member(out []byte, m *member, depth int) (_ []byte, err error) {
	if !c.next('"') {
		return nil, c.found("a member's name")
	}
	if m.name, err = c.text(); err != nil {
		return nil, err
	}
	if c.space(); !c.next(':') {
		return nil, c.found("a colon")
	}
	c.pos++
	out, err = c.value(append(appendText(out, m.name), ':'), depth+1)
	m.to = len(out)
	return out, err
}

// sorted puts the members of an object, which begin at start, in order.
func (c *canon) sorted(out []byte, start int, members []member) ([]byte, error) {
	slices.SortFunc(members, func(a, b member) int { return compareUTF16(a.name, b.name) })
	if c.spare == nil {
		c.spare = make([]byte, 0, len(c.in)) // none is longer
	}
	c.spare = append(c.spare[:0], out[start:]...)
	out = out[:start]
	for i, m := range members {
		if i > 0 {
			if bytes.Equal(m.name, members[i-1].name) {
				return nil, fmt.Errorf("canonical json: member %q: given twice; want it once", m.name)
			}
			out = append(out, ',')
		}
		out = append(out, c.spare[m.from-start:m.to-start]...)
	}
	return out, nil
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

// text reads a string and returns what it stands for, which may share the
// memory of what is read.
func (c *canon) text() ([]byte, error) {
	if s := c.plainText(); s != nil {
		return s[1 : len(s)-1], nil
	}
	var s []byte
	for c.pos++; c.pos < len(c.in); {
		switch b := c.in[c.pos]; {
		case b == '"':
			c.pos++
			return s, nil
		case b < 0x20:
			return nil, c.found("a control character written as an escape")
		case b == '\\':
			r, err := c.escape()
			if err != nil {
				return nil, err
			}
			s = utf8.AppendRune(s, r)
		case b < utf8.RuneSelf:
			s = append(s, b)
			c.pos++
		default:
			r, n := utf8.DecodeRune(c.in[c.pos:])
			if r == utf8.RuneError && n == 1 {
				return nil, c.found("text in UTF-8")
			}
			s = append(s, c.in[c.pos:c.pos+n]...)
			c.pos += n
		}
	}
	return nil, c.found("the end of the string")
}

// plainText steps over a string of printable ASCII without escapes, as most
// are, and returns it with its quotes, in which form it stays; it returns nil
// and stays where it is before any other.
func (c *canon) plainText() []byte {
	for i, b := range c.in[c.pos+1:] {
		switch {
		case b == '"':
			s := c.in[c.pos : c.pos+i+2]
			c.pos += len(s)
			return s
		case b < 0x20 || b == '\\' || b >= utf8.RuneSelf:
			return nil
		}
	}
	return nil
}

func (c *canon) space() {
	for c.pos < len(c.in) {
		switch c.in[c.pos] {
		case ' ', '\t', '\r', '\n':
			c.pos++
		default:
			return
		}
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
