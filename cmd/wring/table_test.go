package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// says runs the program on a registry and returns what it says; it must end
// with 0 or 3.
func says(t *testing.T, file string, args ...string) string {
	t.Helper()
	e, out, errs := deskForTest("")
	if code := run(append([]string{"wring", "--registry", file}, args...), e); code != exitDone && code != exitNo {
		t.Fatalf("%v: status %d: %s", args, code, errs)
	}
	return out.String() + errs.String()
}

// readingCommands is every command that only answers, on the demonstration.
func readingCommands() [][]string {
	list := [][]string{{"house", "show"}, {"gauge", "list"}, {"standard", "list"}, {"plan", "list"}, {"person", "list"}, {"attachment", "list", "MIC-014"}, {"due", "--within", "24m"},
		{"drift"}, {"drift", "--part", "foot"}, {"interval"}, {"lookback"}, {"history"}, {"verify"}, {"told"}, {"method", "list"}, {"method", "show", "hand-lifted"},
		{"lot", "list"}, {"lot", "show", "FELT-26-31"}, {"survey", "FELT-26-31", "--show", "77"}, {"trace", "FELT-26-31"}, {"study", "list"}, {"study", "show", "83"}, {"study", "show", "84"},
		{"trace", "64"}, {"told", "--open"}, {"history", "FELT-26-31"}, {"plan", "list", "--presets"}}
	for _, gauge := range []string{"MIC-014", "MIC-021", "MIC-031", "CAL-003", "THK-005", "MIC-IN-2"} {
		list = append(list, []string{"gauge", "show", gauge}, []string{"history", gauge}, []string{"drift", gauge}, []string{"trace", gauge}, []string{"interval", gauge}, []string{"lookback", gauge})
	}
	for _, standard := range []string{"GB-1", "GB-2", "TH-1"} {
		list = append(list, []string{"standard", "show", standard, "--values"}, []string{"trace", standard}, []string{"history", standard})
	}
	return append(list, []string{"plan", "show", "micrometer-0-25"}, []string{"history", "micrometer-0-25"})
}

// A registry that went out and came back answers every command as before.
func TestARegistryThatCameBackAnswersAlike(t *testing.T) {
	dir := t.TempDir()
	file, copied, out := filepath.Join(dir, "demo", "workshop.wring"), filepath.Join(dir, "demo2", "workshop.wring"), filepath.Join(dir, "out")
	says(t, file, "demo", filepath.Join(dir, "demo"))
	if err := os.Mkdir(filepath.Dir(copied), 0o777); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"amend", "64", "--reason", "read again", "--remarks", "blocks wiped"}, {"withdraw", "83", "--reason", "wrong strips"}, {"compare", "85", "65"},
		{"house", "amend", "--paper", "Letter", "--due-within", "6w", "--release", "on", "--reason", "moved"}, {"told", "64", "--whom", "goods-in"},
		{"gauge", "amend", "MIC-014", "--place", "store", "--reason", "moved"}, {"gauge", "status", "MIC-021", "quarantined", "--reason", "dropped"},
	} {
		says(t, file, args...)
	}
	says(t, file, "export", out)
	says(t, copied, "import", out)
	for _, args := range readingCommands() {
		forms := [][]string{append(slices.Clone(args), "--json")} // which says all that a person sees
		if !slices.ContainsFunc([]string{"MIC-031", "CAL-003", "MIC-IN-2", "GB-2", "verify"}, func(like string) bool { return slices.Contains(args, like) }) {
			forms = append(forms, args)
		}
		for _, args := range forms {
			before, after := says(t, file, args...), strings.ReplaceAll(says(t, copied, args...), "demo2", "demo")
			if before != after {
				t.Errorf("%v:\n%s\nand of what came back\n%s", args, before, after)
			}
		}
	}
	for _, table := range exportable() {
		before, after := says(t, file, "table", "export", table), says(t, copied, "table", "export", table)
		if before != after {
			t.Errorf("table %s:\n%s\nand of what came back\n%s", table, before, after)
		}
		if !strings.Contains(before, "\r\n") || strings.Count(before, "\n") < 2 && !slices.Contains([]string{"attachments", "people", "intervals", "dispositions"}, table) {
			t.Errorf("table %s is empty; the demonstration has no line of it:\n%s", table, before)
		}
	}
}

