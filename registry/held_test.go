package registry

import (
	"reflect"
	"testing"

	"example.org/wring/calib"
)

// A gauge that was written is held as it was written, also for the next update:
// what is held must be what the file gives.
func TestAGaugeThatIsHeldIsTheOneInTheFile(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	same := func(when string) {
		t.Helper()
		b.must(func(tx *Tx) error {
			held, err := tx.Gauge("A")
			if err != nil {
				return err
			}
			read, err := tx.gauge("A")
			if !reflect.DeepEqual(held, read) {
				t.Errorf("after %s: held %+v; the file has %+v", when, held, read)
			}
			return err
		})
	}
	same("its entry")
	for _, c := range []struct {
		day     string
		stage   calib.Stage
		verdict calib.Verdict
	}{{"2026-02-01", calib.AsFound, "pass"}, {"2026-02-02", calib.AsFound, "fail"}, {"2026-02-02", calib.AsLeft, "pass"}} {
		b.keep(check("A", c.day, c.stage), c.verdict)
		same("a check of " + c.day)
	}
	b.must(func(tx *Tx) error {
		_, err := tx.ChangeStatus(calib.StatusChange{Gauge: "A", Status: calib.Quarantined, Date: calib.MustDate("2026-03-01"), Reason: "dropped"})
		return err
	})
	same("a change of status")
}

// An update that did not come about leaves nothing that the next one would see.
func TestWhatAFailedUpdateHeldIsForgotten(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	err := b.Update(func(tx *Tx) error {
		if _, err := tx.ChangeStatus(calib.StatusChange{Gauge: "A", Status: calib.Quarantined, Date: calib.MustDate("2026-03-01"), Reason: "dropped"}); err != nil {
			return err
		}
		return errDueRow // whatever it is
	})
	if err == nil {
		t.Fatal("the update did not fail")
	}
	b.must(func(tx *Tx) error {
		s, err := tx.Gauge("A")
		if s.Status != calib.InService {
			t.Errorf("the gauge is %s; want it as before the update", s.Status)
		}
		return err
	})
}
