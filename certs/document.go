package certs

import "example.org/wring/certs/plot"

// A Document is a paper before it is set: finished text in reading order.
// Every string is one line or one paragraph; none holds a line break.
type Document struct {
	Title   string // "Verification certificate"
	Number  string // stands on every page
	Subject string // what the paper is about, short, for the heads of later pages
	House   House
	Paper   Paper
	Issued  string // ISO date; also the date inside the file, so that a reprint is the same bytes
	Head    string // head of the journal the paper was made from, for monospaced print
	Program string // program and version that made it
	End     string // "End of certificate"; printed after the last part with the number
	Parts   []Part
	Foot    []string // short lines at the foot of every page
	Files   []File   // that travel in the document, behind its last part
}

// A File travels in a document byte for byte: attached to a PDF, linked at the end
// of a page for a browser. Text has no way to carry it.
type File struct {
	Name  string // under which it is taken out; no two of a document share one
	Media string // "application/pdf" (RFC 6838)
	About string // what it is, in a line; may be empty
	Data  []byte
}

// A House is who answers for the paper.
type House struct {
	Name    string
	Address []string
}

// Paper is the size of the sheet.
type Paper string

// The papers a document can be set on.
const (
	A4     Paper = "A4"     // 210 mm × 297 mm (ISO 216)
	Letter Paper = "Letter" // 8.5 in × 11 in
)

// A Part is one of [Outcome], [Facts], [Table], [Statement], [List], [Figure]
// and [Signatures].
type Part interface{ part() }

// An Outcome is the one line that most readers look for.
type Outcome struct {
	Title string // "Result"
	Word  string // "Pass"
	Lines []string
}

// Facts are pairs of a label and a value, set in two columns.
type Facts struct {
	Title string
	Pairs []Fact
}

// A Fact is one label and its value.
type Fact struct{ Label, Value string }

// A Table has one cell for each column in every row.
type Table struct {
	Title   string
	Columns []Column
	Rows    []Row
	Notes   []string
}

// A Column says how its cells are set.
type Column struct {
	Heading string
	Unit    string // under the heading; empty: none
	Align   Align
}

// Align says along which edge the cells of a column are set.
type Align int

const (
	Left  Align = iota // text; the only kind that is wrapped to make room
	Right              // whole numbers
	Point              // numbers, decimal mark under decimal mark
)

// A Row is a line of a table. A remark is set under the cells and lifts the
// row out. Where many rows have the same to say, a note of the table says it
// once and each row is lifted: a row cannot be emphasised without words.
type Row struct {
	Cells  []string
	Remark string
	Lifted bool
}

// SetOff reports whether a row is told from the others.
func (r Row) SetOff() bool { return r.Lifted || r.Remark != "" }

// A Statement is a titled text of one or more paragraphs. One that Opens begins a
// page, for the parts up to the next that opens belong to it.
type Statement struct {
	Title      string
	Paragraphs []string
	Opens      bool
}

// A List is a titled list of short items.
type List struct {
	Title string
	Items []string
}

// A Figure is a plot with its caption.
type Figure struct {
	Title   string
	Plot    plot.Plot
	Caption string
}

// Signatures are the people who answer for the paper, side by side.
type Signatures struct {
	Title  string
	People []Signature
}

// A Signature is one person, what they did and when.
type Signature struct {
	Role string // "Performed by"
	Name string
	Date string
	Note string // "journal entry 412"; may be empty
}

func (Outcome) part()    {}
func (Facts) part()      {}
func (Table) part()      {}
func (Statement) part()  {}
func (List) part()       {}
func (Figure) part()     {}
func (Signatures) part() {}
