package certs

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"example.org/wring/certs/plot"
)

// whole is a document with every kind of part and a text in every field.
func whole() Document {
	return Document{
		Title: "Verification certificate", Number: "VC-1", Subject: "MIC-014", House: House{"Bellows, invented", []string{"Reed Lane 7"}},
		Paper: A4, Issued: "2026-03-02", Head: "head", Program: "wring 0", End: "End of certificate", Foot: []string{"foot"},
		Parts: []Part{
			Outcome{"Result", "Pass", []string{"all points"}},
			Facts{"Item", []Fact{{"Identity", "MIC-014"}}},
			Table{"Results", []Column{{"error", "µm", Point}}, []Row{{Cells: []string{"+1.2"}, Remark: "remark"}}, []string{"note"}},
			Statement{Title: "Conformity", Paragraphs: []string{"paragraph"}},
			List{"Marks", []string{"item"}},
			Figure{"Errors", plot.Plot{X: plot.Axis{Quantity: "size", Unit: "mm"}, Y: plot.Axis{Quantity: "error", Unit: "µm"},
				Bands:  []plot.Band{{Label: "band", Low: []plot.Vertex{{}, {X: 1}}, High: []plot.Vertex{{Y: 1}, {X: 1, Y: 1}}}},
				Lines:  []plot.Line{{Label: "line", Points: []plot.Vertex{{}, {X: 1}}}},
				Series: []plot.Series{{Label: "series", Points: []plot.Point{{X: 1}}}}}, "caption"},
			Signatures{"Signed", []Signature{{"Performed by", "J. Inventor", "2026-03-02", "entry 1"}}},
		},
	}
}

// stringsIn finds every string that a reader may see by looking at the types,
// so that a new field cannot be forgotten in MapText.
func stringsIn(v reflect.Value, found *[]string) {
	switch v.Kind() {
	case reflect.String:
		if v.Type() == reflect.TypeFor[string]() { // Paper is a choice, not a text
			*found = append(*found, v.String())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			stringsIn(v.Field(i), found)
		}
	case reflect.Slice:
		for i := range v.Len() {
			stringsIn(v.Index(i), found)
		}
	case reflect.Interface:
		stringsIn(v.Elem(), found)
	}
}

func TestMapTextReachesEveryStringOnceAndLeavesTheOriginalAlone(t *testing.T) {
	d := whole()
	var all []string
	stringsIn(reflect.ValueOf(d), &all)
	seen := 0
	mapped, err := d.MapText(func(place, text string) (string, error) {
		seen++
		if place == "" {
			t.Errorf("%q has no place", text)
		}
		return "<" + text + ">", nil
	})
	if err != nil {
		t.Fatal(err)
	}
	var after []string
	stringsIn(reflect.ValueOf(mapped), &after)
	if seen != len(all) || len(after) != len(all) || len(all) < 40 {
		t.Errorf("visited %d strings, the document holds %d and its copy %d", seen, len(all), len(after))
	}
	for i, s := range after {
		if s != "<"+all[i]+">" {
			t.Errorf("string %d is %q; want %q in brackets", i, s, all[i])
		}
	}
	if !reflect.DeepEqual(d, whole()) {
		t.Error("the original was changed")
	}
}

func TestMapTextNamesThePlaceAndStopsAtTheFirstRefusal(t *testing.T) {
	for text, want := range map[string]string{
		"+1.2":        `table "Results", row 1, column "error"`,
		"remark":      `table "Results", row 1, remark`,
		"J. Inventor": `signatures "Signed", person 1, name`,
		"MIC-014":     `subject`,
		"item":        `list "Marks", item 1`,
		"series":      `figure "Errors", series 1`,
		"Reed Lane 7": `address line 1`,
	} {
		stop := errors.New("stop")
		var got string
		_, err := whole().MapText(func(place, s string) (string, error) {
			if s == text {
				got = place
				return "", stop
			}
			if got != "" {
				t.Errorf("%q: went on to %q", text, s)
			}
			return s, nil
		})
		if got != want || err != stop {
			t.Errorf("%q stands in %q, error %v; want %q", text, got, err, want)
		}
	}
}

