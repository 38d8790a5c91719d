package registry

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/calib"
)

func dueRows() []DueRow {
	return []DueRow{
		{ID: "A"},
		{ID: "MIC-1", What: "outside micrometer", Description: "0–25 µm", Place: "bench 1", Owner: "plant 2", Status: calib.InService,
			Part: calib.LengthPart, Clock: calib.FullCheck, Due: calib.MustDate("2026-11-25"), Last: calib.MustDate("1969-12-31"), Verdict: "pass"},
		{ID: "GB-1", What: "gauge block set", Standard: true, Due: calib.MustDate("1900-01-01")},
	}
}

func TestADueRowIsReadAsItWasWritten(t *testing.T) {
	d := newDueReader()
	for _, row := range dueRows() {
		got, err := d.read(row.written())
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(row, *got, cmp.Comparer(func(a, b calib.Date) bool { return a.String() == b.String() })); diff != "" {
			t.Errorf("%s:\n%s", row.ID, diff)
		}
	}
}

func TestADueRowThatIsCutShortIsDamage(t *testing.T) {
	for _, row := range dueRows() {
		b := row.written()
		for n := range b {
			if _, err := newDueReader().read(b[:n]); err == nil {
				t.Errorf("%s: %d of %d bytes are taken for a row", row.ID, n, len(b))
			}
		}
		b[0] = dueForm + 1
		if _, err := newDueReader().read(b); err == nil {
			t.Errorf("%s: a later form is taken for this one", row.ID)
		}
	}
}

func FuzzDueRow(f *testing.F) {
	for _, row := range dueRows() {
		f.Add(row.written())
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		row, err := newDueReader().read(b)
		if err != nil {
			return
		}
		again, err := newDueReader().read(row.written())
		if err != nil || again.ID != row.ID || again.Verdict != row.Verdict || again.Due.String() != row.Due.String() {
			t.Errorf("%+v becomes %+v, %v", row, again, err)
		}
	})
}
