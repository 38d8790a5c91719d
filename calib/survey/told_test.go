package survey

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// Own, by hand: a check read its zero at 0.001 in and did not subtract it, so it
// is in the errors that it found. A survey that reads its zero at 0.001 in
// again subtracts nothing twice; one that reads it at 0.003 in takes off the
// 0.002 in that it moved.
func TestAZeroIsNotSubtractedTwice(t *testing.T) {
	typed := []string{"0.200", "0.201", "0.199", "0.200", "0.202", "0.198"}
	b := feltBasis()
	b.Sizes.Check.Zero = readings("in", "0.001", "0.001")
	plain := evaluated(t, gridded(3, typed...), b).Mean.Value.Float()
	for zero, moved := range map[string]float64{"0.001": 0, "0.003": 0.002, "0.000": -0.001} {
		s := gridded(3, typed...)
		s.Zero = readings("in", zero)
		// 0.0004 in of error change over 0.1 in about these sizes (feltBasis)
		near(t, "mean with a zero of "+zero, (plain-evaluated(t, s, b).Mean.Value.Float())/25.4, moved*(1-0.004), 1e-8)
	}
	s := gridded(3, typed...)
	s.Zero = readings("in", "0.001")
	b.Sizes.Plan.Zero = calib.ZeroSubtracted // its errors count from the zero
	near(t, "mean beside a check that subtracts", (plain-evaluated(t, s, b).Mean.Value.Float())/25.4, 0.001*(1-0.004), 1e-8)
}

// Law: U of as many places as were read is the mean's own, so that a wanted U
// that the mean has is not said to take more places.
func TestNeededPlacesAgreeWithTheMean(t *testing.T) {
	b := feltBasis()
	s := gridded(3, "0.200", "0.203", "0.198", "0.205", "0.202", "0.196")
	r := evaluated(t, s, b)
	U, err := takingOf(t, s, b).expandedOf(6)
	if err != nil || !(math.Abs(U-r.Mean.Expanded) <= 1e-9*U) {
		t.Errorf("U of six places %v, %v; the mean of six has %v", U, err, r.Mean.Expanded)
	}
	s.Wanted = unit.Of(unit.Decimal(math.Ceil(r.Mean.Expanded*1e6)/1e6), unit.Inner(unit.Length))
	if n := evaluated(t, s, b).Needed; n.Places != 6 {
		t.Errorf("%+v; want the six that were read", n)
	}
}

func noted(r Result, what string) bool {
	return slices.ContainsFunc(r.Notes, func(n string) bool { return strings.Contains(n, what) })
}

func TestWhatFiguresDoNotSayIsNoted(t *testing.T) {
	for _, c := range []struct {
		name   string
		typed  []string
		break_ func(*Basis)
		what   string
		want   bool
	}{
		{"one place", []string{"0.200"}, func(b *Basis) { b.Method.Places.Least = 1 }, "one place", true},
		{"several", []string{"0.200", "0.201", "0.199", "0.200", "0.202", "0.198"}, nil, "one place", false},
		{"median", []string{"0.200", "0.201", "0.199", "0.200", "0.202", "0.198"}, func(b *Basis) { b.Method.Report = ReportMedian }, "reports the median", true},
		{"mean", []string{"0.200", "0.201", "0.199", "0.200", "0.202", "0.198"}, nil, "reports the median", false},
		{"trend", []string{"0.204", "0.200", "0.196", "0.205", "0.200", "0.196", "0.204", "0.201", "0.196"}, nil, "at random", true},
		{"none", []string{"0.200", "0.203", "0.198", "0.202", "0.199", "0.201", "0.199", "0.200", "0.203"}, nil, "at random", false},
	} {
		b := feltBasis()
		if c.break_ != nil {
			c.break_(&b)
		}
		columns := min(3, len(c.typed))
		if r := evaluated(t, gridded(columns, c.typed...), b); noted(r, c.what) != c.want {
			t.Errorf("%s: notes %q", c.name, r.Notes)
		}
	}
}

// Own: the felt of TestFeltThatIsThinAtItsEdges has an edge of 0.0029 in less,
// known to about 0.0004 in. Half of ±0.0058 in is 0.0029 in: whether that trend
// matters is not sure; that it does against ±0.004 in, and not against ±0.020
// in, is.
func TestWhetherATrendMattersMayBeUnsure(t *testing.T) {
	for half, unsure := range map[string]bool{"0.004": false, "0.0056": true, "0.006": true, "0.020": false} {
		b := feltBasis()
		b.Lot.Form = Roll
		about, off := length("0.200 in").Inner(), length(half+" in").Inner()
		in, _ := unit.Lookup("in", unit.Length)
		b.Lot.Place = calib.Band{Low: unit.Of(in.From(about.Sub(off)), in), High: unit.Of(in.From(about.Add(off)), in)}
		r := evaluated(t, gridded(3, "0.197", "0.200", "0.197", "0.197", "0.200", "0.197", "0.196", "0.200", "0.197", "0.197", "0.199", "0.198", "0.197", "0.200", "0.197"), b)
		i := slices.IndexFunc(r.Trends, func(x Trend) bool { return x.Name == "centre to edge" })
		if x := r.Trends[i]; !x.Seen || x.Unsure != unsure {
			t.Errorf("±%s in: share %.2f (%.2f to %.2f), %s, unsure %v", half, x.Share, x.Low, x.High, x.Matters, x.Unsure)
		}
	}
}

func TestAZeroThatErrorsCountFromIsMissed(t *testing.T) {
	s, b := whole()
	marked := func() bool {
		return slices.ContainsFunc(evaluated(t, s, b).Findings, func(f calib.Finding) bool { return f.Gate == GateZero && f.Action == calib.Mark })
	}
	if marked() {
		t.Error("the zero was read, and is marked as missing")
	}
	s.Zero = nil
	if !marked() {
		t.Error("the errors count from the zero, nobody read it, and nothing says so")
	}
	b.Sizes.Plan.Zero = calib.ZeroNone
	if marked() {
		t.Error("marked beside a check without a zero")
	}
}

func TestATolerancesLimitsAreInOneUnit(t *testing.T) {
	l := feltBasis().Lot
	l.Place = calib.Band{Low: length("0.19 in"), High: length("5 mm")}
	if err := l.Sound(); err == nil || !strings.Contains(err.Error(), "both limits in one unit") {
		t.Errorf("%v; want inches beside millimetres refused", err)
	}
	l.Place.High = length("0.2 in")
	if err := l.Sound(); err != nil {
		t.Error(err)
	}
}
