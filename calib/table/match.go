package table

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
)

// A File is a table that was read and matched, every value still text.
type File struct {
	Name      string
	Kind      string   // of table
	Encoding  string   // "UTF-8", "UTF-16", "Windows-1252", or which sheet of a workbook
	Separator string   // in words; empty for a workbook
	Unread    []string // headings that are no column of this table
	Records   []Record
	Faults    []error // lines that cannot be used at all, each a [*sheet.LineError]
}

// A Record is one line under the columns of its table.
type Record struct {
	Line  int
	file  *File
	cells map[string][]cell
	m     *sheet.Mapping
}

// A cell is a text with the unit of its heading.
type cell struct{ text, unit string }

// Kinds lists the tables that can be read.
func Kinds() []Kind { return slices.Clone(kinds) }

// Read reads a table of a kind. A file that is no such table is refused with
// one error that may have several lines; single lines that cannot be used are
// in the file's Faults.
func Read(kind, name string, data []byte, m sheet.Mapping) (*File, error) {
	i := slices.IndexFunc(kinds, func(k Kind) bool { return k.Name == kind })
	if i < 0 {
		return nil, fmt.Errorf("%s: %q: no table that can be read; want one of %s", name, kind, names(kinds, func(k Kind) string { return k.Name }))
	}
	k := kinds[i]
	g, err := cut(name, data, m)
	if err != nil {
		return nil, err
	}
	f := &File{Name: name, Kind: kind, Encoding: g.encoding, Separator: separatorName(g.separator), Faults: g.faults}
	places, err := matching{k, g, &m}.places(f)
	if err != nil {
		return nil, err
	}
	for _, row := range g.rows {
		f.Records = append(f.Records, record(f, row, places, &m))
	}
	if len(g.rows) == 0 && len(g.faults) == 0 {
		return nil, g.fault(0, "no line under the headings; want one for each of the %s", kind)
	}
	return f, nil
}

// A place is which column stands at a heading, and in which unit.
type place struct{ column, unit string }

// matching finds the columns of a table under the headings of a file.
type matching struct {
	kind Kind
	grid *grid
	m    *sheet.Mapping
}

// places returns what stands under each heading; a place without a column is
// not read.
func (t matching) places(f *File) ([]place, error) {
	var faults []error
	out := make([]place, len(t.grid.heading.cells))
	faults = append(faults, t.mapped(out)...)
	for i, h := range t.grid.heading.cells {
		if out[i].column == "" {
			out[i] = t.recognise(h)
		}
		first := slices.IndexFunc(out[:i], func(p place) bool { return p.column == out[i].column })
		switch c, known := t.column(out[i].column); {
		case !known && h != "":
			f.Unread = append(f.Unread, h)
		case known && first >= 0 && !c.Many:
			faults = append(faults, t.grid.fault(t.grid.heading.line, "headings %q and %q: both the column %s; want one, or the mapping to say which", clip(t.grid.heading.cells[first]), clip(h), c.Name))
		}
	}
	for _, c := range t.kind.Columns {
		if _, filled := t.m.Fill[c.Name]; c.Wanted && !filled && !slices.ContainsFunc(out, func(p place) bool { return p.column == c.Name }) {
			faults = append(faults, t.grid.fault(t.grid.heading.line, "no column %s among %s; want one, or the mapping to name it", c.Name, clip(strings.Join(t.grid.heading.cells, ", "))))
		}
	}
	return out, errors.Join(faults...)
}

func (t matching) column(name string) (Column, bool) {
	i := slices.IndexFunc(t.kind.Columns, func(c Column) bool { return c.Name == name })
	if name == "" || i < 0 {
		return Column{}, false
	}
	return t.kind.Columns[i], true
}

// mapped gives headings the columns that the mapping says, and refuses what in
// it means nothing for this table.
func (t matching) mapped(out []place) (faults []error) {
	refuse := func(at sheet.Field, format string, args ...any) {
		faults = append(faults, t.m.Refuse(at, format, args...))
	}
	if t.m.Table != "" && t.m.Table != t.kind.Name {
		refuse(sheet.Field{}, "is for the table %q; want one for %s", clip(t.m.Table), t.kind.Name)
	}
	known := names(t.kind.Columns, func(c Column) string { return c.Name })
	for name, heading := range ordered(t.m.Columns) {
		_, ok := t.column(name)
		i := slices.IndexFunc(t.grid.heading.cells, func(h string) bool { return h == heading.Text })
		if i < 0 {
			i = slices.IndexFunc(t.grid.heading.cells, func(h string) bool { return letters(h) == letters(heading.Text) && letters(h) != "" })
		}
		switch {
		case !ok:
			refuse(heading, "%q: no column of the table %s; want one of %s", clip(name), t.kind.Name, known)
		case i < 0:
			refuse(heading, "%q: no heading of %s; want one of %s", clip(heading.Text), t.grid.name, clip(strings.Join(t.grid.heading.cells, ", ")))
		default:
			_, unit := bracketed(t.grid.heading.cells[i])
			out[i] = place{name, unit}
		}
	}
	for name, v := range ordered(t.m.Fill) {
		if _, ok := t.column(name); !ok {
			refuse(v, "%q: no column of the table %s; want one of %s", clip(name), t.kind.Name, known)
		}
	}
	for name, list := range t.m.Words {
		for _, v := range list {
			if _, ok := t.column(name); !ok {
				refuse(v, "%q: no column of the table %s; want one of %s", clip(name), t.kind.Name, known)
			}
			break
		}
	}
	return InOrder(faults)
}

