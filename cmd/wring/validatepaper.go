package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
)

// validationPaper writes the report as a PDF, the same bytes on the same day by
// the same person.
func (d desk) validationPaper(c *cli.Context, a validationAnswer, file string, paper certs.Paper) error {
	r, err := pdf.New()
	if err != nil {
		return err
	}
	data, err := r.Render(a.document(d.person, paper))
	if err != nil {
		return err
	}
	said := a.summary()
	return d.writePDF(c, file, data, "report of validation; "+said[len(said)-1])
}

func (a validationAnswer) document(person string, paper certs.Paper) certs.Document {
	doc := certs.Document{Title: "Report of software validation", Number: a.Program + " on " + a.System, Subject: "published examples, printed and computed",
		House: certs.House{Name: "Validation of " + a.Program}, Paper: paperOr(paper), Issued: a.Date, Program: a.Program, End: "End of report"}
	word := "All agree"
	if !a.Agrees {
		word = "Not all agree"
	}
	doc.Parts = []certs.Part{
		certs.Outcome{Title: "Result", Word: word, Lines: a.summary()},
		certs.Facts{Title: "What was validated", Pairs: a.facts(person)},
		certs.Statement{Title: "How", Paragraphs: append([]string{
			"Each example is worked out on this machine, from the inputs its document states, by the functions that the program's checks use. " +
				"No computation is handed the printed figure. A computed figure agrees when it rounds to the digits printed, ties away from zero; " +
				"certified reference data agree to the number of significant digits stated; where a tolerance stands in place of this, its reason is given under the table.",
			"The mark says where the printed figure was taken from: read, in a copy of the document or in an open data file; " +
				"memory, from memory of the document and found consistent by recomputing; own, not published but worked out for the program by other means.",
		}, a.Notes...)},
	}
	for document := range a.documents() {
		doc.Parts = append(doc.Parts, paperTable(document))
	}
	if person != "" {
		doc.Parts = append(doc.Parts, certs.Signatures{Title: "Signatures", People: []certs.Signature{{Role: "Performed by", Name: person, Date: a.Date}}})
	}
	return doc
}

func (a validationAnswer) facts(person string) []certs.Fact {
	pairs := []certs.Fact{{Label: "Program", Value: a.Program}, {Label: "Built with", Value: a.Compiler}, {Label: "System", Value: a.System},
		{Label: "Date", Value: a.Date}, {Label: "Published figures", Value: a.Published.text()}, {Label: "Figures of our own", Value: a.Own.text()}}
	if person != "" {
		pairs = append(pairs, certs.Fact{Label: "Performed by", Value: person})
	}
	if a.Source != "" {
		pairs = append(pairs, certs.Fact{Label: "Examples of", Value: a.Source + " only"})
	}
	return pairs
}

func (c countAnswer) text() string { return fmt.Sprintf("%d of %d agree", c.Agree, c.Figures) }

// paperTable sets the figures of one document; one that does not agree is
// lifted out.
func paperTable(figures []figureAnswer) certs.Table {
	align := certs.Point
	if wordy(figures) {
		align = certs.Left
	}
	t := certs.Table{Title: figures[0].Document, Notes: whyTolerated(figures),
		Columns: []certs.Column{{Heading: "source"}, {Heading: "quantity"}, {Heading: "published", Align: align},
			{Heading: "computed", Align: align}, {Heading: "mark"}, {Heading: "agrees"}}}
	for i, f := range figures {
		source := ""
		if i == 0 || f.source() != figures[i-1].source() {
			source = f.source()
		}
		row := certs.Row{Cells: []string{source, f.name(), f.Published, f.Computed, string(f.Mark), f.Agreement}}
		if !f.Agrees {
			row.Cells[5], row.Remark = "no", "does not agree: "+f.Agreement
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
