package presser

import (
	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// ShownIn returns the unit in which a figure of a part is shown: the gauge's
// own under load and for lengths; else that of the plan's band where the band
// is of its kind, grams and the inner unit otherwise.
func ShownIn(part calib.Part, f calib.Figure, b calib.Basis) unit.Unit {
	var bands []calib.Band
	switch part {
	case calib.LoadPart:
		return b.Gauge.ReadIn()
	case calib.FootPart:
		bands = b.Plan.Foot.AllBands()
	case calib.ForcePart:
		bands = append(bands, b.Plan.Force.Band)
	}
	for _, d := range []unit.Dimension{unit.Pressure, unit.Force, unit.Mass, unit.Length} {
		if unit.Inner(d).Symbol() != f.Unit {
			continue
		}
		for _, band := range bands {
			for _, q := range []unit.Quantity{band.High, band.Low} {
				if !q.IsZero() && q.Unit().Dimension() == d {
					return q.Unit()
				}
			}
		}
		switch d {
		case unit.Length:
			return b.Gauge.ReadIn()
		case unit.Mass:
			g, _ := unit.Lookup("g", unit.Mass)
			return g
		}
		return unit.Inner(d)
	}
	return unit.Unit{}
}
