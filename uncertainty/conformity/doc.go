// Package conformity sets an error and its uncertainty against a limit and says
// what may be said of it.
//
// It knows limits, guard bands, the four verdicts of ILAC-G8:09/2019, the probability of
// conformance and the consumer's and producer's risks of JCGM 106:2012.
// It refuses to know why a limit was chosen, what was measured, and when.
//
// Errors and limits are exact rational numbers in one unit, so that an error equal to
// its limit conforms, always. Uncertainties are float64 in the same unit, and a guard
// band is taken as the shortest decimal that means it.
package conformity
