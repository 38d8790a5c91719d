package certs

import (
	"fmt"
	"math"

	"example.org/wring/uncertainty/conformity"
)

// ruleWords say of one sort of figure what a rule accepts.
type ruleWords struct{ simple, guarded, four, byRisk string }

// In the words, %s is the guard band's factor, or the risk.
const (
	simpleError  = "A point passes if |e|\u00a0≤\u00a0MPE; U is not taken off the limit."
	guardedError = "A point passes if |e|\u00a0≤\u00a0MPE\u00a0−\u00a0r\u00a0U with r\u00a0=\u00a0%s, and cannot be decided where no error could pass."
	fourErrors   = "Pass: |e|\u00a0≤\u00a0MPE\u00a0−\u00a0r\u00a0U; conditional pass: beyond that, up to MPE; conditional fail: beyond MPE, up to MPE\u00a0+\u00a0r\u00a0U; fail: beyond that; with r\u00a0=\u00a0%s."
	riskyError   = "A point passes if the probability that its error lies beyond the limit, given what was measured, is at most %s\u00a0%%."

	simpleFigure  = "A figure passes if it lies within its limits; U is not taken off them."
	guardedFigure = "A figure passes if it lies within its limits by r\u00a0U or more with r\u00a0=\u00a0%s, and cannot be decided where none could pass."
	fourFigures   = "Pass: within the limits by r\u00a0U or more; conditional pass: within them by less; conditional fail: beyond them by r\u00a0U at most; fail: beyond that; with r\u00a0=\u00a0%s."
	riskyFigure   = "A figure passes if the probability that it lies beyond its limits, given what was measured, is at most %s\u00a0%%."
)

// onErrors are the words for errors of indication.
func onErrors() ruleWords { return ruleWords{simpleError, guardedError, fourErrors, riskyError} }

// onFigures are those for figures that have limits of their own.
func onFigures() ruleWords { return ruleWords{simpleFigure, guardedFigure, fourFigures, riskyFigure} }

// say puts a rule into words, with the risks at a limit that it leaves to
// either side (ISO/IEC 17025:2017, 7.8.6.1; from memory).
func (w ruleWords) say(r conformity.Rule) string {
	factor := fmt.Sprint(r.Factor)
	switch r.Kind {
	case conformity.Simple:
		return w.simple + " " + risks(r)
	case conformity.Guarded:
		return fmt.Sprintf(w.guarded, factor) + " " + risks(r)
	case conformity.FourVerdicts:
		return fmt.Sprintf(w.four, factor) + " " + risks(r)
	case conformity.ByRisk:
		return fmt.Sprintf(w.byRisk, percent(r.Risk)) + " " + risks(r)
	}
	return ""
}

// risks are those of a decision about one limit, given what was measured and
// nothing known beforehand. At the limit itself each is 50 % for any symmetric
// distribution (ILAC-G8:09/2019, 5; from memory); at r·U from it they are those
// of a normal distribution at r·k standard uncertainties, with k = 2 (own
// computation: Φ(−2) is 2.3 %).
func risks(r conformity.Rule) string {
	const assumed = "Risks at one limit, with no earlier knowledge of the item"
	const normal = assumed + ", for a normal distribution and k\u00a0=\u00a02: "
	beyond := 100 * math.Erfc(2*r.Factor/math.Sqrt2) / 2
	small, large := upTo(beyond), upTo(100-beyond)
	switch r.Kind {
	case conformity.Simple:
		return assumed + ": false acceptance up to 50\u00a0%, false rejection up to 50\u00a0%."
	case conformity.Guarded:
		return normal + "false acceptance " + small + ", false rejection " + large + "."
	case conformity.FourVerdicts:
		return normal + "false acceptance " + small + " by pass, up to 50\u00a0% by conditional pass; false rejection " + small + " by fail, up to 50\u00a0% by conditional fail."
	}
	return assumed + ": false acceptance up to " + percent(r.Risk) + "\u00a0%, false rejection up to " + percent(1-r.Risk) + "\u00a0%."
}

// upTo writes the most that a risk may be, in per cent. A wide guard band leaves
// little, which is not nothing.
func upTo(most float64) string {
	if most < 0.05 {
		return "below 0.1\u00a0%"
	}
	return fmt.Sprintf("up to %.1f\u00a0%%", most)
}
