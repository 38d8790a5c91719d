package history

import (
	"math"

	"example.org/wring/uncertainty/stat"
)

// A Prior is what is known of the scatter of checks before they are seen: its
// size relative to the budget's, and how well that is known.
type Prior struct {
	Ratio float64 // of the variances, found to stated, above 0
	DoF   float64 // degrees of freedom, 0 or more; 0 knows nothing
}

// pooled is the moderated variance factor of Smyth (2004): what is known
// beforehand and what was seen, each by its degrees of freedom.
func (p Prior) pooled(seen, dof float64) (factor, total float64) {
	total = p.DoF + dof
	if total == 0 {
		return 0, 0
	}
	return (p.DoF*p.Ratio + dof*seen) / total, total
}

// Known is a prior for the zero, for the scale, and for single points.
type Known struct{ Zero, Scale, Point Prior }

func (k Known) of(what string) Prior {
	switch what {
	case theZero:
		return k.Zero
	case theScale:
		return k.Scale
	}
	return k.Point
}

// FromBudget takes the budget's figures as right to about 25 %: 8 degrees of
// freedom (JCGM 100:2008, G.4.2, eq. G.3; the reliability is a house figure,
// that of the GUM's own example H.1).
func FromBudget() Known {
	p := Prior{Ratio: 1, DoF: 8}
	return Known{p, p, p}
}

// A Scatter is what the checks of one gauge scatter about their lines,
// relative to the budget, with its degrees of freedom.
type Scatter struct{ Zero, Scale, Point Prior }

// ScatterOf reads the running segment of a gauge's checks; it wants three of
// them and is empty of fewer.
func ScatterOf(checks []Check, zero float64) Scatter {
	segments := Segments(checks)
	if len(segments) == 0 {
		return Scatter{}
	}
	p := align(segments[len(segments)-1], zero)
	if len(p.t) < 3 || p.sound() != nil {
		return Scatter{}
	}
	var s Scatter
	for _, m := range p.named() {
		f, err := p.fit(m.v, len(p.t), Prior{})
		if err != nil || p.bare(m.v) {
			continue
		}
		if m.of == theZero {
			s.Zero = Prior{f.seen, f.dof}
		} else {
			s.Scale = Prior{f.seen, f.dof}
		}
	}
	if _, rest, dof := p.slopes(p.weights()); dof > 0 && p.own > 0 {
		s.Point = Prior{rest / p.own, dof}
	}
	return s
}

// A Fleet is the scatter of like gauges: those checked by one plan.
type Fleet struct{ zero, scale, point stat.Pool }

// Add counts a gauge in.
func (f *Fleet) Add(s Scatter) {
	f.zero.Add(s.Zero.Ratio, s.Zero.DoF)
	f.scale.Add(s.Scale.Ratio, s.Scale.DoF)
	f.point.Add(s.Point.Ratio, s.Point.DoF)
}

// enough is how many like gauges speak for another beside the budget (house
// rule).
const enough = 5

// The smallest shares of the budget's variance that a fleet may promise: they
// keep it from saying that checks hardly scatter, where readings are rounded
// alike until one day they are not. All are house rules. For the zero, whose
// budget counts a step of the check beside that of each point, it is what
// cmd/flags allows: with a quarter of it one stable dial gauge in twenty was
// flagged at its sixth check. In the scale nothing is counted twice, and half
// of the budget's standard uncertainty always stays. At a point all of it does:
// one step of one reading must never be a movement, however still the others
// were.
const (
	smallestZero  = 0.08
	smallestScale = 0.25
	smallestPoint = 1
)

// For is what the other gauges and the budget say beforehand of the one with
// this scatter; the gauge itself must have been added.
func (f Fleet) For(s Scatter) Known {
	f.zero.Remove(s.Zero.Ratio, s.Zero.DoF)
	f.scale.Remove(s.Scale.Ratio, s.Scale.DoF)
	f.point.Remove(s.Point.Ratio, s.Point.DoF)
	known := FromBudget()
	return Known{joined(f.zero, known.Zero, smallestZero), joined(f.scale, known.Scale, smallestScale), joined(f.point, known.Point, smallestPoint)}
}

func joined(p stat.Pool, budget Prior, smallest float64) Prior {
	if p.Len() < enough {
		return budget
	}
	ratio, dof := p.Prior()
	return Prior{math.Max(ratio, smallest), math.Min(math.Max(dof, 1), budget.DoF)}
}
