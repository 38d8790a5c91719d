// Package history reads the checks of a gauge as a series in time: whether its
// error moves, how, when it will leave its limit, and what that says of the
// interval from check to check.
//
// It knows segments between adjustments, which parts of an uncertainty two
// checks share, zero shift and scale change, trends and their tests, forecasts,
// control charts, run rules, and how intervals are proposed.
// It refuses to know where checks are kept, what day it is, who is told, and
// how a line is printed.
//
// # The test
//
// The errors of one gauge at all points are reduced, check by check, to two
// modes: a shift, the mean of the points, and a tilt, which grows with the size
// beside any shift. What every check of the series shares (the blocks of one
// certificate, the gauge's own faces) drops out of both, and what a check brings
// to all points alike, as the setting of its zero, out of the tilt, which is why
// that shows a scale through a zero that wanders. What is left of each has a
// variance that is known beforehand from the budget, and is seen again as the
// scatter of the checks about their line; both are pooled, the first with the
// degrees of freedom that a figure of its reliability has (JCGM 100:2008, G.4.2),
// which is the moderated t-test of Smyth (2004, Statist. Appl. Genet. Mol. Biol.
// 3, 3), with bounds of our own on the prior.
// With three to five checks the scatter alone has one to three degrees of
// freedom, and the budget alone would be believed blindly; cmd/flags measures
// what the two together are worth.
//
// A zero that moves is tested by the shift. A scale that grows from the zero
// moves shift and tilt, and is tested by both together, each weighed by its
// scatter: two estimates of one figure combined (Graybill and Deal 1959,
// Biometrics 15, 543), with the uncertainty that weights found from few degrees
// of freedom have (Meier 1953, Biometrics 9, 59), and the degrees of freedom of
// Welch and Satterthwaite (JCGM 100:2008, G.4.1). The p-values of all hypotheses
// of a gauge are corrected together (Holm 1979).
package history
