package main

import (
	"cmp"
	"strings"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
	"example.org/wring/registry"
)

const inventedFoot = "Invented for demonstration: house, people, gauges and figures are made up."

// paperOr is the sheet that was asked for, else A4.
func paperOr(p certs.Paper) certs.Paper { return cmp.Or(p, certs.A4) }

// capitalised writes the first letter large.
func capitalised(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:n]) + s[n:]
}

// A paperAnswer is what --json says of a paper that was written.
type paperAnswer struct {
	File  string `json:"file"`
	Bytes int    `json:"bytes"`
}

// writePDF writes a paper to a file or, for "-", to a pipe.
func (d desk) writePDF(c *cli.Context, file string, data []byte, what string) error {
	if file == "-" {
		if d.Terminal {
			return usagef("-: standard output is a terminal; want a file or a pipe for a PDF")
		}
		_, err := d.Out.Write(data)
		return err
	}
	if err := writePaper(file, data, c.Bool("replace")); err != nil {
		return err
	}
	if d.json {
		return d.answer(paperAnswer{file, len(data)}, nil)
	}
	return line(d.Out, "%s: %s", file, what)
}

// paperFlags are those of a command that can give its answer as a paper.
func paperFlags() []cli.Flag {
	return []cli.Flag{
		text("pdf", "FILE", "to write the same as a paper; - for standard output"),
		text("paper", "PAPER", "A4 or Letter (as the house has set, else A4)"),
		switchOn("replace", "write over a file that is there"),
	}
}

// recordPaper is a paper about what the registry holds on a day, without its
// parts.
func recordPaper(title, number, subject string, o registry.Opening, head string, today calib.Date) certs.Document {
	doc := certs.Document{Title: title, Number: number, Subject: subject, Issued: today.String(), Head: head, Program: version, End: "End of record",
		Paper: certs.Paper(o.House.Paper),
		House: certs.House{Name: o.House.Organisation, Address: addressLines(o.House.Address)}}
	if o.House.Invented {
		doc.Foot = []string{inventedFoot}
	}
	return doc
}

// setPaper writes a paper as the options say.
func (d desk) setPaper(c *cli.Context, doc certs.Document, what string) error {
	paper, err := choice(c, "paper", []certs.Paper{certs.A4, certs.Letter})
	if err != nil {
		return err
	}
	doc.Paper = cmp.Or(paper, doc.Paper, certs.A4)
	r, err := pdf.New()
	if err != nil {
		return err
	}
	data, err := r.Render(doc)
	if err != nil {
		return err
	}
	return d.writePDF(c, c.String("pdf"), data, what)
}
