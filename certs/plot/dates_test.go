package plot

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// Law: a day that was placed on an axis is the day that is read off it, and
// days follow each other.
func TestDaysAreReadOffAsTheyWerePlaced(t *testing.T) {
	const from, to = -80 * 365, 130 * 365 // 1890 to 2100
	last := YearOf(from - 1)
	for day := from; day < to; day++ {
		at := YearOf(day)
		if got := int(dateOf(at).Unix() / 86400); dateOf(at).Unix()%86400 != 0 || got != day && day >= 0 {
			t.Fatalf("day %d stands at %v and is read as %s", day, at, dateOf(at))
		}
		if !(at > last) {
			t.Fatalf("day %d stands at %v, the day before at %v", day, at, last)
		}
		last = at
	}
	if YearOf(0) != 1970 || YearOf(59+365) != 1971+59.0/365 { // own
		t.Errorf("1970-01-01 stands at %v, 1971-03-01 at %v", YearOf(0), YearOf(59+365))
	}
}

func TestAnAxisOfDatesIsDividedAtYearsOrMonths(t *testing.T) {
	for _, c := range []struct {
		r      Range
		wanted int
		want   []string
	}{
		{Range{2024.67, 2028.05}, 4, []string{"2025", "2026", "2027", "2028"}},
		{Range{2024.67, 2028.05}, 7, []string{"2025-01", "2025-07", "2026-01", "2026-07", "2027-01", "2027-07", "2028-01"}},
		{Range{2026.3, 2026.9}, 4, []string{"2026-05", "2026-07", "2026-09", "2026-11"}},
		{Range{1900, 2030}, 4, []string{"1900", "1950", "2000"}},
	} {
		var got []string
		for _, k := range dateTicks(c.r, c.wanted) {
			got = append(got, k.Label)
			if k.At < c.r.Low-1e-9 || k.At > c.r.High+1e-9 {
				t.Errorf("%v: %s stands at %v", c.r, k.Label, k.At)
			}
		}
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%v: %s", c.r, d)
		}
	}
}

func TestAValueIsWrittenAsFarAsItCanBeReadOff(t *testing.T) {
	signed, plain, dates := Axis{Signed: true}, Axis{}, Axis{Dates: true}
	for _, c := range []struct {
		axis  Axis
		v     float64
		shown Range
		want  string
	}{
		{signed, 665.0787, Range{-4000, 25000}, "+665"},
		{signed, -1.23456, Range{-4, 4}, "\u22121.235"},
		{signed, -0.0001, Range{-4, 4}, "0.000"},
		{signed, 0, Range{-4, 4}, "0.000"},
		{plain, 1.5, Range{-4, 4}, "1.500"},
		{dates, YearOf(20782), Range{2020, 2030}, "2026-11-25"},
	} {
		if got := c.axis.Text(c.v, c.shown); got != c.want {
			t.Errorf("%v on %v: %q, want %q", c.v, c.shown, got, c.want)
		}
	}
}

func TestADescriptionCountsWhatIsDrawn(t *testing.T) {
	p := Plot{X: Axis{Quantity: "nominal size", Unit: "mm"}, Y: Axis{Quantity: "error", Unit: "µm"},
		Lines: []Line{{Label: "limit ±MPE"}, {}}, Series: []Series{{Label: "pass", Points: make([]Point, 8)}, {Label: "none"}, {Label: "fail", Points: make([]Point, 2)}}}
	if got, want := p.Describe(), "error in µm over nominal size in mm: 8 pass, 2 fail; lines: limit ±MPE."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	m := Plot{X: Axis{Quantity: "across"}, Y: Axis{Quantity: "along"}, Tiles: []Tile{{}, {Shade: Above}, {}}, Keys: []Key{{Even, "even"}, {Above, "above"}, {Below, "below"}}}
	if got, want := m.Describe(), "along over across: 2 even, 1 above."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
