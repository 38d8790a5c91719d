package registry

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func (b *bench) gauge(id string) (s GaugeState) {
	b.t.Helper()
	if err := b.View(func(tx *Tx) (err error) { s, err = tx.Gauge(id); return err }); err != nil {
		b.t.Fatal(err)
	}
	return s
}

func (b *bench) status(id string, to calib.Status) error {
	return b.Update(func(tx *Tx) error {
		_, err := tx.ChangeStatus(calib.StatusChange{Gauge: id, Status: to, Date: calib.MustDate("2026-03-01"), Reason: "r"})
		return err
	})
}

func (b *bench) kinds(id string) (out []string) {
	b.t.Helper()
	_ = b.View(func(tx *Tx) error {
		all, err := tx.Entries(id)
		for _, e := range all {
			out = append(out, e.Kind)
		}
		return err
	})
	return out
}

func TestAFailingCheckAsFoundFailsTheGaugeAndLooksBack(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2025-02-28", calib.AsFound), "pass")
	head := b.keep(check("A", "2026-02-28", calib.AsFound), "fail")
	s := b.gauge("A")
	if s.Status != calib.Failed || s.Since.String() != "2026-02-28" || s.Reason != fmt.Sprintf("entry %d: as found, fail", head.Seq) {
		t.Errorf("%s since %s (%s)", s.Status, s.Since, s.Reason)
	}
	var open []LookBackState
	_ = b.View(func(tx *Tx) (err error) { open, err = tx.LookBacks("A"); return err })
	if len(open) != 1 || open[0].Since.String() != "2025-02-28" || open[0].Until.String() != "2026-02-28" || open[0].Check != head.Seq {
		t.Fatalf("look-backs %+v", open)
	}
	// Each is an entry of its own, and the gauge returns by another when it passes.
	b.keep(check("A", "2026-02-28", calib.AsLeft), "pass")
	if diff := cmp.Diff([]string{KindGauge, KindCheck, KindCheck, KindStatus, KindLookBack, KindCheck, KindStatus}, b.kinds("A")); diff != "" {
		t.Error(diff)
	}
	if s := b.gauge("A"); s.Status != calib.InService || s.Unproven {
		t.Errorf("after it passed: %s, unproven %v", s.Status, s.Unproven)
	}
}

// A gauge that an adjustment left outside its limits is out of use too, though
// what it measured before is as good as it was found.
func TestAFailingCheckAsLeftFailsTheGaugeAndLooksNotBack(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2026-02-01", calib.AsFound), "pass")
	b.keep(check("A", "2026-02-01", calib.AsLeft), "fail")
	if s := b.gauge("A"); s.Status != calib.Failed {
		t.Errorf("is %s, want failed", s.Status)
	}
	if diff := cmp.Diff([]string{"gauge", "check", "check", "gauge status"}, b.kinds("A")); diff != "" {
		t.Error(diff)
	}
	b.keep(check("A", "2026-02-02", calib.AsLeft), "pass")
	if s := b.gauge("A"); s.Status != calib.InService {
		t.Errorf("is %s after it passed, want in service", s.Status)
	}
}

