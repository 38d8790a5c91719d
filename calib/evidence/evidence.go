package evidence

import (
	"fmt"
	"strings"
)

// A Mark says where a printed figure was taken from.
type Mark string

const (
	Read   Mark = "read"   // in a copy of the document, or in an open data file
	Memory Mark = "memory" // of the document, and found consistent by working it out
	Own    Mark = "own"    // nothing published: worked out for this project by other means
)

// A Figure is one figure of one example, printed and computed.
type Figure struct {
	Document string // with its edition
	Clause   string
	Example  string // what is worked out there
	Quantity string
	Unit     string // empty for a bare number or a word
	Mark     Mark

	Published string // as printed
	Computed  string // a few digits more than printed; empty where nothing came out

	// Value is what was computed, in Unit; nil where that is a word, nothing, or
	// not a finite number.
	Value *float64

	Agrees bool
	// Agreement says how it agrees, or by how much it does not: "yes" where it rounds to what is printed, "±1", "13 digits", "no: off by 3".
	Agreement string
	// Reason says why a tolerance stands; empty where the computed figure is to round to the printed one.
	Reason string
}

// Published reports whether a document prints the figure.
func (m Mark) Published() bool { return m != Own }

// An example is one worked example: its figures as printed, and the function
// that works them out without being handed them.
type example struct {
	document, clause, title string
	work                    func(*workings)
	figures                 []printed
}

// printed is one figure as a document prints it.
type printed struct {
	quantity, unit, text string
	mark                 Mark
	how                  criterion
}

// Examples works out every example that a word names, case aside, by its
// document, clause or title; all of them for an empty word. The order is that
// of the tables.
func Examples(word string) ([]Figure, error) {
	all, err := library()
	if err != nil {
		return nil, err
	}
	var out []Figure
	for _, e := range all {
		if e.named(word) {
			out = append(out, e.compare()...)
		}
	}
	return out, nil
}

// Documents names the documents that examples are taken from, in their order.
func Documents() ([]string, error) {
	all, err := library()
	var out []string
	for _, e := range all {
		if len(out) == 0 || out[len(out)-1] != e.document {
			out = append(out, e.document)
		}
	}
	return out, err
}

// library is every example: those of the tables, and those of the files of
// figures.
func library() ([]example, error) {
	factors, err := factorExamples()
	if err != nil {
		return nil, err
	}
	certified, err := certifiedExamples()
	if err != nil {
		return nil, err
	}
	var out []example
	for _, group := range [][]example{guideExamples, factors, annexExamples, drawnExamples, accreditationExamples, decisionExamples, certified, surveyExamples, tradeExamples} {
		out = append(out, group...)
	}
	return out, nil
}

func (e example) named(word string) bool {
	text := strings.ToLower(e.document + " " + e.clause + " " + e.title)
	return strings.Contains(text, strings.ToLower(strings.TrimSpace(word)))
}

// compare works the example out and sets it beside what is printed.
func (e example) compare() []Figure {
	w := &workings{found: map[string]value{}}
	e.work(w)
	out := make([]Figure, len(e.figures))
	for i, p := range e.figures {
		f := Figure{Document: e.document, Clause: e.clause, Example: e.title, Quantity: p.quantity, Unit: p.unit,
			Mark: p.mark, Published: p.text, Reason: p.how.reason}
		got, ok := w.found[p.quantity]
		switch {
		case w.err != nil:
			f.Agreement = "no: " + w.err.Error()
		case !ok:
			f.Agreement = fmt.Sprintf("no: %s was not worked out", p.quantity)
		default:
			f.Computed, f.Value = got.show(p.text, p.how)
			f.Agrees, f.Agreement = p.how.agree(got, p.text)
		}
		out[i] = f
	}
	return out
}

// Notes says what these examples leave out of their documents, and why.
func Notes(of []Figure) (notes []string) {
	for _, f := range of {
		if f.Clause == factorTable {
			return []string{"JCGM 100:2008, table G.2, prints 1.70 for ν = 35 at 90 %, where 1.689572 rounds to 1.69: taken for a misprint and left out."}
		}
	}
	return nil
}
