package registry

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
	"example.org/wring/uncertainty/unit"
)

// bench is a registry with a clock that a test moves.
type bench struct {
	*Registry
	t    *testing.T
	path string
	now  time.Time
}

func newBench(t *testing.T) *bench {
	t.Helper()
	b := &bench{t: t, path: filepath.Join(t.TempDir(), "r.wring"), now: time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC)}
	hand := Hand{Person: "EK", Program: "test", Now: func() time.Time { return b.now }}
	if err := Create(b.path, calib.House{Organisation: "invented", Unit: "mm"}, hand); err != nil {
		t.Fatal(err)
	}
	r, err := Open(b.path, hand)
	if err != nil {
		t.Fatal(err)
	}
	b.Registry = r
	t.Cleanup(func() {
		b.verify()
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	})
	return b
}

// verify walks the chain and rebuilds the views: both must find what is there.
func (b *bench) verify() {
	b.t.Helper()
	before := b.dump()
	if err := b.Rebuild(); err != nil {
		b.t.Errorf("rebuild: %v", err)
	}
	if diff := cmp.Diff(before, b.dump()); diff != "" {
		b.t.Errorf("the views differ from those made again from the journal:\n%s", diff)
	}
	if p, err := b.Registry.Verify(nil); err != nil || !p.Sound() {
		b.t.Errorf("the views compared beside the journal: %v, %v", p.Views, err)
	}
	err := b.View(func(tx *Tx) error {
		var prev journal.Head
		return tx.s.Range(treeJournal, nil, nil, func(k, v []byte) error {
			seq, err := seqOf(k)
			if err != nil {
				return err
			}
			prev, _, err = journal.Check(prev, seq, v)
			return err
		})
	})
	if err != nil {
		b.t.Errorf("chain: %v", err)
	}
}

