package assess

import (
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func mm(s string) unit.Quantity   { return unit.Must(s+" mm", unit.Length) }
func gram(s string) unit.Quantity { return unit.Must(s+" g", unit.Mass) }
func read(q ...unit.Quantity) (out []calib.Reading) {
	for _, x := range q {
		out = append(out, calib.Reading{Indication: x})
	}
	return out
}

// mixed is a thickness gauge checked at 5 mm and at three openings of its foot,
// with a block set of which no certificate counts any more.
func mixed() (calib.Check, calib.Basis) {
	openings := []unit.Quantity{mm("1"), mm("3"), mm("5")}
	block := calib.StandardOnDay{Standard: calib.Standard{ID: "GB-1", Kind: calib.BlockSet}, Certificate: calib.Certificate{Number: "B-1", Date: calib.MustDate("2025-01-10"), Due: calib.MustDate("2026-01-10"),
		Values: []calib.Value{{Nominal: mm("5"), Deviation: mm("0"), Expanded: mm("0.0001"), K: "2"}}}}
	balance := calib.StandardOnDay{Standard: calib.Standard{ID: "BAL-1", Kind: calib.Balance}, Certificate: calib.Certificate{Number: "W-1", Date: calib.MustDate("2026-01-10"),
		Values: []calib.Value{{Nominal: gram("600"), Deviation: gram("0"), Expanded: gram("0.1"), K: "2"}}}}
	c := calib.Check{Gauge: "THK-3", Plan: "both", Revision: 1, Stage: calib.AsFound, Date: calib.MustDate("2026-03-02"), Person: "EK", Standards: []string{"GB-1", "BAL-1"},
		Points: []calib.Point{{Nominal: mm("5"), Blocks: []calib.BlockUse{{Standard: "GB-1", Nominal: mm("5")}}, Readings: read(mm("5.00"), mm("5.01"), mm("5.00"))}},
		Foot:   &calib.FootCheck{Instrument: "BAL-1"}}
	for _, at := range openings {
		c.Foot.Points = append(c.Foot.Points, calib.PressPoint{At: at, Forward: read(gram("392.6"), gram("392.7"), gram("392.8")), Back: read(gram("393.0"), gram("393.1"), gram("393.2"))})
	}
	b := calib.Basis{
		Gauge: calib.Gauge{ID: "THK-3", Kind: calib.ThicknessGauge, Unit: "mm", Low: mm("0"), High: mm("10"), Resolution: mm("0.01")}, Status: calib.InService,
		Plan: calib.Plan{Name: "both", Revision: 1, Points: []unit.Quantity{mm("5")}, Readings: 3, Minimum: 3, Zero: calib.ZeroNone, Probability: 0.95, Digits: 2,
			Limit: calib.Limit{Value: mm("0.02"), Origin: "own"}, Rule: calib.Rule{Name: "simple acceptance"}, Gates: map[calib.Gate]calib.Action{calib.GateStandardDate: calib.Mark},
			Contributions: []calib.Contribution{{Kind: calib.Repeatability}, {Kind: calib.Resolution}, {Kind: calib.Blocks}},
			Foot: &calib.FootPlan{PartTerms: calib.PartTerms{Readings: 3, Minimum: 3}, Drive: calib.DeadWeight, Openings: openings,
				Band: calib.Band{Low: gram("383"), High: gram("403"), Origin: "ISO 2589:2016, 4"}}},
		Standards: []calib.StandardOnDay{block, balance},
	}
	return c, b
}

func TestACheckIsAsGoodAsItsWorstPart(t *testing.T) {
	for _, tc := range []struct {
		name                  string
		change                func(*calib.Check, *calib.Basis)
		length, foot, verdict calib.Verdict
	}{
		{"both pass", func(*calib.Check, *calib.Basis) {}, "pass", "pass", "pass"},
		{"length fails", func(c *calib.Check, _ *calib.Basis) { c.Points[0].Readings = read(mm("5.03"), mm("5.04"), mm("5.03")) }, "fail", "pass", "fail"},
		{"foot fails", func(_ *calib.Check, b *calib.Basis) { b.Plan.Foot.Band.Low = gram("392.9") }, "pass", "fail", "fail"},
		{"length alone", func(c *calib.Check, _ *calib.Basis) { c.Foot = nil }, "pass", "", "pass"},
		{"foot alone", func(c *calib.Check, _ *calib.Basis) { c.Points = nil }, "", "pass", "pass"},
	} {
		c, b := mixed()
		tc.change(&c, &b)
		r, err := Check(c, b)
		if err != nil {
			t.Errorf("%s: %v", tc.name, err)
			continue
		}
		if r.VerdictOf(calib.LengthPart) != tc.length || r.VerdictOf(calib.FootPart) != tc.foot || r.Verdict != tc.verdict {
			t.Errorf("%s: length %q, foot %q, check %q", tc.name, r.VerdictOf(calib.LengthPart), r.VerdictOf(calib.FootPart), r.Verdict)
		}
		if len(r.Findings) != 1 {
			t.Errorf("%s: %d findings, want the block set's certificate once: %v", tc.name, len(r.Findings), r.Findings)
		}
	}
}