// recognise finds the column that a heading means; none where it means none,
// or where the mapping took another heading for it.
func (t matching) recognise(heading string) place {
	for _, h := range []string{heading, strings.TrimRight(heading, "0123456789 .#")} {
		bare, unit := bracketed(h)
		for _, c := range t.kind.Columns {
			if _, taken := t.m.Columns[c.Name]; taken || h != heading && !c.Many {
				continue
			}
			for _, spelling := range append([]string{letters(c.Name)}, c.Spellings...) {
				switch spelling {
				case letters(h):
					return place{c.Name, ""}
				case letters(bare):
					return place{c.Name, unit}
				}
			}
		}
	}
	return place{}
}

// bracketed cuts "Resolution [mm]" in two.
func bracketed(heading string) (bare, unit string) {
	i := strings.IndexAny(heading, "([")
	if i <= 0 {
		return heading, ""
	}
	return strings.TrimSpace(heading[:i]), strings.TrimSpace(strings.TrimRight(strings.TrimSpace(heading[i+1:]), ")]"))
}

// letters is a heading by its letters and digits alone, in lower case.
func letters(heading string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, heading)
}

func record(f *File, row gridRow, places []place, m *sheet.Mapping) Record {
	r := Record{Line: row.line, file: f, cells: map[string][]cell{}, m: m}
	for i, p := range places {
		if p.column == "" || i >= len(row.cells) || row.cells[i] == "" {
			continue
		}
		r.cells[p.column] = append(r.cells[p.column], cell{r.translated(p.column, row.cells[i]), p.unit})
	}
	for column, v := range m.Fill {
		if len(r.cells[column]) == 0 && v.Text != "" {
			r.cells[column] = []cell{{v.Text, ""}}
		}
	}
	return r
}

// translated is the word here for one in the table.
func (r Record) translated(column, text string) string {
	if to, ok := r.m.Words[column][strings.ToLower(text)]; ok {
		return to.Text
	}
	return text
}

// fault puts an error at the record's line, unless it has one.
func (r Record) fault(err error) error {
	var at *sheet.LineError
	switch {
	case err == nil, errors.As(err, &at) && at.Line > 0:
		return err
	case at != nil:
		return &sheet.LineError{Name: r.file.Name, Line: r.Line, Where: at.Where, Err: at.Err}
	}
	return &sheet.LineError{Name: r.file.Name, Line: r.Line, Err: err}
}

// Fault is an error at the record's line, for what only the registry can say.
func (r Record) Fault(err error) error { return r.fault(err) }

// text returns the cell of a column that comes once.
func (r Record) text(column string) string {
	if list := r.cells[column]; len(list) > 0 {
		return list[0].text
	}
	return ""
}

// date reads a column's date; an empty cell is none.
func (r Record) date(column string) (calib.Date, error) {
	if r.text(column) == "" {
		return calib.Date{}, nil
	}
	d, err := calib.ParseDateIn(r.text(column), r.m.Dates)
	if err != nil {
		return d, fmt.Errorf("%s: %w; or dates in the mapping", words(column), err)
	}
	return d, nil
}

// dayOf is the date of what the record is of, which must be given.
func (r Record) dayOf(what string) (calib.Date, error) {
	day, err := r.date("date")
	if err == nil && day.IsZero() {
		err = fmt.Errorf("date: nothing given; want the day of the %s", what)
	}
	return day, r.fault(err)
}

// Day is the record's date as it sorts; what is no date is as it was written.
func (r Record) Day() string {
	if d, err := r.date("date"); err == nil {
		return d.String()
	}
	return r.text("date")
}

func words(column string) string { return strings.ReplaceAll(column, "_", " ") }

func names[T any](list []T, name func(T) string) string {
	var out []string
	for _, v := range list {
		out = append(out, name(v))
	}
	return strings.Join(out, ", ")
}

// clip keeps a message to one readable line.
func clip(text string) string {
	const most = 80 // enough to recognise a line of headings
	r := []rune(text)
	if len(r) <= most {
		return text
	}
	return string(r[:most]) + "…"
}

// ordered walks a mapping's fields by the order of their columns' names.
func ordered(fields map[string]sheet.Field) func(func(string, sheet.Field) bool) {
	return func(yield func(string, sheet.Field) bool) {
		for _, name := range slices.Sorted(maps.Keys(fields)) {
			if !yield(name, fields[name]) {
				return
			}
		}
	}
}
