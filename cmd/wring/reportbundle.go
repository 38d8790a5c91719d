package main

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/certs"
	"example.org/wring/registry"
)

// A bundle is what an auditor wants to see of one gauge at once.
type bundle struct {
	record      gaugeRecord
	certificate certs.CertificateOf
	trace       traceAnswer
	invented    bool
	files       []bundledFile // of the gauge, then of the standards in the chain
}

// A bundledFile is a file with the bytes that were kept.
type bundledFile struct {
	registry.KeptAttachment
	data []byte
}

// name is the one under which the file travels: its own may be another's too.
func (f bundledFile) name() string { return fmt.Sprintf("%d-%s", f.Entry, f.Attachment.Name) }

func (f bundledFile) media() string {
	switch f.Attachment.Type {
	case "PDF":
		return mediaPDF
	case "PNG", "JPEG", "TIFF":
		return "image/" + strings.ToLower(f.Attachment.Type)
	}
	return "application/octet-stream"
}

const mediaPDF = "application/pdf"

func bundleOf(tx *registry.Tx, d desk, id string) (b bundle, err error) {
	if b.record, err = gaugeRecordOf(tx, id); err != nil {
		return b, err
	}
	if b.certificate, b.invented, err = certificateParts(tx, id); err != nil {
		return b, err
	}
	if b.trace, err = traceOf(tx, id, d.today()); err != nil {
		return b, err
	}
	b.trace.Unbroken = b.trace.breaks() == 0
	named := map[string]bool{}
	for _, subject := range append([]string{id}, standardsOf(b.trace)...) {
		if named[subject] {
			continue
		}
		named[subject] = true
		files, err := tx.Attachments(subject)
		if err != nil {
			return b, err
		}
		for _, k := range files {
			_, data, err := tx.AttachmentAt(k.Entry)
			if err != nil {
				return b, err
			}
			b.files = append(b.files, bundledFile{k, slices.Clone(data)})
		}
	}
	return b, nil
}

func standardsOf(a traceAnswer) (out []string) {
	for _, l := range a.Links {
		out = append(out, l.Standard)
	}
	return out
}

func runReportBundle(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE")
	if err != nil {
		return err
	}
	if err := d.reportStands(c); err != nil {
		return err
	}
	var b bundle
	if err := d.view(func(tx *registry.Tx) (err error) { b, err = bundleOf(tx, d, w[0]); return err }); err != nil {
		return err
	}
	doc, err := b.document(d)
	if err != nil {
		return err
	}
	return d.writeReport(c, doc, "bundle of "+w[0]+", certificate "+b.certificate.Number)
}

// document sets the papers one after the other, each behind a line that says
// which it is.
func (b bundle) document(d desk) (certs.Document, error) {
	today, r, in := d.today(), b.record, b.certificate
	in.Paper = cmp.Or(in.Paper, certs.A4)
	certificate, err := certs.Certificate(in)
	if err != nil {
		return certs.Document{}, err
	}
	printed, err := setCertificate(in, b.invented)
	if err != nil {
		return certs.Document{}, err
	}
	begins := func(title string, texts ...string) certs.Part {
		return certs.Statement{Title: title, Paragraphs: texts, Opens: true}
	}
	short := r.outcome(today)
	short.Lines = append(short.Lines, b.trace.verdict())
	doc := r.face.document("Auditor's bundle", r.state.Gauge.ID+" on "+today.String(), r.subject(), today, short, certs.List{Title: "Contents", Items: []string{
		"A: certificate " + in.Number + ", issued " + in.Issued.String() + ", with every part it has.", "B: trace of that check to the certificates of its standards.",
		"C: history, every entry about the gauge, with its series.", "D: the certificate as a file, and " + plural(len(b.files), "file") + " kept with the gauge and those standards."}})
	doc.Files = b.carried(in.Number, printed)
	by := certificate.Title + " " + in.Number + ", issued " + in.Issued.String() + " by " + strings.Join(append([]string{in.House.Name}, in.House.Address...), ", ") + "."
	a := "What follows up to part B repeats certificate " + in.Number + " word for word. The certificate itself travels in this bundle as " + in.Number + ".pdf, the bytes that wring certificate writes, at head " + in.Head + "."
	doc.Parts = append(doc.Parts, begins("A Certificate", append([]string{by, a}, certificate.Foot...)...))
	doc.Parts = append(doc.Parts, certificate.Parts...)
	doc.Parts = append(doc.Parts, begins("B Trace", b.trace.title()+"."))
	doc.Parts = append(doc.Parts, b.trace.document(today).Parts...)
	doc.Parts = append(doc.Parts, begins("C History", "The record as it stands, and what led to it."), r.facts())
	doc.Parts = append(append(doc.Parts, r.drift()...), r.past.document(today).Parts...)
	doc.Parts = append(doc.Parts, begins("D Files", "The certificate and every file listed here travel in this bundle, byte for byte: in a PDF as its attachments, in a page for a browser as links at its end. "+
		"Each is called by its entry, a hyphen and its name. A PDF that carries files is no PDF/A-1; the certificate in it is PDF/A-1b."), b.filesPart())
	return doc, nil
}

// carried are the certificate as it is printed, and what was kept.
func (b bundle) carried(number string, printed []byte) []certs.File {
	out := []certs.File{{Name: number + ".pdf", Media: mediaPDF, About: "certificate " + number, Data: printed}}
	for _, f := range b.files {
		about := "of " + f.Attachment.Subject + ", entry " + strconv.FormatUint(f.Entry, 10)
		if f.Attachment.Note != "" {
			about += ": " + f.Attachment.Note
		}
		out = append(out, certs.File{Name: f.name(), Media: f.media(), About: about, Data: f.data})
	}
	return out
}

func (b bundle) filesPart() certs.Part {
	if len(b.files) == 0 {
		return certs.List{Title: "Files", Items: []string{"None is kept with the gauge or with a standard in the chain."}}
	}
	t := certs.Table{Title: "Files", Columns: []certs.Column{{Heading: "Entry", Align: certs.Right}, {Heading: "Of"}, {Heading: "To entry", Align: certs.Right}, {Heading: "Name"}, {Heading: "Type"},
		{Heading: "Bytes", Align: certs.Right}, {Heading: "SHA-256, beginning"}, {Heading: "Note"}}}
	for _, k := range b.files {
		a, to := k.Attachment, ""
		if a.Entry > 0 {
			to = strconv.FormatUint(a.Entry, 10)
		}
		t.Rows = append(t.Rows, certs.Row{Cells: []string{strconv.FormatUint(k.Entry, 10), a.Subject, to, a.Name, a.Type, strconv.FormatInt(a.Size, 10), a.SHA256[:16], a.Note}})
	}
	return filled(t)
}
