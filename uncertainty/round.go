package uncertainty

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
)

// mayLose is the greatest part of U that rounding may take away (ILAC-P14:09/2020, 5; JCGM 100:2008, 7.2.6).
const mayLose = 0.05

// A Rounded is an expanded uncertainty as it is shown, and the decimal place it sets for the result.
type Rounded struct {
	// Text is U as shown: "59", "0.10", "1200".
	Text string
	// Value is the number Text says, in the unit of U.
	Value float64
	// Places is the number of decimals of U and of the result; negative when digits left
	// of the point are dropped: -2 shows whole hundreds.
	Places int
	// Exact is true when U is zero: nothing limits the digits of the result.
	Exact bool
}

// Round cuts an expanded uncertainty U ≥ 0 to one or two significant digits: to the nearest, unless
// that would take off more than 5 %, then up.
//
// Ties go away from zero, as everywhere in this package (ISO 80000-1:2009, annex B, rule B), and are ties of the
// shortest decimal that means the float: 0.125 gives 0.13.
func Round(U float64, digits int) (Rounded, error) {
	if !(U >= 0) || math.IsInf(U, 0) {
		return Rounded{}, fmt.Errorf("rounding: expanded uncertainty %v; want a finite one, not below zero", U)
	}
	if digits != 1 && digits != 2 {
		return Rounded{}, fmt.Errorf("rounding: %d significant digits; want 1 or 2", digits)
	}
	if U == 0 {
		return Rounded{Text: "0", Exact: true}, nil
	}
	places := digits - 1 - leading(U)
	exact := decimal(U)
	mantissa := scaled(exact, places)
	shown := unscaled(mantissa, places)
	limit := new(big.Rat).Mul(exact, new(big.Rat).Sub(big.NewRat(1, 1), decimal(mayLose)))
	if shown.Cmp(limit) < 0 {
		mantissa.Add(mantissa, big.NewInt(1))
	}
	if mantissa.Cmp(big.NewInt(int64(math.Pow10(digits)))) == 0 { // 9.96 became 10.0: one digit too many
		mantissa.Quo(mantissa, big.NewInt(10))
		places--
	}
	shown = unscaled(mantissa, places)
	value, _ := shown.Float64()
	return Rounded{Text: plain(mantissa, places), Value: value, Places: places}, nil
}

// Show writes a value to the decimal place of r, ties away from zero; to all its decimals, but no
// more than twelve, when r is exact.
func (r Rounded) Show(value *big.Rat) string {
	if !r.Exact {
		return RoundAt(value, r.Places)
	}
	places := 0
	for ; places < mostPlaces; places++ {
		if unscaled(scaled(value, places), places).Cmp(value) == 0 {
			break
		}
	}
	return RoundAt(value, places)
}

// mostPlaces is how many decimals are written when nothing limits them (house rule).
const mostPlaces = 12

// RoundAt writes a value to the given number of decimals, ties away from zero; a negative number rounds to
// whole tens, hundreds and so on. There is no negative zero.
func RoundAt(value *big.Rat, places int) string { return plain(scaled(value, places), places) }

// Format writes a value and its expanded uncertainty to the same decimal place, U with the given digits.
func Format(value *big.Rat, U float64, digits int) (shown, expanded string, err error) {
	r, err := Round(U, digits)
	if err != nil {
		return "", "", err
	}
	return r.Show(value), r.Text, nil
}

// FormatFloat is Format for a value that was computed; it is taken as the shortest decimal that means it.
func FormatFloat(value, U float64, digits int) (shown, expanded string, err error) {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return "", "", fmt.Errorf("rounding: value %v; want a finite one", value)
	}
	return Format(decimal(value), U, digits)
}

// leading returns the power of ten of the first digit of the shortest decimal of u > 0.
func leading(u float64) int {
	text := strconv.FormatFloat(u, 'e', -1, 64)
	exponent, _ := strconv.Atoi(text[strings.IndexByte(text, 'e')+1:])
	return exponent
}

// decimal is the shortest decimal that means the finite float x, exactly.
func decimal(x float64) *big.Rat {
	r, _ := new(big.Rat).SetString(strconv.FormatFloat(x, 'g', -1, 64))
	return r
}

// tenTo is 10^n for any whole n.
func tenTo(n int) *big.Rat {
	power := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(n, -n))), nil)
	if n < 0 {
		return new(big.Rat).SetFrac(big.NewInt(1), power)
	}
	return new(big.Rat).SetInt(power)
}

// scaled is value·10^places as a whole number, ties away from zero.
func scaled(value *big.Rat, places int) *big.Int {
	x := new(big.Rat).Mul(value, tenTo(places))
	twice := new(big.Int).Lsh(new(big.Int).Abs(x.Num()), 1)
	whole := twice.Add(twice, x.Denom()).Quo(twice, new(big.Int).Lsh(x.Denom(), 1))
	if x.Sign() < 0 {
		whole.Neg(whole)
	}
	return whole
}

func unscaled(mantissa *big.Int, places int) *big.Rat {
	return new(big.Rat).Mul(new(big.Rat).SetInt(mantissa), tenTo(-places))
}

// plain writes mantissa·10^(−places) without an exponent.
func plain(mantissa *big.Int, places int) string {
	return unscaled(mantissa, places).FloatString(max(places, 0))
}
