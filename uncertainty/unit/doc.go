// Package unit holds what a person typed as an exact number with its unit.
//
// It knows decimal notation as the bench writes it, the units of the trade and
// their exact factors, and rational arithmetic that loses nothing.
// It refuses to know what is being measured, and it never guesses: a decimal
// comma, an exponent or a unit of another kind is refused with the form it
// wants.
//
// Inside the program lengths are in millimetres, temperatures in degrees
// Celsius, forces in newtons, masses in kilograms and pressures in kilopascals.
// Exact values become float64 in one place only, [Exact.Float].
package unit
