package unit

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"math/big"
	"math/bits"
	"strconv"
)

// An Exact is a rational number that is never changed once made. The zero
// value is 0. A rational, and not a decimal, because a mean of three readings
// and a conversion from degrees Fahrenheit have no finite decimal form, and a
// comparison with a limit must not hang on a rounding.
type Exact struct{ r *big.Rat }

// Whole returns n as an Exact.
func Whole(n int64) Exact { return Exact{big.NewRat(n, 1)} }

// Ratio returns a/b as an Exact; b must not be 0.
func Ratio(a, b int64) Exact { return Exact{big.NewRat(a, b)} }

// FromRat copies r.
func FromRat(r *big.Rat) Exact { return Exact{new(big.Rat).Set(r)} }

// FromFloat takes the exact value of f, which must be finite; NaN and the
// infinities become 0, which no caller may rely on.
func FromFloat(f float64) Exact {
	r := new(big.Rat).SetFloat64(f)
	if r == nil {
		return Exact{}
	}
	return Exact{r}
}

// Decimal takes the shortest decimal that means the finite float f, for a
// computed value that is to be compared and kept; NaN and the infinities
// become 0, as in [FromFloat].
func Decimal(f float64) Exact {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(f, 'g', -1, 64))
	if !ok {
		return Exact{}
	}
	return Exact{r}
}

// Rat returns a copy as a *big.Rat, never nil.
func (e Exact) Rat() *big.Rat {
	if e.r == nil {
		return new(big.Rat)
	}
	return new(big.Rat).Set(e.r)
}

func (e Exact) rat() *big.Rat {
	if e.r == nil {
		return new(big.Rat)
	}
	return e.r
}

// Add returns e + f.
func (e Exact) Add(f Exact) Exact { return Exact{new(big.Rat).Add(e.rat(), f.rat())} }

// Sub returns e − f.
func (e Exact) Sub(f Exact) Exact { return Exact{new(big.Rat).Sub(e.rat(), f.rat())} }

// Mul returns e · f.
func (e Exact) Mul(f Exact) Exact { return Exact{new(big.Rat).Mul(e.rat(), f.rat())} }

// Quo returns e / f; a zero f gives 0, so a caller must look first.
func (e Exact) Quo(f Exact) Exact {
	if f.Sign() == 0 {
		return Exact{}
	}
	return Exact{new(big.Rat).Quo(e.rat(), f.rat())}
}

// Neg returns −e.
func (e Exact) Neg() Exact { return Exact{new(big.Rat).Neg(e.rat())} }

// Abs returns |e|.
func (e Exact) Abs() Exact { return Exact{new(big.Rat).Abs(e.rat())} }

// Cmp returns −1, 0 or +1 as e is below, at or above f.
func (e Exact) Cmp(f Exact) int {
	a, b, small := e.words()
	c, d, smallToo := f.words()
	if !small || !smallToo || (a < 0) != (c < 0) {
		return e.rat().Cmp(f.rat())
	}
	// a/b against c/d is a·d against c·b, of 128 bits each.
	high, low := bits.Mul64(uint64(max(a, -a)), d)
	high2, low2 := bits.Mul64(uint64(max(c, -c)), b)
	sizes := cmp.Or(cmp.Compare(high, high2), cmp.Compare(low, low2))
	if a < 0 {
		return -sizes
	}
	return sizes
}

// words is a value as numerator and denominator where both fit a machine word,
// as those of nearly all that is measured do; it reports false for any other.
func (e Exact) words() (num int64, den uint64, ok bool) {
	if e.r == nil {
		return 0, 1, true
	}
	n, d := e.r.Num(), e.r.Denom()
	if !n.IsInt64() || !d.IsUint64() || n.Int64() == math.MinInt64 {
		return 0, 0, false
	}
	return n.Int64(), d.Uint64(), true
}

// Sign returns −1, 0 or +1.
func (e Exact) Sign() int { return e.rat().Sign() }

// IsZero reports whether e is 0.
func (e Exact) IsZero() bool { return e.Sign() == 0 }

// Float returns the nearest float64. This is the one way from exact values to
// the arithmetic of uncertainties.
func (e Exact) Float() float64 {
	f, _ := e.rat().Float64()
	return f
}

// Text writes e with the given number of digits after the point, 0 or more.
// A tie is rounded away from zero (ISO 80000-1:2009, annex B, rule B; the
// edition from memory), so that +2.5 and −2.5 are treated alike.
func (e Exact) Text(places int) string {
	s := e.rat().FloatString(max(places, 0))
	if s[0] == '-' && isAllZero(s[1:]) {
		return s[1:] // a rounded −0.00 is a zero
	}
	return s
}

// Signed is Text with a plus sign before positive values, as errors are
// written.
func (e Exact) Signed(places int) string {
	s := e.Text(places)
	if s[0] == '-' || isAllZero(s) {
		return s
	}
	return "+" + s
}

func isAllZero(s string) bool {
	for _, c := range s {
		if c != '0' && c != '.' {
			return false
		}
	}
	return true
}

