package pdf

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.org/wring/certs"
	"example.org/wring/certs/archive"
)

// plain is a document with nothing but the given parts, about invented things.
func plain(paper certs.Paper, parts ...certs.Part) certs.Document {
	return certs.Document{Title: "Verification certificate", Number: "VC-1", Subject: "MIC-014, an invented gauge",
		House: certs.House{Name: "Bellows, invented", Address: []string{"Reed Lane 7"}},
		Paper: paper, Issued: "2026-03-02", Head: "head 1", Program: "wring 0", End: "End of certificate", Foot: []string{"In full only."}, Parts: parts}
}

// longTable has a row for each of n test points.
func longTable(n int, name string) certs.Table {
	t := certs.Table{Title: "Results", Columns: []certs.Column{{Heading: "size", Unit: "mm", Align: certs.Point}, {Heading: "blocks"},
		{Heading: "error", Unit: "µm", Align: certs.Point}, {Heading: "verdict"}}, Notes: []string{"U: expanded uncertainty."}}
	for i := range n {
		t.Rows = append(t.Rows, certs.Row{Cells: []string{fmt.Sprintf("row%d.0", i+1), name, "+1.2", "pass"}})
	}
	return t
}

func setPages(t *testing.T, d certs.Document) []page {
	t.Helper()
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	if err := d.Check(); err != nil {
		t.Fatal(err)
	}
	pages, err := r.set(d)
	if err != nil {
		t.Fatal(err)
	}
	return pages
}

func texts(p page) (list []textMark) {
	for _, m := range p.marks {
		if t, ok := m.(textMark); ok {
			list = append(list, t)
		}
	}
	return list
}

func holds(p page, text string) int {
	n := 0
	for _, m := range texts(p) {
		if m.text == text {
			n++
		}
	}
	return n
}

func TestATableOfAHundredRowsRepeatsItsHeadingAndLosesNoRow(t *testing.T) {
	for _, paper := range []certs.Paper{certs.A4, certs.Letter} {
		for n := 1; n <= 140; n++ {
			pages := setPages(t, plain(paper, longTable(n, "1.005 + 1.34")))
			next := 1
			for i, p := range pages {
				rows := 0
				for _, m := range texts(p) {
					if m.text == fmt.Sprintf("row%d.0", next) {
						next++
						rows++
					}
				}
				if rows > 0 && (holds(p, "size") != 1 || holds(p, "verdict") != 1) {
					t.Fatalf("%s, %d rows: page %d has rows without the heading", paper, n, i+1)
				}
				if rows == 0 && holds(p, "size") > 0 {
					t.Fatalf("%s, %d rows: page %d has a heading without rows", paper, n, i+1)
				}
				if rows == 1 && n > 1 {
					t.Fatalf("%s, %d rows: a row stands alone on page %d", paper, n, i+1)
				}
				if want := map[bool]int{true: 1, false: 0}[i > 0 && rows > 0]; holds(p, "Results (continued)") != want {
					t.Fatalf("%s, %d rows: page %d says %d times that the table goes on", paper, n, i+1, holds(p, "Results (continued)"))
				}
			}
			if end := pages[len(pages)-1]; holds(end, "End of certificate VC-1") != 1 || holds(end, "U: expanded uncertainty.") != 1 {
				t.Fatalf("%s, %d rows: the end mark stands alone or not on the last page", paper, n)
			}
			if next != n+1 {
				t.Fatalf("%s, %d rows: row %d is missing or out of order", paper, n, next)
			}
		}
	}
}

func TestEveryPageCarriesItsNumberAndTheEndStandsOnTheLast(t *testing.T) {
	pages := setPages(t, plain(certs.A4, longTable(200, "1.005")))
	if len(pages) < 4 {
		t.Fatalf("%d pages; want several to test with", len(pages))
	}
	for i, p := range pages {
		if holds(p, fmt.Sprintf("page %d of %d", i+1, len(pages))) != 1 || holds(p, "VC-1") < 1 || holds(p, "head 1") != 1 || holds(p, "In full only.") != 1 {
			t.Errorf("page %d lacks its number, the certificate's, the head or the foot", i+1)
		}
		want := map[bool]int{true: 1, false: 0}[i == len(pages)-1]
		if holds(p, "End of certificate VC-1") != want {
			t.Errorf("page %d holds the end mark %d times; want %d", i+1, holds(p, "End of certificate VC-1"), want)
		}
	}
}

// A title must be followed by something of its part on the same page, wherever
// the page happens to end.
func TestNoTitleStandsAloneAtTheFootOfAPage(t *testing.T) {
	for rows := 1; rows < 60; rows++ {
		pages := setPages(t, plain(certs.A4, longTable(rows, "x"),
			certs.Statement{Title: "Conformity", Paragraphs: []string{strings.Repeat("A word of the rule and another. ", 60)}},
			longTable(3, "y"), certs.List{Title: "Marks", Items: []string{"first", "second"}}))
		for i, p := range pages {
			all := texts(p)
			for j, m := range all {
				if m.style != partStyle {
					continue
				}
				if j+1 >= len(all) || all[j+1].style == footBold || all[j+1].style == partStyle {
					t.Fatalf("%d rows: the title %q on page %d has nothing under it", rows, m.text, i+1)
				}
			}
		}
	}
}

