package table

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
)

func bookOf(t *testing.T, file string) []byte {
	t.Helper()
	data, err := os.ReadFile("../../testdata/tables/" + file)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// What a spreadsheet program wrote into a workbook is read as it is shown: typed
// decimals without the noise of binary ones, dates from either day that they
// count from, texts with their zeros, what formulas came to.
func TestAWorkbookIsReadAsItIsShown(t *testing.T) {
	for _, file := range []string{"book.xlsx", "book1904.xlsx"} {
		f, err := Read(Gauges, file, bookOf(t, file), sheet.Mapping{Sheet: "Gauges", Heading: 3})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, r := range f.Records {
			l, err := r.Gauge(calib.Gauge{}, "mm")
			if err != nil {
				t.Errorf("%s: %v", file, err)
				continue
			}
			g := l.Gauge
			got = append(got, fmt.Sprintf("%d %s %s %s %q %d %s %s %v %q", r.Line, g.ID, g.Kind, g.Resolution, g.Serial, g.IntervalMonths, l.Earlier.Date, l.Earlier.Verdict, r.text("due_agreed"), g.Place))
		}
		want := `4 MIC-101 outside micrometer 0.001 mm "0042" 12 2026-03-02 pass 1 "bench 1, left"
5 CAL-201 caliper 0.050 mm "007" 12 2025-11-17 fail 0 "store"
6 DIA-301 dial gauge 0.01 mm "7" 0    "=1+1"`
		if strings.Join(got, "\n") != want || len(f.Faults) > 0 || f.Encoding != `sheet "Gauges" of a workbook` {
			t.Errorf("%s, %s: %v\n%s\nwant\n%s", file, f.Encoding, f.Faults, strings.Join(got, "\n"), want)
		}
	}
	f, err := Read(Checks, "book.xlsx", bookOf(t, "book.xlsx"), sheet.Mapping{Sheet: "Checks"})
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, r := range f.Records {
		got = append(got, fmt.Sprint(r.text("date"), r.cells["temperature"], r.cells["humidity"], r.cells["at"], r.cells["reading"]))
	}
	if want := "2026-05-04[{20.1 }] [{48.5 % }] [{2.5 }] [{2.500 } {2.501 } {2.501 }]\n2026-05-04[{20.1 }] [{48.5 % }] [{18.2 }] [{18.20 mm } {18.200 } {18.199999999999 }]"; strings.Join(got, "\n") != want {
		t.Errorf("read\n%s\nwant\n%s", strings.Join(got, "\n"), want)
	}
}

// A line that is refused is not read as well.
func TestALineUnderAMergedCellIsRefusedAndNotRead(t *testing.T) {
	f, err := Read(Gauges, "t.xlsx", oneSheet(t, `<worksheet><sheetData><row r="1"><c t="str"><v>gauge</v></c><c t="str"><v>kind</v></c></row><row r="2"><c t="str"><v>A</v></c><c t="str"><v>caliper</v></c></row>`+
		`<row r="3"><c t="str"><v>B</v></c></row></sheetData><mergeCells><mergeCell ref="B2:B3"/></mergeCells></worksheet>`, ""), sheet.Mapping{})
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Records) != 1 || len(f.Faults) != 1 {
		t.Errorf("%d lines and faults %v; want one of each", len(f.Records), f.Faults)
	}
}

