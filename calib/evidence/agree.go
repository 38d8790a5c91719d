package evidence

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"

	"example.org/wring/uncertainty"
)

// A criterion says when a computed figure agrees with the printed one. The zero
// criterion wants a number that rounds to the digits printed, or the same text.
type criterion struct {
	within float64 // greatest difference, in the figure's unit, where the print was rounded on the way or trials are drawn
	digits int     // significant digits that must be right, of a value certified to more than float64 holds
	reason string
}

// agreed says that a number rounds to the printed one, or that a text is the
// printed one.
const agreed = "yes"

// mostDigits is how many significant digits a float64 can promise.
const mostDigits = 15

// agree compares, and says how.
func (c criterion) agree(got value, text string) (bool, string) {
	if got.text != "" {
		if got.text == text {
			return true, agreed
		}
		return false, "no: another"
	}
	want, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(got.number) || math.IsInf(got.number, 0) {
		return false, fmt.Sprintf("no: %v for %s", got.number, text)
	}
	switch {
	case c.digits > 0:
		n := digitsRight(got.number, want)
		if n < c.digits {
			return false, fmt.Sprintf("no: %d of %d digits", n, c.digits)
		}
		return true, fmt.Sprintf("%d digits", n)
	case c.within > 0:
		if !(math.Abs(got.number-want) <= c.within) {
			return false, "no: off by " + brief(math.Abs(got.number-want))
		}
		return true, "±" + brief(c.within)
	}
	if r := roundTo(got.number, decimals(text)); r != text {
		return false, "no: rounds to " + r
	}
	return true, agreed
}

// show writes a number with a few digits more than are printed, or with all
// that it has where it is certified.
func (v value) show(text string, c criterion) (string, *float64) {
	if v.text != "" {
		return v.text, nil
	}
	if math.IsNaN(v.number) || math.IsInf(v.number, 0) {
		return fmt.Sprint(v.number), nil
	}
	if c.digits > 0 {
		return strconv.FormatFloat(v.number, 'g', mostDigits, 64), &v.number
	}
	more := 3
	if decimals(text) > 5 {
		more = 1
	}
	return strconv.FormatFloat(v.number, 'f', decimals(text)+more, 64), &v.number
}

// roundTo rounds as statements are rounded: ties of the shortest decimal away
// from zero.
func roundTo(v float64, places int) string {
	exact, ok := new(big.Rat).SetString(strconv.FormatFloat(v, 'g', -1, 64))
	if !ok {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return uncertainty.RoundAt(exact, places)
}

func decimals(text string) int {
	_, behind, _ := strings.Cut(text, ".")
	return len(behind)
}

// digitsRight counts the significant digits that two numbers share, as the
// negative logarithm of their relative difference.
func digitsRight(got, want float64) int {
	off := math.Abs(got - want)
	if want != 0 {
		off /= math.Abs(want)
	}
	if off == 0 {
		return mostDigits
	}
	return int(math.Max(0, math.Min(mostDigits, math.Floor(-math.Log10(off)))))
}

func brief(v float64) string { return strconv.FormatFloat(v, 'g', 2, 64) }
