// Package length evaluates checks of length gauges against gauge blocks.
//
// It knows which blocks make a size, the model of an error of indication with
// every contribution to its uncertainty, the gates a check must pass, and how
// a plan's rule turns error and uncertainty into a verdict.
// It refuses to know due dates, files, people, and how a result is printed.
package length