// A line with a cell that says nothing is refused; a workbook that cannot be
// read is, as a whole.
func TestAWorkbookIsRefused(t *testing.T) {
	f, err := Read(Gauges, "b.xlsx", bookOf(t, "book.xlsx"), sheet.Mapping{Sheet: "Bad"})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := errors.Join(f.Faults...).Error(), "b.xlsx:2: cell C2: #DIV/0!; want a value\nb.xlsx:4: cells A3:A4 are one; want a value in each line"; got != want {
		t.Errorf("it says\n%s\nwant\n%s", got, want)
	}
	whole := bookOf(t, "book.xlsx")
	for _, c := range []struct {
		name string
		data []byte
		m    sheet.Mapping
		want string
	}{
		{"several sheets", whole, sheet.Mapping{}, `b.xlsx: several sheets hold something; want --sheet, or sheet in the mapping, to be one of "Gauges", "Checks", "Bad"`},
		{"no such sheet", whole, sheet.Mapping{Sheet: "gauges"}, `b.xlsx: sheet "gauges": not in the workbook; want one of "Gauges", "Checks", "Bad"`},
		{"cut off", whole[:len(whole)-300], sheet.Mapping{}, "b.xlsx: no whole workbook: zip: not a valid zip file; want it saved anew, or one of its sheets saved as CSV"},
		{"an archive", zipOf(t, map[string]string{"mimetype": "application/vnd.oasis.opendocument.spreadsheet"}), sheet.Mapping{}, "b.xlsx: a workbook or archive of another kind; want .xlsx, or one of its sheets saved as CSV"},
		{"an old kind", []byte("\xd0\xcf\x11\xe0\xa1"), sheet.Mapping{}, "b.xlsx: a workbook of an old kind, or with a password; want it saved as .xlsx without one, or one of its sheets as CSV"},
		{"a sheet of none", []byte("gauge,kind\nA,caliper\n"), sheet.Mapping{Sheet: "A"}, `b.xlsx: sheet "A": no workbook, and has no sheets; want the name of a sheet left out`},
		{"a sheet that is missing", oneSheet(t, "", ""), sheet.Mapping{}, `b.xlsx: no whole workbook: its sheet "S" is missing; want it saved anew`},
		{"nothing in it", oneSheet(t, "<worksheet/>", ""), sheet.Mapping{}, "b.xlsx: nothing in any sheet of it; want a line of headings and the lines under it"},
	} {
		if _, err := Read(Gauges, "b.xlsx", c.data, c.m); err == nil || err.Error() != c.want {
			t.Errorf("%s: it says\n%v\nwant\n%s", c.name, err, c.want)
		}
	}
}

