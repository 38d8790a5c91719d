package history

import (
	"fmt"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/stat"
)

// fewestForecast is how many checks a forecast of an interval wants: with three
// a line has one degree of freedom.
const fewestForecast = 4

// ForecastInterval proposes the time from the last check to the day on which
// the interval of 95 % about the line of some point leaves the limit less the
// guard, which is U where guarded is set (ILAC-G24 method 2). Slope and scatter
// are those of the assessment; the slope counts whether it is significant or
// not, and Why says where it is not. It returns a [*stat.CountError] of fewer
// than four checks.
func ForecastInterval(checks []Check, o Options, months float64, guarded bool) (Proposal, error) {
	p, a, f, err := outlook(checks, o)
	if err != nil {
		return Proposal{}, err
	}
	last := p.t[len(p.t)-1]
	left := func(t float64) bool {
		for j := range p.x {
			g := f.at(j, t)
			guard := 0.0
			if guarded {
				guard = g.doubt()
			}
			if g.Limit > 0 && abs(g.Error)+g.Half > g.Limit-guard {
				return true
			}
		}
		return false
	}
	most := UsualStair().Most
	out := Proposal{Method: ByForecast, Old: months, New: most,
		Inputs: fmt.Sprintf("%d checks from %s to %s, interval of 95 %%, %s", a.Checks, a.From, a.To, guardText(guarded)),
		Why:    fmt.Sprintf("stays within the limit for %g months and more", most)}
	if t, ok := firstTime(left, last); ok {
		day := p.start.AddDays(int(t * daysInYear))
		out.Why = "may leave the limit from " + day.String() + " on"
		if n := (t - last) * 12; n < most {
			out.New = max(UsualStair().Least, n)
		}
	}
	if a.Trend == nil {
		out.Why += ", by a slope that is not significant"
	}
	return out, nil
}

func guardText(guarded bool) string {
	if guarded {
		return "limit less U"
	}
	return "limit as it stands"
}

// outlook fits the running segment with a line that moves, whatever its test
// says.
func outlook(checks []Check, o Options) (panel, Assessment, forecaster, error) {
	var p panel
	a, err := Assess(checks, o)
	if err != nil {
		return p, a, forecaster{}, err
	}
	if a.Checks < fewestForecast || a.From == a.To {
		return p, a, forecaster{}, fmt.Errorf("forecast of an interval: %w", &stat.CountError{What: "checks since the last adjustment", Have: a.Checks, Want: fewestForecast})
	}
	segments := Segments(checks)
	p = align(segments[len(segments)-1], o.Zero)
	_, zero, err := p.trends(o.Known)
	if err != nil {
		return p, a, forecaster{}, err
	}
	moving := a
	if moving.Trend == nil {
		moving.Trend = &Test{Of: theZero}
		moving.Zero, moving.Scale = p.movement()
	}
	f, err := p.forecaster(moving, zero, o.Known)
	return p, a, f, err
}

// Shares lists the largest |error|/limit of each full check as found that was
// entered after the given entry, oldest first.
func Shares(checks []Check, after uint64) []float64 {
	var out []float64
	for _, segment := range Segments(checks) {
		for _, c := range segment {
			if c.Stage == calib.AsFound && !c.Intermediate && c.Entry > after {
				out = append(out, c.share())
			}
		}
	}
	return out
}

func (c Check) share() float64 {
	most := 0.0
	for _, p := range c.Points {
		if p.Limit > 0 {
			most = max(most, abs(p.Error)/p.Limit)
		}
	}
	return most
}

func abs(v float64) float64 { return max(v, -v) }
