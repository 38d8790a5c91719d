package registry

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
)

// amend enters an amendment of the check in an entry, changed by fn.
func (b *bench) amend(seq uint64, v calib.Verdict, fn func(*CheckAmendment)) (head uint64, err error) {
	b.t.Helper()
	err = b.Update(func(tx *Tx) error {
		old, err := tx.Check(seq)
		if err != nil {
			return err
		}
		a := CheckAmendment{Amends: seq, Reason: "wrong name", Changes: []Change{{"person", "EK", "JV"}}, KeptCheck: old.Check}
		a.Check.Person, a.Result = "JV", result(v)
		if fn != nil {
			fn(&a)
		}
		h, err := tx.AmendCheck(a)
		head = h.Seq
		return err
	})
	return head, err
}

func (b *bench) series(id string) (out []SeriesRow) {
	b.t.Helper()
	if err := b.View(func(tx *Tx) (err error) { out, err = tx.Series(id); return err }); err != nil {
		b.t.Fatal(err)
	}
	return out
}

func TestAnAmendedCheckTakesThePlaceOfTheOldOne(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	first := b.keep(check("A", "2026-02-01", calib.AsFound), "fail").Seq
	last := b.keep(check("A", "2026-02-20", calib.AsFound), "fail").Seq
	once, err := b.amend(first, "pass", nil)
	if err != nil {
		t.Fatal(err)
	}
	twice, err := b.amend(once, "conditional pass", nil)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, r := range b.series("A") {
		got = append(got, r.Date.String()+" "+string(r.Verdict))
		if r.Entry == twice && r.Bench != first {
			t.Errorf("the amended check is in the place of %d, want %d", r.Bench, first)
		}
	}
	if diff := cmp.Diff([]string{"2026-02-01 conditional pass", "2026-02-20 fail"}, got); diff != "" {
		t.Errorf("series: %s", diff)
	}
	state := func() (s GaugeState) {
		_ = b.View(func(tx *Tx) (err error) { s, err = tx.Gauge("A"); return err })
		return s
	}
	if s := state(); s.Last.Entry != last || s.Last.Verdict != "fail" {
		t.Errorf("the amendment of an older check changed the last one: %+v", s.Last)
	}
	now, err := b.amend(last, "pass", nil)
	if err != nil {
		t.Fatal(err)
	}
	if s := state(); s.Last.Entry != now || s.Last.Verdict != "pass" || s.Due.String() != "2027-02-20" {
		t.Errorf("last %+v, due %s; want entry %d, pass, due by the interval", s.Last, s.Due, now)
	}
	_ = b.View(func(tx *Tx) error {
		for seq, by := range map[uint64]uint64{first: once, once: twice, twice: 0, last: now, now: 0} {
			k, err := tx.Check(seq)
			if err != nil {
				return err
			}
			if got, err := tx.AmendedBy(k); err != nil || got != by {
				t.Errorf("entry %d: amended by %d (%v), want %d", seq, got, err, by)
			}
		}
		k, _ := tx.Check(first)
		if k.Check.Check.Person != "EK" || k.Check.Result.Verdict != "fail" {
			t.Error("the entry that was amended is not as it was")
		}
		return nil
	})
}

