package registry

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/calib/survey"
	"example.org/wring/uncertainty/unit"
)

// goodsIn enters a method and a lot of invented felt.
func (b *bench) goodsIn() {
	b.t.Helper()
	mm := func(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }
	err := b.Update(func(tx *Tx) error {
		if _, err := tx.AddMethod(survey.Method{Name: "felt", Title: "t", Source: "s", Mark: survey.Own, Report: survey.ReportMean, Places: survey.Places{Least: 3, Readings: 1}}); err != nil {
			return err
		}
		_, err := tx.AddLot(survey.Lot{ID: "FELT-1", Material: "felt", Form: survey.Sheet, Unit: "mm", Rule: calib.Rule{Name: "simple acceptance"}, Method: "felt",
			Mean: calib.Band{Low: mm("2.4"), High: mm("2.6")}})
		return err
	})
	if err != nil {
		b.t.Fatal(err)
	}
}

// taken is a survey of that lot; its result is computed when it is kept.
func taken(gauge, day string, typed ...string) survey.Survey {
	s := survey.Survey{Lot: "FELT-1", Method: "felt", Revision: 1, Gauge: gauge, Date: calib.MustDate(day), Person: "JV"}
	for i, v := range typed {
		s.Places = append(s.Places, survey.Place{Name: string(rune('A' + i)), Readings: []calib.Reading{{Indication: unit.Must(v+" mm", unit.Length)}}})
	}
	return s
}

func (b *bench) survey(s survey.Survey) (seq uint64, err error) {
	return seq, b.Update(func(tx *Tx) error {
		_, refs, err := tx.SurveyBasis(s)
		if err != nil {
			return err
		}
		head, err := tx.KeepSurvey(KeptSurvey{Survey: s, Basis: refs, Result: survey.Result{Verdict: "pass"}})
		seq = head.Seq
		return err
	})
}

func TestASurveyIsAUseOfItsGaugeAndStandsWithItsLot(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.goodsIn()
	first := b.keep(check("A", "2025-02-28", calib.AsFound), "pass")
	seq, err := b.survey(taken("A", "2025-06-01", "2.501", "2.502", "2.503"))
	if err != nil {
		t.Fatal(err)
	}
	_ = b.View(func(tx *Tx) error {
		of, _ := tx.SurveysOf("FELT-1")
		with, _ := tx.SurveysWith("A")
		if len(of) != 1 || len(with) != 1 || of[0].Head.Seq != seq || with[0].Head.Seq != seq || of[0].Survey.Basis.Sizes != first.Seq {
			t.Errorf("of the lot %+v, with the gauge %+v", of, with)
		}
		for _, c := range []struct {
			from, to string
			want     int
		}{{"2025-01-01", "2025-12-31", 1}, {"2025-06-02", "2025-12-31", 0}, {"2025-01-01", "2025-05-31", 0}} {
			if n, _ := tx.Uses("A", calib.MustDate(c.from), calib.MustDate(c.to)); n != c.want {
				t.Errorf("uses from %s to %s: %d; want %d", c.from, c.to, n, c.want)
			}
		}
		if all, _ := tx.LotEntries("FELT-1"); len(all) != 2 || all[0].Kind != KindLot || all[1].Kind != KindSurvey {
			t.Errorf("entries of the lot: %v", all)
		}
		return nil
	})
	if kinds := b.kinds("A"); !slices.Contains(kinds, KindSurvey) {
		t.Errorf("history of the gauge: %v; want its survey there", kinds)
	}
}

func TestALookBackFindsTheLotsMeasuredWithTheGauge(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.goodsIn()
	b.keep(check("A", "2025-02-28", calib.AsFound), "pass")
	early, err1 := b.survey(taken("A", "2025-02-28", "2.501", "2.502", "2.504"))
	seq, err2 := b.survey(taken("A", "2025-06-01", "2.501", "2.502", "2.503"))
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	b.keep(check("A", "2026-02-28", calib.AsFound), "fail")
	var keys, path []string
	_ = b.View(func(tx *Tx) error {
		open, err := tx.LookBacks("A")
		if err != nil || len(open) != 1 {
			t.Fatalf("look-backs %v, %v", open, err)
		}
		items, err := tx.Items(open[0])
		for _, i := range items {
			keys = append(keys, i.Key)
			if i.Entry == seq {
				path = i.Path
				if i.Lot != "FELT-1" || i.Verdict != "pass" {
					t.Errorf("item %+v", i)
				}
			}
		}
		return err
	})
	if want := []string{"use A", "survey " + itoa(early), "survey " + itoa(seq)}; !slices.Equal(keys, want) {
		t.Errorf("items %v; want %v", keys, want)
	}
	if strings.Join(path, " ") != "A survey "+itoa(seq)+" FELT-1" {
		t.Errorf("path %v", path)
	}
}

