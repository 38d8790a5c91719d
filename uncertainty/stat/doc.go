// Package stat does the arithmetic of small samples: means and spreads, a
// straight line with its covariance, analysis of variance in one way and of two
// crossed factors, with intervals of the variances it comes to, and the
// quantiles of the normal, t, chi-squared and F distributions.
//
// It knows bare numbers and the counts of them.
// It refuses to know units, dates, gauges and what a number is judged against.
//
// A question that has no answer (one reading, a vertical line, a NaN) is an
// error, never a panic and never a NaN. The least number of data each function
// wants stands in its comment.
package stat
