package length

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"example.org/wring/calib"
)

// handFigures reads testdata/published/micrometer_hand.csv: figures of an
// independent computation in 50 digits (own), whose script lies beside them.
func handFigures(t *testing.T) map[string]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/published/micrometer_hand.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	r.FieldsPerRecord = 4
	rows, err := r.ReadAll()
	if err != nil || len(rows) < 60 {
		t.Fatalf("%d rows: %v", len(rows), err)
	}
	out := map[string]float64{}
	for _, row := range rows {
		if v, err := strconv.ParseFloat(row[2], 64); err == nil {
			out[row[0]+" "+row[1]] = v
		}
	}
	return out
}

// handMicrometer is the check that was computed by hand: an outside micrometer
// 0 to 25 mm on a steel set of grade 1 with a certificate of 2026-02-03.
func handMicrometer() *scene {
	s := plain()
	s.basis.Plan.Readings, s.basis.Plan.Minimum = 3, 3
	s.basis.Standards[0].Certificate.Date = calib.MustDate("2026-02-03")
	s.basis.Standards[0].Certificate.Values = nil
	s.check.Date = calib.MustDate("2026-11-16")
	s.check.Conditions = calib.Conditions{Gauge: celsius("20.4"), Blocks: celsius("20.1")}
	s.with(
		calib.Contribution{Kind: calib.Repeatability}, calib.Contribution{Kind: calib.Resolution}, calib.Contribution{Kind: calib.Blocks}, calib.Contribution{Kind: calib.BlockDrift},
		calib.Contribution{Kind: calib.TemperatureDifference, HalfWidth: kelvin("0.5")}, calib.Contribution{Kind: calib.MeanTemperature, HalfWidth: kelvin("0.5")},
		calib.Contribution{Kind: calib.ExpansionDifference}, calib.Contribution{Kind: calib.Wringing, Standard: um("0.02")},
		calib.Contribution{Kind: calib.Flatness, HalfWidth: um("0.5")}, calib.Contribution{Kind: calib.Parallelism, HalfWidth: um("1")})
	return s
}

func TestMicrometerAgreesWithTheComputationByHand(t *testing.T) {
	want := handFigures(t)
	for _, p := range []struct {
		at       string
		values   []calib.Value // as in cmd/wring/demo/gb-1.csv
		readings []string
	}{
		{"2.5", []calib.Value{block("1.5", "-0.05", "0.06"), block("1", "-0.02", "0.06")}, []string{"2.501", "2.501", "2.500"}},
		{"12.9", []calib.Value{block("1.9", "+0.01", "0.06"), block("11", "+0.11", "0.06")}, []string{"12.902", "12.902", "12.901"}},
		{"22.8", []calib.Value{block("1.8", "-0.02", "0.06"), block("21", "+0.05", "0.06")}, []string{"22.802", "22.803", "22.802"}},
	} {
		s := handMicrometer()
		s.basis.Standards[0].Certificate.Values = p.values
		s.point(p.at, []string{p.values[0].Nominal.Number(), p.values[1].Nominal.Number()}, p.readings...)
		r := s.result(t)
		got := r.Points[0]
		for name, v := range map[string]float64{
			"reference": got.Reference.Float(), "mean": got.Mean.Float(), "error": got.Error.Float() * 1000,
			"combined standard uncertainty": got.Standard * 1000, "effective degrees of freedom": got.DoF,
			"exact U 95 %": got.Expanded * 1000, "exact k 95 %": got.K, "probability within limit": got.Conformance,
			"repeatability": contribution(t, r, "repeatability"), "resolution": contribution(t, r, "resolution"), "blocks": contribution(t, r, "calibration of the blocks"),
			"block drift": contribution(t, r, "drift"), "temperature difference": contribution(t, r, "temperature difference"), "mean temperature": contribution(t, r, "temperature of"),
			"expansion of the blocks": contribution(t, r, "expansion of the blocks"), "expansion of the gauge": contribution(t, r, "expansion of the gauge"), "second order": contribution(t, r, "expansion ×"), "wringing": contribution(t, r, "wringing"),
			"flatness": contribution(t, r, "flatness"), "parallelism": contribution(t, r, "parallelism"),
		} {
			w, ok := want[p.at+" "+name]
			if !ok {
				t.Errorf("no figure for %s at %s mm", name, p.at)
			}
			// Coverage and probability are bounded to 1e-9 in probability; the
			// rest is a few roundings.
			near(t, p.at+" mm, "+name, v, w, 2e-8*math.Max(1, math.Abs(w)))
		}
	}
}
