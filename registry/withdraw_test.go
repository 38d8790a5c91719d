package registry

import (
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
)

// move amends gauge, date or stage of a check, and says so.
func (b *bench) move(seq uint64, v calib.Verdict, fn func(*calib.Check)) (uint64, error) {
	b.t.Helper()
	var head uint64
	err := b.Update(func(tx *Tx) error {
		a, err := amendmentOf(tx, seq, v, fn)
		if err != nil {
			return err
		}
		h, err := tx.AmendCheck(a)
		head = h.Seq
		return err
	})
	return head, err
}

func amendmentOf(tx *Tx, seq uint64, v calib.Verdict, fn func(*calib.Check)) (CheckAmendment, error) {
	old, err := tx.Check(seq)
	if err != nil {
		return CheckAmendment{}, err
	}
	a := CheckAmendment{Amends: seq, Reason: "r", KeptCheck: old.Check}
	a.Check = old.Check.Check.Clone()
	a.Result = result(v)
	fn(&a.Check)
	for _, field := range moved(old.Check.Check, a.Check) {
		a.Changes = append(a.Changes, Change{field, "old", "new"})
	}
	a.Basis, err = tx.AmendedBasis(old, a.Check, []string{"GB-1"})
	if err == nil && len(a.Changes) == 0 {
		a.Changes = []Change{{"certificate of GB-1", "old", "new"}}
	}
	return a, err
}

func (b *bench) withdraw(seq uint64) (head uint64) {
	b.t.Helper()
	b.must(func(tx *Tx) error {
		h, err := tx.Withdraw(seq, "entered by mistake")
		head = h.Seq
		return err
	})
	return head
}

func days(rows []SeriesRow) (out []string) {
	for _, r := range rows {
		out = append(out, fmt.Sprintf("%s %s %s", r.Date, r.Stage, r.Verdict))
	}
	return out
}

// A second gauge beside that of stock.
func (b *bench) second(id string) {
	b.t.Helper()
	b.must(func(tx *Tx) error { _, err := tx.AddGauge(gauge(id)); return err })
}

func TestACheckOfTheWrongGaugeMovesToTheRightOne(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2026-02-01", calib.AsFound), "pass")
	wrong := b.keep(check("A", "2026-02-20", calib.AsFound), "pass").Seq
	b.second("B") // younger than the check that it will have
	if diff := cmp.Diff([]string{"B 0000-00-00", "GB-1 2028-01-31"}, b.dueOf("2028-12-31", "A")); diff != "" {
		t.Fatal(diff)
	}
	now, err := b.move(wrong, "pass", func(c *calib.Check) { c.Gauge = "B" })
	if err != nil {
		t.Fatal(err)
	}
	if a, o := b.gauge("A"), b.gauge("B"); a.Last.Date.String() != "2026-02-01" || a.Due.String() != "2027-02-01" || o.Last.Entry != now || o.Due.String() != "2027-02-20" {
		t.Errorf("A last %+v due %s, B last %+v due %s", a.Last, a.Due, o.Last, o.Due)
	}
	if diff := cmp.Diff([]string{"2026-02-01 as found pass"}, days(b.series("A"))); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{"2026-02-20 as found pass"}, days(b.series("B"))); diff != "" {
		t.Error(diff)
	}
	// Both gauges' histories have the amendment.
	for id, want := range map[string][]string{"A": {KindGauge, KindCheck, KindCheck, KindCheckAmended}, "B": {KindGauge, KindCheckAmended}} {
		if diff := cmp.Diff(want, b.kinds(id)); diff != "" {
			t.Errorf("%s: %s", id, diff)
		}
	}
}

// dueOf lists what is due but for one gauge, a zero day as 0000-00-00.
func (b *bench) dueOf(until, but string) (out []string) {
	b.t.Helper()
	_ = b.View(func(tx *Tx) error {
		return tx.Due(calib.MustDate(until), func(r *DueRow) error {
			day := r.Due.String()
			if r.Due.IsZero() {
				day = "0000-00-00"
			}
			if r.ID != but {
				out = append(out, r.ID+" "+day)
			}
			return nil
		})
	})
	return out
}

