// Package evidence holds published worked examples, works them out by the code
// that checks use, and sets what comes out beside what was printed.
//
// It knows documents, clauses, the figures that stand there, and when a
// computed figure agrees with a printed one.
// It refuses to know gauges and records that are kept, how a report looks,
// clocks and machines.
//
// Printed figures stand in tables, computations in functions that are not
// handed them: no example can look at what it should give. A figure whose mark
// is [Own] was worked out for this project by other means and is counted apart
// from what was published.
package evidence
