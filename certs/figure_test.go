package certs

import (
	"math"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/certs/plot"
	"example.org/wring/uncertainty/unit"
)

func mm(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }

// drawn is a certificate of a gauge from 0 to 25 mm with points at 5 and 15 mm,
// U 1 µm and 2 µm.
func drawn(l calib.Limit) *writing {
	u, _ := unit.Lookup("mm", unit.Length)
	k := KeptCheck{Result: calib.Result{Points: []calib.PointResult{
		{Nominal: mm("15").Inner(), Expanded: 0.002, Verdict: "pass"}, {Nominal: mm("5").Inner(), Expanded: 0.001, Verdict: "fail"}}}}
	return &writing{unit: u, in: CertificateOf{Kept: k, Basis: calib.Basis{
		Gauge: calib.Gauge{Low: mm("0"), High: mm("25")},
		Plan:  calib.Plan{Limit: l, Rule: calib.Rule{Name: "guarded acceptance", Factor: 1}}}}}
}

// Own: limits worked out by hand from the plan.
func TestTheLimitIsDrawnAsThePlanStatesIt(t *testing.T) {
	for _, c := range []struct {
		name  string
		limit calib.Limit
		want  []plot.Vertex
	}{
		{"constant", calib.Limit{Value: mm("0.004")}, []plot.Vertex{{X: 0, Y: 0.004}, {X: 5, Y: 0.004}, {X: 15, Y: 0.004}, {X: 25, Y: 0.004}}},
		{"table, a step at 10 mm", calib.Limit{Rows: []calib.LimitRow{{UpTo: mm("10"), Value: mm("0.003")}, {UpTo: mm("25"), Value: mm("0.004")}}},
			[]plot.Vertex{{X: 0, Y: 0.003}, {X: 5, Y: 0.003}, {X: 10, Y: 0.003}, {X: 10, Y: 0.004}, {X: 15, Y: 0.004}, {X: 25, Y: 0.004}}},
		{"growing from a floor, a kink at 10 mm", calib.Limit{Value: mm("0.002"), PerLength: unit.Must("100 µm/m", unit.Slope), AtLeast: mm("0.003")},
			[]plot.Vertex{{X: 0, Y: 0.003}, {X: 5, Y: 0.003}, {X: 10, Y: 0.003}, {X: 15, Y: 0.0035}, {X: 25, Y: 0.0045}}},
	} {
		w := drawn(c.limit)
		same(t, c.name, w.limitLine(w.in.Kept), c.want)
	}
}

// U is 1 µm up to 5 mm, 1.5 µm at 10 mm by straight line, 2 µm from 15 mm on;
// where the limit is smaller than U the line runs along zero.
func TestTheAcceptanceLimitIsTheLimitLessTheGuardBand(t *testing.T) {
	w := drawn(calib.Limit{})
	limit := []plot.Vertex{{X: 0, Y: 0.004}, {X: 5, Y: 0.004}, {X: 10, Y: 0.004}, {X: 15, Y: 0.004}, {X: 25, Y: 0.001}}
	same(t, "r = 1", w.acceptanceLine(w.in.Kept, limit, 1),
		[]plot.Vertex{{X: 0, Y: 0.003}, {X: 5, Y: 0.003}, {X: 10, Y: 0.0025}, {X: 15, Y: 0.002}, {X: 25, Y: 0}})
	same(t, "r = 0.5", w.acceptanceLine(w.in.Kept, limit, 0.5),
		[]plot.Vertex{{X: 0, Y: 0.0035}, {X: 5, Y: 0.0035}, {X: 10, Y: 0.00325}, {X: 15, Y: 0.003}, {X: 25, Y: 0}})
}

func same(t *testing.T, name string, got, want []plot.Vertex) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: %v; want %v", name, got, want)
		return
	}
	for i := range got {
		if math.Abs(got[i].X-want[i].X) > 1e-12 || math.Abs(got[i].Y-want[i].Y) > 1e-12 {
			t.Errorf("%s: vertex %d at %v; want %v", name, i+1, got[i], want[i])
		}
	}
}

func TestEveryVerdictHasAMarkOfItsOwn(t *testing.T) {
	w := drawn(calib.Limit{})
	k := w.in.Kept
	k.Result.Points = nil
	for i, v := range []calib.Verdict{"pass", "conditional pass", "cannot be decided", "conditional fail", "fail"} {
		k.Result.Points = append(k.Result.Points, calib.PointResult{Nominal: unit.Whole(int64(i)), Verdict: v})
	}
	seen := map[plot.Mark]string{}
	for _, s := range w.series(k) {
		if other, ok := seen[s.Mark]; ok {
			t.Errorf("%s and %s share a mark", other, s.Label)
		}
		seen[s.Mark] = s.Label
	}
	if len(seen) != len(k.Result.Points) {
		t.Errorf("%d verdicts are drawn; want %d", len(seen), len(k.Result.Points))
	}
	if seen[plot.Disc] != "pass" || seen[plot.Cross] != "fail" {
		t.Errorf("marks are %v; want a disc for a pass and a crossed square for a fail", seen)
	}
}