// What other programs write than the one whose files lie here, by ECMA-376.
func TestACellOfAWorkbookIsRead(t *testing.T) {
	const styles = `<styleSheet><numFmts><numFmt numFmtId="167" formatCode="0000"/><numFmt numFmtId="168" formatCode="&quot;MIC-&quot;000"/><numFmt numFmtId="169" formatCode="0.000\ [$µm-407]"/>` +
		`<numFmt numFmtId="170" formatCode="[&lt;1000]0.0&quot; µm&quot;;0.000,&quot; mm&quot;"/><numFmt numFmtId="171" formatCode="#,##0.00,&quot; mm&quot;"/><numFmt numFmtId="172" formatCode="00-00"/><numFmt numFmtId="173" formatCode="[h]"/><numFmt numFmtId="174" formatCode="_(* &quot;x_y;z &quot;0.0_);(0.0)"/><numFmt numFmtId="164" formatCode="[Red]#,##0.000\ [$€-407];-0"/><numFmt numFmtId="165" formatCode="d/m/yy h:mm"/><numFmt numFmtId="166" formatCode="GENERAL"/></numFmts>` +
		`<cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="164"/><xf numFmtId="165"/><xf numFmtId="10"/><xf numFmtId="166"/><xf numFmtId="167"/><xf numFmtId="168"/><xf numFmtId="169"/><xf numFmtId="170"/><xf numFmtId="171"/><xf numFmtId="172"/><xf numFmtId="173"/><xf numFmtId="174"/></cellXfs></styleSheet>`
	for _, c := range []struct{ cell, want string }{
		{`<c r="B2"><v>18.199999999999999</v></c>`, "18.2"},
		{`<c r="B2"><v>1.0000000000000001E-2</v></c>`, "0.01"},
		{`<c r="B2"><v>-3E-7</v></c>`, "-0.0000003"},
		{`<c r="B2" s="2"><v>1234.5</v></c>`, "1234.500 €"},
		{`<c r="B2" s="6"><v>42</v></c>`, "0042"},
		{`<c r="B2" s="6"><v>-42</v></c>`, "-0042"},
		{`<c r="B2" s="6"><v>12345</v></c>`, "12345"},
		{`<c r="B2" s="7"><v>14</v></c>`, "MIC-014"},
		{`<c r="B2" s="8"><v>18.2</v></c>`, "18.200 µm"},
		{`<c r="B2" s="9"><v>500</v></c>`, `t.xlsx:2: cell B2: 500, shown by the format "[<1000]0.0\" µm\";0.000,\" mm\""; want one that shows the number as it is`},
		{`<c r="B2" s="10"><v>18200</v></c>`, `t.xlsx:2: cell B2: 18200, shown by the format "#,##0.00,\" mm\""; want one that shows the number as it is`},
		{`<c r="B2" s="11"><v>1234</v></c>`, `t.xlsx:2: cell B2: 1234, shown by the format "00-00"; want one that shows the number as it is`},
		{`<c r="B2" s="12"><v>1</v></c>`, "t.xlsx:2: cell B2: 1, shown as a date or a time of day; want a date from 1900-03-01 on"},
		{`<c r="B2" s="13"><v>7</v></c>`, "x_y;z 7.0"},
		{`<c r="B2" s="4"><v>0.07</v></c>`, "7.00 %"},
		{`<c r="B2" s="5"><v>7</v></c>`, "7"},
		{`<c r="B2" s="1"><v>46083</v></c>`, "2026-03-02"},
		{`<c r="B2" s="3"><v>46083.5</v></c>`, "t.xlsx:2: cell B2: 46083.5, a date with a time of day; want the date alone"},
		{`<c r="B2" s="1"><v>0.5</v></c>`, "t.xlsx:2: cell B2: 0.5, shown as a date or a time of day; want a date from 1900-03-01 on"},
		{`<c r="B2" t="d"><v>2026-03-02T00:00:00</v></c>`, "2026-03-02"},
		{`<c r="B2" t="b"><v>1</v></c>`, "yes"},
		{`<c r="B2" t="b"><v>false</v></c>`, "no"},
		{`<c r="B2" t="b"><f>A1</f></c>`, `t.xlsx:2: cell B2: "": neither true nor false; want one`},
		{`<c r="B2" t="s"><v>0</v></c>`, "in two pieces"},
		{`<c r="B2" t="s"><v>-1</v></c>`, `t.xlsx:2: cell B2: text "-1" is not in the workbook; want it saved anew`},
		{`<c r="B2" t="inlineStr"><is><t>in</t><rPh><t>spoken</t></rPh></is></c>`, "in"},
		{`<c r="B2" t="inlineStr"><is><t>two_x000D_
lines</t></is></c>`, "two\r\nlines"},
		{`<c r="B2" t="str"><v>no_x005F_x000D_ break</v></c>`, "no_x000D_ break"},
		{`<c r="B2" t="str"><v>no_x0000_ _xD800_</v></c>`, "no_x0000_ _xD800_"},
		{`<c r="B2" t="str"><f>A1</f><v>007</v></c>`, "007"},
		{`<c r="B2"><f>A1</f></c>`, "t.xlsx:2: cell B2: a formula that was not worked out; want the workbook opened and saved once in a spreadsheet program"},
		{`<c r="B2"><v>NaN</v></c>`, `t.xlsx:2: cell B2: "NaN": not a number; want one`},
		{`<c r="B2" s="99"><v>7</v></c>`, "7"},
		{`<c r="ZZZ2"><v>7</v></c>`, `t.xlsx:2: cell "ZZZ2": beyond column 1000; want a narrower table`},
		{`<c r="2"><v>7</v></c>`, `t.xlsx:2: cell "2": beyond column 1000; want a narrower table`},
	} {
		text := `<worksheet><sheetData><row r="1"><c t="inlineStr"><is><t>gauge</t></is></c><c t="inlineStr"><is><t>kind</t></is></c></row><row r="2"><c r="A2" t="inlineStr"><is><t>G</t></is></c>` + c.cell + `</row></sheetData></worksheet>`
		f, err := Read(Gauges, "t.xlsx", oneSheet(t, text, styles), sheet.Mapping{})
		if err != nil {
			t.Fatalf("%s: %v", c.cell, err)
		}
		got := ""
		if err := errors.Join(f.Faults...); err != nil {
			got = err.Error()
		} else {
			got = f.Records[0].text("kind")
		}
		if got != c.want {
			t.Errorf("%s: read as %q; want %q", c.cell, got, c.want)
		}
	}
}

