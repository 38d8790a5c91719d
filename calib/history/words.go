package history

import (
	"cmp"
	"fmt"
	"math"
	"strconv"

	"example.org/wring/calib"
)

// Units are those a line is written in.
type Units struct {
	Error      string  // "µm"
	ErrorPerMM float64 // how many of them are 1 mm, above 0
	Size       string  // "mm"
	SizePerMM  float64 // how many of them are 1 mm, above 0

	// Shift is what moves where all points move alike, Of what is followed in
	// time; empty: the zero, and the error. Where Size is empty no point has a
	// size.
	Shift, Of string
}

func (u Units) shift() string { return cmp.Or(u.Shift, "zero") }
func (u Units) of() string    { return cmp.Or(u.Of, "error") }

// at names the place of a point, with a blank before it; empty where it has
// none.
func (u Units) at(mm float64) string {
	if u.Size == "" {
		return ""
	}
	return " at " + u.size(mm)
}

// Line says in one line of plain words what the series shows.
func (a Assessment) Line(u Units) string {
	switch a.State {
	case TooFew:
		return fmt.Sprintf("%s; nothing to compare yet", counted(a.Checks))
	case Outside:
		if a.Checks < 2 || a.Trend == nil && a.Change == nil {
			return "beyond its limit; " + a.expected(u)
		}
		return "beyond its limit; " + a.moved(u)
	case Drifting:
		if a.Trend == nil {
			return a.moved(u) + "; " + a.expected(u)
		}
		return a.moved(u) + "; " + a.leaves(u)
	case Moving:
		return a.moved(u) + "; " + a.leaves(u)
	}
	return fmt.Sprintf("steady over %s; %s", counted(a.Checks), a.expected(u))
}

func counted(n int) string {
	if n == 1 {
		return "1 check"
	}
	return fmt.Sprintf("%d checks", n)
}

// moved names what moves, by how much and since when.
func (a Assessment) moved(u Units) string {
	if a.Trend == nil {
		return fmt.Sprintf("%s changed by %s since the check before", a.subject(*a.Change, u), u.signed(a.atFar(*a.Change), a.Forecast.Limit))
	}
	t := *a.Trend
	return fmt.Sprintf("%s has moved %s in %s", a.subject(t, u), u.signed(a.atFar(t)*a.To.YearsSince(a.From), a.Forecast.Limit), monthsText(a.From, a.To))
}

// subject says what a test is about. Where a trend is told apart better than
// its test does, that counts.
func (a Assessment) subject(t Test, u Units) string {
	zero, scale := t.Of == theZero, t.Of == theScale
	if a.Trend != nil && t == *a.Trend && t.Of != aPoint {
		zero, scale = a.Zero != 0, a.Scale != 0
	}
	switch {
	case zero && scale:
		return fmt.Sprintf("%s and scale: the %s%s", u.shift(), u.of(), u.at(a.Forecast.Point))
	case scale:
		return fmt.Sprintf("scale: the %s%s", u.of(), u.at(a.Forecast.Point))
	case zero:
		return u.shift()
	}
	return fmt.Sprintf("%s alone", u.size(t.Point))
}

// atFar is the movement at the point that is spoken of, in mm or mm a year.
func (a Assessment) atFar(t Test) float64 {
	switch {
	case t.Of == aPoint:
		return t.Size
	case a.Trend != nil && t == *a.Trend:
		return a.Zero + a.Scale*a.distance
	case t.Of == theScale:
		return t.Size * a.distance
	}
	return t.Size
}

func (a Assessment) leaves(u Units) string {
	limit := u.limit(a.Forecast.Limit)
	switch {
	case a.Reaches.IsZero():
		return fmt.Sprintf("stays within %s for %d years", limit, horizon)
	case a.Reaches.After(a.To):
		return fmt.Sprintf("leaves %s about %s", limit, month(a.Reaches))
	case a.Crosses.After(a.To):
		return fmt.Sprintf("is within U of %s already, beyond it about %s", limit, month(a.Crosses))
	}
	return fmt.Sprintf("is within U of %s already", limit)
}

func month(d calib.Date) string { return d.String()[:len("2006-01")] }

// limit writes a limit without zeros behind it.
func (u Units) limit(mm float64) string {
	return "±" + strconv.FormatFloat(mm*u.ErrorPerMM, 'g', 6, 64) + " " + u.Error
}

func (a Assessment) expected(u Units) string {
	f := a.Forecast
	return fmt.Sprintf("largest expected %s %s ± %s%s, limit %s", u.of(), u.bare(f.Error, f.Limit, true), u.plain(f.Half, f.Limit), u.at(f.Point), u.limit(f.Limit))
}

// Ahead says where the point that comes nearest to its limit is expected on the
// day looked ahead to, with its band; empty where nothing was compared yet.
func (a Assessment) Ahead(u Units) string {
	f := a.Forecast
	if a.Checks < 2 {
		return ""
	}
	band := fmt.Sprintf("%.0f %%", 100*bandProbability)
	if f.DoF == 0 {
		band = "U, the scatter is not known"
	}
	return fmt.Sprintf("forecast for %s: %s %s ± %s%s (%s), limit %s", a.Due, u.of(), u.bare(f.Error, f.Limit, true), u.plain(f.Half, f.Limit), u.at(f.Point), band, u.limit(f.Limit))
}

// monthsText counts calendar months, at least one.
func monthsText(from, to calib.Date) string {
	n := max(1, int(math.Round(to.YearsSince(from)*12)))
	if n == 1 {
		return "1 month"
	}
	return fmt.Sprintf("%d months", n)
}

func (u Units) signed(mm, limit float64) string { return u.bare(mm, limit, true) + " " + u.Error }
func (u Units) plain(mm, limit float64) string  { return u.bare(mm, limit, false) + " " + u.Error }

// bare writes a figure to the place that is a hundredth to a tenth of its
// limit.
func (u Units) bare(mm, limit float64, sign bool) string {
	places := 1
	if l := limit * u.ErrorPerMM; l > 0 {
		places = min(4, max(0, 1-int(math.Floor(math.Log10(l)))))
	}
	text := strconv.FormatFloat(mm*u.ErrorPerMM, 'f', places, 64)
	zero := strconv.FormatFloat(0, 'f', places, 64)
	if text == "-"+zero {
		text = zero
	}
	if sign && mm > 0 && text != zero {
		text = "+" + text
	}
	return text
}

func (u Units) size(mm float64) string {
	return strconv.FormatFloat(mm*u.SizePerMM, 'g', 8, 64) + " " + u.Size
}