func TestADocumentThatNoRenderingCouldSetIsRefused(t *testing.T) {
	if err := whole().Check(); err != nil {
		t.Fatalf("a whole document is refused: %v", err)
	}
	part := func(p Part) func(*Document) { return func(d *Document) { d.Parts = []Part{p} } }
	nan := whole().Parts[5].(Figure)
	nan.Plot.Series = []plot.Series{{Label: "series", Points: []plot.Point{{X: math.NaN()}}}}
	for _, c := range []struct {
		name  string
		spoil func(*Document)
		want  string
	}{
		{"no title", func(d *Document) { d.Title = "" }, "document: title: nothing; want a text, for every page must say what it belongs to"},
		{"no number", func(d *Document) { d.Number = "" }, "document: number: nothing; want a text, for every page must say what it belongs to"},
		{"no house", func(d *Document) { d.House.Name = "" }, "document: house name: nothing; want a text, for every page must say what it belongs to"},
		{"no end", func(d *Document) { d.End = "" }, "document: end mark: nothing; want a text, for every page must say what it belongs to"},
		{"two files of one name", func(d *Document) { d.Files = []File{{Name: "a.pdf"}, {Name: "a.pdf"}} }, `document "VC-1": file "a.pdf": named so twice, or not at all; want names by which each is found`},
		{"a file without a name", func(d *Document) { d.Files = []File{{Media: "image/png"}} }, `document "VC-1": file "": named so twice, or not at all; want names by which each is found`},
		{"paper", func(d *Document) { d.Paper = "A5" }, `document: paper: "A5"; want A4 or Letter`},
		{"date", func(d *Document) { d.Issued = "2/3/2026" }, `document: date of issue: "2/3/2026"; want a date as 2026-03-02`},
		{"line break", func(d *Document) { d.Subject = "a\nb" }, `document "VC-1": subject: "a\nb" holds the control character U+000A; want one line of text`},
		{"line separator", func(d *Document) { d.Subject = "a\u2028b" }, `document "VC-1": subject: "a\u2028b" holds the control character U+2028; want one line of text`},
		{"not UTF-8", func(d *Document) { d.Foot = []string{"\xff"} }, `document "VC-1": foot line 1: "\xff" is not UTF-8; want text`},
		{"too long", func(d *Document) { d.Head = strings.Repeat("a", 10_001) }, `document "VC-1": head of the journal: a text of 10001 bytes; want at most 10000`},
		{"short row", part(Table{Title: "T", Columns: []Column{{}, {}}, Rows: []Row{{Cells: []string{"1", "2"}}, {Cells: []string{"1"}}}}),
			`document "VC-1": part 1: table "T": row 2 has 1 cells; want 2, one for each column`},
		{"long row", part(Table{Title: "T", Columns: []Column{{}}, Rows: []Row{{Cells: []string{"1", "2"}}}}),
			`document "VC-1": part 1: table "T": row 1 has 2 cells; want 1, one for each column`},
		{"lifted without a word", part(Table{Title: "T", Columns: []Column{{}}, Rows: []Row{{Cells: []string{"1"}, Lifted: true}}}),
			`document "VC-1": part 1: table "T": row 1 is lifted without a word; want a note or a remark that says why`},
		{"no columns", part(Table{Title: "T"}), `document "VC-1": part 1: table "T": no columns; want at least one`},
		{"nil part", part(nil), `document "VC-1": part 1: nothing; want a part`},
		{"NaN", part(nan), `document "VC-1": part 1: figure "Errors": plot: series 1 "series", point 1: at NaN, 0; want finite numbers`},
	} {
		d := whole()
		c.spoil(&d)
		if err := d.Check(); err == nil || err.Error() != c.want {
			t.Errorf("%s: %v; want %s", c.name, err, c.want)
		}
	}
}

func TestNumbersAreCutAtTheirDecimalMark(t *testing.T) {
	for _, c := range []struct{ cell, before, after string }{
		{"+1.25", "+1", ".25"}, {"−0.3", "−0", ".3"}, {"±4.0", "±4", ".0"}, {"12", "12", ""}, {"> 99.9", "> 99", ".9"},
		{"–", "–", ""}, {"", "", ""}, {"2.0 *", "2", ".0 *"}, {"12 µm", "12", " µm"}, {".5", ".5", ""},
	} {
		if b, a := CutPoint(c.cell); b != c.before || a != c.after {
			t.Errorf("%q is cut into %q and %q; want %q and %q", c.cell, b, a, c.before, c.after)
		}
	}
}

func ExampleDocument_MapText() {
	d := Document{Title: "Verification certificate", Number: "VC-1"}
	d.MapText(func(place, text string) (string, error) {
		fmt.Println(place, strings.ToLower(text))
		return text, nil
	})
	// Output:
	// title verification certificate
	// number vc-1
}
