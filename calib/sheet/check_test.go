package sheet

import (
	"os"
	"path/filepath"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func mm(s string) unit.Quantity { return unit.Must(s+" mm", unit.Length) }

// micrometer is the gauge of the example sheets.
func micrometer() calib.Gauge {
	return calib.Gauge{ID: "MIC-014", Kind: calib.OutsideMicrometer, Unit: "mm", Low: mm("0"), High: mm("25"), Resolution: mm("0.001")}
}

// shortPlan has three of its points and takes no zero.
func shortPlan() calib.Plan {
	return calib.Plan{Name: "short", Revision: 2, Unit: "mm", Points: []unit.Quantity{mm("2.5"), mm("5.1"), mm("7.7")},
		Readings: 3, Minimum: 1, Zero: calib.ZeroNone}
}

func readDemo(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("../../testdata/demo", name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestTheExampleSheetBecomesACheck(t *testing.T) {
	s, err := ReadCheck("mic-014.toml", readDemo(t, "mic-014.toml"))
	if err != nil {
		t.Fatal(err)
	}
	p := shortPlan()
	p.Name, p.Zero, p.Points = "micrometer-0-25", calib.ZeroRecorded, nil
	for _, at := range []string{"2.5", "5.1", "7.7", "10.3", "12.9", "15.0", "17.6", "20.2", "22.8", "25.0"} {
		p.Points = append(p.Points, mm(at))
	}
	c, err := s.Check(micrometer(), p)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Points) != 10 || c.Date.String() != "2026-11-16" || c.Revision != 2 || c.Conditions.Gauge.String() != "20.4 °C" {
		t.Errorf("%+v", c)
	}
	if got := c.Points[9].Readings[2].Indication.String(); got != "25.003 mm" {
		t.Errorf("last reading is %q, want it as written", got)
	}
}
