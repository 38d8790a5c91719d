package pdf

import (
	"reflect"
	"slices"
	"testing"

	"example.org/wring/certs"
)

// A part that was set before, wider apart, stands as if it were set anew.
func TestPartsThatWereSetBeforeAreSetTheSame(t *testing.T) {
	r, err := New()
	if err != nil {
		t.Fatal(err)
	}
	for n := range 60 {
		d := plain(certs.A4,
			certs.Outcome{Title: "Outcome", Word: "pass"},
			certs.Facts{Title: "Gauge", Pairs: slices.Repeat([]certs.Fact{{Label: "made by", Value: "a house"}}, n%17)},
			certs.Statement{Title: "Scope", Paragraphs: slices.Repeat([]string{"A line."}, n), Opens: n%5 == 4},
			longTable(n%11, "x"), certs.List{Title: "Marks", Items: slices.Repeat([]string{"first"}, n%23)},
			certs.Signatures{Title: "People", People: slices.Repeat([]certs.Signature{{Role: "measured by", Name: "EK"}}, n%4)})
		before := make([][]box, len(d.Parts))
		for _, s := range []spacing{{partSpace, figureHeight}, {tightSpace, figureHeight}, {tightSpace, figureLeast}} {
			got, err := r.setWith(d, s, before)
			if err != nil {
				t.Fatal(err)
			}
			want, err := r.setWith(d, s, make([][]box, len(d.Parts)))
			if err != nil || !reflect.DeepEqual(got, want) {
				t.Errorf("document %d, %g mm apart: set otherwise than anew, %v", n, s.space, err)
			}
		}
	}
}
