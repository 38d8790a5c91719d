package main

import (
	"cmp"
	"fmt"
	"os"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
	"example.org/wring/registry"
)

func newCertificate(e env) *cli.Command {
	return &cli.Command{
		Name:      "certificate",
		Usage:     "write the certificate of a check as PDF; a reprint has the same bytes",
		ArgsUsage: "CHECK",
		UsageText: "wring certificate MIC-014\nwring certificate 17 --out mic-014.pdf",
		Flags: []cli.Flag{
			text("out", "FILE", "to write; - for standard output; else by the certificate's number"),
			text("paper", "PAPER", "A4 or Letter (as the house has set, else A4)"),
			text("customer", "TEXT", "it is for, if not the gauge's owner"),
			text("data", "FILE", "to write the check's data to as JSON, with the paper's SHA-256"),
			switchOn("replace", "write over a file that is there"),
			switchOn("plot", "draw its figures here, and write no file"),
		},
		Action: reading(e, runCertificate),
	}
}

// A certificateAnswer is what --json says of a certificate that was written.
type certificateAnswer struct {
	Number string `json:"number"`
	Check  uint64 `json:"check"`
	Head   string `json:"head"`
	File   string `json:"file"`
	Bytes  int    `json:"bytes"`
}

func runCertificate(d desk, c *cli.Context) error {
	w, err := words(c, "CHECK")
	if err != nil {
		return err
	}
	paper, err := choice(c, "paper", []certs.Paper{certs.A4, certs.Letter})
	if err = first(err, d.plotSeen(c)); err != nil {
		return err
	}
	var in certs.CertificateOf
	var notice *certs.Document
	var fate registry.Fate
	invented := false
	if err := d.view(func(tx *registry.Tx) (err error) {
		if notice, err = noticeNamed(tx, w[0]); err != nil || notice != nil {
			return err
		}
		in, invented, fate, err = certificateAndFate(tx, w[0])
		return err
	}); err != nil {
		return err
	}
	if notice != nil {
		return d.writeNotice(c, *notice, paper)
	}
	if err := d.sayFate(in.Number, fate); err != nil {
		return err
	}
	if c.Bool("plot") {
		return writeFigures(d.Out, in)
	}
	in.Paper, in.Customer = cmp.Or(paper, in.Paper, certs.A4), c.String("customer")
	file := cmp.Or(c.String("out"), in.Number+".pdf")
	data, err := setCertificate(in, invented)
	if err != nil {
		return err
	}
	if err := writeData(c, in, data); err != nil {
		return err
	}
	if file == "-" {
		if d.Terminal {
			return usagef("--out -: standard output is a terminal; want a file or a pipe for a PDF")
		}
		_, err := d.Out.Write(data)
		return err
	}
	if err := writePaper(file, data, c.Bool("replace")); err != nil {
		return err
	}
	if d.json {
		return d.answer(certificateAnswer{in.Number, in.Kept.Sequence, in.Head, file, len(data)}, nil)
	}
	return line(d.Out, "%s: certificate %s of %s, %s", file, in.Number, in.Basis.Gauge.ID, in.Kept.Check.Date)
}

// writePaper writes a PDF, over an older file only when told to or when it is
// the same paper.
func writePaper(file string, data []byte, replace bool) error {
	if old, err := os.ReadFile(file); err == nil && !replace && string(old) != string(data) {
		return &hinted{fmt.Errorf("%s: is there already and is another paper", file), "nothing was written; name another --out FILE, or add --replace"}
	}
	return writeWhole(file, data)
}

// certificateParts gathers, for the check that a word names, all that its
// certificate states, and whether that is invented.
func certificateParts(tx *registry.Tx, word string) (certs.CertificateOf, bool, error) {
	in, invented, _, err := certificateAndFate(tx, word)
	return in, invented, err
}

// certificateAndFate also tells what became of the check.
func certificateAndFate(tx *registry.Tx, word string) (in certs.CertificateOf, invented bool, fate registry.Fate, err error) {
	seq, err := checkNamed(tx, word)
	if err != nil {
		return in, false, fate, err
	}
	kept, err := tx.Check(seq)
	if err != nil {
		return in, false, fate, err
	}
	if in, invented, err = certificateOfCheck(tx, kept); err == nil {
		fate, err = tx.FateOf(kept)
	}
	return in, invented, fate, err
}

