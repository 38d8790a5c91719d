package journal

import (
	"cmp"
	"fmt"
	"strconv"
	"unicode/utf16"
	"unicode/utf8"
)

// escape reads one escape sequence, or two that make up one surrogate pair,
// and returns the character it stands for.
func (c *canon) escape() (rune, error) {
	start := c.pos
	if c.pos++; c.pos == len(c.in) {
		return 0, c.found("the rest of an escape")
	}
	b := c.in[c.pos]
	c.pos++
	switch b {
	case '"', '\\', '/':
		return rune(b), nil
	case 'b':
		return '\b', nil
	case 'f':
		return '\f', nil
	case 'n':
		return '\n', nil
	case 'r':
		return '\r', nil
	case 't':
		return '\t', nil
	case 'u':
		return c.codeUnits(start)
	}
	c.pos--
	return 0, c.found(`one of "\/bfnrtu after a backslash`)
}

// codeUnits reads what follows \u: one code unit, or two for a character
// outside the basic plane. start is where the escape began.
func (c *canon) codeUnits(start int) (rune, error) {
	r, err := c.codeUnit()
	if err != nil {
		return 0, err
	}
	if c.encoded && r == utf8.RuneError {
		return 0, fmt.Errorf("canonical json: byte %d: text that is not UTF-8; want UTF-8", start)
	}
	if !utf16.IsSurrogate(r) {
		return r, nil
	}
	if c.next('\\') && c.pos+1 < len(c.in) && c.in[c.pos+1] == 'u' {
		c.pos += 2
		low, err := c.codeUnit()
		if err != nil {
			return 0, err
		}
		if pair := utf16.DecodeRune(r, low); pair != utf8.RuneError {
			return pair, nil
		}
	}
	return 0, fmt.Errorf("canonical json: byte %d: half a surrogate pair; want both halves in order", start)
}

// codeUnit reads four hexadecimal digits.
func (c *canon) codeUnit() (rune, error) {
	if c.pos+4 > len(c.in) {
		c.pos = len(c.in)
		return 0, c.found("four hexadecimal digits")
	}
	n, err := strconv.ParseUint(string(c.in[c.pos:c.pos+4]), 16, 16)
	if err != nil {
		return 0, c.found("four hexadecimal digits")
	}
	c.pos += 4
	return rune(n), nil
}

// appendText appends s as a JSON string with the fewest escapes: the two
// characters that must have one, five control characters by letter, the other
// control characters by number (RFC 8785, 3.2.2.2).
func appendText[T string | []byte](out []byte, s T) []byte {
	const hex = "0123456789abcdef"
	out = append(out, '"')
	for i := 0; i < len(s); i++ {
		switch b := s[i]; {
		case b == '"' || b == '\\':
			out = append(out, '\\', b)
		case b >= 0x20:
			out = append(out, b)
		case b == '\b':
			out = append(out, `\b`...)
		case b == '\t':
			out = append(out, `\t`...)
		case b == '\n':
			out = append(out, `\n`...)
		case b == '\f':
			out = append(out, `\f`...)
		case b == '\r':
			out = append(out, `\r`...)
		default:
			out = append(out, '\\', 'u', '0', '0', hex[b>>4], hex[b&15])
		}
	}
	return append(out, '"')
}

// compareUTF16 orders two strings by their UTF-16 code units (RFC 8785,
// 3.2.3). That differs from the order of their bytes in one case only: a
// character outside the basic plane begins with a surrogate, 0xD800 to 0xDBFF,
// and so comes before U+E000 to U+FFFF.
func compareUTF16(a, b []byte) int {
	for i := range min(len(a), len(b)) {
		if a[i] == b[i] {
			continue
		}
		if max(a[i], b[i]) < leadOfE000 {
			return cmp.Compare(a[i], b[i]) // both below U+E000, where the orders agree
		}
		return compareRunes(a, b)
	}
	return cmp.Compare(len(a), len(b))
}

// leadOfE000 is the first byte of U+E000 in UTF-8 (RFC 3629, section 3).
const leadOfE000 = 0xEE

// compareRunes is compareUTF16, character by character.
func compareRunes(a, b []byte) int {
	for len(a) > 0 && len(b) > 0 {
		ra, na := utf8.DecodeRune(a)
		rb, nb := utf8.DecodeRune(b)
		if ra != rb {
			if (ra > 0xFFFF) != (rb > 0xFFFF) {
				return cmp.Compare(firstUnit(ra), firstUnit(rb))
			}
			return cmp.Compare(ra, rb)
		}
		a, b = a[na:], b[nb:]
	}
	return cmp.Compare(len(a), len(b))
}

func firstUnit(r rune) rune {
	if high, _ := utf16.EncodeRune(r); high != utf8.RuneError {
		return high
	}
	return r
}
