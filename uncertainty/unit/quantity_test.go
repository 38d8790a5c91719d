package unit

import (
	"encoding/json"
	"math/big"
	"testing"
)

func millimetre(t testing.TB) Unit {
	t.Helper()
	u, ok := Lookup("mm", Length)
	if !ok {
		t.Fatal("no millimetre in the table of units")
	}
	return u
}

func TestParseKeepsDigitsAndConvertsExactly(t *testing.T) {
	mm := millimetre(t)
	for _, c := range []struct {
		name, text string
		d          Dimension
		inner      string // exact, in the inner unit
		shown      string
		places     int
	}{
		// 1 in = 25.4 mm: NIST SP 811 (2008) appendix B.8; memory.
		{"bare", "5.101", Length, "5.101", "5.101 mm", 3},
		{"trailing zero is kept", "2.500", Length, "2.5", "2.500 mm", 3},
		{"unit", "5.1 mm", Length, "5.1", "5.1 mm", 1},
		{"inch, joined", "0.2005in", Length, "5.0927", "0.2005in", 4},
		{"inch mark", `0.2005"`, Length, "5.0927", `0.2005"`, 4},
		{"thou", "1.5 thou", Length, "0.0381", "1.5 thou", 1},
		{"micrometre by letter", "-3um", Length, "-0.003", "-3um", 0},
		{"micrometre by Greek mu", "3 μm", Length, "0.003", "3 μm", 0},
		{"plus sign", "+0.001", Length, "0.001", "+0.001 mm", 3},
		{"Fahrenheit, boiling", "212 °F", Temperature, "100", "212 °F", 0},
		{"Fahrenheit, 68 is 20 °C", "68 F", Temperature, "20", "68 F", 0},
		{"a difference has no offset", "9 °F", TemperatureDifference, "5", "9 °F", 0},
		{"expansion", "11.5 ppm/°C", Expansion, "0.0000115", "11.5 ppm/°C", 1},
		{"expansion per °F", "1 ppm/°F", Expansion, "0.0000018", "1 ppm/°F", 0},
		{"a fall of 3 psi", "3 psi", Pressure, "", "3 psi", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			fallback := Unit{}
			if c.d == Length {
				fallback = mm
			}
			q, err := Parse(c.text, c.d, fallback)
			if err != nil {
				t.Fatal(err)
			}
			if got := q.Inner().Shortest(); c.inner != "" && got != c.inner {
				t.Errorf("%q is %s in the inner unit, want %s", c.text, got, c.inner)
			}
			if q.String() != c.shown || q.Places() != c.places {
				t.Errorf("%q shows %q with %d places, want %q with %d", c.text, q.String(), q.Places(), c.shown, c.places)
			}
		})
	}
}

// Factor of the pound-force per square inch: 6894.757293168 Pa, NIST SP 811
// (2008) appendix B.8; memory.
func TestPsiIsDerivedFromPoundForceAndInch(t *testing.T) {
	psi, _ := Lookup("psi", Pressure)
	if got := psi.Factor().Text(12); got != "6.894757293168" {
		t.Errorf("1 psi = %s kPa, want 6.894757293168", got)
	}
}

func TestParseRefusesWhatIsNotPlain(t *testing.T) {
	mm := millimetre(t)
	for _, c := range []struct{ text, want string }{
		{"5,101", `"5,101": a decimal comma; write 5.101`},
		{"", `"": nothing; write a number, as 5.101`},
		{"NaN", `"NaN": not a number; write digits with a point, as 5.101`},
		{"Inf", `"Inf": not a number; write digits with a point, as 5.101`},
		{"1e3", `"1e3": an exponent; write the number out, as 0.0025`},
		{"1E-3 mm", `"1E-3 mm": an exponent; write the number out, as 0.0025`},
		{"0x10", `"0x10": "x10" is no unit known here; want one of mm, µm, nm, cm, m, in, thou, µin`},
		{"1_000", `"1_000": not a number; write digits with a point, as 5.101`},
		{"--5", `"--5": not a number; write digits with a point, as 5.101`},
		{"+-5", `"+-5": not a number; write digits with a point, as 5.101`},
		{".5", `".5": not a number; write digits with a point, as 5.101`},
		{"5.", `"5.": not a number; write digits with a point, as 5.101`},
		{"5.1.2", `"5.1.2": not a number; write digits with a point, as 5.101`},
		{"−5.1", `"−5.1": a typographic minus; write -5.1`},
		{"5.1 kPa", `"5.1 kPa": a pressure; want a length`},
		{"20 °C", `"20 °C": a temperature; want a length`},
		{"5.1 furlong", `"5.1 furlong": "furlong" is no unit known here; want one of mm, µm, nm, cm, m, in, thou, µin`},
	} {
		if _, err := Parse(c.text, Length, mm); err == nil || err.Error() != c.want {
			t.Errorf("Parse(%q): %v\nwant %s", c.text, err, c.want)
		}
	}
}