func TestAnAmendmentIsRefused(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	c := check("A", "2026-02-01", calib.AsFound)
	c.Points[0].Readings = append(c.Points[0].Readings, calib.Reading{Indication: mm("10.0020")})
	kept := b.keep(c, "pass").Seq
	reject := func(a *CheckAmendment, n int) {
		a.Rejected = make([]Rejection, n)
		a.Check.Points = []calib.Point{{Nominal: mm("10"), Readings: []calib.Reading{{Indication: mm("10.0010")}}}}
	}
	for _, r := range []struct {
		name string
		seq  uint64
		fn   func(*CheckAmendment)
		want string
	}{
		{"entry that is not there", 99, nil, `entry "99": not in the registry`},
		{"entry of something else", 2, nil, `entry 2: is a "plan"; want the entry of a check`},
		{"no reason", kept, func(a *CheckAmendment) { a.Reason = "" }, "check 6: no reason; want why it is amended"},
		{"nothing changed", kept, func(a *CheckAmendment) { a.Changes = nil }, "check 6: nothing changed; want at least one new value or a rejected reading"},
		{"other date", kept, func(a *CheckAmendment) { a.Check.Date = calib.MustDate("2026-02-02") }, "check 6: the amendment has another date than it says; want what was observed left as it is, or a new check"},
		{"other gauge", kept, func(a *CheckAmendment) { a.Check.Gauge = "B" }, "check 6: the amendment has another gauge than it says; want what was observed left as it is, or a new check"},
		{"other stage", kept, func(a *CheckAmendment) { a.Check.Stage = calib.AsLeft }, "check 6: the amendment has another stage than it says; want what was observed left as it is, or a new check"},
		{"other plan", kept, func(a *CheckAmendment) { a.Check.Revision = 2 }, "check 6: the amendment has another plan; want what was observed left as it is, or a new check"},
		{"reading changed", kept, func(a *CheckAmendment) {
			a.Check.Points = []calib.Point{{Nominal: mm("10"), Readings: []calib.Reading{{Indication: mm("10.0010")}, {Indication: mm("10.0000")}}}}
		}, "check 6: the amendment has another reading at 10 mm; want what was observed left as it is, or a new check"},
		{"reading's digits changed", kept, func(a *CheckAmendment) {
			a.Check.Points = []calib.Point{{Nominal: mm("10"), Readings: []calib.Reading{{Indication: mm("10.001")}, {Indication: mm("10.0020")}}}}
		}, "check 6: the amendment has another reading at 10 mm; want what was observed left as it is, or a new check"},
		{"reading left out unsaid", kept, func(a *CheckAmendment) { reject(a, 0) }, "check 6: the amendment has another number of readings than it rejects; want what was observed left as it is, or a new check"},
		{"more rejected than left out", kept, func(a *CheckAmendment) { reject(a, 2) }, "check 6: the amendment has another number of readings than it rejects; want what was observed left as it is, or a new check"},
		{"other basis", kept, func(a *CheckAmendment) { a.Basis.Standards = nil }, "check 6: its gauge or standards were changed meanwhile; look again, and amend it then"},
	} {
		t.Run(r.name, func(t *testing.T) {
			before := b.dump()
			_, err := b.amend(kept, "pass", func(a *CheckAmendment) {
				a.Amends = r.seq
				if r.fn != nil {
					r.fn(a)
				}
			})
			if err == nil || err.Error() != r.want {
				t.Errorf("got  %v\nwant %s", err, r.want)
			}
			if diff := cmp.Diff(before, b.dump()); diff != "" {
				t.Errorf("something was kept:\n%s", diff)
			}
		})
	}
	if _, err := b.amend(kept, "pass", func(a *CheckAmendment) { reject(a, 1) }); err != nil {
		t.Errorf("a rejected reading: %v", err)
	}
	if _, err := b.amend(kept, "pass", nil); err == nil || err.Error() != "check 6: was amended by entry 7; want that one amended, 7" {
		t.Errorf("amended a second time: %v", err)
	}
}

// A certificate as left states the check as found as it stood when it was
// issued, so that a reprint has the same bytes.
func TestFoundBeforeIsWhatStoodThen(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	found := b.keep(check("A", "2026-02-01", calib.AsFound), "fail").Seq
	left := b.keep(check("A", "2026-02-01", calib.AsLeft), "pass").Seq
	b.keep(check("A", "2026-02-20", calib.AsFound), "pass")
	later, err := b.amend(found, "fail", nil)
	if err != nil {
		t.Fatal(err)
	}
	again, err := b.amend(left, "pass", nil)
	if err != nil {
		t.Fatal(err)
	}
	_ = b.View(func(tx *Tx) error {
		for seq, want := range map[uint64]uint64{left: found, again: later} {
			k, err := tx.Check(seq)
			if err != nil {
				return err
			}
			f, ok, err := tx.FoundBefore(k)
			if err != nil || !ok || f.Head.Seq != want {
				t.Errorf("before entry %d: entry %d, %v, %v; want %d", seq, f.Head.Seq, ok, err, want)
			}
		}
		return nil
	})
}

