package survey

import (
	"fmt"
	"math"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// The gates of a survey: what a gauge must be today to serve.
const (
	GateStatus     calib.Gate = "gauge not in service"
	GateDue        calib.Gate = "gauge overdue"
	GateChecked    calib.Gate = "gauge did not pass"
	GateFoot       calib.Gate = "foot not verified"
	GateFootSize   calib.Gate = "foot outside the method"
	GatePressure   calib.Gate = "pressure outside the method"
	GateRange      calib.Gate = "outside what was checked"
	GateResolution calib.Gate = "resolution too coarse"
	GateAccuracy   calib.Gate = "error beyond the method"
	GateEdge       calib.Gate = "too near an edge"
	GateLimited    calib.Gate = "limits of use"
	GateEffect     calib.Gate = "effect of pressure not known"
	GateDwell      calib.Gate = "dwell not counted"
	GateZero       calib.Gate = "zero not read"
)

// An UnfitError says why no reason makes a gauge one that can serve.
type UnfitError struct{ Gauge, Found, Want string }

func (e *UnfitError) Error() string { return "gauge " + e.Gauge + ": " + e.Found + "; " + e.Want }

// Fitness looks at what a gauge must be to serve this method today, before the
// first reading, and returns what was not met. Everything that stops would be
// marked with an override. What no reason can override is an [*UnfitError].
func (b Basis) Fitness(day calib.Date) ([]calib.Finding, error) {
	unfit := func(found, want string) error { return &UnfitError{b.Gauge.ID, found, want} }
	switch {
	case b.Gauge.ReadIn().Dimension() != unit.Length:
		return nil, unfit("is a "+string(b.Gauge.Kind), "want a gauge of thickness")
	case b.Status == calib.IndicationOnly:
		return nil, unfit("is marked indication only", "want a gauge that is in service")
	case b.Status.Withdrawn():
		return nil, unfit("is "+string(b.Status), "bring it back with its status first")
	case b.Sizes == nil:
		return nil, unfit("its length was not checked on or before "+day.String(), "check it first: its error is not known")
	}
	f := &findings{}
	if !b.Status.InUse() {
		f.stop(GateStatus, "%s is %s; want it in service", b.Gauge.ID, b.Status)
	}
	if b.Status == calib.LimitedUse {
		f.mark(GateLimited, "%s is %s: %s", b.Gauge.ID, b.Status, b.Limits)
	}
	if !b.Due.IsZero() && day.After(b.Due) {
		f.stop(GateDue, "%s was due on %s, before %s", b.Gauge.ID, b.Due, day)
	}
	if v := b.Sizes.Result.VerdictOf(calib.LengthPart); !v.Passed() {
		f.stop(GateChecked, "check %d of %s, %s: %s; want a pass", b.Sizes.Entry, b.Sizes.Check.Date, b.Sizes.Check.Stage, v)
	}
	if want := b.Method.Resolution; !want.IsZero() && b.Gauge.Resolution.Inner().Cmp(want.Inner()) > 0 {
		f.stop(GateResolution, "%s is read to %s; method %s wants %s", b.Gauge.ID, b.Gauge.Resolution, b.Method.Name, want)
	}
	b.footFitness(f)
	return f.list, nil
}

type findings struct{ list []calib.Finding }

func (f *findings) add(a calib.Action, g calib.Gate, format string, args ...any) {
	f.list = append(f.list, calib.Finding{Gate: g, Text: fmt.Sprintf(format, args...), Action: a})
}

func (f *findings) stop(g calib.Gate, format string, args ...any) {
	f.add(calib.Stop, g, format, args...)
}

func (f *findings) mark(g calib.Gate, format string, args ...any) {
	f.add(calib.Mark, g, format, args...)
}

// footFitness holds the foot, as a kept check verified it, to the method.
func (b Basis) footFitness(f *findings) {
	m := b.Method
	if m.Pressure.IsZero() && m.Foot.Diameter.IsZero() && m.Foot.Area.IsZero() {
		return
	}
	switch {
	case b.Foot == nil && m.Pressure.IsZero():
	case b.Foot == nil:
		f.stop(GateFoot, "no kept check of the foot of %s; method %s wants %s", b.Gauge.ID, m.Name, bandText(m.Pressure))
	case !b.Foot.Result.VerdictOf(calib.FootPart).Passed():
		f.stop(GateFoot, "check %d of the foot of %s on %s: %s; want a pass", b.Foot.Entry, b.Gauge.ID, b.Foot.Check.Date, b.Foot.Result.VerdictOf(calib.FootPart))
	case len(b.presses("lowering")) == 0 && !m.Pressure.IsZero():
		f.stop(GateFoot, "check %d of the foot of %s states no %s; method %s wants %s", b.Foot.Entry, b.Gauge.ID, pressWord(m.pressDimension()), m.Name, bandText(m.Pressure))
	}
	for _, way := range []string{"lowering", "lifting"} {
		for _, p := range b.presses(way) {
			if outside(p.Value, m.Pressure) {
				f.stop(GatePressure, "check %d: %s %s at %s, method %s wants %s", b.Foot.Entry, p.Name, inUnitOf(p.Value, m.Pressure), p.At, m.Name, bandText(m.Pressure))
				return
			}
		}
	}
	b.footSize(f)
}

// footSize holds the foot's diameter or area to the method: as the check of
// the foot found it, else as the gauge's record has it.
func (b Basis) footSize(f *findings) {
	band := b.Method.Foot.Diameter
	if !band.IsZero() {
		if d, from, ok := b.footDiameter(); !ok {
			f.stop(GateFoot, "the diameter of the foot of %s is not known; method %s wants %s", b.Gauge.ID, b.Method.Name, bandText(band))
		} else if outside(d, band) {
			f.stop(GateFootSize, "%s by %s, method %s wants %s", inUnitOf(d, band), from, b.Method.Name, bandText(band))
		}
	}
	if band = b.Method.Foot.Area; !band.IsZero() {
		if a, from, ok := b.footArea(); !ok {
			f.stop(GateFoot, "the area of the foot of %s is not known; method %s wants %s", b.Gauge.ID, b.Method.Name, bandText(band))
		} else if outside(a, band) {
			f.stop(GateFootSize, "%s by %s, method %s wants %s", inUnitOf(a, band), from, b.Method.Name, bandText(band))
		}
	}
}

func (b Basis) footDiameter() (mm unit.Exact, from string, ok bool) {
	if b.Foot != nil && b.Foot.Result.Foot != nil {
		for _, p := range b.Foot.Result.Foot.Figures {
			if p.Name == "diameter of the foot" {
				return p.Value, fmt.Sprintf("check %d", b.Foot.Entry), true
			}
		}
	}
	d := b.Gauge.FootDiameter
	return d.Inner(), "the gauge's record", !d.IsZero()
}

func (b Basis) footArea() (mm2 unit.Exact, from string, ok bool) {
	if a := b.Gauge.FootArea; !a.IsZero() {
		return a.Inner(), "the gauge's record", true
	}
	d, from, ok := b.footDiameter()
	return unit.Decimal(math.Pi / 4 * d.Float() * d.Float()), from, ok
}

// outside reports whether a value in the inner unit lies outside a band.
func outside(v unit.Exact, b calib.Band) bool {
	return !b.Low.IsZero() && v.Cmp(b.Low.Inner()) < 0 || !b.High.IsZero() && v.Cmp(b.High.Inner()) > 0
}

func bandText(b calib.Band) string {
	switch {
	case b.Low.IsZero():
		return "at most " + b.High.String()
	case b.High.IsZero():
		return "at least " + b.Low.String()
	}
	return b.Low.String() + " to " + b.High.String()
}

// inUnitOf writes a value in the unit in which a band is written, with a digit
// more than it has.
func inUnitOf(v unit.Exact, b calib.Band) string {
	q := b.Low
	if q.IsZero() {
		q = b.High
	}
	return q.Unit().From(v).Text(q.Places()+2) + " " + q.Unit().Symbol()
}

// sizeFitness looks at what only the readings tell: whether they lie where the
// gauge was checked, and whether its error there is one that the method bears.
func (b Basis) sizeFitness(s Survey, means []unit.Exact) []calib.Finding {
	f := &findings{}
	for i, t := range means {
		name := s.Places[i].Name
		if t.Cmp(b.Gauge.Low.Inner()) < 0 || t.Cmp(b.Gauge.High.Inner()) > 0 {
			f.stop(GateRange, "place %s: %s mm, %s reads from %s to %s", name, t.Text(3), b.Gauge.ID, b.Gauge.Low, b.Gauge.High)
			continue
		}
		c := b.errorAt(t.Float())
		if list := b.sizes(); c.beyond {
			f.stop(GateRange, "place %s: %s mm, check %d knows %s from %.4g to %.4g mm", name, t.Text(3), b.Sizes.Entry, b.Gauge.ID, list[0].at, list[len(list)-1].at)
			break
		}
		if a := b.Method.Accuracy; !a.IsZero() && math.Abs(c.err) > a.Inner().Float() {
			f.stop(GateAccuracy, "place %s: error %+.4f mm at %s mm, method %s wants ±%s", name, c.err, t.Text(3), b.Method.Name, a)
			break
		}
	}
	if free := b.Method.Places.EdgeFree; !free.IsZero() {
		b.edgeFitness(f, s, free)
	}
	return f.list
}

// dwellSkipped marks the places where a reading was taken without the dwell of
// the method being counted down.
func (b Basis) dwellSkipped(s Survey) []calib.Finding {
	if b.Method.Dwell.IsZero() {
		return nil
	}
	var names []string
	for _, p := range s.Places {
		if len(p.Undwelt) > 0 {
			names = append(names, p.Name)
		}
	}
	where := "place " + strings.Join(names, ", ")
	switch len(names) {
	case 0:
		return nil
	case 1:
	case len(s.Places):
		where = "any place"
	default:
		where = "places " + strings.Join(names, ", ")
	}
	f := &findings{}
	f.mark(GateDwell, "the dwell of %g s that method %s wants was not counted down at %s", b.Method.Dwell.Seconds, b.Method.Name, where)
	return f.list
}

// edgeFitness names the first place that lies nearer to an edge than the
// method lets it.
func (b Basis) edgeFitness(f *findings, s Survey, free unit.Quantity) {
	room := free.Inner().Float()
	for i, p := range s.Places {
		x, y := s.where(i, b.Lot)
		for _, side := range []struct {
			at   *float64
			size unit.Quantity
			edge bool
		}{{x, b.Lot.Width, true}, {y, b.Lot.Length, b.Lot.Form == Sheet}} {
			if side.at == nil || side.size.IsZero() || !side.edge {
				continue
			}
			if away := min(*side.at, 1-*side.at) * side.size.Inner().Float(); away < room-1e-9 {
				f.stop(GateEdge, "place %s: %.4g mm from an edge, method %s wants %s", p.Name, away, b.Method.Name, free)
				return
			}
		}
	}
}
