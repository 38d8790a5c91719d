package calib

import "testing"

// The text of a day is that which the standard library gives it (own).
func TestEveryDayIsWrittenAsTheLibraryWritesIt(t *testing.T) {
	for day := int32(-800_000); day < 3_000_000; day += 37 {
		d := DateOfDay(day)
		if got, want := d.String(), d.t.Format(layout); got != want && !d.IsZero() {
			t.Fatalf("day %d is %q, want %q", day, got, want)
		}
	}
}
