package calib

import (
	"fmt"
	"slices"

	"example.org/wring/uncertainty/unit"
)

// A StopError carries every finding that stops a check.
type StopError struct{ Findings []Finding }

func (e *StopError) Error() string {
	f := e.Findings[0]
	text := fmt.Sprintf("%s: %s", f.Gate, f.Text)
	if f.Point > 0 {
		text = fmt.Sprintf("point %d: %s", f.Point, text)
	}
	if more := len(e.Findings) - 1; more > 0 {
		text += fmt.Sprintf(" (and %d more)", more)
	}
	return text
}

// PartFindings parts what stops a check from what marks it; it returns a
// [*StopError] where anything stops.
func PartFindings(all []Finding) (marked []Finding, err error) {
	var stop []Finding
	for _, f := range all {
		if f.Action == Stop {
			stop = append(stop, f)
		} else {
			marked = append(marked, f)
		}
	}
	if len(stop) > 0 {
		return nil, &StopError{stop}
	}
	return marked, nil
}

// Surroundings holds the temperatures of a check to the plan's environment, and
// returns what was not met, without what the plan ignores.
func (b Basis) Surroundings(c Check) []Finding {
	var out []Finding
	find := func(gate Gate, format string, args ...any) {
		if a := b.Plan.ActionOf(gate); a != Ignore {
			out = append(out, Finding{Gate: gate, Text: fmt.Sprintf(format, args...), Action: a})
		}
	}
	want, at := b.Plan.Environment, c.Conditions
	if want.IsZero() {
		return nil
	}
	if at.Gauge.IsZero() {
		find(GateNoEnvironment, "no temperature was recorded; the plan wants %s", want.span())
		return out
	}
	for _, t := range []unit.Quantity{at.Gauge, at.Blocks} {
		if !t.IsZero() && want.excludes(t) {
			find(GateEnvironment, "%s; the plan wants %s", t, want.span())
		}
	}
	apart := at.Gauge.Inner().Sub(at.BlocksAt().Inner()).Abs()
	if !want.Difference.IsZero() && apart.Cmp(want.Difference.Inner()) > 0 {
		find(GateEnvironment, "gauge at %s and blocks at %s; the plan wants them within %s", at.Gauge, at.BlocksAt(), want.Difference)
	}
	if !slices.ContainsFunc(b.Standards, func(s StandardOnDay) bool { return s.Standard.Kind == Thermometer }) {
		find(GateThermometer, "the temperature was read with no thermometer named; name it among the standards")
	}
	return out
}

// Missing names a place of the plan that a check did not take; what is the
// plan's word for it. One that was left out with a reason marks the check where
// the plan's gates do not say otherwise (house rule): the reason is read with
// the result. It reports false where the plan ignores it.
func (b Basis) Missing(c Check, part Part, what string, at unit.Quantity) (Finding, bool) {
	f := Finding{Gate: GatePoints, Action: b.Plan.ActionOf(GatePoints), Text: fmt.Sprintf("the plan's %s %s was not taken", what, at)}
	if why, skipped := c.WhySkipped(part, at); skipped {
		f.Text = fmt.Sprintf("the plan's %s %s was left out: %s", what, at, why)
		if _, said := b.Plan.Gates[GatePoints]; !said {
			f.Action = Mark
		}
	}
	return f, f.Action != Ignore
}

func (e Environment) excludes(t unit.Quantity) bool {
	return !e.Low.IsZero() && t.Inner().Cmp(e.Low.Inner()) < 0 || !e.High.IsZero() && t.Inner().Cmp(e.High.Inner()) > 0
}

func (e Environment) span() string {
	switch {
	case e.Low.IsZero():
		return "at most " + e.High.String()
	case e.High.IsZero():
		return "at least " + e.Low.String()
	default:
		return e.Low.String() + " to " + e.High.String()
	}
}

// OutOfUse says why a gauge cannot be checked, empty where it can.
func (b Basis) OutOfUse() string {
	if !b.Status.Withdrawn() {
		return ""
	}
	return fmt.Sprintf("%s is %s; bring it back with its status first", b.Gauge.ID, b.Status)
}

// OutOfDate says why a standard's certificate does not count on a day, empty
// where it does.
func (s StandardOnDay) OutOfDate(day Date) string {
	switch cert := s.Certificate; {
	case cert.Number == "":
		return fmt.Sprintf("%s has no certificate that counts on %s", s.Standard.ID, day)
	case !cert.Due.IsZero() && day.After(cert.Due):
		return fmt.Sprintf("%s: certificate %s was due on %s, before %s", s.Standard.ID, cert.Number, cert.Due, day)
	}
	return ""
}
