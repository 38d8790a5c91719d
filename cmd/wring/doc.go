// Command wring keeps the records of gauges: what they are, how they were
// checked, by how much they are off and how sure that is, whether they may be
// used, and when they are due.
//
// It knows commands: it parses, calls, prints.
// It refuses to know rules of the trade or arithmetic; those live in calib and
// uncertainty, and memory lives in registry.
package main