func TestWhatFollowsFromACheckDependsOnWhoDoubted(t *testing.T) {
	for _, c := range []struct {
		name  string
		story func(*bench)
		want  calib.Status
	}{
		{"a limited gauge returns as one", func(b *bench) {
			b.keep(check("A", "2026-01-01", calib.AsFound), "pass")
			_ = b.status("A", calib.LimitedUse)
			b.keep(check("A", "2026-02-28", calib.AsFound), "fail")
			b.keep(check("A", "2026-02-28", calib.AsLeft), "pass")
		}, calib.LimitedUse},
		{"what a person quarantined stays so", func(b *bench) {
			_ = b.status("A", calib.Quarantined)
			b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
		}, calib.Quarantined},
		{"and stays failed if it failed then", func(b *bench) {
			_ = b.status("A", calib.Quarantined)
			b.keep(check("A", "2026-02-28", calib.AsFound), "fail")
			b.keep(check("A", "2026-02-28", calib.AsLeft), "pass")
		}, calib.Failed},
		{"an undecided check fails nothing", func(b *bench) { b.keep(check("A", "2026-02-28", calib.AsFound), "cannot be decided") }, calib.InService},
		{"one as left fails it as well", func(b *bench) { b.keep(check("A", "2026-02-28", calib.AsLeft), "fail") }, calib.Failed},
		{"but none of the past that a newer passed", func(b *bench) {
			b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
			b.keep(check("A", "2025-02-28", calib.AsFound), "fail")
		}, calib.InService},
		{"a gauge that was away was here", func(b *bench) {
			_ = b.status("A", calib.Away)
			b.keep(check("A", "2026-02-28", calib.AsFound), "conditional fail")
			b.keep(check("A", "2026-02-28", calib.AsLeft), "conditional pass")
		}, calib.InService},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.stock("A")
			c.story(b)
			if s := b.gauge("A"); s.Status != c.want {
				t.Errorf("%s, want %s", s.Status, c.want)
			}
		})
	}
}

func TestReturnOnlyThroughAPassingCheck(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2026-02-01", calib.AsFound), "pass")
	if err := b.status("A", calib.Stored); err != nil {
		t.Fatal(err)
	}
	const want = "gauge A: is stored and cannot be in service next; want a check that it passes first; its last is of 2026-02-01, before that status of 2026-03-01"
	if err := b.status("A", calib.InService); err == nil || err.Error() != want {
		t.Errorf("%v\nwant %s", err, want)
	}
	if err := b.status("A", calib.Away); err != nil {
		t.Error(err)
	}
	if err := b.status("A", calib.InService); err == nil {
		t.Error("a way round by another status")
	}
	before := b.keep(check("A", "2026-02-28", calib.AsFound), "pass").Seq
	const older = "gauge A: is away and cannot be in service next; want a check that it passes first; its last is of 2026-02-28, before that status of 2026-03-01"
	if err := b.status("A", calib.InService); err == nil || err.Error() != older {
		t.Errorf("a check of the day before the doubt, entered after it: %v", err)
	}
	if _, err := b.amend(before, "pass", nil); err != nil {
		t.Fatal(err)
	}
	if err := b.status("A", calib.InService); err == nil {
		t.Error("an amendment of a check before the doubt ended it")
	}
	b.keep(check("A", "2026-03-01", calib.AsFound), "pass")
	if err := b.status("A", calib.InService); err != nil {
		t.Error(err)
	}
	if err := b.status("A", "broken"); err == nil || err.Error() != `gauge A: no status "broken"; want one that there is` {
		t.Errorf("%v", err)
	}
}

func TestAGaugeIsNoStandard(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.must(func(tx *Tx) error { _, err := tx.AddGauge(gauge("B")); return err })
	c := check("A", "2026-02-28", calib.AsFound)
	c.Standards = []string{"B"}
	ask := func() error { return b.View(func(tx *Tx) error { _, _, err := tx.Basis(c); return err }) }
	if err := ask(); err == nil || err.Error() != "standard B: is a gauge; want a standard with a certificate, or the gauge entered as one" {
		t.Errorf("%v", err)
	}
	if err := b.status("B", calib.IndicationOnly); err != nil {
		t.Fatal(err)
	}
	if err := ask(); err == nil || err.Error() != "standard B: is a gauge marked indication only; want a standard with a certificate" {
		t.Errorf("%v", err)
	}
}

// partedPlan has a length part of 12 months and a measuring force of 6.
func partedPlan() calib.Plan {
	p := plan(12)
	p.Points = []unit.Quantity{mm("10")}
	p.Force = &calib.ForcePlan{PartTerms: calib.PartTerms{IntervalMonths: 6}}
	return p
}

func (b *bench) rows(until string) (out []string) {
	b.t.Helper()
	_ = b.View(func(tx *Tx) error {
		return tx.Due(calib.MustDate(until), func(r *DueRow) error {
			if !r.Standard {
				out = append(out, fmt.Sprintf("%s|%s|%s|%s", r.ID, r.Due, r.Part, r.Clock))
			}
			return nil
		})
	})
	return out
}