func TestAnAmendedDateOrStageTakesItsPlace(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	first := b.keep(check("A", "2026-02-01", calib.AsFound), "pass").Seq
	b.keep(check("A", "2026-02-20", calib.AsFound), "pass")
	if _, err := b.move(first, "pass", func(c *calib.Check) { c.Date = calib.MustDate("2026-02-28") }); err != nil {
		t.Fatal(err)
	}
	if s := b.gauge("A"); s.Last.Date.String() != "2026-02-28" || s.Due.String() != "2027-02-28" {
		t.Errorf("last %+v, due %s", s.Last, s.Due)
	}
	b2 := newBench(t)
	b2.stock("A")
	only := b2.keep(check("A", "2026-02-01", calib.AsFound), "pass").Seq
	if _, err := b2.move(only, "pass", func(c *calib.Check) { c.Date, c.Stage = calib.MustDate("2026-02-10"), calib.AsLeft }); err != nil {
		t.Fatal(err)
	}
	if s := b2.gauge("A"); s.Last.Stage != calib.AsLeft || s.Due.String() != "2027-02-10" {
		t.Errorf("last %+v, due %s", s.Last, s.Due)
	}
	if diff := cmp.Diff([]string{"2026-02-10 as left pass"}, days(b2.series("A"))); diff != "" {
		t.Error(diff)
	}
}