// Shortest writes e as a plain decimal if it has a finite one of at most 30
// digits after the point, else as a ratio "a/b".
func (e Exact) Shortest() string {
	const enough = 30 // no typed number and no exact unit factor needs more
	if text, ok := e.short(); ok {
		return text
	}
	if n, finite := e.rat().FloatPrec(); finite && n <= enough {
		return e.rat().FloatString(n)
	}
	return e.rat().RatString()
}

// short is Shortest of a value whose digits fit a machine word, as nearly all
// that are measured do; it reports false for any other.
func (e Exact) short() (string, bool) {
	num, den := e.rat().Num(), e.rat().Denom()
	if !num.IsInt64() || !den.IsInt64() || num.Int64() == math.MinInt64 {
		return "", false
	}
	n, d := num.Int64(), den.Int64()
	places, scaled := 0, n
	for rest := d; rest > 1; places++ {
		if scaled > math.MaxInt64/10 || scaled < -math.MaxInt64/10 {
			return "", false
		}
		// Each place takes a factor 10 out of the denominator, or a 2 or a 5.
		scaled *= 10
		switch {
		case rest%10 == 0:
			rest /= 10
		case rest%2 == 0:
			rest /= 2
		case rest%5 == 0:
			rest /= 5
		default:
			return strconv.FormatInt(n, 10) + "/" + strconv.FormatInt(d, 10), true
		}
	}
	return decimal(scaled/d, places), true
}

// decimal writes n with so many of its digits after the point.
func decimal(n int64, places int) string {
	var digits [24]byte
	b := strconv.AppendUint(digits[:0], uint64(max(n, -n)), 10)
	for len(b) <= places {
		b = append(b, 0)
		copy(b[1:], b)
		b[0] = '0'
	}
	out := make([]byte, 0, len(b)+2)
	if n < 0 {
		out = append(out, '-')
	}
	out = append(out, b[:len(b)-places]...)
	if places > 0 {
		out = append(append(out, '.'), b[len(b)-places:]...)
	}
	return string(out)
}

// Scaled returns e·n rounded to a whole number, ties away from zero; n must be
// above 0. It reports false where that does not fit.
func (e Exact) Scaled(n int64) (int64, bool) {
	num, den := e.rat().Num(), e.rat().Denom()
	if num.IsInt64() && num.Int64() != math.MinInt64 && den.IsUint64() {
		high, low := bits.Mul64(uint64(max(num.Int64(), -num.Int64())), uint64(n))
		if d := den.Uint64(); high < d {
			q, rest := bits.Div64(high, low, d)
			if q > math.MaxInt64 {
				return 0, false
			}
			if rest >= d-rest {
				q++
			}
			return int64(q) * int64(num.Sign()), q <= math.MaxInt64
		}
		return 0, false
	}
	out, ok := new(big.Int).SetString(e.Mul(Whole(n)).Text(0), 10)
	return out.Int64(), ok && out.IsInt64()
}

// MarshalJSON writes the value as a string, without loss.
func (e Exact) MarshalJSON() ([]byte, error) {
	text := e.Shortest()
	return append(append(append(make([]byte, 0, len(text)+2), '"'), text...), '"'), nil
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (e *Exact) UnmarshalJSON(b []byte) error {
	if r := shortNumber(b); r != nil {
		e.r = r
		return nil
	}
	var s string
	if err := json.Unmarshal(b, &s); err != nil {
		return fmt.Errorf("exact number %s: not a string; want a decimal or a ratio in quotes", b)
	}
	r, ok := new(big.Rat).SetString(s)
	if !ok || len(s) > 400 {
		return fmt.Errorf("exact number %q: not a number; want a decimal or a ratio", s)
	}
	e.r = r
	return nil
}

// shortNumber reads a decimal or a ratio in quotes, with up to 18 digits in each
// of its numbers, as nearly all are in a check; anything else it leaves to others.
func shortNumber(b []byte) *big.Rat {
	if len(b) < 3 || b[0] != '"' || b[len(b)-1] != '"' {
		return nil
	}
	b = b[1 : len(b)-1]
	negative := b[0] == '-'
	if negative {
		b = b[1:]
	}
	over, under, ratio := bytes.Cut(b, []byte("/"))
	whole, fraction, point := bytes.Cut(over, []byte("."))
	n, ok := digitsOf(whole, fraction)
	by := int64(1)
	switch {
	case !ok || ratio && point || point && len(fraction) == 0:
		return nil
	case ratio:
		if by, ok = digitsOf(under, nil); !ok || by == 0 {
			return nil
		}
	default:
		for range fraction {
			by *= 10
		}
	}
	if negative {
		n = -n
	}
	return big.NewRat(n, by)
}

// digitsOf reads the digits of a whole number with those of its fraction as one
// number. It reports false for more than 18, for none before the point, for a
// zero that leads others, and for any other character.
func digitsOf(whole, fraction []byte) (n int64, ok bool) {
	if len(whole) == 0 || len(whole)+len(fraction) > 18 || len(whole) > 1 && whole[0] == '0' {
		return 0, false
	}
	for _, part := range [][]byte{whole, fraction} {
		for _, c := range part {
			if c < '0' || c > '9' {
				return 0, false
			}
			n = 10*n + int64(c-'0')
		}
	}
	return n, true
}
