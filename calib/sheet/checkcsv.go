package sheet

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// A row is one record of a CSV file with its place.
type row struct {
	line  int
	cells []string
}

// readRows reads the records of a CSV text; lines that begin with # are left
// out. The first is the heading.
func readRows(name, text string) ([]row, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = '#', -1, true
	var out []row
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) && errors.Is(bad.Err, csv.ErrBareQuote) {
			return nil, &LineError{Name: name, Line: bad.StartLine, Err: errors.New("a quotation mark inside a cell; want in for inches")}
		}
		if errors.As(err, &bad) {
			return nil, &LineError{Name: name, Line: bad.StartLine, Err: fmt.Errorf("not CSV: %w; want cells between commas, in quotes where they hold one", bad.Err)}
		}
		if err != nil {
			return nil, &LineError{Name: name, Err: err}
		}
		for i := range cells {
			cells[i] = strings.TrimSpace(cells[i])
		}
		line, _ := r.FieldPos(0)
		if strings.Join(cells, "") != "" {
			out = append(out, row{line, cells})
		}
	}
	if len(out) == 0 {
		return nil, &LineError{Name: name, Err: errors.New("no heading in it; want the names of the columns in the first line")}
	}
	if h := out[0]; len(h.cells) == 1 && strings.ContainsAny(h.cells[0], ";\t") {
		return nil, &LineError{Name: name, Line: h.line, Err: errors.New("columns parted by a semicolon or a tab; want commas")}
	}
	return out, nil
}

func readCheckCSV(name, text string) (*CheckSheet, error) {
	s := &CheckSheet{Name: name}
	if err := s.remarksOf(text); err != nil {
		return nil, err
	}
	rows, err := readRows(name, text)
	if err != nil {
		return nil, err
	}
	columns, err := s.columns(rows[0])
	if err != nil {
		return nil, err
	}
	for _, r := range rows[1:] {
		if err := s.takeRow(r, columns); err != nil {
			return nil, err
		}
	}
	return s, s.hasPoints()
}

// columns holds the heading to the names it may have.
func (s *CheckSheet) columns(heading row) ([]string, error) {
	var out []string
	for _, cell := range heading.cells {
		column := strings.ToLower(cell)
		at := Field{Text: cell, line: heading.line}
		switch {
		case !slices.Contains([]string{"part", "at", "direction", "blocks", "weights", "instrument", "reading", "comment", "skipped"}, column):
			return nil, s.refuse(at, "column %q: no column of a check sheet; want at, blocks, reading, comment, skipped, and for parts beside length part, direction, weights, instrument", clip(cell))
		case column != "reading" && slices.Contains(out, column):
			return nil, s.refuse(at, "column %q for the second time; want it once", clip(cell))
		}
		out = append(out, column)
	}
	if !slices.Contains(out, "at") || !slices.Contains(out, "reading") {
		return nil, s.refuse(Field{line: heading.line}, "no column at or none named reading; want at,blocks,reading,reading,reading")
	}
	return out, nil
}