func certificateOfCheck(tx *registry.Tx, kept registry.Kept) (certs.CertificateOf, bool, error) {
	o, err := tx.HouseAt(kept.Head.Seq)
	if err != nil {
		return certs.CertificateOf{}, false, err
	}
	basis, err := tx.Resolve(kept.Check.Basis)
	if err != nil {
		return certs.CertificateOf{}, false, err
	}
	in := certs.CertificateOf{
		House: certs.House{Name: o.House.Organisation, Address: addressLines(o.House.Address)}, Site: o.House.Site, Paper: certs.Paper(o.House.Paper),
		Number: kept.CertificateNumber(), Issued: issueDate(kept), Program: kept.Entry.Program, Head: kept.Head.String(),
		Basis: basis, Kept: paperCheck(kept), Due: dueAfter(kept.Check.Check, basis), Received: kept.Check.Check.Received,
	}
	if in.Evidence, err = filesKept(tx, kept); err != nil {
		return in, false, err
	}
	if in.Replaces, err = replacedBy(tx, kept); err != nil {
		return in, false, err
	}
	if err := releasedBy(tx, kept, &in); err != nil {
		return in, false, err
	}
	found, ok, err := tx.FoundBefore(kept)
	if ok {
		before := paperCheck(found)
		in.AsFound = &before
	}
	return in, o.House.Invented, err
}

// filesKept counts the files that were kept with each standard's certificate
// when the check was; later ones change nothing in a paper that was issued.
func filesKept(tx *registry.Tx, kept registry.Kept) (map[string]int, error) {
	out := map[string]int{}
	for _, ref := range kept.Check.Basis.Standards {
		files, err := tx.CertificateFiles(ref)
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			if f.Entry < kept.Head.Seq {
				out[ref.ID]++
			}
		}
	}
	return out, nil
}

// issueDate is the day by the clock on which the check was kept: a reprint is
// no new issue.
func issueDate(k registry.Kept) calib.Date {
	day := calib.DateOf(k.Entry.At)
	if day.Before(k.Check.Check.Date) { // kept just before midnight in a zone ahead of UTC
		return k.Check.Check.Date
	}
	return day
}

// dueAfter is when the first of the parts that a check recorded is due again.
func dueAfter(c calib.Check, b calib.Basis) calib.Date {
	least := 0
	for _, part := range c.Parts() {
		if n := cmp.Or(b.Gauge.IntervalMonths, b.Plan.IntervalOf(part)); n > 0 && (least == 0 || n < least) {
			least = n
		}
	}
	if least == 0 {
		return calib.Date{}
	}
	return c.Date.AddMonths(least)
}

func paperCheck(k registry.Kept) certs.KeptCheck {
	return certs.KeptCheck{Sequence: k.Head.Seq, Recorded: k.Entry.At, Check: k.Check.Check, Result: k.Check.Result}
}

// checkNamed reads an entry's number, or a gauge whose last check is meant.
func checkNamed(tx *registry.Tx, word string) (uint64, error) {
	if seq, err := strconv.ParseUint(word, 10, 64); err == nil {
		return seq, nil
	}
	s, err := tx.Gauge(word)
	if err != nil {
		return 0, err
	}
	if s.Last == nil {
		return 0, fmt.Errorf("gauge %s: was never checked; want a check first", word)
	}
	return s.Last.Entry, nil
}

func setCertificate(in certs.CertificateOf, invented bool) ([]byte, error) {
	r, err := pdf.New()
	if err != nil {
		return nil, err
	}
	return renderCertificate(r, in, invented)
}

func renderCertificate(r *pdf.Renderer, in certs.CertificateOf, invented bool) ([]byte, error) {
	doc, err := certs.Certificate(in)
	if err != nil {
		return nil, err
	}
	if invented {
		doc.Foot = append([]string{"Invented for demonstration: house, people, gauges and figures are made up."}, doc.Foot...)
	}
	return r.Render(doc)
}

// addressLines parts an address that was typed in one line at its commas.
func addressLines(address string) []string {
	var out []string
	for part := range strings.SplitSeq(address, ",") {
		if part = strings.TrimSpace(part); part != "" {
			out = append(out, part)
		}
	}
	return out
}
