package table

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strconv"
	"strings"

	"example.org/wring/calib/sheet"
)

// The bounds of a workbook, house rules: what is read of it may not unpack to
// more, and no row may have more cells.
const (
	mostUnpacked = 64 << 20 // bytes
	mostCells    = 1000
)

// A workbook is a file in the form of ECMA-376 (read in what spreadsheet
// programs write): parts of XML in a zip archive.
type workbook struct {
	parts   map[string]*zip.File
	sheets  []bookSheet
	strings []string
	styles  []numberStyle
	from    int64 // serial number of 1970-01-01
	read    int   // bytes that were unpacked
}

// The serial numbers of 1970-01-01 where dates count from 1900 and from 1904
// (ECMA-376 part 1, 18.17.4.1, memory): days since 1899-12-30 and 1904-01-01.
const (
	from1900 = 25569
	from1904 = 24107
)

type bookSheet struct {
	name, part string
	hidden     bool
}

// isZip reports an archive, as a workbook is one.
func isZip(data []byte) bool { return bytes.HasPrefix(data, []byte("PK\x03\x04")) }

// cutWorkbook is [cut] for one sheet of a workbook.
func cutWorkbook(name string, data []byte, m sheet.Mapping) (*grid, error) {
	g := &grid{name: name}
	refuse := func(err error) (*grid, error) { return nil, &sheet.LineError{Name: name, Err: err} }
	if len(data) > MaxSize {
		return refuse(fmt.Errorf("more than %d MiB; want a table in parts", MaxSize>>20))
	}
	b, err := openWorkbook(data)
	if err != nil {
		return refuse(err)
	}
	s, rows, err := b.chosen(m.Sheet)
	if err != nil {
		return refuse(err)
	}
	g.encoding = fmt.Sprintf("sheet %q of a workbook", s.name)
	heading := max(m.Heading, 1)
	for _, r := range rows.list {
		switch {
		case r.number < heading:
		case r.number > mostLines:
			g.faults = append(g.faults, g.fault(r.number, "more than %d lines; want a table in parts", mostLines))
			return g, nil
		default:
			g.takeRow(b, r, rows.under[r.number])
		}
	}
	if g.heading.cells == nil {
		return nil, errors.Join(append(g.faults, g.fault(0, "no line of headings in sheet %q; want the names of the columns in the first line", s.name))...)
	}
	return g, nil
}

// takeRow keeps a row of which every cell can be read; merged is the cell from
// above that reaches down to it, if any does.
func (g *grid) takeRow(b *workbook, r bookRow, merged string) {
	var cells []string
	for _, c := range r.cells {
		at, ok := columnOf(c.Ref)
		if !ok || at >= mostCells {
			g.faults = append(g.faults, g.fault(r.number, "cell %q: beyond column %d; want a narrower table", clip(c.Ref), mostCells))
			return
		}
		for len(cells) <= at {
			cells = append(cells, "")
		}
		text, err := b.text(c)
		if err != nil {
			g.faults = append(g.faults, g.fault(r.number, "cell %s: %w", clip(c.Ref), err))
			return
		}
		cells[at] = text
	}
	if g.heading.cells != nil && merged != "" && strings.Join(cells, "") != "" {
		g.faults = append(g.faults, g.fault(r.number, "cells %s are one; want a value in each line", clip(merged)))
		return
	}
	g.take(gridRow{r.number, cells})
}

func openWorkbook(data []byte) (*workbook, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, fmt.Errorf("no whole workbook: %w; want it saved anew, or one of its sheets saved as CSV", err)
	}
	b := &workbook{parts: map[string]*zip.File{}, from: from1900}
	for _, f := range z.File {
		b.parts[strings.TrimPrefix(f.Name, "/")] = f
	}
	if b.parts["xl/workbook.xml"] == nil {
		return nil, errors.New("a workbook or archive of another kind; want .xlsx, or one of its sheets saved as CSV")
	}
	return b, first(b.readSheets(), b.readStrings(), b.readStyles())
}

// part decodes one part of the workbook; it reports false where there is none.
func (b *workbook) part(name string, into any) (bool, error) {
	return b.decode(name, func(d *xml.Decoder) error { return d.Decode(into) })
}