func TestNothingReachesBeyondTheMargins(t *testing.T) {
	long := "A. Fictitious-van der Nonesuch-Hypotheticalson the Younger, Dr" // 62 characters
	word := strings.Repeat("Unbreakable", 12)
	for _, paper := range []certs.Paper{certs.A4, certs.Letter} {
		for _, name := range []string{"1", long, word} {
			d := plain(paper, longTable(100, name),
				certs.Outcome{Title: name, Word: "Cannot be decided with this uncertainty", Lines: []string{name}},
				certs.Facts{Title: name, Pairs: []certs.Fact{{Label: name, Value: name}, {Label: "a", Value: name}, {Label: "b", Value: name}}},
				certs.List{Title: name, Items: []string{name}}, certs.Statement{Title: name, Paragraphs: []string{name, name}},
				certs.Signatures{Title: name, People: []certs.Signature{{Role: name, Name: name, Date: name, Note: name}, {Role: name, Name: name}, {Name: name}}})
			d.Subject, d.House.Name, d.Title, d.Foot = name, name, "Certificate of "+name, []string{name}
			d.House.Address, d.Head, d.Program = []string{name}, name, name
			r, err := New()
			if err != nil {
				t.Fatal(err)
			}
			pages := setPages(t, d)
			s := sheetOf(paper)
			for i, p := range pages {
				for _, m := range texts(p) {
					right := m.at.x + r.width(m.text, m.style)
					if m.at.x < s.left-0.01 || right > s.right+0.01 || m.at.y < topMargin || m.at.y > s.height-footMargin {
						t.Errorf("%s, page %d: %q runs from %.1f to %.1f mm at %.1f mm; want %.1f to %.1f", paper, i+1, m.text, m.at.x, right, m.at.y, s.left, s.right)
					}
				}
			}
		}
	}
}

func TestNoTwoTextsOverlap(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	long := "Laboratory of Nowhere and the Adjacent Invented Provinces, Ltd"
	for i, p := range setPages(t, plain(certs.A4, longTable(100, long), certs.Facts{Title: "Item", Pairs: []certs.Fact{{Label: "Owner", Value: long}, {Label: "Place", Value: long}}})) {
		all := texts(p)
		for j, a := range all {
			for _, b := range all[j+1:] {
				apart := a.at.x+r.width(a.text, a.style) <= b.at.x || b.at.x+r.width(b.text, b.style) <= a.at.x
				if !apart && a.at.y > b.at.y-b.style.figure() && b.at.y > a.at.y-a.style.figure() {
					t.Errorf("page %d: %q and %q lie on each other", i+1, a.text, b.text)
				}
			}
		}
	}
}

func TestDecimalMarksStandUnderEachOther(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	table := certs.Table{Title: "T", Columns: []certs.Column{{Heading: "error", Align: certs.Point}, {Heading: "verdict"}}}
	for _, cell := range []string{"+1.25", "−0.3", "12", "> 99.999", "±4.0"} {
		table.Rows = append(table.Rows, certs.Row{Cells: []string{cell, "pass"}})
	}
	table.Rows[2].Remark = "set in bold, and still in line"
	marks := map[string]float64{}
	for _, m := range texts(setPages(t, plain(certs.A4, table))[0]) {
		for _, row := range table.Rows {
			if m.text == row.Cells[0] {
				before, _ := certs.CutPoint(m.text)
				marks[m.text] = m.at.x + r.width(before, m.style)
			}
		}
	}
	if len(marks) != len(table.Rows) {
		t.Fatalf("%d of %d cells found", len(marks), len(table.Rows))
	}
	for text, x := range marks {
		if d := x - marks["+1.25"]; d > 0.01 || d < -0.01 {
			t.Errorf("the decimal mark of %q stands %.2f mm beside that of +1.25", text, d)
		}
	}
}

func TestATableWiderThanThePageIsRefused(t *testing.T) {
	table := certs.Table{Title: "Wide"}
	var cells []string
	for range 30 {
		table.Columns = append(table.Columns, certs.Column{Heading: "error", Align: certs.Point})
		cells = append(cells, "+1.23456")
	}
	table.Rows = []certs.Row{{Cells: cells}}
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	_, err = r.Render(plain(certs.A4, table))
	if want := `document "VC-1": table "Wide": 30 columns are wider than the page; want fewer or narrower ones`; err == nil || err.Error() != want {
		t.Errorf("%v; want %s", err, want)
	}
}

// A bomb stands for whatever gofpdf may panic about.
type bomb struct{}

func (bomb) moved(spot) mark    { return bomb{} }
func (bomb) draw(w *fileWriter) { panic("index out of range") }

func TestAPanicInTheLibraryBecomesAnError(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	file, err := r.write(archive.About{}, sheetOf(certs.A4), []page{{marks: []mark{bomb{}}}})
	if want := `writing the file: gofpdf gave up with "index out of range"; want a report of this document`; file != nil || err == nil || err.Error() != want {
		t.Errorf("%d bytes, %v; want %s", len(file), err, want)
	}
}

