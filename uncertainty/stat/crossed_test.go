package stat

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

// impedance is Houf and Berman 1988, thermal impedance (read): 10 parts, 3 operators, 3 repeats.
func impedance() [][][]float64 {
	return [][][]float64{
		{{37, 38, 37}, {41, 41, 40}, {41, 42, 41}}, {{42, 41, 43}, {42, 42, 42}, {43, 42, 43}},
		{{30, 31, 31}, {31, 31, 31}, {29, 30, 28}}, {{42, 43, 42}, {43, 43, 43}, {42, 42, 42}},
		{{28, 30, 29}, {29, 30, 29}, {31, 29, 29}}, {{42, 42, 43}, {45, 45, 45}, {44, 46, 45}},
		{{25, 26, 27}, {28, 28, 30}, {29, 27, 27}}, {{40, 40, 40}, {43, 42, 42}, {43, 43, 41}},
		{{25, 25, 25}, {27, 29, 28}, {26, 26, 26}}, {{35, 34, 34}, {35, 35, 34}, {35, 34, 35}},
	}
}

func TestVariancesOfPartsAndOperators(t *testing.T) {
	c, err := AnalyseCrossed(impedance())
	if err != nil {
		t.Fatal(err)
	}
	v := c.Components()
	for _, f := range []struct {
		name           string
		got, want      float64
		printed, place float64
	}{ // read; unrounded values own
		{"repeatability", v.Within, 0.511111111, 0.511, 5e-4},
		{"operator", v.Second, 0.564609053, 0.565, 5e-4},
		{"interaction", v.Interaction, 0.727983539, 0.728, 5e-4},
		{"reproducibility", v.Reproducibility(), 1.292592593, 1.293, 5e-4},
		{"measurement", v.Measurement(), 1.803703704, 1.804, 5e-4},
		{"part", v.First, 48.292592593, 48.293, 5e-4},
	} {
		if !(math.Abs(f.got-f.want) <= 6e-10) || !(math.Abs(f.got-f.printed) <= f.place) {
			t.Errorf("%s: %.9f, want %v, printed %v", f.name, f.got, f.want, f.printed)
		}
	}
}

// Law: the sums of squares of the four lines are that of all data about their mean, and those within and between
// combinations are the one-way analysis's.
func TestSquaresOfACrossedTableAddUp(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		a, b, n := 2+r.IntN(5), 2+r.IntN(4), 2+r.IntN(4)
		data := make([][][]float64, a)
		var cells [][]float64
		for i := range data {
			for range b {
				x := make([]float64, n)
				for k := range x {
					x[k] = 1000 + r.NormFloat64()
				}
				data[i], cells = append(data[i], x), append(cells, x)
			}
		}
		c, err := AnalyseCrossed(data)
		if err != nil {
			t.Fatal(err)
		}
		one, err := OneWay(cells)
		if err != nil {
			t.Fatal(err)
		}
		between := c.First.Squares + c.Second.Squares + c.Interaction.Squares
		if !(math.Abs(between/one.Between-1) < 1e-9) || !(math.Abs(c.Within.Squares/one.Within-1) < 1e-9) ||
			c.First.DoF+c.Second.DoF+c.Interaction.DoF != one.DoFBetween || c.Within.DoF != one.DoFWithin {
			t.Fatalf("%+v does not add up to %+v", c, one)
		}
	}
}

func TestVariancesBelowZeroAreZero(t *testing.T) {
	c, err := AnalyseCrossed([][][]float64{{{1, 9}, {2, 8}}, {{0, 10}, {3, 7}}})
	if err != nil {
		t.Fatal(err)
	}
	if v := c.Components(); v.First != 0 || v.Second != 0 || v.Interaction != 0 || !(v.Within > 0) {
		t.Errorf("%+v; want nothing but repeatability", v)
	}
}

func TestCrossedRefusals(t *testing.T) {
	pair := []float64{1, 2}
	for _, c := range []struct {
		name string
		data [][][]float64
		want string
	}{
		{"none", nil, "0 levels of the first factor; want at least 2"},
		{"one operator", [][][]float64{{pair}, {pair}}, "1 levels of the second factor; want at least 2"},
		{"no repeats", [][][]float64{{{1}, {2}}, {{1}, {2}}}, "1 repeats; want at least 2"},
		{"an operator less", [][][]float64{{pair, pair}, {pair}}, "level 2 of the first factor: 1 levels of the second; want 2 as at the first"},
		{"a repeat less", [][][]float64{{pair, pair}, {pair, {1}}}, "level 2 of the first factor, 2 of the second: 1 repeats; want 2 as at the first"},
	} {
		if _, err := AnalyseCrossed(c.data); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v, want %s", c.name, err, c.want)
		}
	}
	if _, err := AnalyseCrossed([][][]float64{{pair, pair}, {pair, {1, math.NaN()}}}); !errors.Is(err, ErrNotFinite) {
		t.Errorf("NaN: %v", err)
	}
	if _, err := AnalyseCrossed([][][]float64{{pair, pair}, {pair, {1e300, -1e300}}}); !errors.Is(err, ErrNotFinite) {
		t.Errorf("beyond the range of squares: %v", err)
	}
}
