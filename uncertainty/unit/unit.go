package unit

import (
	"math/big"
	"slices"
	"strings"
)

// A Dimension says what kind of quantity a unit measures. A temperature and a
// difference of temperatures are two kinds: only the first has an offset.
type Dimension string

// The dimensions that the trade types.
const (
	Length                Dimension = "length"
	Temperature           Dimension = "temperature"
	TemperatureDifference Dimension = "difference of temperatures"
	Expansion             Dimension = "coefficient of expansion"
	Slope                 Dimension = "length per length"
	Percent               Dimension = "percentage"
	Force                 Dimension = "force"
	Mass                  Dimension = "mass"
	Pressure              Dimension = "pressure"
	Acceleration          Dimension = "acceleration"
	PlaneAngle            Dimension = "plane angle"
	Density               Dimension = "density"
	Area                  Dimension = "area"
	PerPressure           Dimension = "change per pressure"
	Tension               Dimension = "force per length"
)

// A Unit is one row of the table of units: value in the inner unit =
// factor · typed value + offset.
type Unit struct {
	symbol    string
	dimension Dimension
	factor    *big.Rat
	offset    *big.Rat // nil where there is none
	also      []string // other spellings that are read
	rare      bool     // read, and not offered: a unit of one trade
}

// Symbol returns the unit's printed form, "µm".
func (u Unit) Symbol() string { return u.symbol }

// Dimension returns the kind of quantity.
func (u Unit) Dimension() Dimension { return u.dimension }

// IsZero reports whether u is no unit at all.
func (u Unit) IsZero() bool { return u.factor == nil }

// Factor returns how many inner units (mm, °C, N, kg, kPa, 1/°C, kg/m³, mm², 1/kPa, 1) one u
// is.
func (u Unit) Factor() Exact { return FromRat(u.factor) }

// Lookup finds a unit of the given dimension by any of its spellings.
func Lookup(symbol string, d Dimension) (Unit, bool) {
	for i := range units {
		if u := &units[i]; u.dimension == d && u.goesBy(symbol) {
			return *u, true
		}
	}
	return Unit{}, false
}

// Lengths returns the symbols of the usual units of length.
func Lengths() []string { return Symbols(Length) }

// Symbols returns the symbols of the usual units of a dimension.
func Symbols(d Dimension) []string {
	var out []string
	for _, u := range units {
		if u.dimension == d && !u.rare {
			out = append(out, u.symbol)
		}
	}
	return out
}

// Inner returns the unit in which the program computes quantities of a
// dimension.
func Inner(d Dimension) Unit {
	for _, u := range units {
		if u.dimension == d && u.offset == nil && u.Factor().Cmp(Whole(1)) == 0 {
			return u
		}
	}
	return Unit{}
}

// Ambiguous returns what a symbol could mean, and the choices to write in its
// place, where it is used for more than one kind of quantity and is therefore
// never read.
func Ambiguous(symbol string) (found, want string, ok bool) {
	for _, a := range ambiguities {
		if slices.Contains(a.symbols, symbol) {
			return a.found, a.want, true
		}
	}
	return "", "", false
}

// kindsOf names every dimension in which a symbol is a unit.
func kindsOf(symbol string) (kinds []Dimension) {
	for _, u := range units {
		if u.goesBy(symbol) && !slices.Contains(kinds, u.dimension) {
			kinds = append(kinds, u.dimension)
		}
	}
	return kinds
}

// kindOf is the first dimension in which a symbol is a unit; "" where it is none.
func kindOf(symbol string) Dimension {
	for i := range units {
		if units[i].goesBy(symbol) {
			return units[i].dimension
		}
	}
	return ""
}

func symbolsOf(list ...Dimension) string {
	var out []string
	for _, d := range list {
		out = append(out, Symbols(d)...)
	}
	return strings.Join(out, ", ")
}

func (u Unit) goesBy(symbol string) bool {
	return u.symbol == symbol || slices.Contains(u.also, symbol)
}

// inner converts a value in u to the inner unit of its dimension.
func (u Unit) inner(v Exact) Exact {
	if u.offset == nil && u.factor.IsInt() && u.factor.Num().IsInt64() && u.factor.Num().Int64() == 1 {
		return v // most of what is measured, and no value is ever changed
	}
	out := new(big.Rat).Mul(v.rat(), u.factor)
	if u.offset != nil {
		out.Add(out, u.offset)
	}
	return Exact{out}
}

// From converts a value in the inner unit of u's dimension to u, exactly.
func (u Unit) From(inner Exact) Exact {
	out := inner.Rat()
	if u.offset != nil {
		out.Sub(out, u.offset)
	}
	return Exact{out.Quo(out, u.factor)}
}

// FromFloat is From for an uncertainty or another difference: no offset.
func (u Unit) FromFloat(inner float64) float64 {
	f, _ := u.factor.Float64()
	return inner / f
}
