package text

import (
	"strings"
	"testing"

	"example.org/wring/certs"
)

func small() certs.Document {
	return certs.Document{
		Title: "Verification certificate", Number: "VC-1", Subject: "MIC-014", House: certs.House{Name: "Bellows, invented", Address: []string{"Reed Lane 7"}},
		Paper: certs.A4, Issued: "2026-03-02", Head: "head 1", Program: "wring 0", End: "End of certificate", Foot: []string{"In full only."},
		Parts: []certs.Part{
			certs.Outcome{Title: "Result", Word: "Pass", Lines: []string{"every point"}},
			certs.Facts{Title: "Item", Pairs: []certs.Fact{{Label: "Identity", Value: "MIC-014"}, {Label: "Owner", Value: "the house of bellows and of reeds, both invented"}}},
			certs.Table{Title: "Results",
				Columns: []certs.Column{{Heading: "size", Unit: "mm", Align: certs.Right}, {Heading: "error", Unit: "µm", Align: certs.Point}, {Heading: "verdict"}},
				Rows: []certs.Row{{Cells: []string{"0", "−1.25", "pass"}}, {Cells: []string{"25", "+10", "fail"}, Remark: "beyond the limit"},
					{Cells: []string{"5", "–", "not judged"}}},
				Notes: []string{"note"}},
			certs.List{Title: "Marks", Items: []string{"one", "two"}},
			certs.Statement{Title: "Scope", Paragraphs: []string{"This relates only to the item."}},
			certs.Signatures{Title: "Signed", People: []certs.Signature{{Role: "Performed by", Name: "J. Inventor", Date: "2026-03-02"}}},
		},
	}
}

// Own: set by hand, as a reader wants it.
const want = `Bellows, invented
Reed Lane 7

VERIFICATION CERTIFICATE
Number VC-1
MIC-014
Issued 2026-03-02

== Result
[Pass]
every point

== Item
Identity  MIC-014
Owner     the house of bellows and of
          reeds, both invented

== Results
size   error  verdict
  mm      µm
------------------------
   0   −1.25  pass
  25  +10     fail
    ! beyond the limit
   5    –     not judged
note

== Marks
- one
- two

== Scope
This relates only to the item.

== Signed
Performed by: J. Inventor, 2026-03-02

--- End of certificate ---

In full only.
head 1
wring 0
`

func TestTheTextIsSetAsAReaderWantsIt(t *testing.T) {
	got, err := Render(small(), 40)
	if err != nil {
		t.Fatal(err)
	}
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestNoTextIsLostAtAnyWidth(t *testing.T) {
	for width := narrowest; width < 120; width++ {
		got, err := Render(small(), width)
		if err != nil {
			t.Fatal(err)
		}
		flat := strings.Join(strings.Fields(got), " ")
		_, err = small().MapText(func(place, s string) (string, error) {
			if place != "title" && !strings.Contains(flat, s) {
				t.Errorf("width %d: %s %q is not in the text", width, place, s)
			}
			return s, nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
}

func TestWhatCannotBeSetIsRefused(t *testing.T) {
	if _, err := Render(small(), 39); err == nil || err.Error() != `document "VC-1": width of 39 characters; want at least 40` {
		t.Errorf("width 39: %v", err)
	}
	d := small()
	d.Paper = ""
	if _, err := Render(d, 80); err == nil || err.Error() != `document: paper: ""; want A4 or Letter` {
		t.Errorf("no paper: %v", err)
	}
}
