package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/table"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/registry"
)

// importOptions say how a table is entered.
type importOptions struct {
	dry, good bool
	amend     string // the reason; empty: what differs is refused
}

// What a line of a table does.
const (
	doesEnter = "new"
	doesSame  = "here already"
	doesAmend = "amended"
)

// A tableLine is one line, or one check or certificate of several, as --json
// has it.
type tableLine struct {
	Line int    `json:"line"` // the first
	Name string `json:"name"`
	Does string `json:"does"` // new, here already, amended
	Text string `json:"text,omitempty"`
}

// A tableAnswer is what --json says of an import.
type tableAnswer struct {
	File      string      `json:"file"`
	Table     string      `json:"table"`
	Encoding  string      `json:"encoding"`
	Separator string      `json:"separator,omitempty"` // none in a workbook
	Unread    []string    `json:"headings_not_read"`
	Kept      bool        `json:"kept"`
	Lines     []tableLine `json:"lines"`
	Refused   int         `json:"refused"` // lines, with good lines only
}

// An importer enters the lines of one table in one transaction.
type importer struct {
	d      desk
	o      importOptions
	file   *table.File
	tx     *registry.Tx
	house  calib.House
	lines  []tableLine
	faults []error
	skip   map[int]bool   // lines that are known to be of no use
	bad    map[int]bool   // lines that turned out so
	seen   map[string]int // line on which a name stands first
}

// errDryRun undoes what a dry run entered.
var errDryRun = errors.New("a dry run keeps nothing")

func (d desk) importTable(f *table.File, o importOptions) error {
	im := &importer{d: d, o: o, file: f}
	err := d.update(im.run)
	if o.good && len(im.faults) > 0 && (err == nil || errors.Is(err, errRefusedLines)) {
		return im.again()
	}
	switch {
	case errors.Is(err, errRefusedLines):
		return errors.Join(table.InOrder(im.faults)...)
	case err != nil && !errors.Is(err, errDryRun):
		return err
	}
	return im.report(0)
}

// errRefusedLines undoes an import of which a line could not be used.
var errRefusedLines = errors.New("lines were refused")

// again enters the lines that were not refused the first time.
func (im *importer) again() error {
	second := &importer{d: im.d, o: im.o, file: im.file, skip: im.bad}
	switch err := im.d.update(second.run); {
	case errors.Is(err, errRefusedLines):
		return errors.Join(table.InOrder(append(im.faults, second.faults...))...)
	case err != nil && !errors.Is(err, errDryRun):
		return err
	}
	hint := "the other lines were entered"
	if im.o.dry {
		hint = "nothing was kept"
	}
	return first(second.report(len(im.faults)), &hinted{errors.Join(table.InOrder(im.faults)...), hint})
}

func (im *importer) run(tx *registry.Tx) error {
	im.tx, im.bad, im.seen = tx, map[int]bool{}, map[string]int{}
	if im.skip == nil {
		im.faults = slices.Clone(im.file.Faults)
	}
	o, err := tx.House()
	if err != nil {
		return err
	}
	im.house = o.House
	switch im.file.Kind {
	case table.Gauges:
		im.each(im.gauge)
	case table.Standards:
		im.each(im.standard)
	case table.Certificates:
		im.eachGroup(im.file.Groups(), im.certificate)
	case table.Checks:
		im.checks(byDate(im.file.Groups()))
	case table.Lots:
		im.each(im.lot)
	case table.Surveys:
		im.eachGroup(byDate(im.file.Groups()), im.survey)
	}
	slices.SortStableFunc(im.lines, func(a, b tableLine) int { return a.Line - b.Line })
	switch {
	case len(im.faults) > 0:
		return errRefusedLines
	case im.o.dry:
		return errDryRun
	}
	return nil
}

// each enters every record that stands for itself.
func (im *importer) each(enter func(table.Record) (tableLine, error)) {
	for _, r := range im.file.Records {
		if im.skip[r.Line] {
			continue
		}
		l, err := im.once(r, enter)
		im.note(r, l, err)
	}
}

// once refuses a name that stands on two lines.
func (im *importer) once(r table.Record, enter func(table.Record) (tableLine, error)) (tableLine, error) {
	if at, twice := im.seen[r.ID()]; twice {
		return tableLine{}, fmt.Errorf("%q: on line %d already; want each once", r.ID(), at)
	}
	im.seen[r.ID()] = r.Line
	return enter(r)
}

func (im *importer) eachGroup(groups []table.Group, enter func(table.Group) (tableLine, error)) {
	for _, g := range im.whole(groups) {
		l, err := enter(g)
		im.note(g.First(), l, err)
	}
}

