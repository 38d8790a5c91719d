package table

import (
	"bytes"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/uncertainty/unit"
	"github.com/google/go-cmp/cmp"
)

// written writes rows as a table of that kind and reads them again.
func written(t *testing.T, kind string, rows ...[]string) *File {
	t.Helper()
	table := Table{Name: kind, Columns: Heading(kind)}
	for _, r := range rows {
		if len(r) > len(table.Columns) {
			t.Fatalf("%d cells under %d headings", len(r), len(table.Columns))
		}
		table.Add(r...)
	}
	var out bytes.Buffer
	if err := table.CSV(&out); err != nil {
		t.Fatal(err)
	}
	f, err := Read(kind, "t.csv", out.Bytes(), sheet.Mapping{})
	if err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	return f
}

// byText holds quantities and days to what was typed.
func byText() cmp.Options {
	return cmp.Options{cmp.Comparer(func(a, b unit.Quantity) bool { return a.String() == b.String() }),
		cmp.Comparer(func(a, b calib.Date) bool { return a.String() == b.String() })}
}

// Law: a standard that is exported and imported is the same one, to its step
// and the density of its weights. Own.
func TestAStandardComesBackFromItsRow(t *testing.T) {
	for _, s := range []calib.Standard{
		{ID: "BAL-1", Kind: calib.Balance, Resolution: unit.Must("0.01 g", unit.Mass), IntervalMonths: 12, Place: "bench 2"},
		{ID: "FG-1", Kind: calib.ForceGauge, Resolution: unit.Must("0.01 N", unit.Force), Serial: "0042"},
		{ID: "WS-1", Kind: calib.WeightSet, Grade: "M1", Density: unit.Must("7900 kg/m³", unit.Density), DensityHalfWidth: unit.Must("100 kg/m³", unit.Density), Owner: "shop"},
	} {
		got, err := written(t, Standards, StandardRow(s)).Records[0].Standard(calib.Standard{})
		if err != nil {
			t.Errorf("%s: %v", s.ID, err)
		}
		if diff := cmp.Diff(s, got, byText()); diff != "" {
			t.Errorf("%s came back with (-went +came):\n%s", s.ID, diff)
		}
	}
}

// Law: every coefficient of a piston comes back with its uncertainty, beside
// values and alone. The figures differ, so that no two columns may be swapped.
// Own.
func TestAPistonComesBackFromItsRows(t *testing.T) {
	p := calib.Piston{Area: unit.Must("80.6 mm²", unit.Area), AreaExpanded: unit.Must("0.008 mm²", unit.Area), K: "2",
		Distortion: unit.Must("1 ppm/MPa", unit.PerPressure), DistortionExpanded: unit.Must("0.1 ppm/MPa", unit.PerPressure),
		Expansion: unit.Must("22 ppm/°C", unit.Expansion), ExpansionExpanded: unit.Must("1.5 ppm/°C", unit.Expansion),
		Tension: unit.Must("31 mN/m", unit.Tension), TensionHalfWidth: unit.Must("3 mN/m", unit.Tension),
		Carrier: unit.Must("0.35 kg", unit.Mass), CarrierExpanded: unit.Must("5 mg", unit.Mass),
		Head: unit.Must("100 mm", unit.Length), HeadHalfWidth: unit.Must("2 mm", unit.Length),
		Fluid: unit.Must("860 kg/m³", unit.Density), FluidHalfWidth: unit.Must("20 kg/m³", unit.Density)}
	c := calib.Certificate{Standard: "PT-1", Number: "P-1", Laboratory: "Pressure laboratory", Route: calib.ByAccredited, Date: calib.MustDate("2026-02-01"), Piston: &p}
	got, err := written(t, Certificates, CertificateRows(c)...).Groups()[0].Certificate(calib.PressureTester)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(c, got, byText()); diff != "" {
		t.Errorf("it came back with (-went +came):\n%s", diff)
	}
}

// What a table cannot say of a standard or a piston is refused by its column.
func TestAStandardsLineIsRefused(t *testing.T) {
	for _, c := range []struct{ name, kind, text, want string }{
		{"a step of blocks", Standards, "standard,kind,resolution\nGB-1,gauge block set,0.01 mm\n", "t.csv:2: resolution: \"0.01 mm\": belongs to an instrument that is read, not to the kind gauge block set; want none"},
		{"no step", Standards, "standard,kind,resolution\nBAL-1,balance,0 g\n", `t.csv:2: resolution: "0 g": want a size above 0`},
		{"a step in mm", Standards, "standard,kind,resolution\nBAL-1,balance,0.1 mm\n", `t.csv:2: resolution: "0.1 mm": a length; want a mass`},
		{"half a density", Standards, "standard,kind,density\nWS-1,weight set,7900 kg/m³\n", "t.csv:2: density: one of density and density_half_width; want both"},
	} {
		f, err := Read(c.kind, "t.csv", []byte(c.text), sheet.Mapping{})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Records[0].Standard(calib.Standard{}); err == nil || err.Error() != c.want {
			t.Errorf("%s: it says\n%v\nwant\n%s", c.name, err, c.want)
		}
	}
	const head = "standard,number,laboratory,route,date,area,area_expanded,area_k,tension,tension_half_width,distortion_expanded\nPT-1,P-1,X,accredited laboratory,2026-02-01,"
	for _, c := range []struct{ name, cells, want string }{
		{"no area", `0 mm²,0.008 mm²,2,,,`, `"0 mm²": not above 0`},
		{"a force for a tension", `80.6 mm²,0.008 mm²,2,31 mN,3 mN/m,`, `"31 mN"`},
		{"a bound of nothing", `80.6 mm²,0.008 mm²,2,,3 mN/m,`, "tension"},
		{"an uncertainty of nothing", `80.6 mm²,0.008 mm²,2,,,0.1 ppm/MPa`, "distortion"},
	} {
		f, err := Read(Certificates, "t.csv", []byte(head+c.cells+"\n"), sheet.Mapping{})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Groups()[0].Certificate(calib.PressureTester); err == nil || !strings.HasPrefix(err.Error(), "t.csv:2: ") || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: it says %v, want %s", c.name, err, c.want)
		}
	}
}
