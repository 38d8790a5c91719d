// Package calib holds the nouns of the trade: gauges, standards and their
// certificates, plans, checks, results, findings, civil dates.
//
// It knows what a toolroom calls things, which fields a record must have and
// which words a field may hold. Its sub-packages import it: limits (published
// error limits), survey (thickness of lots by method), length (checks against
// gauge blocks), history (checks as a series in time), sheet (the written form
// of plans, methods and sheets).
// It refuses to know where records live, what day it is, and how anything is
// printed.
//
// What a person observed is kept as typed; what is computed from it is kept
// apart, in a [Result].
package calib