// A foot that passed after the lot was measured says nothing of the length that
// is found to have failed: the look-back begins where the length last passed.
func TestALookBackBeginsWhereThatPartLastPassed(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.goodsIn()
	b.keep(check("A", "2025-02-28", calib.AsFound), "pass")
	seq, err := b.survey(taken("A", "2025-06-01", "2.501", "2.502", "2.503"))
	if err != nil {
		t.Fatal(err)
	}
	foot := check("A", "2025-07-01", calib.AsFound)
	foot.Points, foot.Foot = nil, &calib.FootCheck{}
	b.must(func(tx *Tx) error {
		_, refs, err := tx.Basis(foot)
		if err != nil {
			return err
		}
		_, err = tx.KeepCheck(KeptCheck{Check: foot, Basis: refs, Result: calib.Result{Verdict: "pass", Foot: &calib.PartResult{Verdict: "pass"}}})
		return err
	})
	b.keep(check("A", "2026-02-28", calib.AsFound), "fail")
	_ = b.View(func(tx *Tx) error {
		open, err := tx.LookBacks("A")
		if err != nil || len(open) != 1 || open[0].Since.String() != "2025-02-28" {
			t.Fatalf("look-backs %+v, %v; want one from 2025-02-28", open, err)
		}
		items, err := tx.Items(open[0])
		if !slices.ContainsFunc(items, func(i Item) bool { return i.Entry == seq }) {
			t.Errorf("items %+v; want survey %d among them", items, seq)
		}
		return err
	})
}

// A gauge with an interval in uses is due on the day of the use that reaches
// it; the next full check begins the count anew, and an amendment that makes the
// interval shorter is due at once.
func TestSurveysCountForAnIntervalInUses(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.goodsIn()
	amend := func(uses int) {
		b.must(func(tx *Tx) error {
			g := b.gaugeIn(tx, "A")
			g.IntervalUses = uses
			_, err := tx.AmendGauge(Amendment{Gauge: g, Changes: []Change{{"interval uses", "", itoa(uint64(uses))}}, Reason: "r"})
			return err
		})
	}
	survey := func(day string) {
		t.Helper()
		if _, err := b.survey(taken("A", day, "2.501", "2.502", "2.503")); err != nil {
			t.Fatal(err)
		}
	}
	due := func(uses int, want string) {
		t.Helper()
		if s := b.gauge("A"); s.Uses != uses || s.Due.String() != want {
			t.Errorf("%d uses, due %s; want %d and %s", s.Uses, s.Due, uses, want)
		}
	}
	amend(2)
	b.keep(check("A", "2025-02-28", calib.AsFound), "pass")
	due(0, "2026-02-28")
	survey("2025-03-03")
	due(1, "2026-02-28")
	survey("2025-02-03") // from before the check, entered late
	due(1, "2026-02-28")
	survey("2025-03-04")
	due(2, "2025-03-04")
	survey("2025-03-05")
	due(3, "2025-03-04")
	b.keep(check("A", "2025-03-10", calib.AsFound), "pass")
	due(0, "2026-03-10")
	survey("2025-03-11")
	amend(1)
	due(1, "2026-03-02") // the clock's day
	amend(5)
	due(1, "2026-03-10")
	var last uint64
	_ = b.View(func(tx *Tx) (err error) { h, err := tx.Head(); last = h.Seq; return err })
	b.must(func(tx *Tx) error {
		s, _, err := tx.replay("A", last)
		if want := b.stateIn(tx, "A"); s.Uses != want.Uses || s.UsedUp != want.UsedUp {
			t.Errorf("made again: %d uses, used up %s; want %d, %s", s.Uses, s.UsedUp, want.Uses, want.UsedUp)
		}
		return err
	})
}

