package plot

// clipLine cuts a run of straight pieces to the frame and returns the runs
// that are left (Liang and Barsky, piece by piece).
func clipLine(run []Spot, f Frame) [][]Spot {
	var runs [][]Spot
	var open []Spot
	for i := 1; i < len(run); i++ {
		a, b, ok := clipPiece(run[i-1], run[i], f)
		if !ok {
			continue
		}
		if len(open) > 0 && open[len(open)-1] == a {
			open = append(open, b)
			continue
		}
		if len(open) > 0 {
			runs = append(runs, open)
		}
		open = []Spot{a, b}
	}
	if len(open) > 0 {
		runs = append(runs, open)
	}
	return runs
}

func clipPiece(a, b Spot, f Frame) (Spot, Spot, bool) {
	dx, dy := b.X-a.X, b.Y-a.Y
	from, to := 0.0, 1.0
	for _, side := range [4][2]float64{
		{-dx, a.X - f.Left}, {dx, f.Right - a.X}, {-dy, a.Y - f.Top}, {dy, f.Bottom - a.Y},
	} {
		speed, room := side[0], side[1]
		switch {
		case speed == 0:
			if room < 0 {
				return a, b, false
			}
		case speed < 0:
			from = max(from, room/speed)
		default:
			to = min(to, room/speed)
		}
	}
	if from > to {
		return a, b, false
	}
	at := func(t float64) Spot {
		switch t { // the ends stay as they were, to the bit, so that runs join
		case 0:
			return a
		case 1:
			return b
		}
		return Spot{a.X + t*dx, a.Y + t*dy}
	}
	return at(from), at(to), true
}

// clipArea cuts a polygon to the frame (Sutherland and Hodgman).
func clipArea(area []Spot, f Frame) []Spot {
	for _, depth := range []func(Spot) float64{ // ≥ 0 inside
		func(s Spot) float64 { return s.X - f.Left },
		func(s Spot) float64 { return f.Right - s.X },
		func(s Spot) float64 { return s.Y - f.Top },
		func(s Spot) float64 { return f.Bottom - s.Y },
	} {
		var kept []Spot
		for i, b := range area {
			a := area[(i+len(area)-1)%len(area)]
			da, db := depth(a), depth(b)
			if (da < 0) != (db < 0) {
				t := da / (da - db)
				kept = append(kept, Spot{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)})
			}
			if db >= 0 {
				kept = append(kept, b)
			}
		}
		area = kept
	}
	return area
}