// Tables that are read into an empty registry make the same tables again, and
// what is due, what drifts and every verdict are the same. What cannot be: the
// numbers of entries and certificates, and since when by the clock.
func TestTablesThatCameBackSayAlike(t *testing.T) {
	dir := t.TempDir()
	file, copied := filepath.Join(dir, "demo", "workshop.wring"), filepath.Join(dir, "copy.wring")
	says(t, file, "demo", filepath.Join(dir, "demo"))
	says(t, copied, "init", "--organisation", "A copy (invented)", "--latitude", "52.1", "--height", "12 m")
	for _, plan := range demoPlans {
		says(t, copied, "plan", "add", "--preset", plan)
	}
	says(t, copied, "method", "add", "--preset", "hand-lifted")
	tables := filepath.Join(dir, "tables")
	says(t, file, "table", "export", "all", tables)
	for _, table := range []string{"standards", "certificates", "gauges", "checks", "lots"} {
		csvFile := filepath.Join(tables, table+".csv")
		dry := says(t, copied, "table", "import", table, csvFile, "--dry-run")
		if strings.Contains(dry, doesSame) {
			t.Errorf("%s: a dry run on an empty registry finds something there:\n%s", table, dry)
		}
		says(t, copied, "table", "import", table, csvFile)
		head, _ := os.ReadFile(copied)
		if again := says(t, copied, "table", "import", table, csvFile); !strings.Contains(again, "\n0 ") {
			t.Errorf("%s: a second import says\n%s", table, again)
		}
		if after, _ := os.ReadFile(copied); !bytes.Equal(head, after) {
			t.Errorf("%s: a second import of the same file changed the registry", table)
		}
	}
	cameBackSurveyed(t, copied, filepath.Join(tables, "surveys.csv"))
	for _, table := range []string{"standards", "certificates", "gauges", "checks", "results", "lots", "surveys", "thicknesses"} {
		before, after := tableWithout(t, says(t, file, "table", "export", table)), tableWithout(t, says(t, copied, "table", "export", table))
		if before != after {
			t.Errorf("table %s:\n%s\nand of what came back\n%s", table, before, after)
		}
	}
	for _, args := range [][]string{{"due", "--within", "24m"}, {"drift"}, {"drift", "MIC-021"}, {"interval"}} {
		if before, after := says(t, file, args...), says(t, copied, args...); before != after {
			t.Errorf("%v:\n%s\nand of what came back\n%s", args, before, after)
		}
	}
}

// cameBackSurveyed reads a survey whose gauge failed since: it wants a reason.
func cameBackSurveyed(t *testing.T, copied, file string) {
	t.Helper()
	status, _, said := inside(copied, "table", "import", "surveys", file)
	if want := "gauge not in service: THK-005 is failed; want it in service; or why it was used all the same, in the column override"; status != exitRefused || !strings.Contains(said, want) {
		t.Errorf("a survey with a gauge that failed: %d %s; want %s", status, said, want)
	}
	mapping := filepath.Join(filepath.Dir(file), "fill.toml")
	if err := os.WriteFile(mapping, []byte("format = 1\n[fill]\noverride = \"was in service then\"\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"1 survey new", "0 surveys new, 1 survey here already"} {
		if said := says(t, copied, "table", "import", "surveys", file, "--mapping", mapping); !strings.Contains(said, want) {
			t.Errorf("it says %s; want %s", said, want)
		}
	}
}

// tableWithout is a table without the columns that name entries or the clock.
func tableWithout(t *testing.T, text string) string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("%d rows: %v\n%s", len(rows), err, text)
	}
	var out strings.Builder
	for _, row := range rows {
		for i, name := range rows[0] {
			if !slices.Contains([]string{"check", "certificate", "status_since", "status_reason", "last_certificate", "survey", "override", "marked", "length_check", "foot_check"}, name) {
				out.WriteString(row[i] + "|")
			}
		}
		out.WriteString("\n")
	}
	return out.String()
}

