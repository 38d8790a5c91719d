package table

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.org/wring/calib/sheet"
)

// A grid is a file cut into cells, before anybody knows what its columns are.
type grid struct {
	name      string
	encoding  string
	separator rune
	heading   gridRow
	rows      []gridRow
	faults    []error // of single lines; the others can be used
}

// A gridRow is one record with the line on which it begins.
type gridRow struct {
	line  int
	cells []string
}

// cut reads the records of a text.
func cut(name string, data []byte, m sheet.Mapping) (*grid, error) {
	switch {
	case isZip(data):
		return cutWorkbook(name, data, m)
	case m.Sheet != "":
		return nil, &sheet.LineError{Name: name, Err: fmt.Errorf("sheet %q: no workbook, and has no sheets; want the name of a sheet left out", clip(m.Sheet))}
	}
	text, encoding, err := characters(name, data, m.Encoding)
	if err != nil {
		return nil, err
	}
	g := &grid{name: name, encoding: encoding, separator: m.Separator}
	skipped := 0
	text, skipped = g.head(text, m.Heading)
	g.records(text, skipped)
	if g.heading.cells == nil {
		return nil, errors.Join(append(g.faults, g.fault(0, "no line of headings; want the names of the columns in the first line"))...)
	}
	return g, nil
}

func (g *grid) fault(line int, format string, args ...any) error {
	return &sheet.LineError{Name: g.name, Line: line, Err: fmt.Errorf(format, args...)}
}

// head leaves off what stands before the line of the headings, and finds the
// separator in it. It returns the rest and how many lines were left off.
func (g *grid) head(text string, heading int) (rest string, skipped int) {
	for text != "" {
		line, after, _ := strings.Cut(text, "\n")
		bare := strings.TrimSpace(line)
		named, isSep := strings.CutPrefix(bare, "sep=")
		switch {
		case isSep && (named == "" || named == "," || named == ";"): // the tab was trimmed
			if g.separator == 0 {
				g.separator = rune((named + "\t")[0])
			}
		case skipped+1 < heading || bare == "" && heading == 0:
		default:
			if g.separator == 0 {
				g.separator = commonest(line)
			}
			return text, skipped
		}
		text, skipped = after, skipped+1
	}
	return text, skipped
}

// commonest is the separator that a line of headings has most of, outside of
// quotation marks.
func commonest(line string) rune {
	best, most := ',', 0
	for _, sep := range []rune{',', ';', '\t'} {
		n, quoted := 0, false
		for _, r := range line {
			if r == '"' {
				quoted = !quoted
			} else if r == sep && !quoted {
				n++
			}
		}
		if n > most {
			best, most = sep, n
		}
	}
	return best
}

// mostLines is how many lines a table may have (house rule).
const mostLines = 100_000

func (g *grid) records(text string, skipped int) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord = g.separator, -1
	for {
		cells, err := r.Read()
		var bad *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			return
		case errors.As(err, &bad) && errors.Is(bad.Err, csv.ErrBareQuote):
			g.faults = append(g.faults, g.fault(skipped+bad.StartLine, "a quotation mark inside a bare cell; want the cell in quotation marks and those in it doubled"))
			continue
		case errors.As(err, &bad):
			g.faults = append(g.faults, g.fault(skipped+bad.StartLine, "a quotation mark that is not closed before line %d; want one at the end of its cell", skipped+bad.Line+1))
			continue
		case err != nil:
			g.faults = append(g.faults, g.fault(0, "%w", err))
			return
		}
		line, _ := r.FieldPos(0)
		if skipped+line > mostLines {
			g.faults = append(g.faults, g.fault(skipped+line, "more than %d lines; want a table in parts", mostLines))
			return
		}
		g.take(gridRow{skipped + line, cells})
	}
}

// take keeps a record that says anything. Empty cells at its end, which
// spreadsheets leave, are cut off.
func (g *grid) take(row gridRow) {
	for i, c := range row.cells {
		row.cells[i] = unguard(strings.TrimSpace(strings.ReplaceAll(c, "\u00a0", " ")))
	}
	for n := len(row.cells); n > 0 && row.cells[n-1] == ""; n-- {
		row.cells = row.cells[:n-1]
	}
	switch {
	case len(row.cells) == 0:
	case g.heading.cells == nil:
		g.heading = row
	case len(row.cells) > len(g.heading.cells):
		g.faults = append(g.faults, g.fault(row.line, "%d cells under %d headings; want no separator in a cell without quotation marks, and no decimal comma",
			len(row.cells), len(g.heading.cells)))
	default:
		g.rows = append(g.rows, row)
	}
}

// separatorName is the separator in words.
func separatorName(r rune) string {
	switch r {
	case ';':
		return "semicolons"
	case '\t':
		return "tabs"
	case 0: // a workbook
		return ""
	default:
		return "commas"
	}
}

// InOrder puts faults in the order of their lines.
func InOrder(faults []error) []error {
	slices.SortStableFunc(faults, func(a, b error) int { return lineOf(a) - lineOf(b) })
	return faults
}

// lineOf is the line of a fault, 0 for one of the whole file.
func lineOf(err error) int {
	var at *sheet.LineError
	if errors.As(err, &at) {
		return at.Line
	}
	return 0
}
