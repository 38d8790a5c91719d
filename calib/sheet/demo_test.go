package sheet

import (
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/calib/length"
	"example.org/wring/calib/limits"
	"example.org/wring/uncertainty/unit"
)

func TestTheDemoSetsMakeEveryPointOfEveryPreset(t *testing.T) {
	metric, inch := demoSet(t, "gb-1.csv", "mm"), demoSet(t, "gb-in.csv", "in")
	for _, name := range limits.Presets() {
		p, set := preset(t, name), metric
		if p.Unit == "in" {
			set = inch
		}
		for _, at := range p.Points {
			if at.Inner().IsZero() {
				continue
			}
			if _, err := length.Propose(at, []calib.StandardOnDay{set}); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
}

func demoSet(t testing.TB, file, symbol string) calib.StandardOnDay {
	t.Helper()
	u, _ := unit.Lookup(symbol, unit.Length)
	values, err := ReadValues(file, readDemo(t, file), calib.BlockSet, u)
	if err != nil {
		t.Fatal(err)
	}
	return calib.StandardOnDay{Standard: calib.Standard{ID: strings.TrimSuffix(file, ".csv"), Kind: calib.BlockSet}, Certificate: calib.Certificate{Values: values}}
}

func TestTheDemoSetsAreWhatTheirHeadsSay(t *testing.T) {
	for _, c := range []struct {
		file, symbol string
		pieces       int
		grade        string
	}{{"gb-1.csv", "mm", 47, "1"}, {"gb-2.csv", "mm", 9, "0"}, {"gb-in.csv", "in", 18, ""}} {
		values := demoSet(t, c.file, c.symbol).Certificate.Values
		if len(values) != c.pieces {
			t.Errorf("%s: %d pieces, want %d", c.file, len(values), c.pieces)
		}
		for _, v := range values {
			if v.Calibrated() != (c.file != "gb-2.csv") || v.Grade != c.grade {
				t.Errorf("%s: %s is calibrated: %v, grade %q", c.file, v.Nominal, v.Calibrated(), v.Grade)
			}
			if te, _, ok := limits.BlockGrade(v.Grade, v.Nominal.Inner()); ok && v.Deviation.Inner().Abs().Cmp(te) > 0 {
				t.Errorf("%s: %s is off by %s, beyond grade %s", c.file, v.Nominal, v.Deviation, v.Grade)
			}
			if v.Calibrated() && v.K != "2" {
				t.Errorf("%s: %s has k %q", c.file, v.Nominal, v.K)
			}
		}
		if err := calib.NewShape().Check(calib.Certificate{Standard: "GB", Number: "1", Laboratory: "x", Route: calib.ByAccredited, Values: values}); err != nil {
			t.Errorf("%s: %v", c.file, err)
		}
	}
}

func TestTheExampleSheetFollowsItsPresetAndItsSet(t *testing.T) {
	s, err := ReadCheck("mic-014.toml", readDemo(t, "mic-014.toml"))
	if err != nil {
		t.Fatal(err)
	}
	p := preset(t, s.Plan.Text)
	p.Revision = 1
	c, err := s.Check(micrometer(), p)
	if err != nil {
		t.Fatal(err)
	}
	set := demoSet(t, "gb-1.csv", "mm")
	set.Standard.ID = "GB-1"
	if err := s.Assign(&c, []calib.StandardOnDay{set, {Standard: calib.Standard{ID: "TH-1", Kind: calib.Thermometer}}}); err != nil {
		t.Fatal(err)
	}
	if err := calib.NewShape().Check(c); err != nil {
		t.Error(err)
	}
	for i, at := range c.Points {
		sum := unit.Exact{}
		for _, b := range at.Blocks {
			sum = sum.Add(b.Nominal.Inner())
		}
		if !at.Nominal.Same(p.Points[i]) || sum.Cmp(at.Nominal.Inner()) != 0 || len(at.Readings) != p.Readings {
			t.Errorf("point %d: %s, blocks make %s mm, %d readings", i+1, at.Nominal, sum.Shortest(), len(at.Readings))
		}
	}
	if c.Date.String() != "2026-11-16" || c.Person != "EK" || strings.Join(c.Standards, " ") != "GB-1 TH-1" || c.Conditions.Gauge.String() != "20.4 °C" {
		t.Errorf("%+v", c)
	}
}
