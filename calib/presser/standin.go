package presser

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// StandIn makes a gauge's own check what a standard's certificate is to others:
// its errors with their uncertainties, at the loads or sizes that it was
// checked at, until it is due again. A balance under a foot and a micrometer
// across it are such gauges. number names the check on paper.
//
// It reports false for a gauge that is no instrument of force, mass or length,
// and for a check that did not pass or records nothing of its own dimension.
func StandIn(g calib.Gauge, plan calib.Plan, c calib.Check, r calib.Result, number string) (calib.StandardOnDay, bool) {
	kind, part := instrumentOf(g)
	if kind == "" || !r.VerdictOf(part).Passed() {
		return calib.StandardOnDay{}, false
	}
	cert := calib.Certificate{Standard: g.ID, Number: number, Laboratory: "this house", Route: calib.ByHouse, Date: c.Date}
	if months := cmp.Or(g.IntervalMonths, plan.IntervalOf(part)); months > 0 {
		cert.Due = c.Date.AddMonths(months)
	}
	u := g.ReadIn()
	if part == calib.LengthPart {
		for _, p := range r.Points {
			cert.Values = append(cert.Values, valueOf(u, p.Reference, p.Error, p.Expanded, p.K, p.DoF))
		}
	} else {
		cert.Values = underLoads(u, r.Load.Figures)
	}
	s := calib.Standard{ID: g.ID, Kind: kind, Description: g.Description, Maker: g.Maker, Serial: g.Serial, Owner: g.Owner, Place: g.Place, Material: g.Material, Resolution: g.Resolution}
	return calib.StandardOnDay{Standard: s, Certificate: cert}, len(cert.Values) > 0
}

// instrumentOf says as what a gauge can stand in for a standard, and which part
// of its check then counts; nothing for a gauge that cannot.
func instrumentOf(g calib.Gauge) (calib.StandardKind, calib.Part) {
	switch g.Kind.Dimension() {
	case unit.Mass:
		return calib.Balance, calib.LoadPart
	case unit.Force:
		return calib.ForceGauge, calib.LoadPart
	case unit.Length:
		return calib.LengthGauge, calib.LengthPart
	}
	return "", ""
}

// MeasuresBy returns the part of a gauge's own check that [StandIn] goes by,
// empty for a gauge that is no such instrument.
func MeasuresBy(g calib.Gauge) calib.Part {
	_, part := instrumentOf(g)
	return part
}

// underLoads are the rows of a gauge that was checked under loads. Nobody who
// reads it later knows from which side it came: where both ways were read its
// error is their mean, and what it is not known better than, half of what they
// differ by, stands in its uncertainty as a rectangular distribution (house
// rule).
func underLoads(u unit.Unit, figures []calib.Figure) []calib.Value {
	var ups, downs []calib.Figure
	for _, f := range figures {
		switch f.Name {
		case errorUp:
			ups = append(ups, f)
		case errorDown:
			downs = append(downs, f)
		}
	}
	var out []calib.Value
	for _, f := range ups {
		n := slices.IndexFunc(downs, func(d calib.Figure) bool { return d.At.Same(f.At) })
		if n < 0 {
			out = append(out, valueOf(u, f.Applied, f.Value, f.Expanded, f.K, f.DoF))
			continue
		}
		wide := f
		if downs[n].Standard > f.Standard {
			wide = downs[n]
		}
		half := downs[n].Value.Sub(f.Value).Abs().Float() / 2
		standard := math.Hypot(wide.Standard, uncertainty.Rectangular(half).Standard())
		k := cmp.Or(wide.K, 2)
		out = append(out, valueOf(u, f.Applied, f.Value.Add(downs[n].Value).Quo(unit.Whole(2)), k*standard, k, wide.DoF))
	}
	return out
}

// valueOf writes an error of indication as a certificate's row.
func valueOf(u unit.Unit, at, e unit.Exact, expanded, k, dof float64) calib.Value {
	v := calib.Value{Nominal: unit.Of(u.From(at), u), Deviation: unit.Of(u.From(e), u), Expanded: unit.Of(u.From(unit.Decimal(expanded)), u),
		K: strconv.FormatFloat(cmp.Or(k, 1), 'g', -1, 64)}
	if dof > 0 {
		v.DoF = strconv.FormatFloat(max(dof, 1), 'g', -1, 64)
	}
	return v
}
