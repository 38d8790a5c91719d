package unit

import (
	"errors"
	"fmt"
	"math/big"
	"strings"
	"unicode/utf8"
)

// Bounds on what is taken for one quantity, in bytes: no gauge shows more
// digits and no unit has a longer name, so a longer text is a mistake or an
// attack (house rule).
const (
	longest       = 40
	longestSymbol = 20
)

// A Quantity is what a person typed: the digits to the character, their exact
// value and their unit. The zero value is "not given".
type Quantity struct {
	typed string // the number, and the unit too if it was typed
	value Exact  // in unit
	unit  Unit
}

// A SyntaxError says what was typed, what it is, and what is wanted.
type SyntaxError struct {
	Typed string
	Found string
	Want  string
}

func (e *SyntaxError) Error() string {
	return fmt.Sprintf("%q: %s; %s", e.Typed, e.Found, e.Want)
}

// Parse reads a number, and a unit of dimension d if one follows; without one
// the number is in fallback. A zero fallback makes the unit obligatory.
func Parse(text string, d Dimension, fallback Unit) (Quantity, error) {
	text = strings.TrimSpace(text)
	number, symbol := split(text)
	value, err := parseNumber(text, number)
	if err != nil {
		return Quantity{}, err
	}
	u, err := pickUnit(text, number, symbol, d, fallback)
	if err != nil {
		return Quantity{}, err
	}
	typed := text
	if symbol == "" {
		typed = number
	}
	return Quantity{typed: typed, value: value, unit: u}, nil
}

// ParseAny reads a number with a unit of one of several dimensions, as a
// balance or a force gauge writes it. A number without a unit is in fallback,
// or refused where there is none.
func ParseAny(text string, dimensions []Dimension, fallback Unit) (Quantity, error) {
	if len(dimensions) == 0 {
		return Quantity{}, &SyntaxError{clip(text), "a quantity", "want none here"}
	}
	_, symbol := split(strings.TrimSpace(text))
	for _, d := range dimensions {
		if _, ok := Lookup(symbol, d); ok {
			return Parse(text, d, fallback)
		}
	}
	q, err := Parse(text, dimensions[0], fallback)
	var bad *SyntaxError
	if errors.As(err, &bad) && len(dimensions) > 1 {
		switch kinds := kindsOf(symbol); {
		case symbol == "" && bad.Found == noUnit:
			bad.Want = "write one of " + symbolsOf(dimensions...) + " after it"
		case len(kinds) > 0:
			bad.Want = "want " + oneOf(dimensions)
		case strings.HasSuffix(bad.Found, unknownUnit):
			bad.Want = "want one of " + symbolsOf(dimensions...)
		}
	}
	return q, err
}

func oneOf(list []Dimension) string {
	var out []string
	for _, d := range list {
		out = append(out, withArticle(d))
	}
	last := len(out) - 1
	return strings.Join(out[:last], ", ") + " or " + out[last]
}

// withArticle writes "a length" and "an area".
func withArticle(d Dimension) string {
	if d != "" && strings.ContainsRune("aeiou", rune(d[0])) {
		return "an " + string(d)
	}
	return "a " + string(d)
}

// What is found where a unit is lacking or not known.
const (
	noUnit      = "no unit"
	unknownUnit = "is no unit known here"
)

// Of makes a quantity that the program itself proposes, exact and finite.
func Of(value Exact, u Unit) Quantity {
	return Quantity{typed: value.Shortest(), value: value, unit: u}
}

// Must is Parse for the tables and presets in the source, with the unit in the
// text; a text that cannot be read is a broken table.
func Must(text string, d Dimension) Quantity {
	q, err := Parse(text, d, Unit{})
	if err != nil {
		panic(err)
	}
	return q
}

// IsZero reports whether nothing was given; a typed 0 is given.
func (q Quantity) IsZero() bool { return q.unit.IsZero() }

// Unit returns the unit it was typed in.
func (q Quantity) Unit() Unit { return q.unit }

// Value returns the number as typed, in its own unit.
func (q Quantity) Value() Exact { return q.value }

// Inner returns the exact value in the inner unit of its dimension (mm, °C,
// 1/°C, N, kg, kPa, kg/m³, mm², 1/kPa).
func (q Quantity) Inner() Exact {
	if q.IsZero() {
		return Exact{}
	}
	return q.unit.inner(q.value)
}

// In returns the exact value in u, which must be of the same dimension.
func (q Quantity) In(u Unit) Exact { return u.From(q.Inner()) }

// Places returns how many digits were typed after the point.
func (q Quantity) Places() int {
	number, _ := split(q.typed)
	_, decimals, found := strings.Cut(number, ".")
	if !found {
		return 0
	}
	return len(decimals)
}

// Number returns the digits as typed, without the unit.
func (q Quantity) Number() string {
	number, _ := split(q.typed)
	return number
}

