package table

import (
	"errors"
	"fmt"
	"os"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
)

func mustRead(t *testing.T, kind, text string, m sheet.Mapping) *File {
	t.Helper()
	f, err := Read(kind, "t.csv", []byte(text), m)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func mapping(t *testing.T, text string) sheet.Mapping {
	t.Helper()
	m, err := sheet.ReadMapping("m.toml", []byte("format = 1\n"+text))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// The cases of RFC 4180, section 2, by their numbers (read).
func TestCellsAreCutAsRFC4180HasIt(t *testing.T) {
	for _, c := range []struct{ rule, text, place, seal string }{
		{"1: lines end with CRLF", "gauge,kind,place,seal\r\nA,caliper,bbb,ccc\r\n", "bbb", "ccc"},
		{"2: the last line may lack its end", "gauge,kind,place,seal\r\nA,caliper,bbb,ccc", "bbb", "ccc"},
		{"4: spaces inside are part of the cell", "gauge,kind,place,seal\nA,caliper,b  b,c c\n", "b  b", "c c"},
		{"5: cells may stand in quotes", "\"gauge\",\"kind\",\"place\",\"seal\"\n\"A\",\"caliper\",\"bbb\",ccc\n", "bbb", "ccc"},
		{"6: breaks and commas stand in quotes", "gauge,kind,place,seal\nA,caliper,\"b\r\nbb\",\"c,c\"\n", "b\nbb", "c,c"},
		{"7: quotes in quotes are doubled", "gauge,kind,place,seal\nA,caliper,\"b\"\"bb\",ccc\n", `b"bb`, "ccc"},
		{"semicolons", "gauge;kind;place;seal\nA;caliper;b,b;c\n", "b,b", "c"},
		{"tabs", "gauge\tkind\tplace\tseal\nA\tcaliper\tb;b\tc\n", "b;b", "c"},
		{"a separator in a quoted heading does not count", "\"gauge\";\"kind, or, what, it, is\";place;seal\nA;caliper;b;c\n", "b", "c"},
		{"the separator may be said", "sep=;\ngauge;kind;place;seal\nA;caliper;b;c\n", "b", "c"},
		{"empty cells at the end may be missing", "gauge,kind,place,seal,\nA,caliper,b\n", "b", ""},
	} {
		m := sheet.Mapping{}
		if strings.Contains(c.text, "what, it, is") {
			m = mapping(t, "[columns]\nkind = \"kind, or, what, it, is\"\n")
		}
		f := mustRead(t, Gauges, c.text, m)
		if len(f.Faults) > 0 || len(f.Records) != 1 {
			t.Errorf("%s: %d records, %v", c.rule, len(f.Records), f.Faults)
			continue
		}
		if r := f.Records[0]; r.text("place") != c.place || r.text("seal") != c.seal {
			t.Errorf("%s: read %q and %q; want %q and %q", c.rule, r.text("place"), r.text("seal"), c.place, c.seal)
		}
	}
}

// Four files of one table, written by a spreadsheet program; what they are is
// described beside them.
func TestASpreadsheetsFilesAreAllRead(t *testing.T) {
	for _, c := range []struct{ file, encoding, separator string }{
		{"gauges-utf8.csv", "UTF-8", "commas"}, {"gauges-windows.csv", "Windows-1252", "semicolons"}, {"gauges-utf16.csv", "UTF-16", "tabs"},
		{"gauges.xlsx", `sheet "src" of a workbook`, ""},
	} {
		data, err := os.ReadFile("../../testdata/tables/" + c.file)
		if err != nil {
			t.Fatal(err)
		}
		f, err := Read(Gauges, c.file, data, sheet.Mapping{})
		if err != nil {
			t.Fatal(err)
		}
		if f.Encoding != c.encoding || f.Separator != c.separator || fmt.Sprint(f.Unread) != "[Remarks]" || len(f.Records) != 4 {
			t.Errorf("%s: %s, %s, not read %v, %d records", c.file, f.Encoding, f.Separator, f.Unread, len(f.Records))
		}
		var got []string
		for _, r := range f.Records {
			l, err := r.Gauge(calib.Gauge{}, "mm")
			if err != nil {
				t.Errorf("%s: %v", c.file, err)
				continue
			}
			g := l.Gauge
			got = append(got, fmt.Sprintf("%d %s %s %q %q %q %s..%s/%s %d %s %s", r.Line, g.ID, g.Kind, g.Maker, g.Serial, g.Place, g.Low, g.High, g.Resolution, g.IntervalMonths, l.Earlier.Date, l.Earlier.Verdict))
		}
		want := `2 MIC-101 outside micrometer "Wolff, Söhne (invented)" "0042" "bench 1, left" 0 mm..25 mm/0.001 mm 12 2026-03-02 pass
3 MIC-102 outside micrometer "Müller & Zn. (invented)" "0043" "bench \"south\"" 25 mm..50 mm/0.001 mm 12 2026-03-09 pass
5 CAL-201 caliper "José (invented)" "" "store" 0 mm..150 mm/0.05 mm 0  
6 DIA-301 dial gauge "Atelier Évrard (invented)" "=D7" "bench 2" 0 mm..10 mm/0.01 mm 24 2025-11-17 fail`
		if c.separator == "" { // rows, of which none has a second line
			want = strings.NewReplacer("5 CAL", "4 CAL", "6 DIA", "5 DIA").Replace(want)
		}
		if strings.Join(got, "\n") != want {
			t.Errorf("%s:\n%s\nwant\n%s", c.file, strings.Join(got, "\n"), want)
		}
	}
}

// A table that cannot be read as a whole is refused in the table's own words.
func TestATableIsRefused(t *testing.T) {
	for _, c := range []struct{ name, kind, text, mapping, want string }{
		{"missing", Gauges, "gauge,place\nA,b\n", "", "t.csv:1: no column kind among gauge, place; want one, or the mapping to name it"},
		{"doubled", Gauges, "Gauge No.,kind,ID\nA,caliper,B\n", "", `t.csv:1: headings "Gauge No." and "ID": both the column gauge; want one, or the mapping to say which`},
		{"two are missing", Standards, "serial\nA\n", "", "t.csv:1: no column standard among serial; want one, or the mapping to name it\nt.csv:1: no column kind among serial; want one, or the mapping to name it"},
		{"mapped to nothing", Gauges, "gauge,kind\nA,caliper\n", "[columns]\nplace = \"Bay\"\n", `m.toml:3: columns: place: "Bay": no heading of t.csv; want one of gauge, kind`},
		{"no such column", Gauges, "gauge,kind\nA,caliper\n", "[columns]\ncolour = \"kind\"\n", `m.toml:3: columns: colour: "colour": no column of the table gauges; want one of gauge, kind, description, maker, type, serial, software, range, low, high, resolution, unit, plan, interval, interval_uses, intermediate, due_agreed, material, expansion, expansion_half_width, flatness, parallelism, foot_diameter, foot_area, foot_expanded, seal, place, owner, status, status_since, status_reason, last_check, last_verdict, last_certificate`},
		{"for another table", Gauges, "gauge,kind\nA,caliper\n", "table = \"checks\"\n", `m.toml: is for the table "checks"; want one for gauges`},
		{"nothing", Gauges, " \n", "", "t.csv: nothing in it; want a line of headings and the lines under it"},
		{"headings alone", Gauges, "gauge,kind\n", "", "t.csv: no line under the headings; want one for each of the gauges"},
		{"a zero byte", Gauges, "gauge,kind\nA\x00,b\n", "", "t.csv:2: a zero byte; want plain text"},
		{"no UTF-8, though said", Gauges, "gauge,kind\nA,\xe9\n", "encoding = \"utf-8\"\n", "t.csv:2: a byte that is no character in UTF-8; want the table saved as UTF-8"},
		{"not in Windows-1252", Gauges, "gauge,kind\nA,\x81\n", "", "t.csv:2: a byte that is no character in Windows-1252; want the table saved as UTF-8"},
	} {
		m := sheet.Mapping{}
		if c.mapping != "" {
			m = mapping(t, c.mapping)
		}
		if _, err := Read(c.kind, "t.csv", []byte(c.text), m); err == nil || err.Error() != c.want {
			t.Errorf("%s: it says\n%v\nwant\n%s", c.name, err, c.want)
		}
	}
}

// Each line that cannot be used says so by itself, and the others are read.
func TestALineIsRefused(t *testing.T) {
	const heading = "gauge,kind,range,resolution,interval,last check,unit,material\n"
	for _, c := range []struct{ name, line, want string }{
		{"a date of two readings", "A,caliper,0-150,0.05,12,03/04/2026,,", `t.csv:2: last check: date "03/04/2026": 3 April 2026 or 4 March 2026; write 2026-04-03 or 2026-03-04; or dates in the mapping`},
		{"an interval in words", "A,caliper,0-150,0.05,yearly,,,", `t.csv:2: interval: "yearly": not a number of months; want a whole number from 1 to 240, as 12, or the word in [words.interval] of the mapping`},
		{"a kind that is none", "A,plug gauge,0-150,0.05,,,,", `t.csv:2: kind: "plug gauge": want one of outside micrometer, caliper, dial gauge, dial thickness gauge, force gauge, scale, pressure gauge; or the word in [words.kind] of the mapping`},
		{"a decimal comma", `A,caliper,0-150,"0,05",,,,`, `t.csv:2: resolution: "0,05": a decimal comma; write 0.05`},
		{"no range", "A,caliper,six inches,0.05,,,,", `t.csv:2: range: "six inches": not a range; want its low and high end, as 0..25`},
		{"a unit that is none", "A,caliper,0-150,0.05,,,cubits,", `t.csv:2: unit: "cubits": want one of mm, µm, nm, cm, m, in, thou, µin`},
		{"a bare quotation mark", `A,caliper,0-6",0.05,,,,`, "t.csv:2: a quotation mark inside a bare cell; want the cell in quotation marks and those in it doubled"},
		{"too many cells", "A,caliper,0-150,0,05,,,,,,x", "t.csv:2: 11 cells under 8 headings; want no separator in a cell without quotation marks, and no decimal comma"},
		{"no such material", "A,caliper,0-150,0.05,,,,cheese", ""},
	} {
		f := mustRead(t, Gauges, heading+c.line+"\nB,caliper,0-150,0.05,12,2026-04-03,,\n", sheet.Mapping{})
		err := errors.Join(f.Faults...)
		for _, r := range f.Records {
			if _, other := r.Gauge(calib.Gauge{}, "mm"); other != nil {
				err = errors.Join(err, other)
			}
		}
		if err == nil || c.want != "" && err.Error() != c.want {
			t.Errorf("%s: it says\n%v\nwant\n%s", c.name, err, c.want)
		}
	}
}

// What a mapping says holds: another order of dates, a decimal comma, words,
// a value for all, headings further down.
func TestAMappingIsFollowed(t *testing.T) {
	m := mapping(t, `heading = 3
dates = "day month year"
decimal = ","
separator = ";"
[columns]
gauge = "Inventar-Nr."
resolution = "Skalenwert"
[fill]
kind = "caliper"
place = "store"
[words.interval]
"jährlich" = "12"
[words.place]
B1 = "bench 1"
`)
	f := mustRead(t, Gauges, "Liste;\nStand;heute\nInventar-Nr.;Range;Skalenwert;Interval;Last check;Place\nA;0-150,5;0,05;Jährlich;03.04.2026;b1\nB;0-150;0.05;;;\n", m)
	if len(f.Faults) > 0 {
		t.Fatal(f.Faults)
	}
	var got []string
	for _, r := range f.Records {
		l, err := r.Gauge(calib.Gauge{}, "mm")
		if err != nil {
			t.Fatal(err)
		}
		got = append(got, fmt.Sprintf("%d %s %s %s %s %d %s %s", r.Line, l.Gauge.ID, l.Gauge.Kind, l.Gauge.High, l.Gauge.Resolution, l.Gauge.IntervalMonths, l.Earlier.Date, l.Gauge.Place))
	}
	if want := "4 A caliper 150.5 mm 0.05 mm 12 2026-04-03 bench 1\n5 B caliper 150 mm 0.05 mm 0  store"; strings.Join(got, "\n") != want {
		t.Errorf("read\n%s\nwant\n%s", strings.Join(got, "\n"), want)
	}
}

// A mapping is refused at the line on which it says something that means
// nothing.
func TestAMappingIsRefused(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"[columns]\ngauge = [\"a\"]", "m.toml:3: columns: gauge: a list; want one value"},
		{"dates = \"day first\"", `m.toml:2: dates: "day first": want one of year month day, day month year, month day year`},
		{"separator = \"|\"", `m.toml:2: separator: "|": want ",", ";" or "\t"`},
		{"colums = 1", `m.toml:2: "colums": no key of a mapping; want format, table, sheet, heading, encoding, dates, decimal, separator, columns, fill, words`},
	} {
		if _, err := sheet.ReadMapping("m.toml", []byte("format = 1\n"+c.text+"\n")); err == nil || err.Error() != c.want {
			t.Errorf("%q: it says\n%v\nwant\n%s", c.text, err, c.want)
		}
	}
}