// A hundred bad lines are a hundred messages, exit status 1, and nothing kept.
func TestAHundredBadLinesAreAHundredMessages(t *testing.T) {
	dir := t.TempDir()
	file, bad := filepath.Join(dir, "shop.wring"), filepath.Join(dir, "bad.csv")
	says(t, file, "init", "--organisation", "X (invented)")
	var text strings.Builder
	text.WriteString("gauge,kind,range,resolution,interval\n")
	for i := range 100 {
		fmt.Fprintf(&text, "G-%d,caliper,0-150,0.05,12\nB-%d,caliper,0-150,0.05,often\n", i, i)
	}
	if err := os.WriteFile(bad, []byte(text.String()), 0o666); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	e, out, errs := deskForTest("")
	code := run([]string{"wring", "--registry", file, "table", "import", "gauges", bad}, e)
	if code != exitRefused || out.Len() > 0 {
		t.Errorf("status %d, want %d; it printed %q", code, exitRefused, out)
	}
	lines := strings.Split(strings.TrimSpace(errs.String()), "\n")
	if len(lines) != 101 || lines[100] != "  hint: nothing was kept" {
		t.Fatalf("%d lines, the last %q; want 100 and the hint", len(lines), lines[len(lines)-1])
	}
	for i := range 100 {
		if want := fmt.Sprintf(`wring: %s:%d: interval: "often": not a number of months`, bad, 3+2*i); !strings.HasPrefix(lines[i], want) {
			t.Errorf("line %d says %q; want %q", i, lines[i], want)
		}
	}
	if after, _ := os.ReadFile(file); !bytes.Equal(before, after) {
		t.Error("the refused import changed the registry")
	}
}

// A growing is a file that somebody is writing to.
type growing struct {
	*strings.Reader
	sizes []int64
}

func (g *growing) Stat() (os.FileInfo, error) {
	size := g.sizes[0]
	g.sizes = g.sizes[1:]
	return sized(size), nil
}

type sized int64

func (s sized) Name() string       { return "t.csv" }
func (s sized) Size() int64        { return int64(s) }
func (s sized) Mode() fs.FileMode  { return 0 }
func (s sized) ModTime() time.Time { return time.Time{} }
func (s sized) IsDir() bool        { return false }
func (s sized) Sys() any           { return nil }

func TestAFileThatGrowsIsRefused(t *testing.T) {
	for _, c := range []struct {
		sizes []int64
		want  string
	}{
		{[]int64{5, 5}, ""},
		{[]int64{5, 9}, "t.csv: was written to while it was read, 5 bytes and then 9; want it saved and closed"},
		{[]int64{3, 3}, "t.csv: was written to while it was read, 3 bytes and then 3; want it saved and closed"},
	} {
		_, err := settled("t.csv", &growing{strings.NewReader("a,b\n1"), c.sizes})
		if got := fmt.Sprint(err); got != c.want && (err != nil || c.want != "") {
			t.Errorf("sizes %v: it says %q; want %q", c.sizes, got, c.want)
		}
	}
}

// A sheet of a workbook comes in as a CSV table does, and once.
func TestASheetOfAWorkbookComesIn(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "shop.wring")
	says(t, file, "init", "--organisation", "X (invented)")
	for _, want := range []string{"sheet \"src\" of a workbook; headings not read: Remarks 4 gauges new", "0 gauges new, 4 gauges here already"} {
		if out := says(t, file, "table", "import", "gauges", "../../testdata/tables/gauges.xlsx"); !strings.Contains(strings.Join(strings.Fields(out), " "), want) {
			t.Errorf("it says %s; want %s", out, want)
		}
	}
	for _, c := range []struct {
		want string
		args []string
	}{
		{`no column gauge among Register of gauges (invented)`, []string{"--sheet", "Gauges"}},
		{`several sheets hold something; want --sheet`, nil},
		{`sheet "Gauges": no workbook, and has no sheets`, []string{"--sheet", "Gauges"}},
	} {
		name := "../../testdata/tables/book.xlsx"
		if strings.Contains(c.want, "no workbook") {
			name = "../../testdata/tables/gauges-utf8.csv"
		}
		if status, _, said := inside(file, append([]string{"table", "import", "gauges", name}, c.args...)...); status != exitRefused || !strings.Contains(said, c.want) {
			t.Errorf("%v: %d %s; want %s", c.args, status, said, c.want)
		}
	}
}
