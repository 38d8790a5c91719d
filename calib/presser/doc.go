// Package presser evaluates checks by force: the pressure of a gauge's foot,
// its measuring force, and its indications under known loads.
//
// It knows gravity and the density of air, what a mass weighs in them, what a
// force presses on a foot, the effective area of a pressure tester, every
// contribution to the uncertainty of these, and how a plan's bands turn them
// into verdicts.
// It refuses to know lengths but those of a foot, due dates, files, people,
// and how a result is printed.
//
// Masses are conventional masses (OIML D 28:2004): what balances the body in
// air of 1.2 kg/m³ is a reference of 8000 kg/m³.
package presser
