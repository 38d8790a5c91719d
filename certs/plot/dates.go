package plot

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// YearOf places a civil day, counted from 1970-01-01, on an axis of dates: its
// year, and the share of it that has passed. A year begins at a whole number.
func YearOf(day int) float64 {
	t := time.Unix(0, 0).UTC().AddDate(0, 0, day)
	return float64(t.Year()) + float64(t.YearDay()-1)/daysIn(t.Year())
}

// dateOf is the day nearest to a place on an axis of dates.
func dateOf(v float64) time.Time {
	year := int(math.Floor(v))
	passed := math.Round((v - math.Floor(v)) * daysIn(year))
	return time.Date(year, 1, 1+int(passed), 0, 0, 0, 0, time.UTC)
}

func daysIn(year int) float64 {
	return float64(time.Date(year, 12, 31, 0, 0, 0, 0, time.UTC).YearDay())
}

func two(r Range, step float64) bool {
	first, last := multiples(r, step)
	return last > first
}

// dateTicks divides an axis of dates at the beginnings of years or months.
func dateTicks(r Range, wanted int) []Tick {
	const year = 12 // months
	rough := (r.High - r.Low) * year / float64(max(wanted, 2))
	steps := []float64{1, 2, 3, 6, year, 2 * year, 5 * year}
	nice, _ := niceStep(rough / year)
	step := nice * year
	if i := slices.IndexFunc(steps, func(s float64) bool { return s >= rough*(1-1e-9) }); i >= 0 {
		for step = steps[i]; i > 0 && !two(r, step/year); i-- { // one tick is no scale
			step = steps[i-1]
		}
	}
	var ticks []Tick
	for first, last := multiples(r, step/year); first <= last; first++ {
		months := first * step
		tick := Tick{At: months / year, Label: fmt.Sprintf("%04d", int(months)/year)}
		if step < year {
			tick.Label += fmt.Sprintf("-%02d", int(months)%year+1)
		}
		ticks = append(ticks, tick)
	}
	return ticks
}
