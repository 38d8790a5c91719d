package survey

import (
	"fmt"
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/stat"
	"example.org/wring/uncertainty/unit"
)

// A Compression is T = A + B·ln p, as a sheet gives way.
type Compression struct {
	A float64 `json:"a_mm"` // mm, the thickness at the pressure 1 in the run's inner unit
	B float64 `json:"b_mm"` // mm, the change of thickness where the pressure grows e-fold

	S        float64 `json:"s_mm"`             // residual standard deviation, mm, 0 or more
	Standard float64 `json:"u_mm"`             // standard uncertainty of B, mm, 0 or more
	DoF      float64 `json:"dof,omitempty"`    // of Standard, 1 or more; 0 stands for infinite
	Points   int     `json:"points,omitempty"` // of the run; 0 where B is stated
	Source   string  `json:"source"`
}

// FitCompression fits a run by least squares. Two pressures give B with the
// uncertainty of reading alone; from three on the scatter about the line
// counts, and never less than the reading does (house rule). step is the
// gauge's resolution in mm.
func FitCompression(run []Press, step float64) (Compression, error) {
	x, y := make([]float64, len(run)), make([]float64, len(run))
	for i, p := range run {
		x[i], y[i] = math.Log(p.Pressure.Inner().Float()), p.Reading.Inner().Float()
	}
	if len(run) < 2 {
		return Compression{}, &PlaceError{"", fmt.Sprintf("a compression run of %d pressures", len(run)), "want two or more"}
	}
	l, err := stat.FitLine(x, y, nil, 0)
	if err != nil {
		return Compression{}, &PlaceError{"", "a compression run at one pressure", "want two or more different ones"}
	}
	read, dof := step/math.Sqrt(12), l.DoF // rectangular over one step (JCGM 100:2008, F.2.2.1)
	if !(l.S > read) {
		l, dof = l.With(read, math.Inf(1)), 0
	}
	return Compression{A: l.Intercept, B: l.Slope, S: l.S, Standard: l.USlope, DoF: dof, Points: len(run),
		Source: fmt.Sprintf("compression run of %d readings, T = a + b ln p by least squares", len(run))}, nil
}

// A PressureEffect says what the verified pressure does to the thicknesses.
type PressureEffect struct {
	Compression
	Unit     string  `json:"unit"`     // of the next three: kPa, N or kg
	Verified float64 `json:"verified"` // of the foot at the lot's thickness, lowering, in Unit
	U        float64 `json:"u_press"`  // its standard uncertainty, in Unit, 0 or more
	Nominal  float64 `json:"nominal"`  // of the method, in Unit

	Slope      float64 `json:"slope_mm"`      // ∂T/∂p = B/p at the verified pressure, mm per Unit
	Correction float64 `json:"correction_mm"` // added to every thickness to refer it to the nominal pressure, mm

	dof   float64 // of U
	entry uint64
}

// pressureOf works out the effect of pressure at the lot's thickness, in mm; it
// says why there is none where there is none.
func (b Basis) pressureOf(s Survey, at float64) (*PressureEffect, string, error) {
	if b.Method.Pressure.IsZero() {
		return nil, "", nil
	}
	p, ok := b.pressAt(at)
	nominal, hasNominal := b.Method.nominal()
	if !ok || !hasNominal || !(p.value > 0) {
		return nil, "the pressure of the foot or of the method is not known", nil
	}
	e := &PressureEffect{Unit: unit.Inner(b.Method.pressDimension()).Symbol(), Verified: p.value, U: p.u, Nominal: nominal, dof: p.dof, entry: b.Foot.Entry}
	switch {
	case s.Stated != nil:
		slope := s.Stated.Change.Inner().Float() / s.Stated.For.Inner().Float()
		e.B = slope * nominal
		e.Standard = s.Stated.Expanded.Inner().Float() / s.Stated.K / s.Stated.For.Inner().Float() * nominal
		e.Source = "stated: " + s.Stated.Source
	case len(s.Compression) > 0:
		c, err := FitCompression(s.Compression, b.Gauge.Resolution.Inner().Float())
		if err != nil {
			return nil, "", err
		}
		e.Compression = c
	default:
		return nil, "no compression run and no stated effect", nil
	}
	e.Slope = e.B / p.value
	e.Correction = e.B * math.Log(nominal/p.value)
	return e, "", nil
}

// lines are the two contributions of an effect of pressure: that of the
// pressure as it was verified, and that of the sheet's own law.
func (e *PressureEffect) lines() []line {
	if e == nil {
		return nil
	}
	return []line{
		{kind: calib.OtherEffect, name: "pressure of the foot", unit: e.Unit, c: -e.Slope, u: e.U, dof: e.dof,
			source: fmt.Sprintf("check %d of the foot; %s", e.entry, e.Source)},
		{kind: calib.OtherEffect, name: "how the sheet gives way", unit: "mm", c: math.Log(e.Nominal / e.Verified), u: e.Standard, dof: e.DoF, source: e.Source},
	}
}