func TestAttachRefuses(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	kept := b.keep(check("A", "2026-02-01", calib.AsFound), "pass").Seq
	attach := func(a Attachment, data []byte) error {
		return b.Update(func(tx *Tx) error { _, err := tx.Attach(a, data); return err })
	}
	for _, c := range []struct {
		name string
		a    Attachment
		data []byte
		want string
	}{
		{"empty", Attachment{Subject: "A", Name: "a.pdf"}, nil, `file "a.pdf": empty; want a file with something in it`},
		{"too large", Attachment{Subject: "A", Name: "a.pdf"}, make([]byte, MaxAttachment+1), `file "a.pdf": more than 16 MiB; want a smaller scan of it`},
		{"unknown subject", Attachment{Subject: "B", Name: "a.pdf"}, []byte("x"), `gauge "B": not in the registry; nearest: A`},
		{"entry of another", Attachment{Subject: "GB-1", Entry: kept, Name: "a.pdf"}, []byte("x"), "entry 6: no check and no certificate of GB-1; want the number of one, as wring history shows it"},
		{"entry that is no check", Attachment{Subject: "A", Entry: 3, Name: "a.pdf"}, []byte("x"), "entry 3: no check and no certificate of A; want the number of one, as wring history shows it"},
		{"name", Attachment{Subject: "A", Name: "../a.pdf"}, []byte("x"), `file name "../a.pdf": a character that parts folders or is reserved; want a plain name such as certificate.pdf`},
	} {
		before := b.dump()
		if err := attach(c.a, c.data); err == nil || err.Error() != c.want {
			t.Errorf("%s:\ngot  %v\nwant %s", c.name, err, c.want)
		}
		if diff := cmp.Diff(before, b.dump()); diff != "" {
			t.Errorf("%s: something was kept:\n%s", c.name, diff)
		}
	}
	if err := attach(Attachment{Subject: "A", Entry: kept, Name: "a.png"}, []byte("\x89PNG\r\n\x1a\n…")); err != nil {
		t.Fatal(err)
	}
	if err := attach(Attachment{Subject: "A", Entry: kept, Name: "b.png"}, []byte("\x89PNG\r\n\x1a\n…")); err == nil || !strings.HasSuffix(err.Error(), "is attached to A already, by entry 7; want another file") {
		t.Errorf("the same file twice: %v", err)
	}
	if err := attach(Attachment{Subject: "GB-1", Name: "b.png"}, []byte("\x89PNG\r\n\x1a\n…")); err != nil {
		t.Errorf("the same bytes for another: %v", err)
	}
	_ = b.View(func(tx *Tx) error {
		k, data, err := tx.AttachmentAt(7)
		if err != nil || string(data) != "\x89PNG\r\n\x1a\n…" || k.Attachment.Type != "PNG" || k.Attachment.Entry != kept {
			t.Errorf("%+v %q %v", k, data, err)
		}
		return nil
	})
	if p, err := b.Verify(nil); err != nil || !p.Sound() || p.Attachments != 1 {
		t.Errorf("%+v, %v; want one file that two entries name", p, err)
	}
}

func TestFileNamesStayInTheirFolder(t *testing.T) {
	for _, name := range []string{"gb-1.pdf", "Certificate 26-0417.pdf", "foto ü.jpg", "a", "com.pdf", "console.txt"} {
		if err := FileName(name); err != nil {
			t.Errorf("%q: %v", name, err)
		}
	}
	for _, name := range []string{"", ".", "..", ".pdf", "../a", "a/b", `a\b`, "/etc/passwd", `C:\a`, "c:a", "a\x00b", "a\nb", "-rf", "a.", " a", "a ",
		"CON", "con.pdf", "Lpt1.txt", "a\u202efdp.exe", "\xff", strings.Repeat("a", 121), `a"b`, "a|b", "a*"} {
		if err := FileName(name); err == nil {
			t.Errorf("%q was taken", name)
		}
	}
}

func FuzzFileName(f *testing.F) {
	f.Add("../x")
	f.Add("a.pdf")
	f.Fuzz(func(t *testing.T, name string) {
		if FileName(name) == nil && (strings.ContainsAny(name, "/\\\x00:") || strings.HasPrefix(name, ".") || len(name) > maxFileName) {
			t.Errorf("%q was taken", name)
		}
	})
}