// takeRow reads one point, or the zero. Empty cells are readings that were not
// taken.
func (s *CheckSheet) takeRow(r row, columns []string) error {
	switch part := cellOf(r, columns, "part"); {
	case len(r.cells) > len(columns):
	case cellOf(r, columns, "skipped") != "":
		return s.takeSkipped(r, columns)
	case part != "" && partNamed(part) != "length":
		return s.takePartRow(r, columns)
	}
	where := fmt.Sprintf("point %d", len(s.Points)+1)
	zero := slices.Contains([]string{"zero", "Zero", "ZERO"}, cellOf(r, columns, "at"))
	if zero {
		where = "zero"
	}
	if len(r.cells) > len(columns) {
		return s.refuse(Field{line: r.line, where: where}, "%d cells under %d columns; want a column named reading for each, and no decimal comma", len(r.cells), len(columns))
	}
	var p PointRow
	for i, cell := range r.cells {
		at := Field{Text: cell, line: r.line}
		if columns[i] != "comment" && zeroLed(cell) {
			return s.refuse(Field{line: r.line, where: where}, zeroLedFault, cell)
		}
		switch columns[i] {
		case "at":
			at.where = where + ": at"
			p.At = at
		case "comment":
			if cell != "" {
				p.Comment = at
			}
		case "direction", "weights", "instrument":
			if cell != "" {
				return s.refuse(Field{line: r.line, where: where}, "%s %q: belongs to a part beside length; want the part's name in the column part", columns[i], clip(cell))
			}
		case "blocks":
			p.Blocks = parted(cell, "+", r.line, where+": block")
		case "reading":
			if cell != "" {
				at.where = fmt.Sprintf("%s: reading %d", where, len(p.Readings)+1)
				p.Readings = append(p.Readings, at)
			}
		}
	}
	switch {
	case zero && len(s.Zero) > 0:
		return s.refuse(Field{line: r.line, where: where}, "for the second time; want one row of it")
	case zero && len(p.Blocks) > 0:
		return s.refuse(p.Blocks[0], "%q: a zero has no blocks; want none", clip(p.Blocks[0].Text))
	case zero:
		s.Zero = p.Readings
	default:
		s.Points = append(s.Points, p)
	}
	return nil
}

// zeroLedFault is what is said of a cell that zeroLed finds.
const zeroLedFault = "%q: a zero before other digits; want a point, and no decimal comma before it"

// zeroLed finds the second half of a number that a decimal comma cut in two:
// nobody types 02 for 2 (house rule).
func zeroLed(cell string) bool {
	return len(cell) > 1 && cell[0] == '0' && strings.Trim(cell, "0123456789") == ""
}

func cellOf(r row, columns []string, name string) string {
	if i := slices.Index(columns, name); i >= 0 && i < len(r.cells) {
		return r.cells[i]
	}
	return ""
}

// parted cuts a cell that holds several values.
func parted(cell, by string, line int, where string) []Field {
	if strings.TrimSpace(cell) == "" {
		return nil
	}
	var out []Field
	for i, part := range strings.Split(cell, by) {
		out = append(out, Field{Text: strings.TrimSpace(part), line: line, where: fmt.Sprintf("%s %d", where, i+1)})
	}
	return out
}

// remarksOf reads the lines "# key: value" of a CSV text. A single word before
// a colon is a key, so that a mistyped one cannot pass for a comment.
func (s *CheckSheet) remarksOf(text string) error {
	n := 0
	for line := range strings.Lines(text) {
		n++
		rest, found := strings.CutPrefix(line, "#")
		key, value, isKey := strings.Cut(rest, ":")
		key, value = strings.TrimSpace(key), strings.TrimSpace(value)
		if !found || !isKey || key == "" || strings.ContainsAny(key, " \t#") {
			continue
		}
		if value == "" {
			continue // a printed form that was not filled in here
		}
		at := Field{Text: value, line: n, where: strings.ReplaceAll(key, "_", " ")}
		if err := s.set(key, at); err != nil {
			return err
		}
	}
	return nil
}

func (s *CheckSheet) set(key string, v Field) error {
	if key == "standards" {
		if s.Standards != nil {
			return s.refuse(plain(v), "%s for the second time; want it once", key)
		}
		s.Standards = parted(v.Text, "+", v.line, "standard")
		return nil
	}
	keys := []string{"gauge", "plan", "date", "person", "stage", "purpose", "received", "site", "condition", "remarks", "temperature", "blocks_temperature", "humidity"}
	fields := []*Field{&s.Gauge, &s.Plan, &s.Date, &s.Person, &s.Stage, &s.Purpose, &s.Received, &s.Site, &s.Condition, &s.Remarks, &s.Temperature, &s.BlockTemperature, &s.Humidity}
	i := slices.Index(keys, key)
	switch {
	case i < 0:
		return s.refuse(plain(v), "%q: no key of a check sheet; want standards, %s, or ## before a comment", clip(key), strings.Join(keys, ", "))
	case fields[i].Given():
		return s.refuse(plain(v), "%s for the second time; want it once", key)
	}
	*fields[i] = v
	return nil
}