// A sheet may be far larger than what it says: rows that have a height and no
// cells, cells that hold nothing, a merged cell over everything.
func TestWhatASheetDoesNotSayIsLeftOut(t *testing.T) {
	const heading = `<row r="1"><c t="inlineStr"><is><t>gauge</t></is></c><c t="inlineStr"><is><t>kind</t></is></c></row>`
	const line = `<row r="2"><c t="inlineStr"><is><t>G</t></is></c><c t="inlineStr"><is><t>caliper</t></is></c></row>`
	for name, text := range map[string]string{
		"a height":     `<sheetData>` + heading + line + `<row r="1048576" ht="12.8"/></sheetData>`,
		"empty cells":  `<sheetData>` + heading + line + `<row r="3">` + strings.Repeat("<c/>", 20_000) + `</row></sheetData>`,
		"merged cells": `<sheetData>` + heading + line + `</sheetData><mergeCells>` + strings.Repeat(`<mergeCell ref="A2:A1048576"/>`, 50_000) + `</mergeCells>`,
	} {
		f, err := Read(Gauges, "t.xlsx", oneSheet(t, `<worksheet>`+text+`</worksheet>`, ""), sheet.Mapping{})
		if err != nil || len(f.Faults) > 0 || len(f.Records) != 1 {
			t.Errorf("%s: %v, %+v; want one line", name, err, f)
		}
	}
}

// Rows go on from the one before where they have no number, and none is read
// in another's place.
func TestRowsOfAWorkbookKeepTheirOrder(t *testing.T) {
	cells := func(a, b string) string {
		return `<c t="inlineStr"><is><t>` + a + `</t></is></c><c t="inlineStr"><is><t>` + b + `</t></is></c></row>`
	}
	f, err := Read(Gauges, "t.xlsx", oneSheet(t, `<worksheet><sheetData><row r="3">`+cells("gauge", "kind")+`<row>`+cells("G", "caliper")+`</sheetData></worksheet>`, ""), sheet.Mapping{})
	if err != nil || len(f.Records) != 1 || f.Records[0].Line != 4 {
		t.Errorf("%v, %+v; want one record on line 4", err, f)
	}
	for _, second := range []string{"1", "0", "-5", "x"} {
		_, err := Read(Gauges, "t.xlsx", oneSheet(t, `<worksheet><sheetData><row r="1">`+cells("gauge", "kind")+`<row r="`+second+`">`+cells("G", "caliper")+`</sheetData></worksheet>`, ""), sheet.Mapping{})
		want := fmt.Sprintf("t.xlsx: no whole workbook: xl/worksheets/sheet1.xml: row %q after row 1; want it saved anew, or one of its sheets saved as CSV", second)
		if err == nil || err.Error() != want {
			t.Errorf("it says\n%v\nwant\n%s", err, want)
		}
	}
}

