package history

import (
	"errors"
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/stat"
)

// A State says in a word what a series shows.
type State string

// The states, worst first.
const (
	Outside  State = "outside"  // the newest error lies beyond its limit
	Drifting State = "drifting" // it moves, and leaves its limit before the next due date; or it changed since the last check
	Moving   State = "moving"   // it moves, and stays within its limit until the next due date
	Steady   State = "steady"   // nothing that chance would not show too
	TooFew   State = "too few"  // fewer than two checks of one kind
)

// Flagged reports whether somebody ought to look at the gauge.
func (s State) Flagged() bool { return s == Outside || s == Drifting }

// TrendLevel and ChangeLevel are the probabilities with which a gauge that does
// not move shows a trend, and a change, at one check: together 2 %, and a trend
// alone is no flag yet (house rule, from the goal of at most 2 % a year; what
// comes of it is measured by cmd/flags).
const (
	TrendLevel  = 0.015
	ChangeLevel = 0.005
)

// horizon bounds how far ahead a date is looked for, in years (house rule:
// nobody plans further).
const horizon = 20

// Options are what an assessment needs beside the checks.
type Options struct {
	// Zero is the size from which a change of scale grows, in mm: the low end
	// of the gauge's range, where it is set.
	Zero float64

	// Due is the day to look ahead to; not given, the last interval is taken
	// to come again.
	Due calib.Date

	Known Known // of the scatter; the zero value knows nothing
}

// An Assessment is what the running segment of a series says. Lengths are in
// mm, slopes in mm a year.
type Assessment struct {
	State  State
	Checks int
	From   calib.Date // of the first check that counts
	To     calib.Date // of the last

	Trend  *Test // the one that is significant, nil where none is
	Change *Test // since the last check but one

	// Zero and Scale are what a trend moves: mm a year, and mm a year for each
	// mm from the zero; 0 where that mode does not move.
	Zero, Scale float64

	Due      calib.Date // the day looked ahead to
	Forecast Forecast   // at the point that comes nearest to its limit then

	// Reaches is the first day on which |ê| + U reaches the limit at some
	// point, |ê| alone where U fills the limit by itself; zero where nothing
	// moves or it is not within 20 years.
	Reaches calib.Date

	// Crosses is the first day on which |ê| alone does so.
	Crosses calib.Date

	Tests []Test // all, trends first

	distance float64 // of the forecast's point from the zero, mm
}

// A Forecast is the error that is expected at one point on a day.
type Forecast struct {
	Point    float64 // nominal size, mm
	Error    float64 // ê, mm
	Half     float64 // t·s_pred, half-width of the interval of 95 % for one further observation, mm
	Expanded float64 // U of the newest check there, mm
	Limit    float64 // maximum permissible error, mm
	DoF      float64 // degrees of freedom of Half; 0 where none are known and Half is U
}

// doubt is U, or nothing where it fills the limit alone and so says nothing of
// a movement.
func (f Forecast) doubt() float64 {
	if f.Expanded < f.Limit {
		return f.Expanded
	}
	return 0
}

// reach is the greater of two doubts: where the next observation may fall, and
// how far the truth may be from it.
func (f Forecast) reach() float64 { return math.Max(f.Half, f.doubt()) }

// Share is (|ê| + doubt)/limit, 1 where the limit is reached; without unit, 0
// where there is no limit.
func (f Forecast) Share() float64 {
	if !(f.Limit > 0) {
		return 0
	}
	return (math.Abs(f.Error) + f.reach()) / f.Limit
}

// Assess reads the running segment of a gauge's checks, in any order.
func Assess(checks []Check, o Options) (Assessment, error) {
	segments := Segments(checks)
	if len(segments) == 0 {
		return Assessment{State: TooFew}, nil
	}
	p := align(segments[len(segments)-1], o.Zero)
	if err := p.sound(); err != nil {
		return Assessment{}, err
	}
	a := Assessment{State: TooFew, Checks: len(p.t)}
	if len(p.t) == 0 {
		return a, nil
	}
	a.From, a.To = p.start, p.start.AddDays(int(math.Round(p.t[len(p.t)-1]*daysInYear)))
	if len(p.t) < 2 || a.From == a.To {
		return a, a.single(p)
	}
	a.Due = o.Due
	if a.Due.IsZero() || !a.Due.After(a.To) {
		last := p.t[len(p.t)-1] - p.t[len(p.t)-2]
		a.Due = a.To.AddDays(int(math.Ceil(last * daysInYear)))
	}
	return a, a.judge(p, o.Known)
}

// daysInYear is that of calib.Date.YearsSince.
const daysInYear = 365.25

func (p panel) sound() error {
	for i, row := range p.cells {
		for _, q := range row {
			for _, v := range []float64{q.Nominal, q.Error, q.Limit, q.Expanded, q.Own, q.Step, q.Common, q.Blocks} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					return fmt.Errorf("check %d at %v mm: %w", i+1, q.Nominal, stat.ErrNotFinite)
				}
			}
			if !(q.Limit >= 0 && q.Expanded >= 0) {
				return errors.New("series: a limit or an uncertainty below zero; want them 0 or more")
			}
		}
	}
	return nil
}

// single says what one check says: whether it is outside.
func (a *Assessment) single(p panel) error {
	if p.outside() {
		a.State = Outside
	}
	for j, q := range p.latest() {
		f := Forecast{Point: p.sizes[j], Error: q.Error, Half: q.Expanded, Expanded: q.Expanded, Limit: q.Limit}
		if j == 0 || f.Share() > a.Forecast.Share() {
			a.Forecast = f
		}
	}
	return nil
}

func (p panel) outside() bool {
	for _, q := range p.latest() {
		if math.Abs(q.Error) > q.Limit && q.Limit > 0 {
			return true
		}
	}
	return false
}

// judge fills in tests, forecast and state.
func (a *Assessment) judge(p panel, known Known) error {
	trends, zero, err := p.trends(known)
	if err != nil {
		return err
	}
	changes, err := p.changes(known)
	if err != nil {
		return err
	}
	a.Tests = append(trends, changes...)
	a.Trend, a.Change = significant(trends, TrendLevel), p.told(significant(changes, ChangeLevel), changes)
	if a.Trend != nil && a.Trend.Of != aPoint {
		a.Zero, a.Scale = p.movement()
	}
	f, err := p.forecaster(*a, zero, known)
	if err != nil {
		return err
	}
	a.look(p, f)
	switch {
	case p.outside():
		a.State = Outside
	case a.Change != nil, a.Trend != nil && a.Forecast.Share() > 1:
		a.State = Drifting
	case a.Trend != nil:
		a.State = Moving
	default:
		a.State = Steady
	}
	return nil
}

// significant returns the plainest test of a family that passes its level.
func significant(list []Test, level float64) *Test {
	var best *Test
	for i := range list {
		if t := &list[i]; t.P <= level && (best == nil || t.P < best.P || t.P == best.P && t.raw < best.raw) {
			best = t
		}
	}
	return best
}
