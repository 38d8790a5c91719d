package limits

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

func mm(s string) unit.Exact { return unit.Must(s+" mm", unit.Length).Inner() }
func um(s string) unit.Exact { return unit.Must(s+" µm", unit.Length).Inner() }

// A printed row is one figure of a published table; the file names document,
// clause and whether it was read or remembered.
type printed struct{ name, inputs, value string }

func published(t *testing.T, file string, want int) []printed {
	t.Helper()
	f, err := os.Open(filepath.Join("../../testdata/published", file))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []printed
	for _, r := range rows[1:] {
		out = append(out, printed{r[0], r[1], r[2]})
	}
	if len(out) != want {
		t.Fatalf("%s: %d rows, want %d", file, len(out), want)
	}
	return out
}

func TestBlockGradesAreThoseOfTable5(t *testing.T) {
	for _, r := range published(t, "limits_iso3650.csv", 16*8) {
		var grade, length, what string
		if _, err := fmt.Sscanf(r.inputs, "grade %1s; length %s mm; %s", &grade, &length, &what); err != nil {
			t.Fatalf("%s: %v", r.inputs, err)
		}
		te, tv, ok := BlockGrade(grade, mm(length))
		got := te
		if what == "tv" {
			got = tv
		}
		if want := unit.Must(r.value, unit.Length).Inner(); !ok || got.Cmp(want) != 0 {
			t.Errorf("%s: %s mm, %v; printed %s", r.name, got.Shortest(), ok, r.value)
		}
	}
}

// ISO 3650:1998, table 5, "over X up to and including Y"; rule from memory, sure.
func TestBlockRowsIncludeTheirUpperEnd(t *testing.T) {
	for _, c := range []struct{ length, zero, one, two string }{
		{"0.5", "0.12", "0.20", "0.45"},
		{"10.0", "0.12", "0.20", "0.45"},
		{"10.001", "0.14", "0.30", "0.60"},
		{"25", "0.14", "0.30", "0.60"},
		{"100", "0.30", "0.60", "1.20"},
		{"1000", "2.00", "4.20", "8.00"},
	} {
		for grade, want := range map[string]string{"0": c.zero, "1": c.one, "2": c.two} {
			if te, _, ok := BlockGrade(grade, mm(c.length)); !ok || te.Cmp(um(want)) != 0 {
				t.Errorf("grade %s at %s mm: %s mm, %v; want %s µm", grade, c.length, te.Shortest(), ok, want)
			}
		}
	}
	for _, c := range []struct{ grade, length string }{{"0", "0.49"}, {"0", "1000.1"}, {"0", "0"}, {"0", "-5"}, {"00", "25"}, {"", "25"}} {
		if te, tv, ok := BlockGrade(c.grade, mm(c.length)); ok {
			t.Errorf("grade %q at %s mm has a limit: %s, %s mm", c.grade, c.length, te.Shortest(), tv.Shortest())
		}
	}
}

// Law: grade K has the lengths of grade 1 (ISO 3650, from memory, sure), a
// better grade is never wider, and a longer block never tighter.
func TestBlockGradesAreInOrder(t *testing.T) {
	last := unit.Exact{}
	for _, r := range blockRows {
		l := unit.Whole(r.upTo)
		k, ktv, _ := BlockGrade("K", l)
		te0, tv0, _ := BlockGrade("0", l)
		te1, tv1, _ := BlockGrade("1", l)
		te2, tv2, _ := BlockGrade("2", l)
		if k.Cmp(te1) != 0 || te0.Cmp(te1) >= 0 || te1.Cmp(te2) >= 0 || ktv.Cmp(tv0) >= 0 || tv0.Cmp(tv1) > 0 || tv1.Cmp(tv2) >= 0 {
			t.Errorf("to %d mm: the grades are out of order", r.upTo)
		}
		if te0.Cmp(last) <= 0 {
			t.Errorf("to %d mm: grade 0 is not wider than the row before", r.upTo)
		}
		last = te0
	}
}

