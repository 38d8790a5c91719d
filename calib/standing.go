package calib

import "fmt"

// A Standing is how a gauge stood on the day it was used, as the registry had
// it.
type Standing struct {
	Status Status `json:"status,omitempty"`
	Limits string `json:"limits,omitempty"` // of its use, as its status has them
	Due    Date   `json:"due,omitzero"`     // first day on which a check of it is due; zero: none is waited for
	Never  bool   `json:"never_checked,omitempty"`
}

// Refused says why a gauge that stands so cannot have been used; nothing if it
// can.
func (s Standing) Refused() string {
	if s.Status.Withdrawn() {
		return "is " + string(s.Status) + "; want a gauge that is there"
	}
	return ""
}

// Marks says what is to be told wherever a figure of the gauge is.
func (s Standing) Marks(gauge string, day Date) []string {
	var out []string
	say := func(format string, args ...any) {
		out = append(out, "gauge "+gauge+": "+fmt.Sprintf(format, args...))
	}
	switch {
	case s.Status == LimitedUse && s.Limits != "":
		say("is %s (%s)", s.Status, s.Limits)
	case s.Status != "" && s.Status != InService:
		say("is %s", s.Status)
	}
	switch {
	case s.Never:
		say("was never checked")
	case !s.Due.IsZero() && s.Due.Before(day):
		say("has been due for a check since %s", s.Due)
	}
	return out
}