func (b *bench) stateIn(tx *Tx, id string) GaugeState {
	b.t.Helper()
	s, err := tx.Gauge(id)
	if err != nil {
		b.t.Fatal(err)
	}
	return s
}

func (b *bench) gaugeIn(tx *Tx, id string) calib.Gauge { return b.stateIn(tx, id).Gauge }

func itoa(n uint64) string { return unit.Whole(int64(n)).Text(0) }

func TestASurveyIsKeptOnceAndOnWhatStands(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.goodsIn()
	b.keep(check("A", "2025-02-28", calib.AsFound), "pass")
	s := taken("A", "2025-06-01", "2.501", "2.502", "2.503")
	if _, err := b.survey(s); err != nil {
		t.Fatal(err)
	}
	s.Remarks = "handed in again"
	var rule *RuleError
	if _, err := b.survey(s); !errors.As(err, &rule) || !strings.Contains(rule.Found, "with the same readings") {
		t.Errorf("twice: %v", err)
	}
	err := b.Update(func(tx *Tx) error {
		other := taken("A", "2025-07-01", "2.501", "2.502", "2.503")
		_, refs, err := tx.SurveyBasis(other)
		if err != nil {
			return err
		}
		if _, err := tx.ChangeStatus(calib.StatusChange{Gauge: "A", Status: calib.Quarantined, Date: calib.MustDate("2026-03-01"), Reason: "dropped"}); err != nil {
			return err
		}
		_, err = tx.KeepSurvey(KeptSurvey{Survey: other, Basis: refs})
		return err
	})
	if !errors.As(err, &rule) || !strings.Contains(rule.Found, "changed meanwhile") {
		t.Errorf("after a change: %v", err)
	}
	var missing *NotFoundError
	for name, spoil := range map[string]func(*survey.Survey){
		"lot": func(s *survey.Survey) { s.Lot = "FELT-2" }, "method": func(s *survey.Survey) { s.Method = "fell" }, "gauge": func(s *survey.Survey) { s.Gauge = "AA" },
	} {
		one := taken("A", "2025-08-01", "2.501", "2.502", "2.503")
		spoil(&one)
		if _, err := b.survey(one); !errors.As(err, &missing) || missing.What != name || len(missing.Nearest) == 0 {
			t.Errorf("unknown %s: %v; want it named with the nearest", name, err)
		}
	}
}

func TestMethodsAndLotsAreRevised(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.goodsIn()
	var rule *RuleError
	err := b.Update(func(tx *Tx) error {
		m, err := tx.Method("felt", 0)
		if err != nil {
			return err
		}
		if _, err := tx.AddMethod(m.Method); !errors.As(err, &rule) {
			t.Errorf("word for word: %v", err)
		}
		m.Method.Title = "another"
		again, err := tx.AddMethod(m.Method)
		if err != nil || again.Method.Revision != 2 {
			t.Errorf("revised: %+v, %v", again, err)
		}
		if old, err := tx.Method("felt", 1); err != nil || old.Method.Title != "t" {
			t.Errorf("the first revision: %+v, %v", old, err)
		}
		if all, err := tx.Methods(); err != nil || len(all) != 1 || all[0].Method.Revision != 2 {
			t.Errorf("newest: %+v, %v", all, err)
		}
		l, err := tx.Lot("FELT-1")
		if err != nil {
			return err
		}
		if _, err := tx.AddLot(l.Lot); !errors.As(err, &rule) {
			t.Errorf("lot word for word: %v", err)
		}
		l.Lot.ID = "A"
		if _, err := tx.AddLot(l.Lot); !errors.As(err, &rule) {
			t.Errorf("a lot by the name of a gauge: %v", err)
		}
		g, err := tx.Gauge("A")
		if err != nil {
			return err
		}
		g.Gauge.ID = "FELT-1"
		var taken *TakenError
		if _, err := tx.AddGauge(g.Gauge); !errors.As(err, &taken) {
			t.Errorf("a gauge by the name of a lot: %v", err)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