// ISO 3650:1998, 6.2.4; figures read in US Army TB 9-5210-205-50, table 4, the
// sums computed for this project.
func TestBlockStabilityGrowsWithLength(t *testing.T) {
	for _, c := range []struct{ grade, length, want string }{
		{"K", "100", "0.045"}, {"0", "100", "0.045"}, {"1", "100", "0.1"}, {"2", "100", "0.1"},
		{"0", "25", "0.02625"}, {"1", "25", "0.0625"},
	} {
		constant, slope, ok := BlockStability(c.grade)
		if got := constant.Add(slope.Mul(mm(c.length))); !ok || got.Cmp(um(c.want)) != 0 {
			t.Errorf("grade %s, %s mm: %s mm a year, want %s µm", c.grade, c.length, got.Shortest(), c.want)
		}
	}
	for _, grade := range []string{"", "K0", "00", "3"} {
		if _, _, ok := BlockStability(grade); ok {
			t.Errorf("grade %q has a stability", grade)
		}
	}
}

// The closed form floor(4 + low/50) µm was computed for this project and
// reproduces all 20 printed rows.
func TestMicrometerLimitsFollowTheirClosedForm(t *testing.T) {
	for _, r := range published(t, "limits_din863.csv", 20) {
		var low int64
		if _, err := fmt.Sscanf(r.inputs, "low %d mm", &low); err != nil {
			t.Fatal(err)
		}
		got, ok := OutsideMicrometer(unit.Whole(low))
		if want := unit.Must(r.value, unit.Length).Inner(); !ok || got.Cmp(want) != 0 {
			t.Errorf("%s: %s mm, %v; printed %s", r.name, got.Shortest(), ok, r.value)
		}
		if closed := unit.Ratio(4+low/50, 1000); got.Cmp(closed) != 0 {
			t.Errorf("%s: %s mm, closed form %s", r.name, got.Shortest(), closed.Shortest())
		}
	}
	for _, low := range []string{"500", "10", "-25", "24.999"} {
		if _, ok := OutsideMicrometer(mm(low)); ok {
			t.Errorf("a range from %s mm has a limit", low)
		}
	}
}

// The closed form max(50, 20 + L/10) µm was computed for this project and
// reproduces all 16 printed rows.
func TestCaliperLimitsFollowTheirClosedForm(t *testing.T) {
	for _, r := range published(t, "limits_din862.csv", 16) {
		var length int64
		if _, err := fmt.Sscanf(r.inputs, "length %d mm; 0.05 mm", &length); err != nil {
			t.Fatal(err)
		}
		got, ok := VernierCaliper(unit.Whole(length))
		if want := unit.Must(r.value, unit.Length).Inner(); !ok || got.Cmp(want) != 0 {
			t.Errorf("%s: %s mm, %v; printed %s", r.name, got.Shortest(), ok, r.value)
		}
		if closed := unit.Ratio(max(50, 20+length/10), 1000); got.Cmp(closed) != 0 {
			t.Errorf("%s: %s mm, closed form %s", r.name, got.Shortest(), closed.Shortest())
		}
	}
	if got, ok := VernierCaliper(mm("300.01")); !ok || got.Cmp(um("60")) != 0 {
		t.Errorf("between 300 and 400 mm: %s mm, want that of 400 mm", got.Shortest())
	}
	for _, length := range []string{"2000.1", "-1"} {
		if _, ok := VernierCaliper(mm(length)); ok {
			t.Errorf("%s mm has a limit", length)
		}
	}
}

func TestDialLimitsAreThoseOfTheTable(t *testing.T) {
	for _, r := range published(t, "limits_jisb7503.csv", 19) {
		var bezel, graduation, span string
		if _, err := fmt.Sscanf(strings.ReplaceAll(r.inputs, ";", " ;"), "bezel %s ; graduation %s mm ; range %s mm", &bezel, &graduation, &span); err != nil {
			t.Fatalf("%s: %v", r.inputs, err)
		}
		got, ok := DialGauge(Dial{Small: bezel == "small/back", Graduation: mm(graduation), Range: mm(span)})
		list := []unit.Exact{got.Retrace, got.Repeat, got.TenthTurn, got.HalfTurn, got.Turn, got.Whole}
		want := strings.Fields(strings.TrimSuffix(r.value, " um"))
		for i := range list {
			if !ok || len(want) != len(list) || list[i].Cmp(um(want[i])) != 0 {
				t.Errorf("%s, column %d: %s mm; printed %v", r.name, i+1, list[i].Shortest(), want)
			}
		}
	}
	for _, d := range []Dial{{Graduation: mm("0.01"), Range: mm("101")}, {Graduation: mm("0.02"), Range: mm("10")}, {Graduation: mm("0.01")}} {
		if _, ok := DialGauge(d); ok {
			t.Errorf("%+v has a limit", d)
		}
	}
}