// whole leaves out the groups of which nothing is to be entered. Where good
// lines are, those are refused of which a line may be among the bad ones: part
// of a check or of a certificate is none.
func (im *importer) whole(groups []table.Group) (out []table.Group) {
	for _, g := range groups {
		line := 0
		if im.o.good {
			line = g.Torn()
		}
		switch r := g.First(); {
		case im.skip[r.Line]:
		case line > 0:
			im.note(r, tableLine{}, fmt.Errorf("line %d could not be read and may be one of this %s; want it mended first", line, strings.TrimSuffix(im.file.Kind, "s")))
		default:
			out = append(out, g)
		}
	}
	return out
}

func (im *importer) note(r table.Record, l tableLine, err error) {
	if err != nil {
		im.bad[r.Line] = true
		im.faults = append(im.faults, r.Fault(err))
		return
	}
	l.Line = r.Line
	im.lines = append(im.lines, l)
}

// byDate puts checks in the order in which they were made, as far as their
// dates can be read.
func byDate(groups []table.Group) []table.Group {
	slices.SortStableFunc(groups, func(a, b table.Group) int { return strings.Compare(a.First().Day(), b.First().Day()) })
	return groups
}

// report says what was done, or would be.
func (im *importer) report(refused int) error {
	f := im.file
	a := tableAnswer{File: f.Name, Table: f.Kind, Encoding: f.Encoding, Separator: f.Separator, Unread: append([]string{}, f.Unread...), Kept: !im.o.dry,
		Lines: append([]tableLine{}, im.lines...), Refused: refused}
	return im.d.answer(a, func(out io.Writer) error {
		head := fmt.Sprintf("%s: %s%s", f.Name, f.Encoding, yes(f.Separator != "", ", parted by "+f.Separator, ""))
		if len(f.Unread) > 0 {
			head += "; headings not read: " + strings.Join(f.Unread, ", ")
		}
		if err := screen.Paragraph(out, head, "  "); err != nil {
			return err
		}
		if im.o.dry {
			t := screen.Table{Columns: []screen.Column{{Title: "line", Align: screen.Right}, {Title: "name"}, {Title: "would be"}, {Title: "with", Wrap: true}}}
			for _, l := range im.lines {
				t.Add(fmt.Sprint(l.Line), l.Name, l.Does, l.Text)
			}
			if err := first(t.Write(out), line(out, "")); err != nil {
				return err
			}
		}
		return line(out, "%s%s", im.counts(), yes(im.o.dry, "; a dry run, nothing was kept", ""))
	})
}

// counts says how many lines did what.
func (im *importer) counts() string {
	n := map[string]int{}
	for _, l := range im.lines {
		n[l.Does]++
	}
	noun := strings.TrimSuffix(im.file.Kind, "s")
	var out []string
	for _, does := range []string{doesEnter, doesAmend, doesSame} {
		if n[does] > 0 || does == doesEnter {
			out = append(out, fmt.Sprintf("%s %s", plural(n[does], noun), does))
		}
	}
	return strings.Join(out, ", ")
}

// certificate enters the lines of one certificate.
func (im *importer) certificate(g table.Group) (tableLine, error) {
	id := g.First().ID()
	s, err := im.tx.Standard(id)
	if err != nil {
		return tableLine{}, err
	}
	cert, err := g.Certificate(s.Standard.Kind)
	if err != nil {
		return tableLine{}, err
	}
	if cert.Date.After(im.d.today()) {
		return tableLine{}, fmt.Errorf("date: %s lies ahead of today, %s; want the date of the calibration", cert.Date, im.d.today())
	}
	if err := im.d.shape.Check(cert); err != nil {
		return tableLine{}, err
	}
	l := tableLine{Name: id, Does: doesEnter, Text: fmt.Sprintf("certificate %s of %s, %s", cert.Number, cert.Date, plural(len(cert.Values), "value"))}
	same, err := im.sameCertificate(cert, s.Standard)
	if same || err != nil {
		l.Does = doesSame
		return l, err
	}
	_, err = im.tx.AddCertificate(cert)
	return l, err
}

// sameCertificate looks for a certificate that is here already, and refuses one
// of the same number that says something else.
func (im *importer) sameCertificate(cert calib.Certificate, s calib.Standard) (bool, error) {
	kept, err := im.tx.Certificates(s.ID)
	if err != nil {
		return false, err
	}
	if cert.Due.IsZero() && s.IntervalMonths > 0 {
		cert.Due = cert.Date.AddMonths(s.IntervalMonths)
	}
	var other uint64
	for _, k := range kept {
		if k.Certificate.Number != cert.Number || k.Certificate.Laboratory != cert.Laboratory {
			continue
		}
		if fmt.Sprint(table.CertificateRows(k.Certificate)) == fmt.Sprint(table.CertificateRows(cert)) {
			return true, nil // also where it was amended or withdrawn since
		}
		other = k.Entry
	}
	if other > 0 {
		return false, fmt.Errorf("certificate %s of %s: is entry %d with other values; want them alike, or another number", cert.Number, s.ID, other)
	}
	return false, nil
}
