package presser

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// A vector is one figure computed or printed elsewhere.
type vector struct {
	name      string
	in        []float64
	want, tol float64
}

// vectors reads the file of published figures; each row names document, clause
// and mark. Inputs are bare numbers parted by blanks, their units in the name.
func vectors(t *testing.T, kind string, atLeast int) []vector {
	t.Helper()
	f, err := os.Open("../../testdata/published/dead_weight.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []vector
	for _, r := range rows[1:] {
		if r[0] != kind {
			continue
		}
		v := vector{name: r[0] + " " + r[1]}
		for _, text := range splitBlank(r[1]) {
			if x, err := strconv.ParseFloat(text, 64); err == nil {
				v.in = append(v.in, x)
			}
		}
		var errs [2]error
		v.want, errs[0] = strconv.ParseFloat(r[2], 64)
		v.tol, errs[1] = strconv.ParseFloat(r[3], 64)
		if errs[0] != nil || errs[1] != nil || !(v.tol > 0) {
			t.Fatalf("%v: want a figure and a tolerance", r)
		}
		out = append(out, v)
	}
	if len(out) < atLeast {
		t.Fatalf("%s: %d rows, want at least %d", kind, len(out), atLeast)
	}
	return out
}

func splitBlank(s string) (out []string) {
	word := ""
	for _, r := range s + " " {
		if r != ' ' {
			word += string(r)
			continue
		}
		if word != "" {
			out = append(out, word)
		}
		word = ""
	}
	return out
}

func hold(t *testing.T, v vector, got float64) {
	t.Helper()
	if !(math.Abs(got-v.want) <= v.tol) {
		t.Errorf("%s: %.12g, want %.12g ± %g", v.name, got, v.want, v.tol)
	}
}

// Latitude in degrees, height in m; m/s².
func TestNormalGravityIsThatOfWGS84(t *testing.T) {
	for _, v := range vectors(t, "gravity WGS 84", 10) {
		hold(t, v, NormalGravity(v.in[0], v.in[1]))
		hold(t, v, NormalGravity(-v.in[0], v.in[1])) // a southern latitude has the same
	}
}

// weighing is the series of 1967 to 1980 that weighing zones are drawn by.
func weighing(latitude, height float64) float64 {
	phi := latitude * math.Pi / 180
	s, s2 := math.Sin(phi), math.Sin(2*phi)
	return 9.780318*(1+0.0053024*s*s-0.0000058*s2*s2) - 0.000003085*height
}

// The series reproduces its printed example to every digit, and normal gravity
// lies within 15 µm/s² of it everywhere below 2000 m, a thirtieth of what a
// place may differ.
func TestNormalGravityAgreesWithTheSeriesOfWeighingZones(t *testing.T) {
	for _, v := range vectors(t, "gravity WELMEC", 10) {
		hold(t, v, weighing(v.in[0], v.in[1]))
	}
	for latitude := 0.0; latitude <= 90; latitude += 5 {
		for height := 0.0; height <= 2000; height += 500 {
			if d := NormalGravity(latitude, height) - weighing(latitude, height); !(math.Abs(d) < 15e-6) {
				t.Errorf("%g°, %g m: the two differ by %g m/s²", latitude, height, d)
			}
		}
	}
}

// Pressure in Pa, temperature in °C, humidity from 0 to 1; kg/m³.
func TestAirDensityIsThatOfItsFormulas(t *testing.T) {
	for _, v := range vectors(t, "air CIPM-2007", 9) {
		hold(t, v, CIPM2007(v.in[0], v.in[1], v.in[2]))
	}
	for _, v := range vectors(t, "air OIML short form", 9) {
		hold(t, v, ShortForm(v.in[0], v.in[1], v.in[2]))
	}
}

// Conventional mass in kg, density, density of air in kg/m³, gravity in m/s²; N.
func TestAWeightHangsByItsConventionalMass(t *testing.T) {
	for _, v := range vectors(t, "weight", 6) {
		hold(t, v, Weight(v.in[0], v.in[1], v.in[2], v.in[3]))
	}
}

// Load in kg, foot in mm, gravity in m/s², density of air in kg/m³; kPa.
func TestALoadOnAFoot(t *testing.T) {
	for _, v := range vectors(t, "foot", 4) {
		hold(t, v, Pressure(v.in[0]*perKilogram(v.in[2], v.in[3]), CircleArea(v.in[1])))
	}
}

func TestGravityOfAHouse(t *testing.T) {
	at := func(latitude, height, g, u string) calib.House {
		var h calib.House
		for _, f := range []struct {
			text string
			d    unit.Dimension
			to   *unit.Quantity
		}{{latitude, unit.PlaneAngle, &h.Latitude}, {height, unit.Length, &h.Height}, {g, unit.Acceleration, &h.Gravity}, {u, unit.Acceleration, &h.GravityExpanded}} {
			if f.text != "" {
				*f.to = unit.Must(f.text, f.d)
			}
		}
		return h
	}
	for _, c := range []struct {
		name   string
		house  calib.House
		value  float64
		u      float64 // standard uncertainty
		source string
	}{
		{"measured", at("52 °", "10 m", "9.81246 m/s²", "0.00002 m/s²"), 9.81246, 0.00001, "measured 9.81246 m/s², U 0.00002 m/s², k = 2"},
		{"computed", at("45 °", "100 m", "", ""), 9.8058892, 0.0005 / math.Sqrt(3), "WGS 84 at latitude 45 °, height 100 m; a place may differ by ±0.0005 m/s²"},
		{"height unknown", at("45 °", "", "", ""), 9.8054264, (0.0005 + 250*3.086e-6) / math.Sqrt(3), "WGS 84 at latitude 45 °, height taken as 0 to 500 m; a place may differ by ±0.0013 m/s²"},
		{"on the equator", at("0 °", "0 m", "", ""), 9.7803253, 0.0005 / math.Sqrt(3), "WGS 84 at latitude 0 °, height 0 m; a place may differ by ±0.0005 m/s²"},
	} {
		got, err := GravityOf(c.house)
		if err != nil || math.Abs(got.Value-c.value) > 1e-7 || math.Abs(got.Standard-c.u) > 1e-9 || got.Source != c.source {
			t.Errorf("%s: %+v, %v", c.name, got, err)
		}
	}
	if _, err := GravityOf(calib.House{}); err == nil {
		t.Error("a house without a place has a gravity")
	}
}

func TestAirOfACheck(t *testing.T) {
	conditions := func(t, p, rh string) calib.Conditions {
		return calib.Conditions{Gauge: unit.Must(t, unit.Temperature), Pressure: unit.Must(p, unit.Pressure), Humidity: unit.Must(rh, unit.Percent)}
	}
	high := calib.House{Height: unit.Must("1000 m", unit.Length)}
	for _, c := range []struct {
		name       string
		at         calib.Conditions
		house      calib.House
		value, tol float64
		u          float64 // standard uncertainty; from the sensitivities of air: 0.3 % and 0.4 %
		utol       float64
	}{
		{"CIPM", conditions("20 °C", "1013.25 hPa", "50 %"), calib.House{}, 1.199314, 1e-6, 0.0014, 0.0003},
		{"short form at 28 °C", conditions("28 °C", "1000 hPa", "50 %"), calib.House{}, ShortForm(1e5, 28, 0.5), 1e-12, 0.0014, 0.0003},
		{"pressure not read", calib.Conditions{Gauge: unit.Must("20 °C", unit.Temperature)}, high, 1.2, 0, (0.12 + 1.2 - 1.068) / math.Sqrt(3), 3e-4},
		{"nothing known", calib.Conditions{}, calib.House{}, 1.2, 0, (0.12 + 1.2 - 0.951) / math.Sqrt(3), 3e-4},
	} {
		got, err := AirOf(c.at, c.house)
		if err != nil || math.Abs(got.Value-c.value) > c.tol || math.Abs(got.Standard-c.u) > c.utol || got.Source == "" {
			t.Errorf("%s: %+v, %v", c.name, got, err)
		}
	}
	for _, c := range []struct {
		at   calib.Conditions
		want string
	}{
		{conditions("20 °C", "1013 hPa", "150 %"), "humidity: 150 %; want 0 to 100 %"},
		{conditions("35 °C", "1013 hPa", "50 %"), "air: 1013 hPa at 35 °C and 50 %; want 600 to 1100 hPa and 15 to 27 °C, or 900 to 1100 hPa and 10 to 30 °C below 80 %; or leave the pressure out"},
	} {
		if _, err := AirOf(c.at, calib.House{}); err == nil || err.Error() != c.want {
			t.Errorf("%v\nwant %s", err, c.want)
		}
	}
}
