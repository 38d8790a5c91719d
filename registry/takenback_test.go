package registry

import (
	"errors"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/calib/agreement"
	"example.org/wring/calib/study"
)

// A survey, a study and a comparison that are withdrawn stay where they were
// and are shown as withdrawn; they are no use of their gauge any more, no
// look-back asks about them, and the views made again from the journal are the
// same.
func TestWhatWasMeasuredAndIsWithdrawnCountsNoMore(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.goodsIn()
	b.must(func(tx *Tx) error {
		g := b.gaugeIn(tx, "A")
		g.ID = "B"
		_, err := tx.AddGauge(g)
		return err
	})
	b.must(func(tx *Tx) error {
		g := b.gaugeIn(tx, "A")
		g.IntervalUses = 2
		_, err := tx.AmendGauge(Amendment{Gauge: g, Changes: []Change{{"interval uses", "", "2"}}, Reason: "r"})
		return err
	})
	b.keep(check("A", "2025-02-28", calib.AsFound), "pass")
	wrong, err1 := b.survey(taken("A", "2025-06-01", "2.501", "2.502", "2.503"))
	right, err2 := b.survey(taken("A", "2025-06-03", "2.501", "2.502", "2.504"))
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	var studied, compared uint64
	b.must(func(tx *Tx) error {
		refs, err := tx.UseOf("A")
		if err != nil {
			return err
		}
		h, err := tx.KeepStudy(KeptStudy{Study: study.Study{Gauge: "A", Date: calib.MustDate("2025-06-04"), Person: "JV"}, Basis: refs})
		studied = h.Seq
		return err
	})
	b.must(func(tx *Tx) error {
		c := agreement.Comparison{A: agreement.Party{Name: "A", Gauge: "A"}, B: agreement.Party{Name: "B", Gauge: "B"}, Date: calib.MustDate("2025-06-05"), Person: "JV"}
		k := KeptComparison{Comparison: c}
		var err error
		if k.A, k.B, err = tx.UsesOf(c); err != nil {
			return err
		}
		h, err := tx.KeepComparison(k)
		compared = h.Seq
		return err
	})
	uses := func(gauge string, want int, due string) {
		t.Helper()
		s := b.gauge(gauge)
		n := 0
		_ = b.View(func(tx *Tx) (err error) {
			n, err = tx.Uses(gauge, calib.MustDate("2025-01-01"), calib.Date{})
			return err
		})
		if s.Uses != want || n != want || s.Due.String() != due {
			t.Errorf("%s: %d uses, counted %d, due %s; want %d and %s", gauge, s.Uses, n, s.Due, want, due)
		}
	}
	uses("A", 4, "2025-06-03")
	for _, c := range []struct {
		seq  uint64
		uses int
		due  string
	}{{wrong, 3, "2025-06-04"}, {studied, 2, "2025-06-05"}, {compared, 1, "2026-02-28"}} {
		b.must(func(tx *Tx) error { _, err := tx.Withdraw(c.seq, "of another lot"); return err })
		uses("A", c.uses, c.due)
		var rule *RuleError
		if err := b.Update(func(tx *Tx) error { _, err := tx.Withdraw(c.seq, "again"); return err }); !errors.As(err, &rule) || !strings.Contains(rule.Found, "was withdrawn by entry") {
			t.Errorf("entry %d withdrawn twice: %v", c.seq, err)
		}
	}
	var rule *RuleError
	if err := b.Update(func(tx *Tx) error { _, err := tx.Withdraw(right, " "); return err }); !errors.As(err, &rule) {
		t.Errorf("without a reason: %v", err)
	}
	stand := func() {
		t.Helper()
		uses("A", 1, "2026-02-28")
		uses("B", 0, b.gauge("B").Due.String())
		_ = b.View(func(tx *Tx) error {
			of, _ := tx.SurveysOf("FELT-1")
			with, _ := tx.SurveysWith("A")
			other, _ := tx.StudiesWith("A")
			if len(of) != 2 || of[0].Withdrawn == 0 || of[1].Withdrawn != 0 || len(with) != 1 || with[0].Head.Seq != right || len(other) != 0 {
				t.Errorf("of the lot %d, with the gauge %d and %d; want both shown and one counted", len(of), len(with), len(other))
			}
			studies, _ := tx.Studies()
			comparisons, _ := tx.Comparisons()
			if len(studies) != 1 || studies[0].Withdrawn == 0 || len(comparisons) != 1 || comparisons[0].Withdrawn == 0 {
				t.Errorf("studies %+v, comparisons %+v; want them shown as withdrawn", studies, comparisons)
			}
			entries, _ := tx.LotEntries("FELT-1")
			if len(entries) != 4 || entries[3].Kind != KindTakenBack {
				t.Errorf("%d entries of the lot; want its withdrawal among them", len(entries))
			}
			return nil
		})
	}
	stand()
	if p, err := b.Verify(func(*Tx, Kept) error { return nil }); err != nil || len(p.Views) > 0 {
		t.Errorf("views by the journal: %+v, %v; want those in the file", p.Views, err)
	}
	before := b.gauge("A")
	if err := b.Rebuild(); err != nil {
		t.Fatal(err)
	}
	stand()
	if s := b.gauge("A"); s.Uses != before.Uses || s.UsedUp != before.UsedUp || s.Due != before.Due {
		t.Errorf("rebuilt: %+v; want %+v", s, before)
	}
	if _, err := b.survey(taken("A", "2025-06-01", "2.501", "2.502", "2.503")); err != nil {
		t.Errorf("the same kept again after its withdrawal: %v", err)
	}
	b.keep(check("A", "2026-02-28", calib.AsFound), "fail")
	_ = b.View(func(tx *Tx) error {
		open, err := tx.LookBacks("A")
		if err != nil || len(open) != 1 {
			t.Fatalf("look-backs %v, %v", open, err)
		}
		items, err := tx.Items(open[0])
		for _, i := range items {
			if i.Entry == wrong || i.Entry == studied || i.Entry == compared {
				t.Errorf("the look-back asks about %s, which is withdrawn", i.Key)
			}
		}
		if len(items) != 3 {
			t.Errorf("%d items; want the use and two surveys", len(items))
		}
		return err
	})
}
