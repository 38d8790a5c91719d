package table

import (
	"bytes"
	"encoding/csv"
	"os"
	"strings"
	"testing"
)

// dangerousCells are beginnings that CSV injection is done with (read: the list
// of OWASP's page on CSV injection, = + - @ tab and carriage return, and the
// wide forms), and cells that only look like them.
func dangerousCells() []string {
	return []string{"=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1+1", "\r=1", "\n=1", " =1+1", "＝1+1", "＋1", "－1", "＠x", "=cmd|' /C calc'!A0", "'=1", "''=1", "-", "+", "-5 mm", "-0x10", "+1e5",
		"'plain", "+0.0007", "-12", "0", "12.50", "bench 1", "", `a "b", c`, "two\nlines"}
}

func TestNoCellIsAFormulaAndNoneIsLost(t *testing.T) {
	for _, cell := range dangerousCells() {
		got := guard(cell)
		if begins := strings.TrimSpace(got); begins != "" && strings.ContainsRune("=+-@＝＋－＠", []rune(begins)[0]) && !isPlain(got) {
			t.Errorf("%q is written as %q; want no beginning of a formula", cell, got)
		}
		if back := unguard(got); back != cell {
			t.Errorf("%q is written as %q and read as %q", cell, got, back)
		}
	}
	for _, number := range []string{"+0.0007", "-12", "-0.05", "12.50"} {
		if got := guard(number); got != number {
			t.Errorf("number %s is written as %s; want it to stay a number", number, got)
		}
	}
}

// What the writer writes is what lies in testdata/tables, which a spreadsheet
// was opened with.
func TestTheSpreadsheetSawWhatIsWritten(t *testing.T) {
	table := Table{Columns: []string{"cell", "text"}}
	for _, cell := range dangerousCells() {
		table.Add(cell, "x")
	}
	var out bytes.Buffer
	if err := table.CSV(&out); err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile("../../testdata/tables/formulas.csv")
	if os.Getenv("WRING_WRITE_TABLES") != "" {
		err, want = os.WriteFile("../../testdata/tables/formulas.csv", out.Bytes(), 0o666), out.Bytes()
	}
	if err != nil || !bytes.Equal(want, out.Bytes()) {
		t.Fatalf("formulas.csv is not what is written now (%v); want it, and the spreadsheet's answer, made again", err)
	}
	opened, err := os.ReadFile("../../testdata/tables/formulas.fods")
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(opened, []byte("table:formula")) {
		t.Error("the spreadsheet took a cell for a formula")
	}
	for _, number := range []string{`office:value="0.0007"`, `office:value="-12"`, `office:value="12.5"`} {
		if !bytes.Contains(opened, []byte(number)) {
			t.Errorf("the spreadsheet found no number %s", number)
		}
	}
}

func FuzzACellComesBack(f *testing.F) {
	for _, cell := range dangerousCells() {
		f.Add(cell)
	}
	f.Fuzz(func(t *testing.T, cell string) {
		if back := unguard(guard(cell)); back != cell {
			t.Errorf("%q is written as %q and read as %q", cell, guard(cell), back)
		}
		if got := guard(cell); !isPlain(got) && dangerous(got) {
			t.Errorf("%q is written as %q, which begins a formula", cell, got)
		}
		var out bytes.Buffer
		one := Table{Columns: []string{"a", "b"}}
		one.Add(cell, "x")
		if err := one.CSV(&out); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&out).ReadAll()
		if err != nil || len(rows) != 2 {
			t.Fatalf("%q: %d rows, %v", cell, len(rows), err)
		}
	})
}
