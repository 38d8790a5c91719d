package uncertainty

import (
	"fmt"
	"math"
	"testing"
	"time"
)

func one(ds ...Distribution) Budget {
	var b Budget
	for i, d := range ds {
		b.Inputs = append(b.Inputs, Input{Name: fmt.Sprint("x", i+1), Knowledge: d, Sensitivity: 1})
	}
	return b
}

func TestTrial(t *testing.T) {
	r := Rectangular(math.Sqrt(3))
	for _, c := range []struct {
		name string
		b    Budget
		p    float64
	}{
		{"4n", one(Normal(1), Normal(1), Normal(1), Normal(1)), .95},
		{"4r 3.879407", one(r, r, r, r), .95},
		{"4r10", one(r, r, r, Rectangular(10*math.Sqrt(3))), .95},
		{"caliper", one(Rectangular(.8), Rectangular(3.45), Rectangular(25), Rectangular(50)), .95},
		{"arc 0.9969", one(Arcsine(1)), .95},
		{"t1 12.706", one(StudentT(1, 1)), .95},
		{"2 cauchy 25.412", one(StudentT(1, 1), StudentT(1, 1)), .95},
		{"2 cauchy+n0.001", one(StudentT(1, 1), StudentT(1, 1), Normal(.001)), .9999},
		{"t5+n", one(StudentT(1, 5), Normal(1)), .95},
		{"t5+r", one(StudentT(1, 5), Rectangular(1)), .95},
		{"t2.5+r", one(StudentT(1, 2.5), Rectangular(1)), .95},
		{"curv", one(Curvilinear(1, .1)), .95},
		{"2arc", one(Curvilinear(1, .1), Arcsine(1), Arcsine(.5), Rectangular(1)), .95},
		{"2arc", one(Arcsine(1), Arcsine(1)), .95},
		{"2arc", one(Arcsine(1), Arcsine(.5)), .95},
		{"arc+r", one(Arcsine(1), Rectangular(.5)), .95},
		{"arc+r+tiny", one(Arcsine(1), Rectangular(.5), Normal(1e-5)), .95},
		{"arc+r+r1e-6", one(Arcsine(1), Rectangular(1e-6)), .9},
		{"3arc", one(Arcsine(1), Arcsine(1), Arcsine(.7)), .95},
		{"3arc+", one(Arcsine(1), Arcsine(1), Arcsine(.7), Rectangular(1e-4)), .95},
		{"r+tinies", one(Rectangular(1), Arcsine(1e-5), Arcsine(2e-5), Rectangular(1e-6), StudentT(1e-7, 9)), .95},
		{"r+cauchy", one(Rectangular(1), StudentT(1e-6, 1)), .95},
		{"tri+cauchy", one(Triangular(1), StudentT(1e-6, 1)), .95},
		{"cur+cauchy", one(Curvilinear(1, .3), StudentT(1e-6, 1)), .95},
		{"a+cauchys", one(Arcsine(1), StudentT(1e-6, 1), StudentT(1e-6, 2)), .95},
		{"ar+cauchys", one(Arcsine(1), Rectangular(1), StudentT(1e-6, 1), StudentT(1e-6, 2)), .95},
		{"cauchy+", one(Arcsine(1), Rectangular(1), StudentT(1, 1), StudentT(1e-6, 2)), .9999},
		{"cauchy2+", one(StudentT(1, 2), Rectangular(1), StudentT(1, 2.5), StudentT(1e-6, 2)), .9999},
	} {
		t0 := time.Now()
		st, err := c.b.Evaluate(c.p, Exact)
		s, _ := c.b.Sum()
		d := time.Since(t0)
		if err != nil {
			t.Error(c.name, err)
			continue
		}
		l := s.lay(1)
		n := 0
		switch v := l.(type) {
		case *wave:
			n = len(v.weight)
		case *ladder:
			n = len(v.weight)
		}
		t.Logf("%v %s U=%.10f k=%.8f %T n=%d bound %.2g", d, c.name, st.Expanded, st.K, l, n, l.bound())
	}
}
