package uncertainty

import "math"

// An envelope bounds |φ| from a point on: |φ(s)| ≤ exp(log)·(t/s)^power for all s ≥ t.
type envelope struct{ log, power float64 }

// envelope bounds φ from t > 0 on, as the product of bounds that each fall with t.
func (f *factors) envelope(t float64) envelope {
	st := f.sigma * t
	e := envelope{-st * st / 2, st * st} // −σ²t²/2 is concave in log t: its tangent bounds it
	for _, a := range f.rect {
		e.times(sincEnvelope(a * t))
	}
	for _, a := range f.sine {
		e.times(besselEnvelope(a * t))
	}
	for _, c := range f.curve {
		e.times(c.envelope(t))
	}
	for i := range f.heavy {
		e.times(f.heavy[i].envelope(t))
	}
	return e
}

func (e *envelope) times(g envelope) {
	e.log += g.log
	e.power += g.power
}

// tail bounds (1/π)·∫_t^∞ |φ(s)|/s ds.
func (e envelope) tail() float64 {
	if e.power == 0 {
		return math.Inf(1)
	}
	return math.Exp(e.log) / (math.Pi * e.power)
}

// sincEnvelope bounds |sin u/u|: by exp(−u²/6) below π (from the product over its zeros), by its
// greatest side lobe 0.21723363 at 4.4934, and by 1/u.
func sincEnvelope(u float64) envelope {
	const lobe = 0.2172336283
	switch {
	case u >= 1/lobe:
		return envelope{-math.Log(u), 1}
	case u*u/6 < -math.Log(lobe):
		return envelope{-u * u / 6, 0}
	}
	return envelope{math.Log(lobe), 0}
}

// besselEnvelope bounds |J₀(u)|: by exp(−u²/4) below its first zero, by its greatest side
// lobe 0.40275940 at 3.8317, and by √(2/(πu)) (Watson 1944, 13.74).
func besselEnvelope(u float64) envelope {
	const lobe = 0.4027593958
	switch {
	case u >= 2/(math.Pi*lobe*lobe):
		return envelope{0.5 * math.Log(2/(math.Pi*u)), 0.5}
	case u*u/4 < -math.Log(lobe):
		return envelope{-u * u / 4, 0}
	}
	return envelope{math.Log(lobe), 0}
}