func TestEachPartHasItsOwnClock(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.must(func(tx *Tx) error { _, err := tx.AddPlan(partedPlan()); return err })
	b.keep(check("A", "2026-01-31", calib.AsFound), "pass")
	// The force was never checked: it is not silently absent.
	if diff := cmp.Diff([]string{"A||measuring force|full", "A|2027-01-31|length|full"}, b.rows("2030-01-01")); diff != "" {
		t.Error(diff)
	}
	c := check("A", "2026-02-28", calib.AsFound)
	c.Points, c.Force = nil, &calib.ForceCheck{}
	b.keep(c, "pass")
	if diff := cmp.Diff([]string{"A|2026-08-28|measuring force|full", "A|2027-01-31|length|full"}, b.rows("2030-01-01")); diff != "" {
		t.Error(diff)
	}
}

func TestIntermediateChecksHaveASecondClock(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	p := plan(12)
	p.IntermediateMonths = 3
	b.must(func(tx *Tx) error { _, err := tx.AddPlan(p); return err })
	b.keep(check("A", "2026-01-31", calib.AsFound), "pass")
	if diff := cmp.Diff([]string{"A|2026-04-30||intermediate", "A|2027-01-31|length|full"}, b.rows("2030-01-01")); diff != "" {
		t.Error(diff)
	}
	between := check("A", "2026-05-15", calib.AsFound)
	between.Purpose = calib.IntermediateCheck
	b.keep(between, "pass")
	if diff := cmp.Diff([]string{"A|2026-08-15||intermediate", "A|2027-01-31|length|full"}, b.rows("2030-01-01")); diff != "" {
		t.Error(diff)
	}
	// One that fails leaves the full check due at once.
	between.Date = calib.MustDate("2026-08-15")
	b.keep(between, "fail")
	if diff := cmp.Diff([]string{"A|2026-08-15|length|full"}, b.rows("2030-01-01")); diff != "" {
		t.Error(diff)
	}
	b.keep(check("A", "2026-08-20", calib.AsLeft), "pass")
	if diff := cmp.Diff([]string{"A|2026-11-20||intermediate", "A|2027-08-20|length|full"}, b.rows("2030-01-01")); diff != "" {
		t.Error(diff)
	}
}

func TestAnAcceptedIntervalCountsForItsPart(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
	accept := func(a AcceptedInterval) error {
		a.Gauge, a.Part = "A", calib.LengthPart
		return b.Update(func(tx *Tx) error { _, err := tx.AcceptInterval(a); return err })
	}
	for _, c := range []struct {
		a    AcceptedInterval
		want string
	}{
		{AcceptedInterval{Old: 12, New: 6}, "interval of A: no reason; want why it is accepted"},
		{AcceptedInterval{Old: 12, New: 0, Reason: "r"}, "interval of A: no span of 1 to 240 months; want one"},
		{AcceptedInterval{Old: 11, New: 6, Reason: "r"}, "interval of A: it was changed meanwhile; look again, and accept it then"},
		{AcceptedInterval{Old: 12, New: 12, Reason: "r"}, "interval of A: is so already; want another one"},
	} {
		if err := accept(c.a); err == nil || err.Error() != c.want {
			t.Errorf("%+v: %v\nwant %s", c.a, err, c.want)
		}
	}
	if err := accept(AcceptedInterval{Old: 12, New: 6, Method: "staircase", Reason: "r"}); err != nil {
		t.Fatal(err)
	}
	if got := b.rows("2030-01-01"); !slices.Equal(got, []string{"A|2026-08-28|length|full"}) {
		t.Errorf("%v", got)
	}
	// The record's own interval, set later, counts again.
	g := gauge("A")
	g.IntervalMonths = 3
	b.must(func(tx *Tx) error {
		_, err := tx.AmendGauge(Amendment{Gauge: g, Changes: []Change{{"interval", "", "3"}}, Reason: "r"})
		return err
	})
	if got := b.rows("2030-01-01"); !slices.Equal(got, []string{"A|2026-05-28|length|full"}) {
		t.Errorf("%v", got)
	}
}