// A column as wide as its widest word must hold it, at any size of any word.
func TestAWordFitsTheWidthItWasMeasuredAt(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	for _, word := range []string{"2024-02-06", "2026-02-06", "X-2025-104", "±0.004", "Wiiiide"} {
		for size := 60; size <= 120; size++ {
			st := style{regular, float64(size) / 10, black}
			if got := r.broken(word, st, r.width(word, st)); len(got) != 1 {
				t.Errorf("%q at %g pt is broken into %q", word, st.size, got)
			}
		}
	}
}

func TestPartsAreSetCloserWhereThatSavesASheetAndOnlyThere(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	saved, kept := 0, 0
	for n := range 60 {
		var parts []certs.Part
		for range n {
			parts = append(parts, certs.Statement{Title: "Scope", Paragraphs: []string{"A line."}})
		}
		d := plain(certs.A4, parts...)
		wide, err := r.setWith(d, spacing{partSpace, figureHeight}, make([][]box, len(d.Parts)))
		if err != nil {
			t.Fatal(err)
		}
		got, err := r.set(d)
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case len(got) < len(wide):
			saved++
		case len(got) > len(wide):
			t.Errorf("%d parts take %d pages set closer, %d as usual", n, len(got), len(wide))
		case len(texts(got[0])) != len(texts(wide[0])):
			t.Errorf("%d parts are set closer and save nothing", n)
		default:
			kept++
		}
	}
	if saved == 0 || kept == 0 {
		t.Errorf("%d documents were set closer and %d were not; want some of each", saved, kept)
	}
}

// Wherever on a page a part begins: its rows come in twos at least, its notes
// stay with a row, and what is short is not divided.
func TestNothingIsTornFromWhatItBelongsTo(t *testing.T) {
	for fill := range 70 {
		filler := certs.Statement{Title: "Filler", Paragraphs: make([]string, fill)}
		for i := range filler.Paragraphs {
			filler.Paragraphs[i] = "A line."
		}
		pages := setPages(t, plain(certs.A4, filler, longTable(6, "x"), certs.List{Title: "Marks", Items: []string{"first", "second", "third"}}))
		for i, p := range pages {
			rows := 0
			for n := 1; n <= 6; n++ {
				rows += holds(p, fmt.Sprintf("row%d.0", n))
			}
			if rows == 1 {
				t.Errorf("%d lines before: a row stands alone on page %d", fill, i+1)
			}
			if holds(p, "U: expanded uncertainty.") == 1 && rows == 0 {
				t.Errorf("%d lines before: the note stands without a row on page %d", fill, i+1)
			}
			if holds(p, "Marks") == 1 && holds(p, "third") != 1 {
				t.Errorf("%d lines before: a list of three is divided after page %d", fill, i+1)
			}
		}
	}
}

// A sheet that carries a signature alone is easily lost from what was signed.
func TestNoSignatureStandsAloneOnItsSheet(t *testing.T) {
	signed := certs.Signatures{Title: "Signed", People: []certs.Signature{{Role: "Performed by", Name: "A. Fictitious", Date: "2026-03-02"}}}
	scope := certs.Statement{Title: "Scope", Paragraphs: []string{"It relates to the item alone."}}
	for rows := range 60 {
		for _, before := range []certs.Part{scope, longTable(3, "x")} {
			pages := setPages(t, plain(certs.A4, longTable(rows, "x"), before, signed, certs.Statement{Title: "B", Paragraphs: []string{"More."}, Opens: true}))
			for i, p := range pages {
				all := texts(p)
				at := slices.IndexFunc(all, func(m textMark) bool { return m.text == signed.Title })
				if at > 0 && all[at-1].at.y < laterTop {
					t.Errorf("%d rows: the signature on page %d has nothing above it", rows, i+1)
				}
			}
		}
	}
}

// What does not fit on a page is refused before it is printed over the foot; the
// longest text that a record holds fits (400 characters, own count of its limits).
func TestATextTallerThanAPageIsRefused(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	for length, fits := range map[int]bool{400: true, 1500: true, 9000: false} {
		long := strings.Repeat("word ", length/5)
		columns := []certs.Column{{Heading: "a"}, {Heading: "b"}, {Heading: "c"}, {Heading: "d"}}
		for name, part := range map[string]certs.Part{
			"value": certs.Facts{Title: "Item", Pairs: []certs.Fact{{Label: "a", Value: long}, {Label: "b", Value: long}}},
			"cell":  certs.Table{Title: "Entries", Columns: columns, Rows: []certs.Row{{Cells: []string{long, long, long, long}}}},
		} {
			d := plain(certs.A4, part)
			pages, err := r.set(d)
			if (err == nil) != fits {
				t.Errorf("a %s of %d characters: %v", name, length, err)
			}
			for i, p := range pages {
				for _, m := range texts(p) {
					if m.at.y > 297-footMargin {
						t.Errorf("a %s of %d characters: %q stands at %.0f mm of page %d", name, length, m.text, m.at.y, i+1)
					}
				}
			}
		}
	}
}