// A part whose checksum is another's is not read, though it be whole XML.
func TestADamagedWorkbookIsRefused(t *testing.T) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for name, text := range map[string]string{
		"xl/workbook.xml":            `<workbook xmlns:r="r"><sheets><sheet name="S" r:id="rId1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="rId1" Target="sheet1.xml"/></Relationships>`,
		"xl/sheet1.xml":              `<worksheet><sheetData><row><c><v>18.2001</v></c></row></sheetData></worksheet>`,
	} {
		f, err := w.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
		if err == nil {
			_, err = f.Write([]byte(text))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	data := bytes.Replace(out.Bytes(), []byte("18.2001"), []byte("18.3001"), 1)
	const want = "t.xlsx: no whole workbook: xl/sheet1.xml: zip: checksum error; want it saved anew, or one of its sheets saved as CSV"
	if _, err := Read(Gauges, "t.xlsx", data, sheet.Mapping{}); err == nil || err.Error() != want {
		t.Errorf("it says\n%v\nwant\n%s", err, want)
	}
}

// A workbook that unpacks to more than there is room for is refused as that,
// also where it is small and names the same part many times.
func TestAWorkbookThatUnpacksToTooMuchIsRefused(t *testing.T) {
	// What stands behind a part's end is unpacked and, but for a sheet, not read.
	much := strings.Repeat(" ", 30<<20)
	empty := `<worksheet><sheetData/></worksheet>`
	parts := map[string]string{
		"xl/workbook.xml":            `<workbook xmlns:r="r"><sheets>` + strings.Repeat(`<sheet name="S" r:id="rId1"/>`, 500) + `</sheets></workbook>` + much,
		"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="rId1" Target="sheet1.xml"/></Relationships>` + much,
		"xl/sheet1.xml":              empty + much[:3<<20],
	}
	for name, data := range map[string][]byte{"one part": oneSheet(t, empty+strings.Repeat(" ", mostUnpacked), ""), "the same part": zipOf(t, parts)} {
		if _, err := Read(Gauges, "t.xlsx", data, sheet.Mapping{}); !errors.Is(err, errUnpacked) || len(data) > 1<<20 {
			t.Errorf("%s: %v; want %v", name, err, errUnpacked)
		}
	}
}

// oneSheet is a workbook with one sheet S; empty: its part is missing.
func oneSheet(t *testing.T, text, styles string) []byte {
	t.Helper()
	parts := map[string]string{
		"xl/workbook.xml":            `<workbook xmlns:r="r"><sheets><sheet name="S" sheetId="1" r:id="rId1"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="rId1" Target="/xl/worksheets/sheet1.xml"/></Relationships>`,
		"xl/sharedStrings.xml":       `<sst><si><r><t>in </t></r><r><t>two pieces</t></r><rPh><t>spoken</t></rPh></si></sst>`,
	}
	if text != "" {
		parts["xl/worksheets/sheet1.xml"] = text
	}
	if styles != "" {
		parts["xl/styles.xml"] = styles
	}
	return zipOf(t, parts)
}

func zipOf(t *testing.T, parts map[string]string) []byte {
	t.Helper()
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for name, text := range parts {
		f, err := w.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// No workbook, however broken, brings the reader down.
func FuzzReadAWorkbook(f *testing.F) {
	f.Add(`<worksheet><sheetData><row r="1"><c r="A1" t="s"><v>0</v></c></row></sheetData><mergeCells><mergeCell ref="A1:A9"/></mergeCells></worksheet>`, `<styleSheet><cellXfs><xf numFmtId="14"/></cellXfs></styleSheet>`)
	f.Add(`<worksheet><sheetData><row><c><v>1E300</v></c><c s="-1"><v>2</v></c></row></sheetData></worksheet>`, "")
	f.Fuzz(func(t *testing.T, text, styles string) {
		file, err := Read(Gauges, "t.xlsx", oneSheet(t, text, styles), sheet.Mapping{})
		if err == nil && file.Encoding != `sheet "S" of a workbook` {
			t.Fatalf("read as %s", file.Encoding)
		}
		if err != nil && strings.Contains(err.Error(), "%!") {
			t.Fatal(err)
		}
	})
}

// The last day that either system of dates has is read, and none after it
// (ECMA-376 part 1, 18.17.4.1, memory).
func TestADateEndsWithTheYear9999(t *testing.T) {
	for _, c := range []struct {
		from int64
		last float64
	}{{from1900, 2958465}, {from1904, 2957003}} {
		b := &workbook{from: c.from}
		if day, err := b.day(c.last); day != "9999-12-31" || err != nil {
			t.Errorf("from %d: %q, %v; want 9999-12-31", c.from, day, err)
		}
		if day, err := b.day(c.last + 1); err == nil {
			t.Errorf("from %d: %q; want it refused", c.from, day)
		}
	}
}
