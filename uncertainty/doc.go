// Package uncertainty combines what is known about the inputs of a measurement
// into one expanded uncertainty, following JCGM 100:2008 (the GUM) and JCGM 101:2008.
//
// It knows distributions, sensitivities, correlation, degrees of freedom,
// coverage and the rounding of a statement.
// It refuses to know gauges, dates, files, tolerances and verdicts: numbers
// come in with a source, numbers go out with a statement.
//
// A [Budget] is evaluated by one of three methods, and the [Statement] says by which:
//
//   - [T], the GUM's own: u_c, effective degrees of freedom by
//     Welch–Satterthwaite, and the t factor of the next lower whole number of
//     them (JCGM 100:2008, G.4.1);
//   - [Exact], the distribution of the sum of independent inputs, found by
//     inverting the product of their characteristic functions; no random number is drawn;
//   - [MonteCarlo], propagation of distributions by drawing (JCGM 101:2008).
//
// Degrees of freedom mean two things. To the method [T] they weigh every input,
// of whatever shape. To [Exact] and [MonteCarlo] a normal input with finite degrees
// of freedom is a scaled and shifted t (JCGM 101:2008, 6.4.9.7), while the other
// shapes are taken as stated: doubt about a half-width is to be put as a
// curvilinear trapezoid. Standard uncertainties of t inputs are the GUM's, the
// scale s/√n, and not the standard deviation of the t, which for ν ≤ 2 is infinite.
//
// How [Exact] comes to a probability, from sum.go down: parts of like form are gathered (factor.go); the cheapest way is
// picked (law.go) among closed forms (closed.go), a series of equidistant nodes whose error is bounded by two tails (wave, in law.go),
// Gauss panels whose error is bounded on ellipses of the complex plane (ladder.go), and averages over one part (peel.go), whose error
// is judged by two rules that must agree. The bounds add up to at most 1e-9, or there is no answer.
//
// All figures inside one [Budget] are in one unit, the unit of the measurand, after
// multiplication with their sensitivities. Nothing is rounded on the way; [Round]
// is for the statement alone (JCGM 100:2008, 7.2.6).
//
// The package imports its leaf stat and is imported by conformity and budgetfile.
package uncertainty
