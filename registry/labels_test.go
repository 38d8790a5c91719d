package registry

import (
	"errors"
	"testing"
)

// Prints are counted by what they show and in which form, of gauges and of
// standards; a label cannot show what is not about its bearer.
func TestAPrintIsCountedByWhatItShows(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	at := func(id, kind string) (seq uint64) {
		_ = b.View(func(tx *Tx) error {
			list, err := tx.Entries(id)
			for _, e := range list {
				if e.Kind == kind {
					seq = e.Seq
				}
			}
			return err
		})
		return seq
	}
	gauge, standard := at("A", KindGauge), at("GB-1", KindCertificate)
	if gauge == 0 || standard == 0 {
		t.Fatalf("entries %d and %d; want one of the gauge and one of the standard", gauge, standard)
	}
	for _, c := range []struct {
		print LabelPrint
		want  int
	}{
		{LabelPrint{Gauge: "A", Form: "label", Shows: gauge}, 1}, {LabelPrint{Gauge: "A", Form: "label", Shows: gauge}, 2},
		{LabelPrint{Gauge: "A", Form: "code", Shows: gauge}, 1},
		{LabelPrint{Standard: "GB-1", Form: "label", Shows: standard}, 1}, {LabelPrint{Standard: "GB-1", Form: "label", Shows: standard}, 2},
	} {
		b.must(func(tx *Tx) error {
			got, _, err := tx.AddLabel(c.print)
			if got.Number != c.want {
				t.Errorf("%+v is print %d; want %d", c.print, got.Number, c.want)
			}
			return err
		})
	}
	var rule *RuleError
	if err := b.Update(func(tx *Tx) error {
		_, _, err := tx.AddLabel(LabelPrint{Standard: "GB-1", Form: "label", Shows: gauge})
		return err
	}); !errors.As(err, &rule) {
		t.Errorf("a label of a standard that shows a gauge's entry: %v", err)
	}
	if last := at("GB-1", KindLabel); last == 0 {
		t.Error("the printing is not in the standard's history")
	}
}
