package calib

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// A Date is a civil date without a zone. The zero value is "not given".
// Due dates are computed from dates, never from instants.
type Date struct{ t time.Time }

const layout = "2006-01-02"

// ParseDate reads year-month-day and nothing else: 3/4/2026 is two dates.
func ParseDate(text string) (Date, error) {
	t, err := time.Parse(layout, text)
	if err != nil {
		return Date{}, otherOrder(text)
	}
	if t.Year() < 1900 {
		return Date{}, fmt.Errorf("date %q: before 1900; write the year with four digits", clip(text))
	}
	return Date{t}, nil
}

// otherOrder says of a text that is no date what to write. One that has day,
// month and year in the order of other habits is shown in each order that it
// can be read in; none is taken.
func otherOrder(text string) error {
	parts := strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune("/.-", r) })
	if len(parts) == 3 && len(parts[2]) == 4 {
		var read, write []string
		for _, order := range []struct{ day, month int }{{0, 1}, {1, 0}} {
			t, err := time.Parse("2-1-2006", parts[order.day]+"-"+parts[order.month]+"-"+parts[2])
			if err == nil && t.Year() >= 1900 && !slices.Contains(write, t.Format(layout)) {
				read, write = append(read, t.Format("2 January 2006")), append(write, t.Format(layout))
			}
		}
		switch len(read) {
		case 2:
			return fmt.Errorf("date %q: %s or %s; write %s or %s", clip(text), read[0], read[1], write[0], write[1])
		case 1:
			return fmt.Errorf("date %q: not year-month-day; write %s", clip(text), write[0])
		}
	}
	return fmt.Errorf("date %q: not a civil date; write year-month-day, as 2026-03-02", clip(text))
}

// MustDate is ParseDate for dates written in the source.
func MustDate(text string) Date {
	d, err := ParseDate(text)
	if err != nil {
		panic(err)
	}
	return d
}

// DateOf returns the civil date of an instant in that instant's zone.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{time.Date(y, m, d, 0, 0, 0, 0, time.UTC)}
}

// IsZero reports whether no date was given.
func (d Date) IsZero() bool { return d.t.IsZero() }

// String returns year-month-day, or nothing for no date.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	var b [len(layout)]byte
	y, m, day := d.t.Date()
	if y < 0 || y > 9999 {
		return d.t.Format(layout)
	}
	for i := 3; i >= 0; i, y = i-1, y/10 {
		b[i] = byte('0' + y%10)
	}
	b[4], b[5], b[6] = '-', byte('0'+m/10), byte('0'+m%10)
	b[7], b[8], b[9] = '-', byte('0'+day/10), byte('0'+day%10)
	return string(b[:])
}

// Before reports whether d comes before e.
func (d Date) Before(e Date) bool { return d.t.Before(e.t) }

// After reports whether d comes after e.
func (d Date) After(e Date) bool { return d.t.After(e.t) }

// AddDays returns the date n days later.
func (d Date) AddDays(n int) Date { return Date{d.t.AddDate(0, 0, n)} }

// AddMonths returns the same day n calendar months later, or the last day of
// that month where it has no such day: 31 January + 1 month is the last day of
// February (house rule, as toolrooms count).
func (d Date) AddMonths(n int) Date {
	y, m, day := d.t.Date()
	first := time.Date(y, m+time.Month(n), 1, 0, 0, 0, 0, time.UTC)
	last := first.AddDate(0, 1, -1).Day()
	return Date{first.AddDate(0, 0, min(day, last)-1)}
}

// DaysSince returns the days from e to d.
func (d Date) DaysSince(e Date) int {
	return int(d.t.Sub(e.t).Hours()) / 24
}

// YearsSince returns the time from e to d in years of 365.25 days.
func (d Date) YearsSince(e Date) float64 { return float64(d.DaysSince(e)) / 365.25 }

// Day returns the days since 1 January 1970, the form in which due dates sort.
func (d Date) Day() int32 {
	return int32(d.t.Unix() / 86400)
}

// DateOfDay is the inverse of Day.
func DateOfDay(day int32) Date {
	return Date{time.Unix(int64(day)*86400, 0).UTC()}
}

// MarshalText writes the date as String does.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText is the inverse of MarshalText.
func (d *Date) UnmarshalText(b []byte) error {
	if len(b) == 0 {
		*d = Date{}
		return nil
	}
	got, err := ParseDate(string(b))
	if err != nil {
		return err
	}
	*d = got
	return nil
}

func clip(text string) string {
	const most = 40 // enough to recognise what was typed
	r := []rune(text)
	if len(r) <= most {
		return text
	}
	return string(r[:most]) + "…"
}