func FuzzReadATable(f *testing.F) {
	f.Add(Gauges, []byte("gauge;kind;range;last check\nA;caliper;0-150;03/04/2026\n"), "dates = \"day month year\"")
	f.Add(Certificates, []byte("standard,number,laboratory,route,date,nominal,deviation (um),U,k,unit\nGB,1,X,national institute,2026-01-02,5 mm,+0.1,0.1,2,um\n"), "")
	f.Add(Checks, []byte("gauge,date,at,reading 1,reading 2\nA,2026-01-02,5.1,5.101,5.102\n"), "decimal = \",\"")
	f.Add(Standards, []byte("\xff\xfes\x00"), "")
	f.Add(Checks, []byte(footOfALeatherGauge), "")
	f.Add(Surveys, []byte(feltSurvey), "")
	f.Add(Lots, []byte("lot,material,width (m),mean low,rule\nA,felt,1.5,0.2 in,by risk\n"), "")
	f.Fuzz(func(t *testing.T, kind string, data []byte, text string) {
		m, err := sheet.ReadMapping("m.toml", []byte("format = 1\n"+text))
		if err != nil {
			return
		}
		file, err := Read(kind, "t.csv", data, m)
		if err != nil {
			if file != nil || strings.Contains(err.Error(), "%!") {
				t.Fatalf("%v with %v", err, file)
			}
			return
		}
		lines := strings.Count(string(data), "\n") + strings.Count(string(data), "\r") + 2
		for _, r := range file.Records {
			if r.Line < 1 || r.Line > lines {
				t.Fatalf("a record on line %d of %d", r.Line, lines)
			}
			_, _ = r.Gauge(calib.Gauge{}, "mm")
			_, _ = r.Standard(calib.Standard{})
		}
		for _, r := range file.Records {
			_, _ = r.Lot(calib.House{Unit: "mm"})
		}
		if kind != Certificates && kind != Checks && kind != Surveys {
			return
		}
		n := 0
		for _, g := range file.Groups() {
			n += g.Lines()
			_, _ = g.Certificate(calib.BlockSet)
			_, _ = g.CheckSheet()
			_, _ = g.SurveySheet()
		}
		if n != len(file.Records) {
			t.Fatalf("%d lines in groups of %d records", n, len(file.Records))
		}
	})
}