func TestAWithdrawnCheckStaysVisibleAndCountsNoMore(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	good := b.keep(check("A", "2026-02-01", calib.AsFound), "pass").Seq
	bad := b.keep(check("A", "2026-02-20", calib.AsFound), "fail").Seq
	if s := b.gauge("A"); s.Status != calib.Failed {
		t.Fatal(s.Status)
	}
	by := b.withdraw(bad)
	s := b.gauge("A")
	if s.Last.Entry != good || s.Due.String() != "2027-02-01" || s.Status != calib.InService || s.Reason != fmt.Sprintf("entry %d: check %d was withdrawn", by, bad) {
		t.Errorf("last %+v, due %s, %s (%s)", s.Last, s.Due, s.Status, s.Reason)
	}
	if diff := cmp.Diff([]string{"2026-02-01 as found pass"}, days(b.series("A"))); diff != "" {
		t.Error(diff)
	}
	if diff := cmp.Diff([]string{KindGauge, KindCheck, KindCheck, KindStatus, KindLookBack, KindWithdrawal, KindStatus}, b.kinds("A")); diff != "" {
		t.Error(diff)
	}
	_ = b.View(func(tx *Tx) error {
		k, err := tx.Check(bad)
		if f, err2 := tx.FateOf(k); err != nil || err2 != nil || f != (Fate{by, true}) {
			t.Errorf("fate %+v, %v, %v", f, err, err2)
		}
		return nil
	})
	for _, c := range []struct {
		fn   func(*Tx) error
		want string
	}{
		{func(tx *Tx) error { _, err := tx.Withdraw(bad, "r"); return err }, fmt.Sprintf("check %d: was withdrawn by entry %d; want a check that stands", bad, by)},
		{func(tx *Tx) error { _, err := tx.Withdraw(good, " "); return err }, fmt.Sprintf("entry %d: no reason; want why it is withdrawn", good)},
		{func(tx *Tx) error { _, err := tx.Withdraw(2, "r"); return err }, `entry 2: is a "plan"; want the entry of a check, a standard's certificate, a survey, a study or a comparison`},
		{func(tx *Tx) error { _, err := tx.Withdraw(99, "r"); return err }, `entry "99": not in the registry`},
		{func(tx *Tx) error {
			a, _ := amendmentOf(tx, bad, "pass", func(c *calib.Check) { c.Stage = calib.AsLeft })
			_, err := tx.AmendCheck(a)
			return err
		}, fmt.Sprintf("check %d: was withdrawn by entry %d; want a check that stands", bad, by)},
	} {
		if err := b.Update(c.fn); err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
}

func TestWithdrawingTheOnlyCheckLeavesAGaugeUnchecked(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.withdraw(b.keep(check("A", "2026-02-01", calib.AsFound), "pass").Seq)
	if s := b.gauge("A"); s.Last != nil || !s.Due.IsZero() || len(s.Parts) != 0 {
		t.Errorf("%+v", s)
	}
	// The same check may be entered anew, since the other one does not count.
	b.keep(check("A", "2026-02-01", calib.AsFound), "pass")
}

// The status follows what is left: a doubt that rested on a withdrawn check
// ends, and a return that rested on one is taken back.
func TestTheStatusFollowsAWithdrawal(t *testing.T) {
	for _, c := range []struct {
		name  string
		story func(*bench)
		want  calib.Status
	}{
		{"another check that fails still speaks", func(b *bench) {
			one := b.keep(check("A", "2026-02-01", calib.AsFound), "fail").Seq
			b.keep(check("A", "2026-02-20", calib.AsFound), "fail")
			b.withdraw(one)
		}, calib.Failed},
		{"also where it was an intermediate one, which starts no interval", func(b *bench) {
			between := check("A", "2026-02-01", calib.AsFound)
			between.Purpose = calib.IntermediateCheck
			one := b.keep(between, "fail").Seq
			between.Date = calib.MustDate("2026-02-20")
			b.keep(between, "fail")
			b.withdraw(one)
		}, calib.Failed},
		{"a return is taken back where only the other part was good", func(b *bench) {
			b.must(func(tx *Tx) error { _, err := tx.AddPlan(partedPlan()); return err })
			force := check("A", "2026-02-20", calib.AsFound)
			force.Points, force.Force = nil, &calib.ForceCheck{}
			b.keep(force, "fail")
			b.keep(check("A", "2026-02-21", calib.AsFound), "pass")
			force.Date, force.Stage = calib.MustDate("2026-02-22"), calib.AsLeft
			b.withdraw(b.keep(force, "pass").Seq)
		}, calib.Failed},
		{"a limited gauge returns as one", func(b *bench) {
			b.keep(check("A", "2026-01-01", calib.AsFound), "pass")
			_ = b.status("A", calib.LimitedUse)
			b.withdraw(b.keep(check("A", "2026-02-28", calib.AsFound), "fail").Seq)
		}, calib.LimitedUse},
		{"a return on the strength of it is taken back", func(b *bench) {
			_ = b.status("A", calib.Quarantined)
			pass := b.keep(check("A", "2026-03-01", calib.AsFound), "pass").Seq
			_ = b.status("A", calib.InService)
			b.withdraw(pass)
		}, calib.Quarantined},
		{"also where the check itself brought it about", func(b *bench) {
			b.keep(check("A", "2026-02-20", calib.AsFound), "fail")
			b.withdraw(b.keep(check("A", "2026-02-20", calib.AsLeft), "pass").Seq)
		}, calib.Failed},
		{"and where it is amended, and fails after all", func(b *bench) {
			b.keep(check("A", "2026-02-20", calib.AsFound), "fail")
			left := b.keep(check("A", "2026-02-20", calib.AsLeft), "pass").Seq
			if _, err := b.amend(left, "fail", nil); err != nil {
				b.t.Error(err)
			}
		}, calib.Failed},
		{"also where a person's return rested on it", func(b *bench) {
			_ = b.status("A", calib.Quarantined)
			pass := b.keep(check("A", "2026-03-02", calib.AsLeft), "pass").Seq
			_ = b.status("A", calib.InService)
			if _, err := b.amend(pass, "cannot be decided", nil); err != nil {
				b.t.Error(err)
			}
		}, calib.Quarantined},
		{"unless another one bears it", func(b *bench) {
			_ = b.status("A", calib.Quarantined)
			pass := b.keep(check("A", "2026-03-01", calib.AsFound), "pass").Seq
			b.keep(check("A", "2026-03-02", calib.AsFound), "pass")
			_ = b.status("A", calib.InService)
			b.withdraw(pass)
		}, calib.InService},
		{"a doubt that was ended so is none for the next withdrawal", func(b *bench) {
			b.withdraw(b.keep(check("A", "2026-02-20", calib.AsFound), "fail").Seq)
			b.withdraw(b.keep(check("A", "2026-02-21", calib.AsFound), "pass").Seq)
		}, calib.InService},
		{"and nothing follows for a gauge that nobody doubted", func(b *bench) {
			b.withdraw(b.keep(check("A", "2026-02-21", calib.AsFound), "pass").Seq)
		}, calib.InService},
		{"what a person retired stays so", func(b *bench) {
			fail := b.keep(check("A", "2026-02-20", calib.AsFound), "fail").Seq
			_ = b.status("A", calib.Retired)
			b.withdraw(fail)
		}, calib.Retired},
		{"what a person failed stays so", func(b *bench) {
			_ = b.status("A", calib.Failed)
			b.withdraw(b.keep(check("A", "2026-02-20", calib.AsLeft), "fail").Seq)
		}, calib.Failed},
		{"a failing check that moves away takes the doubt with it", func(b *bench) {
			fail := b.keep(check("A", "2026-02-20", calib.AsFound), "fail").Seq
			b.second("B")
			if _, err := b.move(fail, "fail", func(c *calib.Check) { c.Gauge = "B" }); err != nil {
				b.t.Error(err)
			}
			if s := b.gauge("B"); s.Status != calib.Failed {
				b.t.Errorf("B is %s", s.Status)
			}
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

func TestAnAmendedCertificateCountsInThePlaceOfTheOldOne(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	const old = 5 // as stock enters it
	kept := b.keep(check("A", "2026-02-20", calib.AsFound), "pass").Seq
	var by uint64
	b.must(func(tx *Tx) error {
		h, err := tx.AmendCertificate(CertificateAmendment{Amends: old, Reason: "keyed wrongly", Changes: []Change{{"date", "2026-01-31", "2026-01-13"}},
			Certificate: calib.Certificate{Standard: "GB-1", Number: "1", Date: calib.MustDate("2026-01-13"), Due: calib.MustDate("2028-01-13")}})
		by = h.Seq
		return err
	})
	_ = b.View(func(tx *Tx) error {
		now, _, err := tx.CertificateOn("GB-1", calib.MustDate("2026-02-20"))
		if err != nil || now.Entry != by {
			t.Errorf("counts: %+v, %v", now, err)
		}
		all, _ := tx.Certificates("GB-1")
		if len(all) != 2 || all[1].Entry != old || all[1].AmendedBy != by {
			t.Errorf("all: %+v", all)
		}
		s, _ := tx.Standard("GB-1")
		if s.Newest.Entry != by || s.Newest.Due.String() != "2028-01-13" {
			t.Errorf("newest %+v", s.Newest)
		}
		rests, err := tx.RestingOn("GB-1", old)
		if err != nil || len(rests) != 1 || rests[0].Head.Seq != kept {
			t.Errorf("rests on it: %v, %v", rests, err)
		}
		k, _ := tx.Check(kept)
		if k.Check.Basis.Standards[0].Certificate != old {
			t.Errorf("the check was changed: %+v", k.Check.Basis)
		}
		return nil
	})
	// The check is evaluated anew with the one that counts.
	if _, err := b.move(kept, "pass", func(*calib.Check) {}); err != nil {
		t.Fatal(err)
	}
	_ = b.View(func(tx *Tx) error {
		rests, err := tx.RestingOn("GB-1", old)
		now, err2 := tx.RestingOn("GB-1", by)
		if err != nil || err2 != nil || len(rests) != 0 || len(now) != 1 {
			t.Errorf("rests on the old %v, on the new %v (%v, %v)", rests, now, err, err2)
		}
		return nil
	})
	// Withdrawn, none counts; and its number is free again.
	b.withdraw(by)
	_ = b.View(func(tx *Tx) error {
		if _, ok, _ := tx.CertificateOn("GB-1", calib.MustDate("2026-02-20")); ok {
			t.Error("a withdrawn certificate counts")
		}
		return nil
	})
	b.must(func(tx *Tx) error {
		_, err := tx.AddCertificate(calib.Certificate{Standard: "GB-1", Number: "1", Date: calib.MustDate("2026-01-31")})
		return err
	})
}

func TestAmendmentsOfStandardsAreRefused(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	cert := calib.Certificate{Standard: "GB-1", Number: "1", Date: calib.MustDate("2026-01-31")}
	changes := []Change{{"number", "1", "2"}}
	b.must(func(tx *Tx) error {
		_, err := tx.AddCertificate(calib.Certificate{Standard: "GB-1", Number: "2", Date: calib.MustDate("2026-02-01")})
		return err
	})
	with := func(fn func(*CertificateAmendment)) func(*Tx) error {
		return func(tx *Tx) error {
			a := CertificateAmendment{Amends: 5, Reason: "r", Changes: changes, Certificate: cert}
			fn(&a)
			_, err := tx.AmendCertificate(a)
			return err
		}
	}
	record := func(fn func(*StandardAmendment)) func(*Tx) error {
		return func(tx *Tx) error {
			a := StandardAmendment{Standard: calib.Standard{ID: "GB-1", Kind: calib.BlockSet}, Reason: "r", Changes: changes}
			fn(&a)
			_, err := tx.AmendStandard(a)
			return err
		}
	}
	for _, c := range []struct {
		fn   func(*Tx) error
		want string
	}{
		{with(func(a *CertificateAmendment) { a.Amends = 99 }), `entry "99": not in the registry`},
		{with(func(a *CertificateAmendment) { a.Amends = 3 }), `entry 3: is a "gauge"; want the entry of a standard's certificate`},
		{with(func(a *CertificateAmendment) { a.Reason = "" }), "certificate 5: no reason; want why it is amended"},
		{with(func(a *CertificateAmendment) { a.Changes = nil }), "certificate 5: nothing changed; want at least one new value"},
		{with(func(a *CertificateAmendment) { a.Certificate.Standard = "X" }), "certificate 5: is of GB-1; want it withdrawn, and entered for the other standard"},
		{with(func(a *CertificateAmendment) {
			a.Certificate.Number, a.Certificate.Date = "2", calib.MustDate("2026-02-01")
		}), `certificate "2": is in the registry already; want the number and date of another`},
		{record(func(a *StandardAmendment) { a.Standard.ID = "GB-9" }), `standard "GB-9": not in the registry; nearest: GB-1`},
		{record(func(a *StandardAmendment) { a.Reason = " " }), "standard GB-1: no reason; want why it is amended"},
		{record(func(a *StandardAmendment) { a.Changes = nil }), "standard GB-1: nothing changed; want at least one new value"},
		{record(func(a *StandardAmendment) { a.Standard.Kind = calib.Balance }), "standard GB-1: is a gauge block set; want another standard for another kind of thing"},
	} {
		before := b.dump()
		if err := b.Update(c.fn); err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
		if diff := cmp.Diff(before, b.dump()); diff != "" {
			t.Errorf("something was kept:\n%s", diff)
		}
	}
}

func TestACheckRestsOnTheRecordThatItsStandardHadThen(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	before := b.keep(check("A", "2026-02-20", calib.AsFound), "pass").Seq
	b.must(func(tx *Tx) error {
		_, err := tx.AmendStandard(StandardAmendment{Standard: calib.Standard{ID: "GB-1", Kind: calib.BlockSet, Grade: "1", IntervalMonths: 24},
			Changes: []Change{{"grade", "", "1"}}, Reason: "left out"})
		return err
	})
	after := b.keep(check("A", "2026-02-21", calib.AsFound), "pass").Seq
	_ = b.View(func(tx *Tx) error {
		for seq, want := range map[uint64]string{before: "", after: "1"} {
			k, err := tx.Check(seq)
			if err != nil {
				t.Fatal(err)
			}
			basis, err := tx.Resolve(k.Check.Basis)
			if err != nil || basis.Standards[0].Standard.Grade != want {
				t.Errorf("check %d: grade %q (%v), want %q", seq, basis.Standards[0].Standard.Grade, err, want)
			}
		}
		return nil
	})
}

func TestWhoIsNotRegisteredTakesOverNoCheckByAnAmendment(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	kept := b.keep(check("A", "2026-02-20", calib.AsFound), "pass").Seq
	b.must(func(tx *Tx) error {
		for id, may := range map[string][]string{"EK": {MayPerform}, "QL": {MayPerform, MayRelease}} {
			if _, err := tx.AddPerson(Person{ID: id, May: may}); err != nil {
				return err
			}
		}
		_, err := tx.SetReleaseRule(ReleaseRule{Required: true, Reason: "r"})
		return err
	})
	_, err := b.amend(kept, "pass", nil)
	if want := "check of A: JV is not registered as one who may perform; want one who is, see wring person list"; err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	if _, err := b.amend(kept, "pass", func(a *CheckAmendment) { a.Check.Person = "QL" }); err != nil {
		t.Error(err)
	}
}

func TestWhoIsNotRegisteredAmendsNothingUnderTheRule(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	kept := b.keep(check("A", "2026-02-20", calib.AsFound), "pass").Seq
	b.must(func(tx *Tx) error {
		if _, err := tx.AddPerson(Person{ID: "QL", May: []string{MayRelease}}); err != nil {
			return err
		}
		_, err := tx.SetReleaseRule(ReleaseRule{Required: true, Reason: "r"})
		return err
	})
	remark := func(a *CheckAmendment) { a.Check.Person, a.Check.Remarks = "EK", "in the cold" }
	b.hand.Person = "XX"
	_, err := b.amend(kept, "pass", remark)
	if want := "check of A: XX, who enters it, is not registered; want one who may perform or release, see wring person list"; err == nil || err.Error() != want {
		t.Errorf("got  %v\nwant %s", err, want)
	}
	b.hand.Person = "QL"
	if _, err := b.amend(kept, "pass", remark); err != nil {
		t.Error(err)
	}
}

func TestAnAmendedDateMakesNoSecondCopyOfACheck(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2026-02-20", calib.AsFound), "pass")
	other := b.keep(check("A", "2026-02-21", calib.AsFound), "pass").Seq
	var rule *RuleError
	if _, err := b.move(other, "pass", func(c *calib.Check) { c.Date = calib.MustDate("2026-02-20") }); !errors.As(err, &rule) {
		t.Errorf("got %v; want it refused: the same check stands for that day", err)
	}
}

func TestWhoHoldsAReplacedCertificateIsTold(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	one := b.keep(check("A", "2026-02-20", calib.AsFound), "pass").Seq
	two := b.keep(check("A", "2026-02-21", calib.AsFound), "pass").Seq
	by, err := b.amend(one, "pass", nil)
	if err != nil {
		t.Fatal(err)
	}
	gone := b.withdraw(two)
	list := func() (out []string) {
		_ = b.View(func(tx *Tx) error {
			all, err := tx.ReplacedAll()
			for _, r := range all {
				out = append(out, fmt.Sprint(r.Check, r.By, r.Withdrawn, r.Open()))
			}
			return err
		})
		return out
	}
	if diff := cmp.Diff([]string{fmt.Sprint(one, by, false, true), fmt.Sprint(two, gone, true, true)}, list()); diff != "" {
		t.Error(diff)
	}
	tell := func(t Telling) error { return b.Update(func(tx *Tx) error { _, err := tx.Tell(t); return err }) }
	today := calib.MustDate("2026-03-02")
	for _, c := range []struct {
		t    Telling
		want string
	}{
		{Telling{Check: by, Whom: "x", On: today}, fmt.Sprintf("certificate V-%06d: counts; want one that was replaced or withdrawn", by)},
		{Telling{Check: one, On: today}, fmt.Sprintf("certificate V-%06d: nobody is named; want who was told, or that nobody holds it", one)},
		{Telling{Check: one, Whom: "x"}, fmt.Sprintf("certificate V-%06d: no day; want when they were told", one)},
		{Telling{Check: one, Whom: "x", On: calib.MustDate("2026-02-19")}, fmt.Sprintf("certificate V-%06d: told on 2026-02-19, before the check of 2026-02-20; want when they were told that it counts no more", one)},
		{Telling{Check: one, Whom: "x", On: today.AddDays(1)}, fmt.Sprintf("certificate V-%06d: told on 2026-03-03, ahead of today; want it entered once it was done", one)},
		{Telling{Check: one, Nobody: true}, fmt.Sprintf("certificate V-%06d: nobody holds it, without a reason; want how that is known", one)},
		{Telling{Check: 2, Whom: "x", On: today}, `entry 2: is a "plan"; want the entry of a check`},
	} {
		if err := tell(c.t); err == nil || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
	for _, one := range []Telling{{Check: one, Whom: "a customer", On: today}, {Check: two, Nobody: true, Note: "never handed out"}} {
		if err := tell(one); err != nil {
			t.Error(err)
		}
	}
	if diff := cmp.Diff([]string{fmt.Sprint(one, by, false, false), fmt.Sprint(two, gone, true, false)}, list()); diff != "" {
		t.Error(diff)
	}
}

// Whatever is amended, moved and withdrawn, the views are those that the
// journal alone gives, and the state of each gauge is what its entries come to.
func TestViewsFollowWhateverIsAmendedAndWithdrawn(t *testing.T) {
	b := newBench(t)
	b.stock("A0")
	b.second("A1")
	b.second("A2")
	draw := rand.New(rand.NewPCG(5, 6))
	day := func() calib.Date { return calib.MustDate("2026-01-31").AddDays(draw.IntN(400)) }
	v := verdictCodes()[1:]
	verdict := func() calib.Verdict { return v[draw.IntN(len(v))] }
	done := map[int]int{}
	for n := range 400 {
		id, at, what := fmt.Sprintf("A%d", draw.IntN(3)), uint64(2+draw.IntN(n+6)), draw.IntN(9)
		err := b.Update(func(tx *Tx) (err error) {
			switch what {
			case 0, 1, 2:
				c := check(id, day().String(), calib.AsFound)
				_, refs, err := tx.Basis(c)
				if err != nil {
					return err
				}
				_, err = tx.KeepCheck(KeptCheck{Check: c, Basis: refs, Result: result(verdict())})
				return err
			case 3:
				_, err = tx.Withdraw(at, "r")
			case 4, 5:
				a, err := amendmentOf(tx, at, verdict(), func(c *calib.Check) {
					switch draw.IntN(3) {
					case 0:
						c.Gauge = id
					case 1:
						c.Date = day()
					}
				})
				if err != nil {
					return err
				}
				_, err = tx.AmendCheck(a)
				return err
			case 6:
				_, err = tx.AmendCertificate(CertificateAmendment{Amends: at, Reason: "r", Changes: []Change{{"date", "a", "b"}},
					Certificate: calib.Certificate{Standard: "GB-1", Number: fmt.Sprint("c", n), Date: day()}})
			case 7:
				_, err = tx.AddCertificate(calib.Certificate{Standard: "GB-1", Number: fmt.Sprint("c", n), Date: day()})
			default:
				s := calib.Statuses()
				_, err = tx.ChangeStatus(calib.StatusChange{Gauge: id, Status: s[draw.IntN(len(s))], Date: day(), Reason: "r"})
			}
			return err
		})
		if err == nil {
			done[what]++
		}
	}
	for what := range 9 {
		if done[what] == 0 {
			t.Errorf("kind of change %d was never made: %v", what, done)
		}
	}
}

// What a gauge's state holds beside checks is the same once it is made again.
func TestAStateMadeAgainIsTheOneThatStood(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.must(func(tx *Tx) error {
		if _, err := tx.AddEarlier(calib.EarlierCheck{Gauge: "A", Date: calib.MustDate("2025-02-01"), Verdict: "pass"}); err != nil {
			return err
		}
		_, err := tx.AddPlan(plan(6)) // a later revision changes nothing that was entered
		return err
	})
	b.keep(check("A", "2026-02-01", calib.AsFound), "pass")
	b.must(func(tx *Tx) error {
		g := gauge("A")
		g.Place = "bench 3"
		if _, err := tx.AmendGauge(Amendment{Gauge: g, Changes: []Change{{"place", "", "bench 3"}}, Reason: "r"}); err != nil {
			return err
		}
		_, err := tx.AcceptInterval(AcceptedInterval{Gauge: "A", Part: calib.LengthPart, Old: 6, New: 9, Method: "m", Reason: "r"})
		return err
	})
	_ = b.status("A", calib.LimitedUse)
	before := b.gauge("A")
	var last uint64
	_ = b.View(func(tx *Tx) (err error) { h, err := tx.Head(); last = h.Seq; return err })
	b.must(func(tx *Tx) error {
		s, doubt, err := tx.replay("A", last)
		s.Due = before.Due // is set when it is written
		was, _ := json.Marshal(before)
		is, _ := json.Marshal(s)
		if diff := cmp.Diff(string(was), string(is)); diff != "" || doubt != "" {
			t.Errorf("doubt %q\n%s", doubt, diff)
		}
		return err
	})
}
