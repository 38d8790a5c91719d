package survey

import (
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/calib/ledger"
	"example.org/wring/uncertainty"
)

// A line is a normal contribution on its way to a budget.
type line struct {
	kind   calib.ContributionKind
	name   string
	unit   string
	c      float64
	u      float64
	dof    float64 // 0 stands for infinite
	source string
}

// entry makes it a line of a ledger: of t where it has degrees of freedom, as
// what was found by readings is.
func (l line) entry() ledger.Line {
	d := uncertainty.Normal(l.u)
	if l.dof > 0 {
		d = uncertainty.StudentT(l.u, l.dof)
	}
	return ledger.Line{Kind: l.kind, Name: l.name, Source: l.source, Unit: l.unit, C: l.c, What: d}
}

// common are the lines that all places share: they are never divided by the
// number of places. at is the size, in mm.
func (t *taking) common(at float64) []ledger.Line {
	c := t.basis.errorAt(at)
	check := fmt.Sprintf("check %d of %s", t.basis.Sizes.Entry, t.basis.Gauge.ID)
	out := []ledger.Line{line{kind: calib.InstrumentCalibration, name: "calibration of the gauge", unit: "mm", c: -1, u: c.u, dof: c.dof, source: check + ", u of its error there"}.entry()}
	if c.bend > 0 {
		out = append(out, ledger.Line{Kind: calib.OtherEffect, Name: "error between the test points", Unit: "mm", C: -1,
			Source: check + ": as far as the nearer point is away (house rule)", What: uncertainty.Rectangular(c.bend)})
	}
	if n := len(t.survey.Zero); n > 0 {
		out = append(out, ledger.Line{Kind: calib.ZeroResolution, Name: "reading of the zero", Unit: "mm", C: -1,
			Source: "one step of the gauge", What: uncertainty.Rectangular(t.step / 2)})
	}
	for _, l := range t.effect.lines() {
		out = append(out, l.entry())
	}
	for _, k := range t.basis.Method.Contributions {
		out = append(out, ledger.Line{Kind: k.Kind, Name: k.Name, Unit: "mm", C: 1, Source: ledger.SourceOf(k),
			What: ledger.Sized(k, k.PerLength.Inner().Float()*at)})
	}
	return out
}

// ofMean are the lines of the lot's mean. The scatter of the places' means is
// that between places and within them together, as both are in it (JCGM
// 100:2008, H.5.2.4): u = s/√n. Rounding to a step is in that scatter too
// where it is at least half a step, and then falls with the number of places;
// else all places may be rounded alike (house rule, after JCGM 100:2008,
// F.2.2.1).
func (t *taking) ofMean(at float64) []ledger.Line {
	n := float64(len(t.thick))
	out := t.common(at)
	if n > 1 {
		out = append(out, line{kind: calib.Repeatability, name: "places, between and within", unit: "mm", c: 1, u: t.s / math.Sqrt(n), dof: n - 1,
			source: fmt.Sprintf("s of %d places over √%d", len(t.thick), len(t.thick))}.entry())
	} else {
		out = append(out, t.withinLine(0))
	}
	share := 1.0
	if t.s >= t.step/2 {
		share = 1 / math.Sqrt(n)
	}
	return append(out, t.readingLine(share))
}

// ofPlace are the lines of the thickness at one place.
func (t *taking) ofPlace(i int) []ledger.Line {
	return append(t.common(t.thick[i]), t.withinLine(i), t.readingLine(1))
}

func (t *taking) withinLine(i int) ledger.Line {
	n := len(t.survey.Places[i].Readings)
	return line{kind: calib.Repeatability, name: "repeatability at one place", unit: "mm", c: 1, u: t.within.S / math.Sqrt(float64(n)), dof: t.within.DoF,
		source: fmt.Sprintf("%s, %d readings there", t.within.Source, n)}.entry()
}

func (t *taking) readingLine(share float64) ledger.Line {
	return ledger.Line{Kind: calib.Resolution, Name: "resolution", Unit: "mm", C: share, Source: "one step of the gauge", What: uncertainty.Rectangular(t.step / 2)}
}