// dump returns every key and value of every view.
func (b *bench) dump() map[string]string {
	b.t.Helper()
	out := map[string]string{}
	err := b.View(func(tx *Tx) error {
		for _, tree := range views() {
			err := tx.s.Range(tree, nil, nil, func(k, v []byte) error {
				out[fmt.Sprintf("%s %q", tree, k)] = string(v)
				return nil
			})
			if err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		b.t.Fatal(err)
	}
	return out
}

func (b *bench) must(fn func(*Tx) error) {
	b.t.Helper()
	if err := b.Update(fn); err != nil {
		b.t.Fatal(err)
	}
}

func mm(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }

func gauge(id string) calib.Gauge {
	return calib.Gauge{ID: id, Kind: calib.OutsideMicrometer, Unit: "mm", Low: mm("0"), High: mm("25"), Resolution: mm("0.001"), Plan: "p"}
}

func plan(months int) calib.Plan {
	return calib.Plan{Name: "p", Title: "t", Kind: calib.OutsideMicrometer, Unit: "mm", IntervalMonths: months}
}

// stock enters a plan, a gauge, a block set and its certificate.
func (b *bench) stock(id string) {
	b.t.Helper()
	b.must(func(tx *Tx) error {
		if _, err := tx.AddPlan(plan(12)); err != nil {
			return err
		}
		if _, err := tx.AddGauge(gauge(id)); err != nil {
			return err
		}
		if _, err := tx.AddStandard(calib.Standard{ID: "GB-1", Kind: calib.BlockSet, IntervalMonths: 24}); err != nil {
			return err
		}
		_, err := tx.AddCertificate(calib.Certificate{Standard: "GB-1", Number: "1", Date: calib.MustDate("2026-01-31")})
		return err
	})
}

func check(id, day string, stage calib.Stage) calib.Check {
	return calib.Check{Gauge: id, Plan: "p", Stage: stage, Date: calib.MustDate(day), Person: "EK", Standards: []string{"GB-1"},
		Points: []calib.Point{{Nominal: mm("10"), Readings: []calib.Reading{{Indication: mm("10.0010")}}}}}
}

func result(v calib.Verdict) calib.Result {
	return calib.Result{Verdict: v, Points: []calib.PointResult{{
		Nominal: unit.Whole(10), Error: unit.Ratio(1, 1000), Limit: unit.Ratio(4, 1000), Expanded: 0.0012, Verdict: v}}}
}

// keep enters a check as a command does: basis first, then the entry.
func (b *bench) keep(c calib.Check, v calib.Verdict) (head journal.Head) {
	b.t.Helper()
	return b.keepWith(c, v)
}

func (b *bench) keepWith(c calib.Check, v calib.Verdict, found ...calib.Finding) (head journal.Head) {
	b.t.Helper()
	b.must(func(tx *Tx) error {
		_, refs, err := tx.Basis(c)
		if err != nil {
			return err
		}
		r := result(v)
		r.Findings = found
		head, err = tx.KeepCheck(KeptCheck{Check: c, Basis: refs, Result: r})
		return err
	})
	return head
}

func (b *bench) due(until string) (out []string) {
	b.t.Helper()
	err := b.View(func(tx *Tx) error {
		return tx.Due(calib.MustDate(until), func(r *DueRow) error {
			out = append(out, r.ID+" "+r.Due.String())
			return nil
		})
	})
	if err != nil {
		b.t.Fatal(err)
	}
	return out
}

func TestUpdateIsAllOrNothing(t *testing.T) {
	b := newBench(t)
	before := b.dump()
	wanted := errors.New("the caller's own")
	err := b.Update(func(tx *Tx) error {
		if _, err := tx.AddPlan(plan(12)); err != nil {
			return err
		}
		if _, err := tx.AddGauge(gauge("A")); err != nil {
			return err
		}
		return wanted
	})
	if err != wanted {
		t.Errorf("got %v, want the caller's own error", err)
	}
	if diff := cmp.Diff(before, b.dump()); diff != "" {
		t.Errorf("something was kept:\n%s", diff)
	}
}

func TestCertificateCountsFromItsDateAndNeverBackwards(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.must(func(tx *Tx) error {
		_, err := tx.AddCertificate(calib.Certificate{Standard: "GB-1", Number: "2", Date: calib.MustDate("2026-02-20")})
		return err
	})
	for _, c := range []struct{ day, number string }{
		{"2026-01-30", ""}, {"2026-01-31", "1"}, {"2026-02-19", "1"}, {"2026-02-20", "2"}, {"2027-01-01", "2"},
	} {
		_ = b.View(func(tx *Tx) error {
			got, ok, err := tx.CertificateOn("GB-1", calib.MustDate(c.day))
			if err != nil || got.Certificate.Number != c.number || ok != (c.number != "") {
				t.Errorf("on %s certificate %q counts (%v, %v), want %q", c.day, got.Certificate.Number, ok, err, c.number)
			}
			return nil
		})
	}
}

func TestAnOldCertificateEnteredLateStaysOld(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.must(func(tx *Tx) error {
		_, err := tx.AddCertificate(calib.Certificate{Standard: "GB-1", Number: "0", Date: calib.MustDate("2024-01-31")})
		return err
	})
	if diff := cmp.Diff([]string{"A ", "GB-1 2028-01-31"}, b.due("2030-01-01")); diff != "" {
		t.Error(diff)
	}
}

func TestDueFollowsTheLastCheckByTheCalendar(t *testing.T) {
	for _, c := range []struct {
		name   string
		before func(*bench)
		want   []string
	}{
		{"never checked comes first", func(*bench) {}, []string{"A ", "GB-1 2028-01-31"}},
		{"interval of the plan", func(b *bench) { b.keep(check("A", "2026-02-28", calib.AsFound), "pass") }, []string{"A 2027-02-28", "GB-1 2028-01-31"}},
		{"a check of the past entered late moves nothing", func(b *bench) {
			b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
			b.keep(check("A", "2026-02-01", calib.AsFound), "pass")
		}, []string{"A 2027-02-28", "GB-1 2028-01-31"}},
		{"a failed gauge is due at once", func(b *bench) { b.keep(check("A", "2026-02-28", calib.AsFound), "fail") }, []string{"A 2026-02-28", "GB-1 2028-01-31"}},
		{"an undecided one too", func(b *bench) { b.keep(check("A", "2026-02-28", calib.AsFound), "cannot be decided") }, []string{"A 2026-02-28", "GB-1 2028-01-31"}},
		{"until it passes as left", func(b *bench) {
			b.keep(check("A", "2026-02-28", calib.AsFound), "fail")
			b.keep(check("A", "2026-02-28", calib.AsLeft), "pass")
		}, []string{"A 2027-02-28", "GB-1 2028-01-31"}},
		{"a check with points left out renews nothing", func(b *bench) {
			b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
			b.keepWith(check("A", "2026-03-01", calib.AsFound), "pass", calib.Finding{Gate: calib.GatePoints, Action: calib.Mark})
		}, []string{"A 2027-02-28", "GB-1 2028-01-31"}},
		{"unless it fails", func(b *bench) {
			b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
			b.keepWith(check("A", "2026-03-01", calib.AsFound), "fail", calib.Finding{Gate: calib.GatePoints, Action: calib.Mark})
		}, []string{"A 2026-03-01", "GB-1 2028-01-31"}},
		{"its own interval overrules the plan's", func(b *bench) {
			b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
			g := gauge("A")
			g.IntervalMonths = 1
			b.must(func(tx *Tx) error {
				_, err := tx.AmendGauge(Amendment{Gauge: g, Changes: []Change{{"interval", "", "1"}}, Reason: "r"})
				return err
			})
		}, []string{"A 2026-03-28", "GB-1 2028-01-31"}},
		{"a later revision counts from the next check on", func(b *bench) {
			b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
			b.must(func(tx *Tx) error { _, err := tx.AddPlan(plan(6)); return err })
		}, []string{"A 2027-02-28", "GB-1 2028-01-31"}},
		{"a stored gauge is not waited for", func(b *bench) {
			b.must(func(tx *Tx) error {
				_, err := tx.ChangeStatus(calib.StatusChange{Gauge: "A", Status: calib.Stored, Date: calib.MustDate("2026-03-01"), Reason: "r"})
				return err
			})
		}, []string{"GB-1 2028-01-31"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.stock("A")
			c.before(b)
			if diff := cmp.Diff(c.want, b.due("2030-01-01")); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestDueReadsNothingBeyondTheDay(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
	if got := b.due("2027-02-27"); len(got) != 0 {
		t.Errorf("a day early: %v", got)
	}
	if got := b.due("2027-02-28"); len(got) != 1 {
		t.Errorf("on the day: %v", got)
	}
}

func TestAKeptCheckResolvesToWhatItRestedOn(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	head := b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
	g := gauge("A")
	g.Place = "elsewhere"
	b.must(func(tx *Tx) error {
		if _, err := tx.AmendGauge(Amendment{Gauge: g, Changes: []Change{{"place", "", "elsewhere"}}, Reason: "r"}); err != nil {
			return err
		}
		if _, err := tx.AddPlan(plan(6)); err != nil {
			return err
		}
		_, err := tx.AddCertificate(calib.Certificate{Standard: "GB-1", Number: "2", Date: calib.MustDate("2026-02-20")})
		return err
	})
	err := b.View(func(tx *Tx) error {
		kept, err := tx.Check(head.Seq)
		if err != nil {
			return err
		}
		basis, err := tx.Resolve(kept.Check.Basis)
		if err != nil {
			return err
		}
		if basis.Gauge.Place != "" || basis.Plan.Revision != 1 || basis.Standards[0].Certificate.Number != "1" {
			t.Errorf("got place %q, revision %d, certificate %q; want the ones of the day", basis.Gauge.Place, basis.Plan.Revision, basis.Standards[0].Certificate.Number)
		}
		if kept.Head != head {
			t.Errorf("head %s, want %s", kept.Head, head)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestASheetHandedInTwiceIsOneCheck(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	c := check("A", "2026-02-28", calib.AsFound)
	head := b.keep(c, "pass")
	c.Remarks = "again"
	again := func() error {
		return b.Update(func(tx *Tx) error {
			_, refs, err := tx.Basis(c)
			if err != nil {
				return err
			}
			_, err = tx.KeepCheck(KeptCheck{Check: c, Basis: refs, Result: result("pass")})
			return err
		})
	}
	want := fmt.Sprintf("check of A, as found 2026-02-28: is entry %d already, with the same readings; want another check", head.Seq)
	if err := again(); err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %s", err, want)
	}
	c.Points[0].Readings = []calib.Reading{{Indication: mm("10.0020")}}
	if err := again(); err != nil {
		t.Errorf("other readings on the same day: %v", err)
	}
}

func TestKeepCheckRefusesABasisThatMoved(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	c := check("A", "2026-02-28", calib.AsFound)
	var refs Refs
	_ = b.View(func(tx *Tx) (err error) { _, refs, err = tx.Basis(c); return err })
	b.must(func(tx *Tx) error { _, err := tx.AddPlan(plan(6)); return err })
	err := b.Update(func(tx *Tx) error {
		_, err := tx.KeepCheck(KeptCheck{Check: c, Basis: refs, Result: result("pass")})
		return err
	})
	var rule *RuleError
	if !errors.As(err, &rule) {
		t.Errorf("got %v, want a *RuleError", err)
	}
}

func TestRefusalsNameWhatIsThere(t *testing.T) {
	b := newBench(t)
	b.stock("MIC-014")
	for _, c := range []struct {
		name string
		do   func(*Tx) error
		want string
	}{
		{"unknown gauge", func(tx *Tx) error { _, err := tx.Gauge("MIC-041"); return err }, `gauge "MIC-041": not in the registry; nearest: MIC-014`},
		{"nothing near", func(tx *Tx) error { _, err := tx.Gauge("zzz"); return err }, `gauge "zzz": not in the registry`},
		{"identity twice", func(tx *Tx) error { _, err := tx.AddGauge(gauge("MIC-014")); return err }, `gauge "MIC-014": is in the registry already; want another identity, or amend it`},
		{"a standard's identity", func(tx *Tx) error { _, err := tx.AddGauge(gauge("GB-1")); return err }, `gauge "GB-1": is in the registry already; want another identity, or amend it`},
		{"certificate twice", func(tx *Tx) error {
			_, err := tx.AddCertificate(calib.Certificate{Standard: "GB-1", Number: "1", Date: calib.MustDate("2026-02-01")})
			return err
		}, `certificate "1": is in the registry already; want the number and date of another`},
		{"unknown plan", func(tx *Tx) error { _, err := tx.Plan("q", 0); return err }, `plan "q": not in the registry; nearest: p`},
		{"revision that is not", func(tx *Tx) error { _, err := tx.Plan("p", 2); return err }, `plan "p revision 2": not in the registry`},
		{"status it has", func(tx *Tx) error {
			_, err := tx.ChangeStatus(calib.StatusChange{Gauge: "MIC-014", Status: calib.InService})
			return err
		}, "gauge MIC-014: is in service already; want another status"},
		{"no check", func(tx *Tx) error { _, err := tx.Check(1); return err }, `entry 1: is a "house"; want the entry of a check`},
		{"no entry", func(tx *Tx) error { _, err := tx.Check(99); return err }, `entry "99": not in the registry`},
	} {
		if err := b.Update(c.do); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v\nwant %s", c.name, err, c.want)
		}
	}
}

func TestEntryCarriesPersonProgramAndClock(t *testing.T) {
	b := newBench(t)
	b.now = time.Date(2026, 3, 2, 23, 30, 0, 123456789, time.FixedZone("CET", 3600))
	b.stock("A")
	entries := []journal.Entry{}
	_ = b.View(func(tx *Tx) (err error) { entries, err = tx.Entries("A"); return err })
	if len(entries) != 1 {
		t.Fatalf("%d entries about A, want 1", len(entries))
	}
	e := entries[0]
	if e.Person != "EK" || e.Program != "test" || e.Kind != KindGauge || e.At.Format(time.RFC3339Nano) != "2026-03-02T22:30:00.123Z" {
		t.Errorf("got %s %s %s %s", e.Person, e.Program, e.Kind, e.At.Format(time.RFC3339Nano))
	}
}

func TestSeriesKeepsWholeNanometres(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	head := b.keep(check("A", "2026-02-28", calib.AsLeft), "conditional pass")
	var got []SeriesRow
	_ = b.View(func(tx *Tx) (err error) { got, err = tx.Series("A"); return err })
	want := []SeriesRow{{Entry: head.Seq, Bench: head.Seq, Check: true, Stage: calib.AsLeft, Verdict: "conditional pass",
		Points: []SeriesPoint{{NominalNM: 10_000_000, ErrorNM: 1000, ExpandedNM: 1200}},
		Whole:  true, Basis: got[0].Basis, Parts: []SeriesPart{{Limit: 40_000}}}}
	if len(got) != 1 || got[0].Date.String() != "2026-02-28" {
		t.Fatalf("got %+v", got)
	}
	got[0].Date = calib.Date{}
	if diff := cmp.Diff(want, got, cmp.Comparer(func(a, b calib.Date) bool { return a == b })); diff != "" {
		t.Error(diff)
	}
}

func TestSeriesRefusesWhatItCannotRead(t *testing.T) {
	good, err := checkRow(KeptCheck{Check: check("A", "2026-02-28", calib.AsFound), Result: result("pass")}, 0)
	if err != nil {
		t.Fatal(err)
	}
	var damage *DamageError
	for _, cut := range [][]byte{nil, good[:5], good[:len(good)-1], append(bytes.Clone(good), 0)} {
		if _, err := decodeRow(7, cut); !errors.As(err, &damage) {
			t.Errorf("%d bytes: %v, want a *DamageError", len(cut), err)
		}
	}
	later := bytes.Clone(good)
	later[0] = 2
	if _, err := decodeRow(7, later); errors.As(err, &damage) || err == nil {
		t.Errorf("a later form: %v, want it called newer", err)
	}
}

// Whatever is entered in whatever order, the views are those that the journal
// alone gives; newBench's cleanup compares.
func TestViewsFollowTheJournalWhateverHappens(t *testing.T) {
	b := newBench(t)
	b.stock("A0")
	draw := rand.New(rand.NewPCG(1, 2))
	day := func() string { return calib.MustDate("2026-01-31").AddDays(draw.IntN(400)).String() }
	for n := 1; n <= 120; n++ {
		id := fmt.Sprintf("A%d", draw.IntN(8))
		err := b.Update(func(tx *Tx) error {
			switch draw.IntN(6) {
			case 0:
				_, err := tx.AddGauge(gauge(id))
				return err
			case 1:
				g := gauge(id)
				g.IntervalMonths = draw.IntN(24)
				_, err := tx.AmendGauge(Amendment{Gauge: g, Changes: []Change{{"interval", "a", "b"}}, Reason: "r"})
				return err
			case 2:
				s := calib.Statuses()
				_, err := tx.ChangeStatus(calib.StatusChange{Gauge: id, Status: s[draw.IntN(len(s))], Date: calib.MustDate(day()), Reason: "r"})
				return err
			case 3:
				_, err := tx.AddCertificate(calib.Certificate{Standard: "GB-1", Number: fmt.Sprint("c", n), Date: calib.MustDate(day())})
				return err
			case 4:
				_, err := tx.AddPlan(plan(draw.IntN(24)))
				return err
			default:
				c := check(id, day(), calib.AsFound)
				_, refs, err := tx.Basis(c)
				if err != nil {
					return err
				}
				v := verdictCodes()[1:]
				_, err = tx.KeepCheck(KeptCheck{Check: c, Basis: refs, Result: result(v[draw.IntN(len(v))])})
				return err
			}
		})
		var missing *NotFoundError
		var taken *TakenError
		var rule *RuleError
		if err != nil && !errors.As(err, &missing) && !errors.As(err, &taken) && !errors.As(err, &rule) {
			t.Fatal(err)
		}
	}
	var head journal.Head
	_ = b.View(func(tx *Tx) (err error) { head, err = tx.Head(); return err })
	if head.Seq < 60 {
		t.Errorf("only %d entries were made", head.Seq)
	}
}

func TestCreateLeavesWhatIsThereAlone(t *testing.T) {
	path := filepath.Join(t.TempDir(), "r.wring")
	if err := os.WriteFile(path, []byte("a list of felt prices"), 0o600); err != nil {
		t.Fatal(err)
	}
	err := Create(path, calib.House{}, Hand{Now: time.Now})
	if !errors.Is(err, ErrExists) {
		t.Errorf("got %v, want ErrExists", err)
	}
	if got, _ := os.ReadFile(path); string(got) != "a list of felt prices" {
		t.Errorf("the file was changed to %q", got)
	}
}

func TestSlipsCountAsAPersonDoes(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"mic-014", "mic-014", 0}, {"mic-041", "mic-014", 1}, {"mic-14", "mic-014", 1}, {"mic-015", "mic-014", 1}, {"", "abc", 3}, {"ca", "abc", 3}} {
		if got := slips(c.a, c.b); got != c.want {
			t.Errorf("%q to %q: %d slips, want %d", c.a, c.b, got, c.want)
		}
	}
}
