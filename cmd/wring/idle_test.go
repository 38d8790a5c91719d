package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Some option that a command has is read by it: its name stands in the sources
// once more than where it is made.
func TestEveryOptionIsRead(t *testing.T) {
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, f := range files {
		if strings.HasSuffix(f, "_test.go") || f == "needs_table.go" {
			continue
		}
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(text)
	}
	made := regexp.MustCompile(`\b(text|texts|switchOn)\("[a-z-]+"`)
	rest := made.ReplaceAllString(all.String(), "")
	n := 0
	for _, k := range leaves(newApp(env{}, nil).Commands, "wring") {
		for _, f := range k.Flags {
			n++
			if name := f.Names()[0]; !strings.Contains(rest, `"`+name+`"`) {
				t.Errorf("%s --%s: nobody reads it", k.path, name)
			}
		}
	}
	if n < 200 {
		t.Errorf("%d options were looked at; want all", n)
	}
}

// An option that would be ignored is refused as wrong use, by its name, and
// nothing is done.
func TestNoOptionIsIgnored(t *testing.T) {
	dir := t.TempDir()
	says(t, filepath.Join(dir, "x"), "demo", filepath.Join(dir, "demo"))
	file := filepath.Join(dir, "demo", "workshop.wring")
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	const force = "gauge add G --kind|force gauge|--unit N --range 0..50 --resolution 0.05 "
	const caliper = "gauge add G --kind caliper --range 0..150 --resolution 0.05 "
	for _, c := range []struct{ line, names string }{
		{"lot add L --material felt --guard-factor 0.5", "guard factor"},
		{"lot add L --material felt --risk 0.02", "risk"},
		{"house amend --reason x --guard-factor 0.5", "guard factor"},
		{"house amend --reason x --risk 0.02", "risk"},
		{"house amend --reason x --gravity-expanded 0.0001", "--gravity-expanded"},
		{"init --organisation X --guard-factor 0.5", "guard factor"},
		{force + "--flatness 0.001", "--flatness"},
		{force + "--material steel", "--material"},
		{caliper + "--foot-diameter 10", "--foot-diameter"},
		{caliper + "--foot-expanded 0.01", "--foot-expanded"},
		{caliper + "--interval-uses 5", "--interval-uses"},
		{caliper + "--material steel --expansion|11 ppm/°C|--expansion-half-width|1 ppm/°C", "--expansion"},
		{caliper + "--expansion|11 ppm/°C", "--expansion"},
		{"gauge amend CAL-003 --reason x --foot-area|20 mm²", "--foot-area"},
		{"standard add S --kind balance --material steel", "--material"},
		{"standard add S --kind balance --grade 1", "--grade"},
		{"standard add S --kind thermometer --density|7900 kg/m³|--density-half-width|10 kg/m³", "--density"},
		{"standard add S --kind|gauge block set|--resolution 0.1mm", "--resolution"},
		{"standard amend BAL-1 --reason x --material steel", "--material"},
		{"standard certificate GB-1 --reason x --number 1 --laboratory X --route|national institute|--date 2026-01-01", "--reason"},
		{"lookback THK-005 --informed-on 2026-11-20", "--informed-on"},
		{"lookback THK-005 --entry 81", "--entry"},
		{"lookback THK-005 --informed X", "--informed"},
		{"lookback THK-005 --since 2026-01-01", "--since"},
		{"lookback THK-005 --item|use THK-005|--reason x", "--reason"},
		{"lookback THK-005 --open --item|use THK-005", "--decide"},
		{"restore demo/workshop.wring --check-only --replace", "--replace"},
		{"table export gauges --format csv --json", "--format"},
		{"table import checks x.csv --amend y", "--amend"},
		{"label MIC-014 --start 3", "--start"},
		{"label MIC-014 --corner 5", "--corner"},
		{"label MIC-014 --pitch 50x25", "--pitch"},
		{"told --whom X", "--whom"},
		{"told 64 --on 2026-11-20", "--whom"},
		{"told 64 --open", "--open"},
		{"interval MIC-014 --months 12", "--months"},
		{"interval MIC-014 --reason x", "--reason"},
		{"interval --accept staircase --reason x", "--accept"},
		{"drift MIC-014 --owner X", "--owner"},
		{"drift MIC-014 --place X", "--place"},
		{"drift --svg x.svg", "--svg"},
		{"release 64 --require on --reason x", "--require"},
		{"release 64 --reason x", "--reason"},
		{"plan add --name x", "--preset"},
		{"plan show --preset micrometer-0-25 --revision 1", "--revision"},
		{"validate --paper A4", "--paper"},
		{"history MIC-014 --replace", "--replace"},
		{"report due --html x.html --paper A4", "--paper"},
		{"survey FELT-26-31 --show 77 --date 2026-01-01", "--date"},
		{"survey FELT-26-31 --sheet felt.csv --no-dwell", "--no-dwell"},
		{"check MIC-014 --part foot", "--part"},
	} {
		var args []string
		for i, part := range strings.Split(c.line, "|") {
			if i%2 == 1 {
				args = append(args, part)
				continue
			}
			args = append(args, strings.Fields(part)...)
		}
		status, out, said := inside(file, args...)
		if first, _, _ := strings.Cut(said, "\n"); status != exitUsage || out != "" || !strings.Contains(first, c.names) {
			t.Errorf("%s: status %d, want %d and %q named; it says %s%s", c.line, status, exitUsage, c.names, out, said)
		}
	}
	if after, err := os.ReadFile(file); err != nil || !bytes.Equal(before, after) {
		t.Errorf("the registry was changed: %v", err)
	}
	if left, _ := filepath.Glob("*.*"); len(left) > 0 {
		t.Errorf("written: %v", left)
	}
}
