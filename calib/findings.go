package calib

import "fmt"

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
