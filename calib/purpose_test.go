package calib

import (
	"strings"
	"testing"
)

func TestADoubtedGaugeReturnsThroughACheckAlone(t *testing.T) {
	const check, first = "want a check that it passes first", "want it quarantined or stored first, and then a check that it passes"
	for _, c := range []struct {
		before, now Status
		checked     bool
		want        string
	}{
		{Quarantined, InService, false, check},
		{Failed, LimitedUse, false, check},
		{Stored, InService, false, check},
		{Stored, InService, true, ""},
		{Failed, IndicationOnly, false, ""},
		{IndicationOnly, InService, false, check}, // no way round by a mark
		{IndicationOnly, InService, true, ""},
		{Lost, InService, true, first},
		{Retired, IndicationOnly, false, first},
		{Lost, Quarantined, false, ""},
		{InService, Away, true, ""},
		{Away, InService, true, ""},
		{InService, Retired, true, ""},
	} {
		if got := c.now.After(c.before, c.checked); got != c.want {
			t.Errorf("%s after %s, checked %v: %q, want %q", c.now, c.before, c.checked, got, c.want)
		}
	}
}

// Every status after every other: . at any time, c only where a check was passed
// since the last doubt, q never, it has to be doubted first.
func TestEveryStatusAfterEveryOther(t *testing.T) {
	table := []struct{ before, now string }{
		{"in service", "c c . . . . . . ."},
		{"in service with limits of use", "c c . . . . . . ."},
		{"indication only", "c c . . . . . . ."},
		{"away", "c c . . . . . . ."},
		{"quarantined", "c c . . . . . . ."},
		{"failed", "c c . . . . . . ."},
		{"stored", "c c . . . . . . ."},
		{"lost", "q q q q . . . . ."},
		{"retired", "q q q q . . . . ."},
	}
	if len(table) != len(Statuses()) {
		t.Fatalf("%d rows for %d statuses", len(table), len(Statuses()))
	}
	for i, row := range table {
		if string(Statuses()[i]) != row.before {
			t.Fatalf("row %d is %q, want %q", i+1, row.before, Statuses()[i])
		}
		for j, cell := range strings.Fields(row.now) {
			now := Statuses()[j]
			for _, checked := range []bool{false, true} {
				may := cell == "." || cell == "c" && checked
				if got := now.After(Status(row.before), checked); (got == "") != may {
					t.Errorf("%s after %s, checked %v: wants %q; the table says it may be: %v", now, row.before, checked, got, may)
				}
			}
		}
	}
}

// Only in service, with limits of use or not, is a gauge good for a lot.
func TestWhatIsMarkedForIndicationOnlyIsNotInUse(t *testing.T) {
	for _, s := range Statuses() {
		if want := s == InService || s == LimitedUse; s.InUse() != want {
			t.Errorf("%s: in use %v, want %v", s, s.InUse(), want)
		}
	}
}

func TestPurposeIsFullUnlessItSaysOtherwise(t *testing.T) {
	if (Check{}).Intermediate() || !(Check{Purpose: IntermediateCheck}).Intermediate() || (Check{Purpose: FullCheck}).Intermediate() {
		t.Error("only an intermediate check is one")
	}
	if err := NewShape().Check(Check{Gauge: "G", Plan: "p", Revision: 1, Stage: AsFound, Person: "P", Purpose: "half", Points: make([]Point, 1)}); err == nil ||
		err.Error() != `purpose "half": want one of full intermediate` {
		t.Errorf("%v", err)
	}
}

func TestVerdictsThatPassAndThatFail(t *testing.T) {
	for v, want := range map[Verdict][2]bool{"pass": {true, false}, "conditional pass": {true, false}, "conditional fail": {false, true},
		"fail": {false, true}, "cannot be decided": {false, false}, "": {false, false}} {
		if v.Passed() != want[0] || v.Failed() != want[1] {
			t.Errorf("%q passes %v and fails %v, want %v", v, v.Passed(), v.Failed(), want)
		}
	}
}