// Angles computed for this project: (size mod pitch)/pitch · 360°.
func TestTestPointsStandAtDifferentAnglesOfTheThimble(t *testing.T) {
	for _, c := range []struct {
		name   string
		points []unit.Exact
		pitch  unit.Exact
		want   []int64
	}{
		{"0.5 mm pitch", MicrometerPoints(unit.Exact{}), mm("0.5"), []int64{0, 72, 144, 216, 288, 0, 72, 144, 216, 0}},
		{"0.025 in pitch", InchMicrometerPoints(unit.Exact{}), unit.Must("0.025 in", unit.Length).Inner(), []int64{72, 144, 216, 288, 0, 72, 144, 216, 288, 0}},
	} {
		if len(c.points) != len(c.want) {
			t.Fatalf("%s: %d points, want %d", c.name, len(c.points), len(c.want))
		}
		for i, at := range c.points {
			turns := at.Quo(c.pitch).Rat()
			whole := unit.Whole(turns.Num().Int64() / turns.Denom().Int64())
			angle := unit.FromRat(turns).Sub(whole).Mul(unit.Whole(360))
			if angle.Cmp(unit.Whole(c.want[i])) != 0 {
				t.Errorf("%s: %s mm stands at %s°, want %d°", c.name, at.Shortest(), angle.Shortest(), c.want[i])
			}
		}
	}
	above := MicrometerPoints(mm("50"))
	if len(above) != 11 || above[0].Cmp(mm("50")) != 0 || above[1].Cmp(mm("52.5")) != 0 || above[10].Cmp(mm("75")) != 0 {
		t.Errorf("a range from 50 mm has points %v", above)
	}
}

func TestEveryMaterialHasACoefficientABoundAndASource(t *testing.T) {
	for _, name := range Materials() {
		m, ok := Material(name)
		if !ok || m.Name != name || m.Coefficient.Inner().Sign() <= 0 || m.HalfWidth.Inner().Sign() <= 0 || MaterialSource(name) == "" {
			t.Errorf("%s: %+v, %v, source %q", name, m, ok, MaterialSource(name))
		}
		if err := calib.NewShape().Check(m); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	// ISO 3650:1998, 6.2.2: value read, tolerance from memory, sure.
	if m, _ := Material("steel"); m.Coefficient.String() != "11.5 ppm/°C" || m.HalfWidth.String() != "1.0 ppm/°C" {
		t.Errorf("steel: %+v", m)
	}
	if m, ok := Material("ceramic"); !ok || m.Name != "zirconia ceramic" {
		t.Errorf("ceramic: %+v, %v", m, ok)
	}
	if m, ok := Material("cheese"); ok || MaterialSource("cheese") != "" {
		t.Errorf("cheese: %+v", m)
	}
}

func TestPresetsAreListedAndFound(t *testing.T) {
	if len(Presets()) == 0 {
		t.Fatal("no preset is built in")
	}
	for _, name := range Presets() {
		if b, ok := Preset(name); !ok || !strings.Contains(string(b), fmt.Sprintf("name = %q", name)) {
			t.Errorf("%s: not found, or another plan under that name", name)
		}
	}
	for _, name := range []string{"", "no-such", "../preset/caliper-150", "caliper-150.toml"} {
		if _, ok := Preset(name); ok {
			t.Errorf("%q is a preset", name)
		}
	}
}

// What a block of grade 1 and 100 mm may have lost or gained, at most, in
// ten years.
func ExampleBlockStability() {
	constant, perLength, _ := BlockStability("1")
	year := constant.Add(perLength.Mul(unit.Whole(100)))
	fmt.Println(year.Mul(unit.Whole(10)).Shortest(), "mm")
	// Output: 0.001 mm
}
