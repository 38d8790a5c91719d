package registry

import (
	"fmt"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func (b *bench) decide(l LookBackState, item string) {
	b.t.Helper()
	b.must(func(tx *Tx) error {
		_, err := tx.Decide(Disposition{LookBack: l.Entry, Item: item, Decision: DecidedKept, Reason: "r"})
		return err
	})
}

func (b *bench) stands(seq uint64) (by uint64) {
	b.t.Helper()
	b.must(func(tx *Tx) (err error) { by, err = tx.Stands(seq); return err })
	return by
}

// item is one of the oldest look-back of a subject, by the key of the item.
func (b *bench) item(subject, key string) (found Item) {
	b.t.Helper()
	b.must(func(tx *Tx) error {
		all, err := tx.LookBacks(subject)
		if err != nil {
			return err
		}
		list, err := tx.Items(all[0])
		for _, i := range list {
			if i.Key == key {
				found = i
			}
		}
		return err
	})
	if found.Key == "" {
		b.t.Fatalf("look-back of %s has no item %q", subject, key)
	}
	return found
}

// The use of A was decided on up to the check without GB-1 that it passed;
// amended to a failure, that check ends it no longer.
func TestADecisionIsOpenAgainWhereALaterEntryWidensItsSpan(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.must(func(tx *Tx) error {
		_, err := tx.AddStandard(calib.Standard{ID: "GB-2", Kind: calib.BlockSet})
		return err
	})
	first := b.keep(check("A", "2026-02-01", calib.AsFound), "pass")
	other := check("A", "2026-02-10", calib.AsFound)
	other.Standards = []string{"GB-2"}
	good := b.keep(other, "pass")
	b.must(func(tx *Tx) error {
		_, err := tx.OpenLookBack(LookBack{Subject: "GB-1", Since: calib.MustDate("2026-01-31"), Until: calib.MustDate("2026-03-02"), Reason: "recalled"})
		return err
	})
	l, _ := items(t, b, "GB-1")
	b.decide(l, "use A")
	b.decide(l, fmt.Sprintf("check %d", first.Seq))
	if i := b.item("GB-1", "use A"); i.Open() || i.To.String() != "2026-02-10" {
		t.Fatalf("decided on, the use is %+v", i)
	}
	b.judgeAgain(good.Seq, "fail")
	if i := b.item("GB-1", "use A"); !i.Open() || i.Decided == nil || i.Reopened != "its span was 2026-02-01 to 2026-02-10 then" {
		t.Errorf("the span grew to %s, and the item says %q", i.To, i.Reopened)
	}
	if i := b.item("GB-1", fmt.Sprintf("check %d", first.Seq)); i.Open() {
		t.Errorf("a check whose day stays is open again: %q", i.Reopened)
	}
	b.decide(l, "use A")
	if i := b.item("GB-1", "use A"); i.Open() {
		t.Errorf("decided on again, it is open: %q", i.Reopened)
	}
	b.judgeAgain(b.stands(good.Seq), "pass") // the span shrinks: what was decided covers it
	if i := b.item("GB-1", "use A"); i.Open() || i.To.String() != "2026-02-10" {
		t.Errorf("the span shrank to %s, and the item says %q", i.To, i.Reopened)
	}
}

func TestADecisionIsOpenAgainWhereTheErrorsItWasHeldAgainstChange(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	bad := b.keep(check("A", "2026-01-10", calib.AsFound), "fail")
	l, _ := items(t, b, "A")
	b.decide(l, "use A")
	b.judgeAgain(bad.Seq, "fail") // another remark, the same result
	if i := b.item("A", "use A"); i.Open() {
		t.Errorf("an amendment that changed no result opened it again: %q", i.Reopened)
	}
	by := b.stands(bad.Seq)
	b.must(func(tx *Tx) error {
		old, err := tx.Check(by)
		if err != nil {
			return err
		}
		now := old.Check
		now.Check.Remarks, now.Result = "the other block", result("fail")
		now.Result.Points = append([]calib.PointResult{}, old.Check.Result.Points...)
		now.Result.Points[0].Error = unit.FromFloat(0.009)
		_, err = tx.AmendCheck(CheckAmendment{Amends: by, Reason: "r", Changes: []Change{{"remarks", "", "x"}}, KeptCheck: now})
		return err
	})
	if i := b.item("A", "use A"); !i.Open() || !strings.HasSuffix(i.Reopened, fmt.Sprintf("amended the result of check %d since", bad.Seq)) {
		t.Errorf("the error changed, and the item says %q", i.Reopened)
	}
	var all []LookBackState
	b.must(func(tx *Tx) (err error) { all, err = tx.LookBacks("A"); return err })
	if len(all) != 1 {
		t.Errorf("%d look-backs of one check; want the one that is open again", len(all))
	}
}