func TestParseWantsAUnitWhereNoneIsUnderstood(t *testing.T) {
	_, err := Parse("20.4", Temperature, Unit{})
	if want := `"20.4": no unit; write one of °C, °F after it`; err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

func TestStoredTextComesBackTheSame(t *testing.T) {
	for _, q := range []Quantity{
		Must("2.5010 mm", Length), Must("0.2005in", Length), Must("70.5 °F", Temperature),
		Must("0.9 °F", TemperatureDifference), Must("11.5 ppm/°C", Expansion), {},
	} {
		b, err := json.Marshal(q)
		if err != nil {
			t.Fatal(err)
		}
		var got Quantity
		if err := json.Unmarshal(b, &got); err != nil {
			t.Fatalf("%s: %v", b, err)
		}
		if got.String() != q.String() || got.Inner().Cmp(q.Inner()) != 0 || got.unit.dimension != q.unit.dimension {
			t.Errorf("%s came back as %q (%s)", b, got, got.unit.dimension)
		}
	}
}

func TestRoundingTiesGoAwayFromZero(t *testing.T) {
	for _, c := range []struct {
		a, b   int64
		places int
		text   string
		signed string
	}{
		{25, 10, 0, "3", "+3"},
		{-25, 10, 0, "-3", "-3"},
		{1, 3, 4, "0.3333", "+0.3333"},
		{-1, 1000, 2, "0.00", "0.00"},
		{0, 1, 1, "0.0", "0.0"},
		{1005, 1000, 2, "1.01", "+1.01"}, // 1.005 is below 1.005 in binary
	} {
		e := Ratio(c.a, c.b)
		if e.Text(c.places) != c.text || e.Signed(c.places) != c.signed {
			t.Errorf("%d/%d to %d places: %s and %s, want %s and %s", c.a, c.b, c.places, e.Text(c.places), e.Signed(c.places), c.text, c.signed)
		}
	}
}

func TestExactSurvivesJSON(t *testing.T) {
	for _, e := range []Exact{{}, Ratio(1, 3), Ratio(-7, 4), FromFloat(0.1)} {
		b, _ := json.Marshal(e)
		var got Exact
		if err := json.Unmarshal(b, &got); err != nil || got.Cmp(e) != 0 {
			t.Errorf("%s came back as %s (%v)", b, got.Shortest(), err)
		}
	}
}

// The short way to read a number is held to the long one.
func FuzzShortNumber(f *testing.F) {
	for _, s := range []string{"0", "-0", "0.5", "-12.0040", "1/3", "-2/6", "1/0", "0/5", "007", "00.5", ".5", "5.", "1.5/2", "1/-2", "--1", "1e3", "1_0", "0x1", "999999999999999999", "1000000000000000000",
		"0.000000000000000001", "9223372036854775808", "123456789012345678/999999999999999999", "1/2/3", "1.2.3", "-", "/", "."} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		got := shortNumber([]byte(`"` + s + `"`))
		if want, ok := new(big.Rat).SetString(s); got != nil && (!ok || got.Cmp(want) != 0) {
			t.Errorf("%q: %v; want %v, %v", s, got, want, ok)
		}
	})
}

// What records are full of is read the short way.
func TestUsualNumbersAreReadTheShortWay(t *testing.T) {
	for _, s := range []string{"0", "25.4", "-0.0007", "1/3", "-7/60000", "99999999.9999999999"} {
		if shortNumber([]byte(`"`+s+`"`)) == nil {
			t.Errorf("%q is not", s)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"5.101", "0.2005in", "5,1", "NaN", "1e9", "-0.003 mm", "68 °F", "−1", "\xff", "7.2psi"} {
		f.Add(s)
	}
	mm := millimetre(f)
	f.Fuzz(func(t *testing.T, s string) {
		q, err := Parse(s, Length, mm)
		if err != nil {
			return
		}
		again, err := Parse(q.String(), Length, Unit{})
		if err != nil || again.Inner().Cmp(q.Inner()) != 0 {
			t.Errorf("%q reads as %q, which reads as %q (%v)", s, q, again, err)
		}
		want, ok := new(big.Rat).SetString(q.Number())
		if !ok || q.Value().Rat().Cmp(want) != 0 {
			t.Errorf("%q is kept as %s", s, q.Value().Shortest())
		}
	})
}
