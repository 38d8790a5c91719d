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
// modes: a shift that all points share and a change that grows with the size.
// What every check of the series shares (the blocks of one certificate, the
// gauge's own faces) drops out of both. What is left has a variance that is
// known beforehand from the budget, and is seen again as the scatter of the
// checks about their line; both are pooled, the first with the degrees of
// freedom that a figure of its reliability has (JCGM 100:2008, G.4.2), which is
// the moderated t-test of Smyth (2004, Statist. Appl. Genet. Mol. Biol. 3, 3),
// with bounds of our own on the prior.
// With three to five checks the scatter alone has one to three degrees of
// freedom, and the budget alone would be believed blindly; cmd/flags measures
// what the two together are worth. The p-values of all hypotheses
// of a gauge are corrected together (Holm 1979).
package history
