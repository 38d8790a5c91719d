package main

import (
	"cmp"
	"io"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/certs/html"
	"example.org/wring/certs/pdf"
	"example.org/wring/registry"
)

func newReport(e env) *cli.Command {
	return &cli.Command{
		Name:  "report",
		Usage: "what the registry holds as a paper, or as one page for a browser: due, fleet, gauge, lot, bundle, certificates",
		Subcommands: []*cli.Command{
			{Name: "due", Usage: "what is overdue and what falls due, to hang up or hand on",
				UsageText: "wring report due --within 60d --html due.html", Flags: append(dueFlags(), reportFlags()...), Action: reading(e, runReportDue)},
			{Name: "fleet", Usage: "the state of all gauges and standards: how many are overdue, how reliable each kind is, what the coming months bring",
				UsageText:   "wring report fleet --pdf fleet.pdf --html fleet.html",
				Description: "An item counts as overdue if anything that it is waited for is. Reliable is the share of checks of length as found, before any adjustment, that came back within the limit, with the exact interval of 95 % for that share. The load of a month counts what falls due in it, each item once, by the intervals as they stand.",
				Flags:       reportFlags(), Action: reading(e, runReportFleet)},
			{Name: "gauge", Usage: "one gauge: its record, its series drawn, everything that happened to it", ArgsUsage: "GAUGE",
				UsageText: "wring report gauge MIC-021 --html mic-021.html", Flags: reportFlags(), Action: reading(e, runReportGauge)},
			{Name: "lot", Usage: "a lot's last survey with its map, and what was surveyed before", ArgsUsage: "LOT",
				UsageText: "wring report lot FELT-26-31 --pdf felt.pdf", Flags: reportFlags(), Action: reading(e, runReportLot)},
			{Name: "bundle", Usage: "for an auditor, in one file: certificate, trace, history and files of one gauge", ArgsUsage: "GAUGE",
				UsageText:   "wring report bundle MIC-021 --pdf mic-021.pdf",
				Description: "The certificate is that of the gauge's last check. It travels in the bundle as a file too, and with it every file kept with the gauge and the standards in its chain: attached to the PDF, linked at the end of the page. A PDF that carries files is no PDF/A-1; the certificate in it is.",
				Flags:       reportFlags(), Action: reading(e, runReportBundle)},
			{Name: "certificates", Usage: "the certificate of each gauge's last check, into a folder", ArgsUsage: "DIR",
				UsageText:   "wring report certificates papers --since 2026-01-01",
				Description: "Each is a PDF by its number, the same bytes as wring certificate gives. A file that is there stays if it is the same paper. What could not be written is listed with the reason, with exit status 3; all else is there, and each file whole.",
				Flags:       certificatesFlags(), Action: reading(e, runReportCertificates)},
		},
	}
}

// reportFlags say as what a report is written.
func reportFlags() []cli.Flag {
	return []cli.Flag{
		text("pdf", "FILE", "to write as a paper; - for standard output"),
		text("html", "FILE", "to write as a page for a browser; - for standard output"),
		text("paper", "PAPER", "A4 or Letter (as the house has set, else A4)"),
		switchOn("replace", "write over a file that is there"),
	}
}

// A reportForm is one way in which a report is written.
type reportForm struct {
	option string
	set    func(certs.Document) ([]byte, error)
}

func reportForms() []reportForm {
	return []reportForm{{"pdf", func(doc certs.Document) ([]byte, error) {
		r, err := pdf.New()
		if err != nil {
			return nil, err
		}
		return r.Render(doc)
	}}, {"html", html.Render}}
}

// reportStands refuses, before anything is read, a report that nobody would
// see, or two in one stream.
func (d desk) reportStands(c *cli.Context) error {
	switch {
	case c.String("pdf") == "" && c.String("html") == "":
		return usagef("report %s: neither --pdf nor --html is given; want a FILE for one of them, or for each", c.Command.Name)
	case c.String("pdf") == c.String("html"):
		return usagef("report %s: --pdf and --html name the same %q; want two files", c.Command.Name, c.String("pdf"))
	case c.String("pdf") == "-" && d.Terminal:
		return usagef("--pdf -: standard output is a terminal; want a file or a pipe for a PDF")
	}
	_, err := choice(c, "paper", []certs.Paper{certs.A4, certs.Letter})
	return err
}

// writeReport writes a report in each form that was asked for: all are set
// before the first is written.
func (d desk) writeReport(c *cli.Context, doc certs.Document, what string) error {
	paper, err := choice(c, "paper", []certs.Paper{certs.A4, certs.Letter})
	if err != nil {
		return err
	}
	doc.Paper = cmp.Or(paper, doc.Paper, certs.A4)
	doc.End = "End of report"
	files := map[string][]byte{}
	made := []paperAnswer{}
	for _, form := range reportForms() {
		if file := c.String(form.option); file != "" {
			if files[file], err = form.set(doc); err != nil {
				return err
			}
			made = append(made, paperAnswer{file, len(files[file])})
		}
	}
	piped := false
	for _, p := range made {
		if p.File == "-" {
			piped = true
			_, err = d.Out.Write(files[p.File])
		} else {
			err = writePaper(p.File, files[p.File], c.Bool("replace"))
		}
		if err != nil {
			return err
		}
	}
	if piped {
		return nil
	}
	return d.answer(made, func(out io.Writer) error {
		for _, p := range made {
			if err := line(out, "%s: %s", p.File, what); err != nil {
				return err
			}
		}
		return nil
	})
}

// A reportFace is what every report takes from the registry beside its parts.
type reportFace struct {
	house registry.Opening
	head  string
}

func faceOf(tx *registry.Tx) (f reportFace, err error) {
	if f.house, err = tx.House(); err != nil {
		return f, err
	}
	head, err := tx.Head()
	f.head = head.String()
	return f, err
}

func (f reportFace) document(title, number, subject string, today calib.Date, parts ...certs.Part) certs.Document {
	doc := recordPaper(title, number, subject, f.house, f.head, today)
	doc.Parts = parts
	return doc
}
