package registry

import (
	"errors"
	"testing"

	"example.org/wring/calib"
)

// An outline has other Go fields than a whole check, for the same text: so that
// neither loses what the other has.
func TestAnOutlineSaysWhatTheWholeCheckSays(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	p := plan(12)
	p.Digits = 2
	b.must(func(tx *Tx) error { _, err := tx.AddPlan(p); return err })
	c := check("A", "2026-02-28", calib.AsFound)
	c.Revision = 2
	head := b.keepWith(c, "fail", calib.Finding{Gate: calib.GatePoints})
	err := b.View(func(tx *Tx) error {
		kept, err := tx.Check(head.Seq)
		if err != nil {
			return err
		}
		o, err := OutlineOf(kept.Entry)
		if err != nil {
			return err
		}
		c, r := kept.Check.Check, kept.Check.Result
		if want := (OutlinedCheck{c.Gauge, c.Plan, c.Revision, c.Stage, c.Date, c.Person}); o.Check != want || c.Revision == 0 {
			t.Errorf("got %+v, want %+v", o.Check, want)
		}
		whole, err := tx.Plan(c.Plan, c.Revision)
		if digits, other := tx.PlanDigits(c.Plan, c.Revision); err != nil || other != nil || digits != whole.Plan.Digits || digits != 2 {
			t.Errorf("%d digits, %v, %v; want the %d of the plan", digits, err, other, whole.Plan.Digits)
		}
		var missing *NotFoundError
		if _, err := tx.PlanDigits(c.Plan, 9); !errors.As(err, &missing) {
			t.Errorf("digits of no revision: %v; want a NotFoundError", err)
		}
		if o.Result.Verdict != r.Verdict || r.Verdict == "" || len(o.Result.Points) != len(r.Points) || len(r.Points) == 0 {
			t.Fatalf("got %+v, want verdict and points of %+v", o.Result, r)
		}
		if len(o.Result.Findings) != 1 || o.Result.Findings[0].Gate != calib.GatePoints {
			t.Errorf("got findings %+v, want the one of %s", o.Result.Findings, calib.GatePoints)
		}
		for i, p := range o.Result.Points {
			want := r.Points[i]
			if p.Nominal.Cmp(want.Nominal) != 0 || p.Error.Cmp(want.Error) != 0 || p.Limit.Cmp(want.Limit) != 0 || p.Expanded != want.Expanded || p.Limit.Sign() == 0 || p.Expanded == 0 {
				t.Errorf("point %d: got %+v, want those figures of %+v", i+1, p, want)
			}
		}
		return nil
	})
	if err != nil {
		t.Error(err)
	}
}

func TestTheOutlineOfAGaugeSaysWhatItsStateSays(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	other := gauge("B")
	other.Place, other.Owner = "bench 2", "EK"
	b.must(func(tx *Tx) error { _, err := tx.AddGauge(other); return err })
	b.keep(check("A", "2026-02-28", calib.AsFound), "pass")
	var outlines []GaugeOutline
	b.must(func(tx *Tx) error {
		return tx.GaugeOutlines(func(o GaugeOutline) error { outlines = append(outlines, o); return nil })
	})
	n := 0
	b.must(func(tx *Tx) error {
		return tx.Gauges(func(s GaugeState) error {
			g, o := s.Gauge, outlines[n]
			if want := (OutlinedGauge{g.ID, g.Kind, g.Place, g.Owner}); o.Gauge != want || g.Kind == "" || g.ID == "B" && o.Gauge.Place+o.Gauge.Owner != "bench 2EK" {
				t.Errorf("got %+v, want %+v", o.Gauge, want)
			}
			if (o.Last == nil) != (s.Last == nil) || o.Last != nil && *o.Last != (LastOutline{s.Last.Entry, s.Last.Date}) {
				t.Errorf("%s: got last %+v, want %+v", g.ID, o.Last, s.Last)
			}
			n++
			return nil
		})
	})
	if n != 2 || len(outlines) != 2 || outlines[0].Last == nil || outlines[1].Last != nil {
		t.Errorf("%d outlines of %d gauges, %+v", len(outlines), n, outlines)
	}
}
