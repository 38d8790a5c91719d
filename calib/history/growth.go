package history

import "math"

// An estimate is a figure with its standard uncertainty, in the same unit, and
// the degrees of freedom of that, 1 or more where it is tested.
type estimate struct{ size, u, dof float64 }

// slope is the trend of a mode.
func (f fitted) slope() estimate { return estimate{f.line.Slope, f.line.USlope, f.line.DoF} }

// steep is the mode that tells a scale apart: the tilt, or, where nothing is
// known of one point by itself, the growth from the zero; nil where the points
// have no distances to tell.
func (p panel) steep() mode {
	if v := p.tilt(); v != nil {
		return v
	}
	return p.scale()
}

// growth is the trend of the scale, mm a year for each mm; false where the
// points tell none.
func (p panel) growth(shift estimate, prior Prior) (estimate, bool, error) {
	v := p.steep()
	if v == nil {
		return estimate{}, false, nil
	}
	f, err := p.fit(v, len(p.t), prior)
	together := p.correlation(func(v, w mode) (sum float64) {
		for i := range p.t {
			sum += v.within(w, p, i)
		}
		return sum
	})
	return p.grownFromZero(shift, f.slope(), together), err == nil, err
}

// grownFromZero is what shift and steep mode say together of a scale that grows
// from the zero: it moves the mean of the points as it moves the tilt, times
// their mean distance. Each of the two has its own scatter, the zero's in the
// one and that of single points in the other, and each is weighed by it
// (Graybill and Deal 1959, Biometrics 15, 543). That the weights are no better
// known than the scatters is in the uncertainty (Meier 1953, Biometrics 9, 59),
// whose degrees of freedom are Welch and Satterthwaite's (JCGM 100:2008, G.4.1).
// Both take the two as independent; what temperature and other blocks bring to
// both alike, by their correlation together, is counted beside that (house rule).
func (p panel) grownFromZero(shift, steep estimate, together float64) estimate {
	m := p.meanX()
	if p.tilt() == nil || !(m > 0) || !(shift.dof > 0 && steep.dof > 0) {
		return steep
	}
	a, b := estimate{shift.size / m, shift.u / m, shift.dof}, steep
	va, vb, both := a.u*a.u, b.u*b.u, together*a.u*b.u
	w := 0.5 // both without any scatter
	if d := va + vb - 2*both; d > 0 {
		w = math.Min(1, math.Max(0, (vb-both)/d))
	}
	va, vb, both = w*w*va, (1-w)*(1-w)*vb, 2*w*(1-w)*both
	meier := 1 + 4*w*(1-w)*(1/a.dof+1/b.dof)
	out := estimate{w*a.size + (1-w)*b.size, math.Sqrt((va + vb + both) * meier), math.Min(a.dof, b.dof)}
	if q := va*va/a.dof + vb*vb/b.dof; q > 0 {
		out.dof = (va + vb) * (va + vb) / q
	}
	return out
}

// correlation is that of shift and tilt, 0 to 1, by their variances and
// covariance in the budget; 0 where nothing tells the two apart.
func (p panel) correlation(of func(v, w mode) float64) float64 {
	v, w := p.shift(), p.tilt()
	if w == nil {
		return 0
	}
	a, b := of(v, v), of(w, w)
	if !(a*b > 0) {
		return 0
	}
	return math.Min(1, math.Max(0, of(v, w)/math.Sqrt(a*b)))
}
