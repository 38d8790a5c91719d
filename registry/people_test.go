package registry

import (
	"testing"

	"example.org/wring/calib"
)

// as runs fn as another person.
func (b *bench) as(person string, fn func(*Tx) error) error {
	b.t.Helper()
	was := b.hand
	b.hand.Person = person
	defer func() { b.hand = was }()
	return b.Update(fn)
}

func TestARuleOfReleaseHoldsFromItsEntryOn(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	before := b.keep(check("A", "2026-02-01", calib.AsFound), "pass").Seq
	for n, on := range []bool{true, false, true} {
		b.must(func(tx *Tx) error { _, err := tx.AddPerson(Person{ID: "EK", May: []string{MayPerform}}); return err })
		b.must(func(tx *Tx) error { _, err := tx.SetReleaseRule(ReleaseRule{Required: on, Reason: "r"}); return err })
		day := calib.MustDate("2026-02-02").AddDays(n).String()
		seq := b.keep(check("A", day, calib.AsFound), "pass").Seq
		_ = b.View(func(tx *Tx) error {
			for at, want := range map[uint64]bool{before: false, seq: on} {
				if got, err := tx.ReleaseRequired(at); got != want || err != nil {
					t.Errorf("entry %d wants release: %v, %v; want %v", at, got, err, want)
				}
			}
			return nil
		})
	}
	if err := b.Update(func(tx *Tx) error { _, err := tx.SetReleaseRule(ReleaseRule{Required: true, Reason: "r"}); return err }); err == nil {
		t.Error("a rule was made twice")
	}
}

func TestOnlyASecondPersonReleasesAndOnce(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	old := b.keep(check("A", "2026-02-01", calib.AsFound), "pass").Seq
	b.must(func(tx *Tx) error {
		for id, may := range map[string][]string{"EK": {MayPerform, MayRelease}, "QL": {MayRelease}, "JV": {MayPerform}, "XX": {}} {
			if _, err := tx.AddPerson(Person{ID: id, May: may}); err != nil {
				return err
			}
		}
		_, err := tx.SetReleaseRule(ReleaseRule{Required: true, Reason: "r"})
		return err
	})
	seq := b.keep(check("A", "2026-02-02", calib.AsFound), "pass").Seq
	release := func(person string, seq uint64) error {
		return b.as(person, func(tx *Tx) error { _, err := tx.ReleaseCheck(seq, ""); return err })
	}
	for _, c := range []struct {
		person string
		seq    uint64
		want   string
	}{
		{"QL", 99, `entry "99": not in the registry`},
		{"QL", 2, `entry 2: is a "plan"; want the entry of a check`},
		{"QL", old, "check 6: wants no release: the rule was not made when it was kept; want a check that does, see wring release --help"},
		{"EK", seq, "check 12: EK performed or entered it; want a second person to release it"},
		{"JV", seq, "check 12: JV is not registered as one who may release; want one who is, see wring person list"},
		{"XX", seq, "check 12: XX is not registered as one who may release; want one who is, see wring person list"},
		{"nobody", seq, "check 12: nobody is not registered as one who may release; want one who is, see wring person list"},
	} {
		if err := release(c.person, c.seq); err == nil || err.Error() != c.want {
			t.Errorf("%s, %d:\ngot  %v\nwant %s", c.person, c.seq, err, c.want)
		}
	}
	if err := release("QL", seq); err != nil {
		t.Fatal(err)
	}
	if err := release("QL", seq); err == nil || err.Error() != "check 12: was released by QL in entry 13; want a check that waits for release" {
		t.Errorf("a second time: %v", err)
	}
	now, err := b.amend(seq, "pass", func(a *CheckAmendment) { a.Check.Remarks = "x" })
	if err != nil {
		t.Fatal(err)
	}
	if err := release("QL", seq); err == nil || err.Error() != "check 12: was amended by entry 14; want that one released, 14" {
		t.Errorf("after an amendment: %v", err)
	}
	_ = b.View(func(tx *Tx) error {
		for at, want := range map[uint64]uint64{seq: 13, now: 0} {
			e, head, err := tx.ReleaseOf(at)
			if err != nil || head.Seq != want || (e != nil && e.Person != "QL") {
				t.Errorf("check %d is released by entry %d, %v; want %d", at, head.Seq, err, want)
			}
		}
		return nil
	})
}