func items(t *testing.T, b *bench, subject string) (LookBackState, []string) {
	t.Helper()
	var out []string
	var l LookBackState
	err := b.View(func(tx *Tx) error {
		all, err := tx.LookBacks(subject)
		if err != nil || len(all) == 0 {
			return err
		}
		l = all[0]
		list, err := tx.Items(l)
		for _, i := range list {
			out = append(out, fmt.Sprintf("%s|%s|%s|%v|%v", i.Key, i.From, i.To, i.Path, i.Decided != nil))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return l, out
}

func TestALookBackFromAStandardNamesChecksAndGaugesWithThePath(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.must(func(tx *Tx) error {
		if _, err := tx.AddGauge(gauge("B")); err != nil {
			return err
		}
		_, err := tx.AddStandard(calib.Standard{ID: "GB-2", Kind: calib.BlockSet})
		return err
	})
	old := b.keep(check("A", "2026-01-10", calib.AsFound), "pass")
	one := b.keep(check("A", "2026-02-10", calib.AsFound), "pass")
	two := b.keep(check("B", "2026-02-20", calib.AsFound), "pass")
	other := check("A", "2026-02-25", calib.AsFound)
	other.Standards = []string{"GB-2"}
	b.keep(other, "pass")
	b.must(func(tx *Tx) error {
		_, err := tx.OpenLookBack(LookBack{Subject: "GB-1", Since: calib.MustDate("2026-01-31"), Until: calib.MustDate("2026-03-02"), Reason: "recalled"})
		return err
	})
	l, got := items(t, b, "GB-1")
	check := func(seq uint64) string { return fmt.Sprintf("check %d", seq) }
	want := []string{
		check(one.Seq) + "|2026-02-10|2026-02-10|[GB-1 " + check(one.Seq) + "]|false",
		"use A|2026-02-10|2026-02-25|[GB-1 " + check(one.Seq) + " A]|false",
		check(two.Seq) + "|2026-02-20|2026-02-20|[GB-1 " + check(two.Seq) + "]|false",
		"use B|2026-02-20|2026-03-02|[GB-1 " + check(two.Seq) + " B]|false",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	for _, c := range []struct {
		d    Disposition
		want string
	}{
		{Disposition{Item: "use A", Decision: DecidedKept}, "no reason; want why it is so decided"},
		{Disposition{Item: "use A", Decision: "lost", Reason: "r"}, `no decision "lost"; want kept, re-measured or recalled`},
		{Disposition{Item: check(old.Seq), Decision: DecidedKept, Reason: "r"}, fmt.Sprintf("no item %q; want one of its list", check(old.Seq))},
	} {
		c.d.LookBack = l.Entry
		err := b.Update(func(tx *Tx) error { _, err := tx.Decide(c.d); return err })
		if want := fmt.Sprintf("look-back %d: %s", l.Entry, c.want); err == nil || err.Error() != want {
			t.Errorf("%v\nwant %s", err, want)
		}
	}
	b.must(func(tx *Tx) error {
		_, err := tx.Decide(Disposition{LookBack: l.Entry, Item: "use A", Decision: DecidedRemeasured, Date: calib.MustDate("2026-03-02"), Reason: "all within"})
		return err
	})
	if _, got := items(t, b, "GB-1"); got[1] != "use A|2026-02-10|2026-02-25|[GB-1 "+check(one.Seq)+" A]|true" {
		t.Errorf("%v", got)
	}
}

func TestALookBackIsOpenedOnceForOneDoubt(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2026-01-10", calib.AsFound), "fail")
	b.keep(check("A", "2026-01-11", calib.AsFound), "fail")
	l, got := items(t, b, "A")
	if !slices.Equal(got, []string{"use A||2026-01-10|[A]|false"}) || !l.Since.IsZero() {
		t.Errorf("%+v: %v", l, got)
	}
	var all []LookBackState
	_ = b.View(func(tx *Tx) (err error) { all, err = tx.LookBacks(""); return err })
	if len(all) != 1 {
		t.Errorf("%d look-backs, want one while it is open", len(all))
	}
	var missing *NotFoundError
	err := b.Update(func(tx *Tx) error {
		_, err := tx.OpenLookBack(LookBack{Subject: "ZZ", Until: calib.MustDate("2026-01-01"), Reason: "r"})
		return err
	})
	if !errors.As(err, &missing) {
		t.Errorf("%v", err)
	}
}

// A row that an older program wrote has no tail: the trend is worked out from
// the entry and is the same.
func TestTrendReadsRowsWithoutATail(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	head := b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
	trend := func() (out string) {
		_ = b.View(func(tx *Tx) error {
			list, err := tx.Trend("A")
			out = fmt.Sprintf("%+v", list)
			b.trailed(tx, out)
			return err
		})
		return out
	}
	want := trend()
	key := idSeqKey("A", head.Seq)
	var whole []byte
	b.must(func(tx *Tx) error {
		whole = tx.s.Get(treeSeries, key)
		return tx.s.Put(treeSeries, key, whole[:seriesHead+seriesPoint])
	})
	if got := trend(); got != want || len(got) < 20 {
		t.Errorf("%s\nwant %s", got, want)
	}
	b.must(func(tx *Tx) error { return tx.s.Put(treeSeries, key, whole) })
}

// A state that an older program wrote knows no parts; its row is found, and a
// new check puts the new one in its place.
func TestAStateWithoutPartsIsOneOfLength(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
	b.must(func(tx *Tx) error {
		s, err := tx.Gauge("A")
		if err != nil {
			return err
		}
		s.Parts = nil
		return tx.put(treeGauges, []byte("A"), s)
	})
	if s := b.gauge("A"); s.Months(calib.LengthPart) != 12 || len(s.dueRows()) != 1 {
		t.Errorf("months %d, rows %+v", s.Months(calib.LengthPart), s.dueRows())
	}
	b.keep(check("A", "2026-03-28", calib.AsFound), "pass")
	if got := b.rows("2030-01-01"); !slices.Equal(got, []string{"A|2027-03-28|length|full"}) {
		t.Errorf("%v", got)
	}
}

// A check as found that is amended later still stands before the check as left
// of the same day.
func TestAnAmendmentKeepsItsPlaceInTheTrend(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	found := b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
	left := b.keep(check("A", "2026-02-28", calib.AsLeft), "pass")
	b.must(func(tx *Tx) error {
		old, err := tx.Check(found.Seq)
		if err != nil {
			return err
		}
		now := old.Check
		now.Check.Remarks = "seen again"
		_, err = tx.AmendCheck(CheckAmendment{Amends: found.Seq, Reason: "r", Changes: []Change{{"remarks", "", "seen again"}}, KeptCheck: now})
		return err
	})
	_ = b.View(func(tx *Tx) error {
		list, err := tx.Trend("A")
		if err != nil || len(list) != 2 || list[0].Entry != found.Seq || list[1].Entry != left.Seq || list[1].Stage != calib.AsLeft {
			t.Errorf("%+v, %v", list, err)
		}
		b.trailed(tx, fmt.Sprintf("%+v", list))
		return nil
	})
}

// trailed wants the trail of gauge A to say what its state and its trend say.
func (b *bench) trailed(tx *Tx, trend string) {
	b.t.Helper()
	n := 0
	err := tx.Trails(func(trail Trail) error {
		s, list, err := trail.Read()
		if s.Gauge.ID != "A" {
			return err
		}
		n++
		now, other := tx.Gauge("A")
		if got := fmt.Sprintf("%+v", list); got != trend || fmt.Sprint(s.Due, s.Last.Entry) != fmt.Sprint(now.Due, now.Last.Entry) {
			b.t.Errorf("the trail of gauge A says\n%s\nwant\n%s", got, trend)
		}
		return errors.Join(err, other)
	})
	if err != nil || n != 1 {
		b.t.Errorf("%d trails of gauge A, %v; want one", n, err)
	}
}

func (b *bench) judgeAgain(seq uint64, v calib.Verdict) {
	b.t.Helper()
	b.must(func(tx *Tx) error {
		old, err := tx.Check(seq)
		if err != nil {
			return err
		}
		now := old.Check
		now.Check.Remarks, now.Result = "seen again", result(v)
		_, err = tx.AmendCheck(CheckAmendment{Amends: seq, Reason: "r", Changes: []Change{{"remarks", "", "seen again"}}, KeptCheck: now})
		return err
	})
}

// What follows from a check follows from its amendment too: a pass that was
// none fails the gauge, a failure that was none gives it back.
func TestAnAmendmentBringsAboutWhatACheckDoes(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	head := b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
	b.judgeAgain(head.Seq, "fail")
	if s := b.gauge("A"); s.Status != calib.Failed || !s.Unproven {
		t.Errorf("amended to a failure: %s, unproven %v", s.Status, s.Unproven)
	}
	b.judgeAgain(head.Seq+1, "pass")
	if s := b.gauge("A"); s.Status != calib.InService || s.Unproven {
		t.Errorf("amended back to a pass: %s, unproven %v", s.Status, s.Unproven)
	}
	var all []LookBackState
	_ = b.View(func(tx *Tx) (err error) { all, err = tx.LookBacks("A"); return err })
	if len(all) != 1 {
		t.Errorf("%d look-backs; want the one that was opened, for a person to close", len(all))
	}
}

// Decided on, a look-back does not stand in the way of the next one.
func TestANewDoubtOpensANewLookBack(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2026-01-10", calib.AsFound), "fail")
	l, _ := items(t, b, "A")
	b.must(func(tx *Tx) error {
		_, err := tx.Decide(Disposition{LookBack: l.Entry, Item: "use A", Decision: DecidedKept, Reason: "r"})
		return err
	})
	b.keep(check("A", "2026-01-12", calib.AsFound), "fail")
	var all []LookBackState
	_ = b.View(func(tx *Tx) (err error) { all, err = tx.LookBacks("A"); return err })
	if len(all) != 2 {
		t.Errorf("%d look-backs, want a second one", len(all))
	}
}

// A gauge checked with what is in doubt, with something else, and with it again
// was in doubt in both spans.
func TestALookBackHoldsEverySpanOfUse(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.must(func(tx *Tx) error {
		_, err := tx.AddStandard(calib.Standard{ID: "GB-2", Kind: calib.BlockSet})
		return err
	})
	b.keep(check("A", "2026-02-01", calib.AsFound), "pass")
	other := check("A", "2026-02-10", calib.AsFound)
	other.Standards = []string{"GB-2"}
	b.keep(other, "pass")
	b.keep(check("A", "2026-02-20", calib.AsFound), "pass")
	b.must(func(tx *Tx) error {
		_, err := tx.OpenLookBack(LookBack{Subject: "GB-1", Since: calib.MustDate("2026-01-31"), Until: calib.MustDate("2026-03-02"), Reason: "recalled"})
		return err
	})
	_, got := items(t, b, "GB-1")
	if !slices.ContainsFunc(got, func(i string) bool { return strings.HasPrefix(i, "use A|2026-02-01|2026-03-02|") }) {
		t.Errorf("the use of A from the second check on is not asked about: %v", got)
	}
}

// As left comes after as found on one day, also where it was entered first.
func TestAnAdjustmentOfTheSameDayIsNotTheLastGoodCheck(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2025-11-16", calib.AsFound), "pass")
	b.keep(check("A", "2026-02-16", calib.AsLeft), "pass")
	b.keep(check("A", "2026-02-16", calib.AsFound), "fail")
	var open []LookBackState
	_ = b.View(func(tx *Tx) (err error) { open, err = tx.LookBacks("A"); return err })
	if len(open) != 1 || open[0].Since.String() != "2025-11-16" {
		t.Errorf("look-backs %+v, want one since 2025-11-16", open)
	}
}
