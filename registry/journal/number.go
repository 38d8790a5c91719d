package journal

import (
	"bytes"
	"fmt"
	"math"
	"math/big"
	"strconv"
)

// number reads a number and appends it as ECMAScript would print the double
// nearest to it.
func (c *canon) number(out []byte) ([]byte, error) {
	text, whole := c.literal()
	if text == nil {
		return nil, c.found("a digit")
	}
	if whole && len(text) <= plainDigits && text[0] != '-' {
		return append(out, text...), nil
	}
	f, err := strconv.ParseFloat(string(text), 64)
	if err != nil {
		return nil, fmt.Errorf("canonical json: number %.40q: beyond what a double holds; want it as a string", text)
	}
	at := len(out)
	out = appendNumber(out, f)
	if whole && !holdsWhole(text, f) && !bytes.Equal(out[at:], text) {
		return nil, fmt.Errorf("canonical json: whole number %.40q: a double would hold %s; want it as a string", text, out[at:])
	}
	if f == 0 && bytes.ContainsAny(mantissa(text), "123456789") {
		return nil, fmt.Errorf("canonical json: number %.40q: a double would hold 0; want it as a string", text)
	}
	return out, nil
}

// literal steps over a number by the grammar of RFC 8259, section 6, and says
// whether it has neither fraction nor exponent. It returns nil and stops where
// a digit is missing.
func (c *canon) literal() (text []byte, whole bool) {
	start := c.pos
	if c.next('-') {
		c.pos++
	}
	if c.next('0') {
		c.pos++
	} else if !c.digits() {
		return nil, false
	}
	whole = true
	if c.next('.') {
		c.pos++
		if whole = false; !c.digits() {
			return nil, false
		}
	}
	if c.next('e') || c.next('E') {
		c.pos++
		if c.next('+') || c.next('-') {
			c.pos++
		}
		if whole = false; !c.digits() {
			return nil, false
		}
	}
	return c.in[start:c.pos], whole
}

// digits steps over one or more digits.
func (c *canon) digits() bool {
	start := c.pos
	for c.pos < len(c.in) && c.in[c.pos] >= '0' && c.in[c.pos] <= '9' {
		c.pos++
	}
	return c.pos > start
}

// plainDigits is how many digits a whole number may have to stay as it is: each
// below 10^15 is a double (IEEE 754 binary64), which ECMAScript prints so.
const plainDigits = 15

func mantissa(text []byte) []byte {
	if e := bytes.IndexAny(text, "eE"); e >= 0 {
		return text[:e]
	}
	return text
}

// holdsWhole reports whether f is exactly the whole number in text.
func holdsWhole(text []byte, f float64) bool {
	// Every whole number up to 2^53 is a double (IEEE 754 binary64).
	if math.Abs(f) < 1<<53 {
		return true
	}
	exact, ok := new(big.Int).SetString(string(text), 10)
	if !ok {
		return false
	}
	held, _ := big.NewFloat(f).Int(nil)
	return exact.Cmp(held) == 0
}

// appendNumber appends a finite f as ECMAScript prints it (ECMA-262,
// Number::toString; RFC 8785, 3.2.2.3): the shortest digits that read back as
// f, plain from 1e-6 up to but not including 1e21, otherwise with an exponent
// that has a sign and no leading zero. Minus zero is 0.
func appendNumber(out []byte, f float64) []byte {
	switch abs := math.Abs(f); {
	case abs == 0:
		return append(out, '0')
	case abs >= 1e-6 && abs < 1e21:
		return strconv.AppendFloat(out, f, 'f', -1, 64)
	}
	out = strconv.AppendFloat(out, f, 'e', -1, 64)
	// strconv writes at least two digits of exponent: 1e-07.
	if n := len(out); out[n-2] == '0' && (out[n-3] == '-' || out[n-3] == '+') {
		out = append(out[:n-2], out[n-1])
	}
	return out
}
