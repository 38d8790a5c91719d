package registry

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
	"example.org/wring/registry/store"
)

// furnished is a bench with a gauge, its standards, three checks, one of them
// amended, a status, an attachment, a backup, and a lot that was surveyed with
// the gauge, closed and left at a path.
func furnished(t *testing.T) string {
	t.Helper()
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2026-02-01", calib.AsFound), "fail") // entries 6 to 8: with its status and look-back
	left := b.keep(check("A", "2026-02-01", calib.AsLeft), "pass")
	b.keep(check("A", "2026-03-01", calib.AsFound), "pass")
	b.must(func(tx *Tx) error {
		old, err := tx.Check(left.Seq)
		if err != nil {
			return err
		}
		now := old.Check
		now.Check.Remarks = "seen again"
		_, err = tx.AmendCheck(CheckAmendment{Amends: left.Seq, Reason: "r", Changes: []Change{{"remarks", "", "seen again"}}, KeptCheck: now})
		return err
	})
	b.must(func(tx *Tx) error {
		_, err := tx.Attach(Attachment{Subject: "GB-1", Name: "gb-1.pdf"}, []byte("%PDF-1.4 invented"))
		return err
	})
	b.must(func(tx *Tx) error { _, err := tx.AddBackup(Backup{Name: "b", RemindDays: 7}); return err })
	b.goodsIn() // entries 15 and 16, and 17 its survey
	if _, err := b.survey(taken("A", "2026-03-01", "2.501", "2.502", "2.503")); err != nil {
		t.Fatal(err)
	}
	if _, err := b.study(studied("A", "2026-03-01")); err != nil { // entry 18
		b.t.Fatal(err)
	}
	copied := filepath.Join(t.TempDir(), "copy.wring")
	data, err := os.ReadFile(b.path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(copied, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return copied
}

func proofOf(t *testing.T, path string) (Proof, error) {
	t.Helper()
	r, err := OpenReading(path)
	if err != nil {
		return Proof{}, err
	}
	defer r.Close()
	return r.Verify(nil)
}

// tamper writes to the file below the registry, where nothing refuses.
func tamper(t *testing.T, path string, fn func(*store.Tx) error) {
	t.Helper()
	s, err := store.Open(path, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Update(fn); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
}

func TestVerifyFindsARegistryThatIsAsItWasWritten(t *testing.T) {
	p, err := proofOf(t, furnished(t))
	if err != nil {
		t.Fatal(err)
	}
	if !p.Sound() || p.Head.Seq != 18 || p.Checks != 4 || p.Surveys != 1 || p.Studies != 1 || p.Attachments != 1 || p.Bytes != 17 || len(p.Registry) != 32 || len(p.Backward) != 0 || p.Lone {
		t.Errorf("found %+v", p)
	}
}

// Every check is handed out once the chain up to it is proved, in its order.
func TestVerifyHandsOutEveryCheck(t *testing.T) {
	r, err := OpenReading(furnished(t))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var seen []uint64
	if _, err := r.Verify(func(_ *Tx, k Kept) error { seen = append(seen, k.Head.Seq); return nil }); err != nil {
		t.Fatal(err)
	}
	if fmt.Sprint(seen) != "[6 9 11 12]" {
		t.Errorf("checks in entries %v, want 6, 9, 11 and 12", seen)
	}
	stop := errors.New("the caller's own")
	if _, err := r.Verify(func(*Tx, Kept) error { return stop }); err != stop {
		t.Errorf("got %v, want the caller's own error", err)
	}
}

func TestVerifyNamesTheFirstBadEntry(t *testing.T) {
	record := func(tx *store.Tx, seq uint64) []byte { return tx.Get(treeJournal, seqKey(seq)) }
	for _, c := range []struct {
		name string
		do   func(*store.Tx) error
		want string
	}{
		{"a verdict changed", func(tx *store.Tx) error {
			r := record(tx, 6)
			return tx.Put(treeJournal, seqKey(6), []byte(strings.Replace(string(r), `"verdict":"fail"`, `"verdict":"pass"`, 1)))
		}, "journal entry 6: the hash in it is not that of its text after entry 5; want the one it was written with"},
		{"an entry taken out", func(tx *store.Tx) error { return tx.Delete(treeJournal, seqKey(4)) },
			"journal entry 4: missing, the next one found is 5; want every number from 1 on"},
		{"the first taken out", func(tx *store.Tx) error { return tx.Delete(treeJournal, seqKey(1)) },
			"journal entry 1: missing, the next one found is 2; want every number from 1 on"},
		{"two exchanged", func(tx *store.Tx) error {
			a, b := record(tx, 6), record(tx, 8)
			return errors.Join(tx.Put(treeJournal, seqKey(6), b), tx.Put(treeJournal, seqKey(8), a))
		}, "journal entry 6: the hash in it is not that of its text after entry 5; want the one it was written with"},
		{"all taken out", func(tx *store.Tx) error { return tx.Drop(treeJournal) },
			"journal entry 1: missing, the journal is empty; want the entry that every registry begins with"},
		{"one cut short", func(tx *store.Tx) error { return tx.Put(treeJournal, seqKey(3), record(tx, 3)[:20]) },
			"journal entry 3: 20 bytes; want more than 33"},
		{"one rewritten with a hash of its own", func(tx *store.Tx) error {
			return reseal(tx, 6, strings.NewReplacer(`"gauge":"A"`, `"gauge":"B"`))
		}, `journal entry 6: "check": gauge "B": not in the registry; nearest: A, in the entries before it; want what it names there`},
		{"an amendment with another reading, and hashes of its own", func(tx *store.Tx) error {
			return reseal(tx, 12, strings.NewReplacer(`"10.0010 mm"`, `"10.0000 mm"`))
		}, "journal entry 12: amends check 9 and has another reading at 10 mm; want what was observed left as it is"},
		{"an amendment of another bench", func(tx *store.Tx) error {
			return reseal(tx, 12, strings.NewReplacer(`"bench":9`, `"bench":6`))
		}, "journal entry 12: amends check 9 and says that entry 6 kept it first; want 9"},
		{"an amendment that does not say what moved", func(tx *store.Tx) error {
			return reseal(tx, 12, strings.NewReplacer(`"date":"2026-02-01"`, `"date":"2026-02-02"`))
		}, "journal entry 12: amends check 9 and has another date than it says; want what was observed left as it is"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := furnished(t)
			tamper(t, path, c.do)
			_, err := proofOf(t, path)
			var damage *DamageError
			if !errors.As(err, &damage) || err.Error() != c.want {
				t.Errorf("got  %v\nwant %s", err, c.want)
			}
		})
	}
}

// A stretch is proved up to the number it was given, also where the file was
// exchanged for a shorter one since the head was read.
func TestAStretchThatEndsTooEarlyIsDamage(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	_ = b.View(func(tx *Tx) error {
		const want = "journal entry 6: missing, of entries up to 7; want every number from 1 on"
		if err := proveStretch(tx.s, 3, 6); err != nil {
			t.Error(err)
		}
		if err := proveStretch(tx.s, 3, 8); err == nil || err.Error() != want {
			t.Errorf("got  %v\nwant %s", err, want)
		}
		return nil
	})
}

// Entries that the rules refuse are damage however they came into the journal:
// verify and a rebuild bring the views up by the same way as here.
func TestAnEntryThatBreaksARuleIsDamage(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	one := b.keep(check("A", "2026-02-01", calib.AsFound), "pass").Seq
	two := b.keep(check("A", "2026-02-02", calib.AsFound), "pass").Seq
	by := b.withdraw(one)
	for _, c := range []struct {
		kind    string
		payload any
		want    string
	}{
		{KindWithdrawal, Withdrawal{one, "A", "V-000006", "r"}, fmt.Sprintf("journal entry %d: takes the place of check %d, as entry %d did; want a check that stands", by+1, one, by)},
		{KindRelease, Release{Check: two, Gauge: "A"}, fmt.Sprintf("journal entry %d: releases check %d by EK, who performed or entered it; want a second person", by+1, two)},
	} {
		err := b.as("EK", func(tx *Tx) error { _, err := tx.append(c.kind, c.payload); return err })
		var damage *DamageError
		if !errors.As(err, &damage) || err.Error() != c.want {
			t.Errorf("got  %v\nwant %s", err, c.want)
		}
	}
}

// reseal rewrites an entry and every hash from it on, as only the owner of the
// file could.
func reseal(tx *store.Tx, from uint64, r *strings.Replacer) error {
	var prev journal.Head
	for seq := uint64(1); ; seq++ {
		record := tx.Get(treeJournal, seqKey(seq))
		if record == nil {
			return nil
		}
		e, hash, err := journal.Open(seq, record)
		if err != nil {
			return err
		}
		if seq < from {
			prev = journal.Head{Seq: seq, Hash: hash}
			continue
		}
		if seq == from {
			e.Payload = []byte(r.Replace(string(e.Payload)))
		}
		record, prev, err = journal.Seal(prev, e)
		if err := errors.Join(err, tx.Put(treeJournal, seqKey(seq), record)); err != nil {
			return err
		}
	}
}

func TestVerifySaysWhichViewDiffersAndRebuildMendsIt(t *testing.T) {
	for _, tree := range views() {
		for name, do := range map[string]func(*store.Tx, []byte, []byte) error{
			"changed": func(tx *store.Tx, k, v []byte) error { return tx.Put(tree, k, append(v, ' ')) },
			"missing": func(tx *store.Tx, k, _ []byte) error { return tx.Delete(tree, k) },
			"extra":   func(tx *store.Tx, k, v []byte) error { return tx.Put(tree, append([]byte("~"), k...), v) },
			"dropped": func(tx *store.Tx, _, _ []byte) error { return tx.Drop(tree) },
		} {
			t.Run(tree+" "+name, func(t *testing.T) {
				path := furnished(t)
				tamper(t, path, func(tx *store.Tx) error {
					k, v := tx.Last(tree)
					if k == nil {
						t.Fatal("the view is empty")
					}
					return do(tx, k, v)
				})
				p, err := proofOf(t, path)
				if err != nil {
					t.Fatal(err)
				}
				if p.Sound() || len(p.Views) != 1 || p.Views[0].View != tree {
					t.Fatalf("found %v, want view %q", p.Views, tree)
				}
				r, err := Open(path, Hand{Now: time.Now})
				if err == nil {
					err = errors.Join(r.Rebuild(), r.Close())
				}
				if p, again := proofOf(t, path); err != nil || again != nil || !p.Sound() {
					t.Errorf("after a rebuild (%v): %v, %v", err, p.Views, again)
				}
			})
		}
	}
}

func TestVerifyHoldsAttachmentsAgainstTheirHashes(t *testing.T) {
	sum := sha256.Sum256([]byte("%PDF-1.4 invented"))
	for _, c := range []struct {
		name string
		do   func(*store.Tx) error
		want string
	}{
		{"changed", func(tx *store.Tx) error { return tx.Put(treeAttachments, sum[:], []byte("%PDF-1.4 Invented")) }, "its bytes have another SHA-256; want them as they were entered"},
		{"gone", func(tx *store.Tx) error { return tx.Delete(treeAttachments, sum[:]) }, "its bytes are missing; want them as they were entered"},
		{"of another length than its entry says", func(tx *store.Tx) error {
			return reseal(tx, 13, strings.NewReplacer(`"size":17`, `"size":18`))
		}, "17 bytes; want 18"},
		{"strange", func(tx *store.Tx) error { return tx.Put(treeAttachments, make([]byte, 32), []byte("x")) }, "1 bytes that no entry names; want none"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := furnished(t)
			tamper(t, path, c.do)
			p, err := proofOf(t, path)
			if err != nil || len(p.Files) != 1 || p.Files[0].Reason != c.want {
				t.Errorf("%v, %v; want %s", p.Files, err, c.want)
			}
		})
	}
}

func TestAClockSetBackIsShown(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.now = b.now.Add(-time.Hour)
	b.keep(check("A", "2026-02-01", calib.AsFound), "pass")
	b.now = b.now.Add(3 * time.Hour)
	b.keep(check("A", "2026-02-02", calib.AsFound), "pass")
	p, err := b.Verify(nil)
	if err != nil || !p.Sound() || len(p.Backward) != 1 || p.Backward[0].Entry != 6 || p.Backward[0].Before.Sub(p.Backward[0].At) != time.Hour {
		t.Errorf("%+v, %v; want entry 6 an hour back", p.Backward, err)
	}
}

func TestAHeadFromElsewhereTellsALostTailAndAnotherHistory(t *testing.T) {
	path := furnished(t)
	r, err := OpenReading(path)
	if err != nil {
		t.Fatal(err)
	}
	var heads []journal.Head
	_ = r.View(func(tx *Tx) error {
		for seq := uint64(1); seq <= 11; seq++ {
			_, h, err := tx.Entry(seq)
			if err != nil {
				t.Fatal(err)
			}
			heads = append(heads, h)
		}
		return nil
	})
	standing := func(text string) Standing {
		t.Helper()
		m, err := ParseMark(text)
		if err != nil {
			t.Fatal(err)
		}
		var s Standing
		if err := r.View(func(tx *Tx) (err error) { s, err = tx.StandingOf(m); return err }); err != nil {
			t.Fatal(err)
		}
		return s
	}
	for _, h := range heads {
		whole := h.String()
		for _, text := range []string{whole, h.Short(), strings.ToUpper(whole), whole[:20] + "\n  " + whole[20:]} {
			if got := standing(text); got != Contained {
				t.Errorf("%q: %s, want contained", text, got)
			}
		}
		last := whole[len(whole)-1:]
		other := map[bool]string{true: "1", false: "0"}[last == "0"]
		if got := standing(whole[:len(whole)-1] + other); got != OtherBranch {
			t.Errorf("entry %d with its last digit changed: %s", h.Seq, got)
		}
	}
	if got := standing("19-" + strings.Repeat("0", 64)); got != TailLost {
		t.Errorf("a head beyond the end: %s, want tail lost", got)
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	tamper(t, path, func(tx *store.Tx) error { return reseal(tx, 9, strings.NewReplacer(`"person":"EK"`, `"person":"MH"`)) })
	if r, err = OpenReading(path); err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	for _, h := range heads {
		if got, want := standing(h.String()), map[bool]Standing{true: Contained, false: OtherBranch}[h.Seq < 9]; got != want {
			t.Errorf("after entry 9 was rewritten with all hashes: head %d is %s, want %s", h.Seq, got, want)
		}
	}
}

func TestParseMarkRefuses(t *testing.T) {
	for _, text := range []string{"", "7", "7-", "-7", "7-123456789abcde", "07-0123456789abcdef", "0-0123456789abcdef", "x-0123456789abcdef",
		"7-0123456789abcdeg", "7-" + strings.Repeat("0", 65), "18446744073709551616-0123456789abcdef"} {
		if m, err := ParseMark(text); err == nil {
			t.Errorf("%q was taken for %v", text, m)
		}
	}
}

func FuzzParseMark(f *testing.F) {
	f.Add("7-0123456789abcdef")
	f.Add("7-0123 4567\n89abcdef")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := ParseMark(text)
		if err != nil {
			return
		}
		if again, err := ParseMark(m.String()); err != nil || again != m {
			t.Errorf("%q: read as %v, which reads as %v, %v", text, m, again, err)
		}
	})
}

// Who waits for the lock while the file is put aside does not write to what was
// put aside.
func TestAWriterThatWaitedForAReplacedFileIsRefused(t *testing.T) {
	path := furnished(t)
	other := furnished(t)
	r, err := Open(path, Hand{Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	waited := make(chan error)
	go func() {
		w, err := Open(path, Hand{Now: time.Now})
		if err == nil {
			w.Close()
		}
		waited <- err
	}()
	time.Sleep(200 * time.Millisecond) // until it waits
	if err := errors.Join(os.Rename(path, path+".aside"), os.Rename(other, path), r.Close()); err != nil {
		t.Fatal(err)
	}
	err = <-waited
	if err == nil {
		t.Skip("the writer began too late to wait, and found the new file")
	}
	if !errors.Is(err, ErrBusy) {
		t.Errorf("the waiting writer got %v, want ErrBusy", err)
	}
}
