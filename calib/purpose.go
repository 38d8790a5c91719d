package calib

// A Purpose tells a check by which a gauge's interval begins anew from one that
// only looks whether it still stands (ISO/IEC 17025:2017, 6.4.10; clause from
// memory). Each has a clock of its own.
type Purpose string

// The purposes. A check that names none is a full one.
const (
	FullCheck         Purpose = "full"
	IntermediateCheck Purpose = "intermediate"
)

// Purposes lists them in the order they are offered.
func Purposes() []Purpose { return []Purpose{FullCheck, IntermediateCheck} }

// Intermediate reports whether the check was made between two full ones.
func (c Check) Intermediate() bool { return c.Purpose == IntermediateCheck }

// Passed reports whether a verdict lets a gauge be used until its interval ends
// (ILAC-G8:09/2019, 4.2.3: a conditional pass is a pass).
func (v Verdict) Passed() bool { return v == "pass" || v == "conditional pass" }

// Failed reports whether a verdict puts a gauge out of use. One that cannot be
// decided does neither.
func (v Verdict) Failed() bool { return v == "fail" || v == "conditional fail" }

// InUse reports whether a gauge in this status may be used for what it is for,
// with or without limits of use.
func (s Status) InUse() bool { return s == InService || s == LimitedUse }

// Doubted reports whether a gauge in this status returns to use only through a
// check that it passes: it is under suspicion, failed, or nobody has looked
// after it.
func (s Status) Doubted() bool {
	return s == Quarantined || s == Failed || s == Stored || s == Lost || s == Retired
}

// After says whether a status can come after the one before, where checked
// tells that the gauge passed a check since it was last doubted. It returns
// what is wanted instead, nothing where it can. A doubted gauge may always be
// marked for indication only; that is no return to use.
func (s Status) After(before Status, checked bool) (want string) {
	switch {
	case before.Withdrawn() && !s.Doubted():
		return "want it quarantined or stored first, and then a check that it passes"
	case s.InUse() && !checked:
		return "want a check that it passes first"
	}
	return ""
}
