package sheet

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
)

// A Mapping says how somebody's own table is to be read: which of its headings
// is which column, and what is written otherwise than here. Its zero value
// leaves all that to be recognised.
type Mapping struct {
	Name string // as handed in, for messages

	Table     string // that it is for; empty: any
	Encoding  string // utf-8, utf-16 or windows-1252; empty: recognised
	Separator rune   // 0: recognised
	Sheet     string // of a workbook; empty: the only one that holds anything
	Heading   int    // line of the headings; 0: the first that is not empty
	Dates     calib.DateOrder
	Comma     bool // numbers have a decimal comma

	Columns map[string]Field            // by column: its heading in the table
	Fill    map[string]Field            // by column: what holds where the table says nothing
	Words   map[string]map[string]Field // by column and the table's word, in lower case: the word here
}

// The words of a mapping.
const (
	UTF8        = "utf-8"
	UTF16       = "utf-16"
	Windows1252 = "windows-1252"
)

// ReadMapping reads a mapping; the package comment shows it. Whether its
// columns are those of a table, who reads the table knows. Refusals are
// [*LineError].
func ReadMapping(name string, data []byte) (Mapping, error) {
	f, err := openTOML(name, "a mapping", data)
	if err != nil {
		return Mapping{}, err
	}
	m := Mapping{Name: name, Table: f.field("table").Text, Sheet: f.field("sheet").Text, Heading: f.whole(f.field("heading"), 0)}
	m.Encoding = word(f, f.field("encoding"), []string{UTF8, UTF16, Windows1252})
	m.Dates = word(f, f.field("dates"), calib.DateOrders())
	m.Comma = word(f, f.field("decimal"), []string{".", ","}) == ","
	if at := f.field("separator"); at.Given() {
		if !slices.Contains([]string{",", ";", "\t"}, at.Text) {
			f.refuse(at, `%q: want ",", ";" or "\t"`, clip(at.Text))
		} else {
			m.Separator = rune(at.Text[0])
		}
	}
	m.Columns, m.Fill = f.sub("columns", "the columns").texts(), f.sub("fill", "the fill").texts()
	m.Words = map[string]map[string]Field{}
	words := f.sub("words", "the words")
	for _, column := range words.names() {
		m.Words[column] = map[string]Field{}
		for from, to := range words.sub(column, "the words").texts() {
			m.Words[column][strings.ToLower(strings.TrimSpace(from))] = to
		}
	}
	f.close()
	return m, f.fault.err
}

// names lists the keys of a table whose keys are anybody's, in their order by
// name.
func (f *form) names() (out []string) {
	if f.table == nil {
		return nil
	}
	for k := range f.table.keys {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// texts reads a table whose keys are anybody's and whose values are single.
func (f *form) texts() map[string]Field {
	out := map[string]Field{}
	for _, k := range f.names() {
		out[k] = f.field(k)
	}
	return out
}

// Refuse is the error of a field of the mapping that means nothing for the
// table that it was handed in with.
func (m Mapping) Refuse(at Field, format string, args ...any) error {
	return &LineError{Name: m.Name, Line: at.line, Where: at.where, Err: fmt.Errorf(format, args...)}
}