// String returns what was typed, with the unit added if it was left out.
func (q Quantity) String() string {
	if q.IsZero() {
		return ""
	}
	if _, symbol := split(q.typed); symbol != "" {
		return q.typed
	}
	return q.typed + " " + q.unit.symbol
}

// Same reports whether two quantities are the same size, whatever the unit.
func (q Quantity) Same(o Quantity) bool {
	return q.IsZero() == o.IsZero() && q.Inner().Cmp(o.Inner()) == 0
}

// split cuts a text where the number ends: at the first character that is no
// digit, sign, point, comma or underscore.
func split(text string) (number, symbol string) {
	end := len(text)
	for i, c := range text {
		if (c < '0' || c > '9') && !strings.ContainsRune("+-.,_−", c) {
			end = i
			break
		}
	}
	return text[:end], strings.TrimSpace(text[end:])
}

func parseNumber(text, number string) (Exact, error) {
	refuse := func(found, want string) (Exact, error) {
		return Exact{}, &SyntaxError{Typed: clip(text), Found: found, Want: want}
	}
	switch {
	case text == "":
		return refuse("nothing", "write a number, as 5.101")
	case len(number) > longest || len(text) > longest+longestSymbol:
		return refuse(fmt.Sprintf("%d characters", utf8.RuneCountInString(text)), "write a number, as 5.101")
	case strings.Contains(number, ","):
		return refuse("a decimal comma", "write "+strings.ReplaceAll(number, ",", "."))
	case strings.Contains(number, "−"):
		return refuse("a typographic minus", "write "+strings.ReplaceAll(number, "−", "-"))
	case looksExponential(text, number):
		return refuse("an exponent", "write the number out, as 0.0025")
	case !plain(number):
		return refuse("not a number", "write digits with a point, as 5.101")
	}
	r, ok := new(big.Rat).SetString(number)
	if !ok {
		return refuse("not a number", "write digits with a point, as 5.101")
	}
	return Exact{r}, nil
}

// looksExponential finds 1e3 and 1E-3, and lets a unit that begins with e be.
func looksExponential(text, number string) bool {
	rest := text[len(number):]
	if number == "" || len(rest) < 2 || (rest[0] != 'e' && rest[0] != 'E') {
		return false
	}
	c := rest[1]
	return c == '+' || c == '-' || (c >= '0' && c <= '9')
}

// plain holds a number to the grammar [+-] digits [. digits].
func plain(s string) bool {
	if s != "" && (s[0] == '+' || s[0] == '-') {
		s = s[1:]
	}
	whole, decimals, point := strings.Cut(s, ".")
	return digits(whole) && (!point || digits(decimals))
}

func digits(s string) bool {
	if s == "" {
		return false
	}
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

func pickUnit(text, number, symbol string, d Dimension, fallback Unit) (Unit, error) {
	if symbol == "" {
		if fallback.IsZero() {
			return Unit{}, &SyntaxError{clip(text), noUnit, "write one of " + symbolsOf(d) + " after it"}
		}
		return fallback, nil
	}
	if u, ok := Lookup(symbol, d); ok {
		return u, nil
	}
	if found, want, ok := Ambiguous(symbol); ok {
		return Unit{}, &SyntaxError{clip(text), found, want}
	}
	if kinds := kindsOf(symbol); len(kinds) > 0 {
		return Unit{}, &SyntaxError{clip(text), withArticle(kinds[0]), "want " + withArticle(d)}
	}
	return Unit{}, &SyntaxError{clip(text), fmt.Sprintf("%q "+unknownUnit, symbol), "want one of " + symbolsOf(d)}
}

// clip keeps a message to one readable line.
func clip(text string) string {
	if len(text) <= longest {
		return text
	}
	cut := longest
	for cut > 0 && !utf8.RuneStart(text[cut]) {
		cut--
	}
	return text[:cut] + "…"
}

// delta marks a difference of temperatures in a stored text, where "0.5 °F"
// alone could be a temperature.
const delta = "Δ "

// MarshalText writes the quantity as typed, with its unit.
func (q Quantity) MarshalText() ([]byte, error) {
	if q.unit.dimension == TemperatureDifference {
		return []byte(delta + q.String()), nil
	}
	return []byte(q.String()), nil
}

// UnmarshalText is the inverse of MarshalText. The unit must stand in the
// text. An empty text is a quantity not given.
func (q *Quantity) UnmarshalText(b []byte) error {
	text := string(b)
	if text == "" {
		*q = Quantity{}
		return nil
	}
	d := TemperatureDifference
	text, isDifference := strings.CutPrefix(text, delta)
	if !isDifference {
		_, symbol := split(strings.TrimSpace(text))
		if d = kindOf(symbol); d == "" {
			return &SyntaxError{clip(text), "no unit known here", "write a number and its unit"}
		}
	}
	got, err := Parse(text, d, Unit{})
	if err != nil {
		return err
	}
	*q = got
	return nil
}