func TestWhoIsNotRegisteredPerformsNothingUnderTheRule(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.must(func(tx *Tx) error { _, err := tx.SetReleaseRule(ReleaseRule{Required: true, Reason: "r"}); return err })
	err := b.Update(func(tx *Tx) error {
		c := check("A", "2026-02-02", calib.AsFound)
		_, refs, err := tx.Basis(c)
		if err != nil {
			return err
		}
		_, err = tx.KeepCheck(KeptCheck{Check: c, Basis: refs, Result: result("pass")})
		return err
	})
	if err == nil || err.Error() != "check of A: EK is not registered as one who may perform; want one who is, see wring person list" {
		t.Errorf("got %v", err)
	}
	if err := b.Update(func(tx *Tx) error { _, err := tx.AddPerson(Person{ID: "EK", May: []string{"rule"}}); return err }); err == nil || err.Error() != `person EK: may "rule"; want perform or release` {
		t.Errorf("got %v", err)
	}
}

func TestAnAmendedNameMakesNobodyASecondPerson(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.must(func(tx *Tx) error {
		for _, id := range []string{"EK", "JV", "AS"} {
			if _, err := tx.AddPerson(Person{ID: id, May: []string{MayPerform, MayRelease}}); err != nil {
				return err
			}
		}
		_, err := tx.SetReleaseRule(ReleaseRule{Required: true, Reason: "r"})
		return err
	})
	seq := b.keep(check("A", "2026-02-02", calib.AsFound), "pass").Seq
	b.hand.Person = "AS" // who enters the amendment is a third
	now, err := b.amend(seq, "pass", func(a *CheckAmendment) { a.Check.Person = "JV" })
	if err != nil {
		t.Fatal(err)
	}
	err = b.as("EK", func(tx *Tx) error { _, err := tx.ReleaseCheck(now, ""); return err })
	if err == nil {
		t.Error("EK performed the check, and released it under another's name")
	}
}

// What a second person answers for is not taken back by a first one alone.
func TestWhoIsNotRegisteredWithdrawsNothingUnderTheRule(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	old := b.keep(check("A", "2026-01-01", calib.AsFound), "pass").Seq
	b.must(func(tx *Tx) error {
		for id, may := range map[string][]string{"EK": {MayPerform}, "QL": {MayRelease}, "XX": {}} {
			if _, err := tx.AddPerson(Person{ID: id, May: may}); err != nil {
				return err
			}
		}
		_, err := tx.SetReleaseRule(ReleaseRule{Required: true, Reason: "r"})
		return err
	})
	waits := b.keep(check("A", "2026-02-02", calib.AsFound), "pass").Seq
	done := b.keep(check("A", "2026-02-03", calib.AsFound), "pass").Seq
	if err := b.as("QL", func(tx *Tx) error { _, err := tx.ReleaseCheck(done, ""); return err }); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		person string
		seq    uint64
		want   string // empty: done
	}{
		{"XX", waits, "check 11: XX is not registered as one who may perform or release; want it withdrawn by one who is, see wring person list"},
		{"nobody", old, "check 6: nobody is not registered as one who may perform or release; want it withdrawn by one who is, see wring person list"},
		{"EK", done, "check 12: was released by QL, and EK is not registered as one who may release; want it withdrawn by one who is, see wring person list"},
		{"EK", waits, ""},
		{"QL", done, ""},
	} {
		err := b.as(c.person, func(tx *Tx) error { _, err := tx.Withdraw(c.seq, "r"); return err })
		if c.want == "" && err != nil || c.want != "" && (err == nil || err.Error() != c.want) {
			t.Errorf("%s, %d:\ngot  %v\nwant %s", c.person, c.seq, err, c.want)
		}
	}
}