func (b *workbook) decode(name string, read func(*xml.Decoder) error) (bool, error) {
	f := b.parts[name]
	if f == nil {
		return false, nil
	}
	data, err := b.unpack(f)
	if errors.Is(err, errUnpacked) {
		return true, err
	}
	if err == nil {
		err = read(xml.NewDecoder(bytes.NewReader(data)))
	}
	if err != nil {
		err = fmt.Errorf("no whole workbook: %s: %w; want it saved anew, or one of its sheets saved as CSV", clip(name), err)
	}
	return true, err
}

var errUnpacked = fmt.Errorf("a workbook of more than %d MiB unpacked; want its sheets in workbooks of their own, or one saved as CSV", mostUnpacked>>20)

// unpack reads a part to its end, where its checksum stands.
func (b *workbook) unpack(f *zip.File) ([]byte, error) {
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	data, err := io.ReadAll(io.LimitReader(r, int64(mostUnpacked-b.read)+1))
	if b.read += len(data); b.read > mostUnpacked {
		return nil, errUnpacked
	}
	return data, err
}

func (b *workbook) readSheets() error {
	var book struct {
		Properties struct {
			Since1904 string `xml:"date1904,attr"`
		} `xml:"workbookPr"`
		Sheets []struct {
			Attributes []xml.Attr `xml:",any,attr"`
		} `xml:"sheets>sheet"`
	}
	var links struct {
		List []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		} `xml:"Relationship"`
	}
	_, err := b.part("xl/workbook.xml", &book)
	_, err2 := b.part("xl/_rels/workbook.xml.rels", &links)
	if err := first(err, err2); err != nil {
		return err
	}
	if s := book.Properties.Since1904; s == "1" || s == "true" {
		b.from = from1904
	}
	targets := map[string]string{}
	for _, l := range links.List {
		targets[l.ID] = l.Target
	}
	for _, s := range book.Sheets {
		var one bookSheet
		for _, a := range s.Attributes {
			switch a.Name.Local {
			case "name":
				one.name = a.Value
			case "state":
				one.hidden = a.Value != "visible"
			case "id":
				if target := targets[a.Value]; strings.HasPrefix(target, "/") {
					one.part = strings.TrimPrefix(path.Clean(target), "/")
				} else {
					one.part = strings.TrimPrefix(path.Join("/xl", target), "/")
				}
			}
		}
		b.sheets = append(b.sheets, one)
	}
	return nil
}

func (b *workbook) readStrings() error {
	var shared struct {
		List []richText `xml:"si"`
	}
	_, err := b.part("xl/sharedStrings.xml", &shared)
	for _, s := range shared.List {
		b.strings = append(b.strings, s.String())
	}
	return err
}

// A richText is a text in one piece or in several; how it is spoken is left off.
type richText struct {
	Text []string `xml:"t"`
	Runs []string `xml:"r>t"`
}

func (t richText) String() string { return strings.Join(append(t.Text, t.Runs...), "") }

// chosen is the sheet of a name, or the only one that holds anything.
func (b *workbook) chosen(wanted string) (bookSheet, bookRows, error) {
	var names []string
	var found []bookSheet
	var rows bookRows
	for _, s := range b.sheets {
		names = append(names, strconv.Quote(s.name))
		if wanted != "" && s.name != wanted || wanted == "" && s.hidden {
			continue
		}
		r, err := b.rows(s)
		if err != nil {
			return s, r, err
		}
		if wanted != "" || len(r.list) > 0 {
			found, rows = append(found, s), r
		}
	}
	switch {
	case len(found) == 1:
		return found[0], rows, nil
	case wanted != "":
		return bookSheet{}, rows, fmt.Errorf("sheet %q: not in the workbook; want one of %s", clip(wanted), strings.Join(names, ", "))
	case len(found) == 0:
		return bookSheet{}, rows, errors.New("nothing in any sheet of it; want a line of headings and the lines under it")
	}
	return bookSheet{}, rows, fmt.Errorf("several sheets hold something; want --sheet, or sheet in the mapping, to be one of %s", strings.Join(names, ", "))
}
