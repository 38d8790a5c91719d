package calib

import (
	"fmt"
	"strings"
	"time"
)

// A DateOrder is in which order somebody else's table writes the parts of a
// date; empty is year month day.
type DateOrder string

// The orders.
const (
	YearMonthDay DateOrder = "year month day"
	DayMonthYear DateOrder = "day month year"
	MonthDayYear DateOrder = "month day year"
)

// DateOrders lists them.
func DateOrders() []DateOrder { return []DateOrder{YearMonthDay, DayMonthYear, MonthDayYear} }

// ParseDateIn reads a date from a table whose order was said; without one it is
// ParseDate. A midnight that a spreadsheet put behind the date is left off, and
// year-month-day is read in every table.
func ParseDateIn(text string, order DateOrder) (Date, error) {
	text = strings.TrimSpace(text)
	for _, midnight := range []string{" 00:00:00", "T00:00:00", " 00:00"} {
		text = strings.TrimSuffix(text, midnight)
	}
	d, err := ParseDate(text)
	form := map[DateOrder]string{DayMonthYear: "2-1-2006", MonthDayYear: "1-2-2006"}[order]
	if err == nil || form == "" {
		return d, err
	}
	t, other := time.Parse(form, strings.NewReplacer("/", "-", ".", "-").Replace(text))
	if other != nil {
		return Date{}, fmt.Errorf("date %q: no such day by %s; want the order that holds for the whole table", clip(text), order)
	}
	return ParseDate(t.Format(layout))
}
