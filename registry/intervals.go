package registry

import (
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// An AcceptedInterval is the payload of an accepted proposal, and what counts
// for the part of the gauge from then on.
type AcceptedInterval struct {
	Gauge  string     `json:"gauge"`
	Part   calib.Part `json:"part"`
	Old    int        `json:"old"` // months
	New    int        `json:"new"` // months, 1 to 240
	Method string     `json:"method"`
	Inputs string     `json:"inputs,omitempty"` // what the method rested on, in words
	Why    string     `json:"why,omitempty"`    // what the method said
	Reason string     `json:"reason"`           // why the person took it

	Entry uint64 `json:"entry,omitempty"` // that holds it; not in the entry itself
}

// mostMonths is the longest interval that a record takes (calib.Gauge).
const mostMonths = 240

// AcceptInterval enters a new interval for one part of a gauge.
func (tx *Tx) AcceptInterval(a AcceptedInterval) (journal.Head, error) {
	s, err := tx.Gauge(a.Gauge)
	if err != nil {
		return journal.Head{}, err
	}
	refuse := func(found, want string) (journal.Head, error) {
		return journal.Head{}, &RuleError{"interval of " + a.Gauge + ": " + found, want}
	}
	switch {
	case strings.TrimSpace(a.Reason) == "":
		return refuse("no reason", "want why it is accepted")
	case a.New < 1 || a.New > mostMonths:
		return refuse("no span of 1 to 240 months", "want one")
	case !slices.ContainsFunc(s.parts(), func(p PartState) bool { return p.Part == a.Part }):
		return refuse("no part "+string(a.Part), "want one that its plan has and a check recorded")
	case s.Months(a.Part) != a.Old:
		return refuse("it was changed meanwhile", "look again, and accept it then")
	case a.New == a.Old:
		return refuse("is so already", "want another one")
	}
	a.Entry = 0
	return tx.append(KindInterval, a)
}

// AcceptedAt returns the entry in which the interval of a part was accepted; 0
// where the gauge's own or the plan's counts.
func (s GaugeState) AcceptedAt(part calib.Part) uint64 {
	for _, a := range s.Accepted {
		if a.Part == part {
			return a.Entry
		}
	}
	return 0
}

func (tx *Tx) applyInterval(e journal.Entry) error {
	var a AcceptedInterval
	if err := decode(e, &a); err != nil {
		return err
	}
	old, err := tx.Gauge(a.Gauge)
	if err != nil {
		return err
	}
	s, err := old.accepted(e)
	if err != nil {
		return err
	}
	return tx.setGauge(&old, s, e.Seq, otherRow())
}

// accepted is the state after an interval was accepted for one part.
func (s GaugeState) accepted(e journal.Entry) (GaugeState, error) {
	var a AcceptedInterval
	if err := decode(e, &a); err != nil {
		return s, err
	}
	a.Entry = e.Seq
	s.Accepted = slices.DeleteFunc(slices.Clone(s.Accepted), func(o AcceptedInterval) bool { return o.Part == a.Part })
	s.Accepted = append(s.Accepted, a)
	return s, nil
}
