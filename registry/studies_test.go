package registry

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/calib/agreement"
	"example.org/wring/calib/study"
	"example.org/wring/uncertainty/unit"
)

// studied is a study of two parts by two people, each twice.
func studied(gauge, day string) study.Study {
	s := study.Study{Gauge: gauge, Date: calib.MustDate(day), Person: "MH", Parts: []string{"1", "2"}, Operators: []string{"EK", "JV"}, Repeats: 2}
	for i, v := range []string{"2.50", "2.51", "2.52", "2.53", "2.60", "2.62", "2.63", "2.63"} {
		s.Readings = append(s.Readings, study.Reading{Part: s.Parts[i/4], Operator: s.Operators[i/2%2], Indication: unit.Must(v+" mm", unit.Length)})
	}
	return s
}

// compared is a gauge beside a party that is not in the registry.
func compared(gauge, day string) agreement.Comparison {
	mm := func(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }
	return agreement.Comparison{Date: calib.MustDate(day), Person: "MH", A: agreement.Party{Name: "goods-in", Gauge: gauge}, B: agreement.Party{Name: "supplier"},
		Specimens: []agreement.Specimen{{Name: "1", A: agreement.Value{Size: mm("2.5"), Expanded: mm("0.02")}, B: agreement.Value{Size: mm("2.6"), Expanded: mm("0.02")}}}}
}

func (b *bench) study(s study.Study) (seq uint64, err error) {
	err = b.Update(func(tx *Tx) error {
		refs, err := tx.UseOf(s.Gauge)
		if err != nil {
			return err
		}
		on, err := tx.ResolveUse(refs)
		if err != nil {
			return err
		}
		k := KeptStudy{Study: s, Basis: refs}
		if k.Result, err = study.Evaluate(s, on); err != nil {
			return err
		}
		head, err := tx.KeepStudy(k)
		seq = head.Seq
		return err
	})
	return seq, err
}

func (b *bench) compare(c agreement.Comparison) (seq uint64, err error) {
	err = b.Update(func(tx *Tx) error {
		k := KeptComparison{Comparison: c}
		var err error
		if k.A, k.B, err = tx.UsesOf(c); err != nil {
			return err
		}
		if k.Result, err = agreement.Evaluate(c, k.On()); err != nil {
			return err
		}
		head, err := tx.KeepComparison(k)
		seq = head.Seq
		return err
	})
	return seq, err
}

func TestStudiesAndComparisonsAreUsesOfTheirGauges(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2025-02-28", calib.AsFound), "pass")
	first, err1 := b.study(studied("A", "2025-03-01"))
	second, err2 := b.compare(compared("A", "2025-04-01"))
	old := compared("A", "2025-05-01") // figures of an entry: no use of today's
	old.A.Entry = 3
	third, err3 := b.compare(old)
	if err := errors.Join(err1, err2, err3); err != nil {
		t.Fatal(err)
	}
	_ = b.View(func(tx *Tx) error {
		if g, _ := tx.Gauge("A"); g.Uses != 2 {
			t.Errorf("%d uses since the last check; want the study and the comparison", g.Uses)
		}
		return nil
	})
	kinds := b.kinds("A")
	if n := len(kinds); n < 3 || kinds[n-3] != KindStudy || kinds[n-2] != KindComparison || kinds[n-1] != KindComparison {
		t.Errorf("history %v; want all three there", kinds)
	}
	b.keep(check("A", "2026-02-28", calib.AsFound), "fail")
	_ = b.View(func(tx *Tx) error {
		if g, _ := tx.Gauge("A"); g.Uses != 0 { // all before its newest full check
			t.Errorf("%d uses since the last check", g.Uses)
		}
		if n, _ := tx.Uses("A", calib.MustDate("2025-03-01"), calib.MustDate("2026-01-01")); n != 2 {
			t.Errorf("%d uses; want the study and the comparison", n)
		}
		studies, _ := tx.Studies()
		comparisons, _ := tx.Comparisons()
		if len(studies) != 1 || len(comparisons) != 2 || studies[0].Head.Seq != first || comparisons[1].Head.Seq != third {
			t.Errorf("%d studies, %d comparisons", len(studies), len(comparisons))
		}
		open, _ := tx.LookBacks("A")
		if len(open) != 1 {
			t.Fatalf("%d look-backs", len(open))
		}
		items, _ := tx.Items(open[0])
		var keys []string
		for _, i := range items {
			keys = append(keys, i.Key)
		}
		if want := []string{"use A", "study " + itoa(first), "comparison " + itoa(second)}; !slices.Equal(keys, want) {
			t.Errorf("items %v; want %v", keys, want)
		}
		return nil
	})
	proof, err := b.VerifyEach(Each{})
	if err != nil || proof.Studies != 3 || !proof.Sound() {
		t.Errorf("%d studies and comparisons verified, sound %v: %v", proof.Studies, proof.Sound(), err)
	}
}

func TestUsesInStudiesCountOnWhenACheckIsWithdrawn(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.keep(check("A", "2025-02-01", calib.AsFound), "pass")
	_, err1 := b.study(studied("A", "2025-03-01"))
	_, err2 := b.compare(compared("A", "2025-04-01"))
	old := compared("A", "2025-05-01") // figures of an entry: no use of today's
	old.A.Entry = 3
	_, err3 := b.compare(old)
	if err := errors.Join(err1, err2, err3); err != nil {
		t.Fatal(err)
	}
	twice := b.keep(check("A", "2025-02-02", calib.AsFound), "pass").Seq
	b.withdraw(twice)
	if n := b.gauge("A").Uses; n != 2 {
		t.Errorf("%d uses since the check that stands; want the study and the comparison", n)
	}
}

func TestAStudyIsKeptOnceAndOnWhatStands(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	if _, err := b.study(studied("A", "2025-03-01")); err != nil {
		t.Fatal(err)
	}
	again := studied("A", "2025-03-01")
	again.Remarks = "as before"
	var rule *RuleError
	if _, err := b.study(again); !errors.As(err, &rule) || !strings.Contains(err.Error(), "already, with the same readings") {
		t.Errorf("kept twice: %v", err)
	}
	if _, err := b.compare(compared("A", "2025-03-01")); err != nil {
		t.Fatal(err)
	}
	if _, err := b.compare(compared("A", "2025-03-01")); !errors.As(err, &rule) || !strings.Contains(err.Error(), "already, with the same figures") {
		t.Errorf("compared twice: %v", err)
	}
	var missing *NotFoundError
	if _, err := b.compare(compared("B", "2025-03-02")); !errors.As(err, &missing) {
		t.Errorf("a gauge that is not there: %v", err)
	}
	stale := KeptStudy{Study: studied("A", "2025-03-02"), Basis: UseRefs{Gauge: 1}}
	if err := b.Update(func(tx *Tx) error { _, err := tx.KeepStudy(stale); return err }); !errors.As(err, &rule) || !strings.Contains(err.Error(), "changed meanwhile") {
		t.Errorf("on a stale basis: %v", err)
	}
	if err := b.View(func(tx *Tx) error { _, err := tx.Study(1); return err }); err == nil || err.Error() != `entry 1: is a "house"; want the entry of a study` {
		t.Errorf("another kind: %v", err)
	}
}
