package evidence

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestEveryPrintedFigureAgrees(t *testing.T) {
	all, err := Examples("")
	if err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	for _, f := range all {
		if count[f.Document]++; !f.Agrees {
			t.Errorf("%s, %s, %s, %s: %s, printed %s: %s", f.Document, f.Clause, f.Example, f.Quantity, f.Computed, f.Published, f.Agreement)
		}
	}
	for document, want := range map[string]int{gum: 69 + 28*6 - 1, supplement1: 35, ea402: 22, jcgm106: 7, ilacG8: 6, gumRounding: 9, iso13528: 1, strd: 24, houfBerman: 16, burdick: 3, iso5725: 5, din863: 21, handbook: 3, lots: 14} {
		if count[document] != want {
			t.Errorf("%s: %d figures, want %d", document, count[document], want)
		}
	}
}

// A check that cannot fail proves nothing: whatever is printed otherwise, in
// its last digit or beyond its tolerance, is found.
func TestEveryWrongFigureIsFound(t *testing.T) {
	all, err := library()
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range all {
		planted := e
		planted.figures = nil
		for _, p := range e.figures {
			p.text = wrong(t, p)
			planted.figures = append(planted.figures, p)
		}
		for i, f := range planted.compare() {
			if f.Agrees || !strings.HasPrefix(f.Agreement, "no: ") {
				t.Errorf("%s, %s, %s: %s agrees with %s in place of %s", e.document, e.title, f.Quantity, f.Computed, f.Published, e.figures[i].text)
			}
		}
	}
}

// wrong prints a figure otherwise.
func wrong(t *testing.T, p printed) string {
	t.Helper()
	v, err := strconv.ParseFloat(p.text, 64)
	switch {
	case err != nil:
		return p.text + " "
	case p.how.digits > 0:
		return strconv.FormatFloat(v*(1+2*math.Pow(10, -float64(p.how.digits))), 'g', -1, 64)
	case p.how.within > 0:
		return strconv.FormatFloat(v+2.1*p.how.within, 'g', -1, 64)
	}
	places := decimals(p.text)
	return strconv.FormatFloat(v+math.Pow(10, -float64(places)), 'f', places, 64)
}

func TestSameFiguresEveryTime(t *testing.T) {
	one, err := Examples("")
	if err != nil {
		t.Fatal(err)
	}
	two, err := Examples("")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(one, two); d != "" {
		t.Error(d)
	}
}

func TestExamplesAreFoundByDocumentClauseAndTitle(t *testing.T) {
	for _, c := range []struct {
		word string
		want int
	}{{"jcgm 101", 35}, {"table g.2", 167}, {"Norris", 5}, {"h.1", 16}, {" strd", 24}, {"Statistical Reference", 24}, {"no such thing", 0}} {
		got, err := Examples(c.word)
		if err != nil || len(got) != c.want {
			t.Errorf("%q: %d figures, %v; want %d", c.word, len(got), err, c.want)
		}
	}
	if d, err := Documents(); err != nil || len(d) < 12 || d[0] != gum {
		t.Errorf("%q, %v", d, err)
	}
}

func TestFiguresOfAnExampleHaveNamesOfTheirOwn(t *testing.T) {
	all, err := library()
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range all {
		seen := map[string]bool{}
		for _, p := range e.figures {
			if seen[p.quantity] {
				t.Errorf("%s, %s: %q stands twice", e.document, e.title, p.quantity)
			}
			seen[p.quantity] = true
			if p.mark != Read && p.mark != Memory && p.mark != Own {
				t.Errorf("%s, %s, %s: mark %q", e.document, e.title, p.quantity, p.mark)
			}
			if p.how.within > 0 && p.how.reason == "" {
				t.Errorf("%s, %s, %s: a tolerance without a reason", e.document, e.title, p.quantity)
			}
		}
	}
}

func TestWhatIsNotWorkedOutDoesNotAgree(t *testing.T) {
	e := example{document: "D", title: "T", figures: []printed{{"x", "", "1", Read, criterion{}}}}
	for _, c := range []struct {
		name string
		work func(*workings)
		want string
	}{
		{"nothing", func(*workings) {}, "no: x was not worked out"},
		{"refused", func(w *workings) { w.put("x", 1); w.note(errors.New("y: z; want w")) }, "no: y: z; want w"},
		{"first refusal", func(w *workings) { w.note(errors.New("a")); w.note(errors.New("b")) }, "no: a"},
		{"not a number", func(w *workings) { w.put("x", math.NaN()) }, "no: NaN for 1"},
		{"infinite", func(w *workings) { w.put("x", math.Inf(1)) }, "no: +Inf for 1"},
		{"a word", func(w *workings) { w.say("x", "one") }, "no: another"},
		{"no word", func(w *workings) { w.say("x", "") }, "no: nothing to say; want a text"},
		{"not a decimal", func(w *workings) { w.put("x", 1); w.decimal("1,5") }, `no: "1,5": not a number; want a decimal`},
		{"half a digit off", func(w *workings) { w.put("x", 1.5) }, "no: rounds to 2"},
	} {
		e.work = c.work
		f := e.compare()[0]
		if f.Value != nil && (math.IsNaN(*f.Value) || math.IsInf(*f.Value, 0)) {
			t.Errorf("%s: %v cannot be written as JSON", c.name, *f.Value)
		}
		if f.Agrees || f.Agreement != c.want {
			t.Errorf("%s: %v, %q; want %q", c.name, f.Agrees, f.Agreement, c.want)
		}
	}
}

func TestDigitsThatAreRight(t *testing.T) {
	for _, c := range []struct {
		got, want float64
		digits    int
	}{{1, 1, 15}, {1.0011, 1, 2}, {0.0009, 0, 3}, {2, 1, 0}, {-1, 1, 0}, {1 + 1e-9, 1, 8}, {1 + 0.99e-9, 1, 9}, {5, 0, 0}} {
		if n := digitsRight(c.got, c.want); n != c.digits {
			t.Errorf("%v for %v: %d digits, want %d", c.got, c.want, n, c.digits)
		}
	}
}

func BenchmarkExamples(b *testing.B) {
	for b.Loop() {
		if _, err := Examples(""); err != nil {
			b.Fatal(err)
		}
	}
}
