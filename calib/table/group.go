package table

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
)

// A Group is the lines of one certificate, check or survey, in their order.
type Group struct {
	records []Record
	torn    int
}

// Groups gathers the lines that belong together, in the order of their first.
func (f *File) Groups() []Group {
	by := []string{"standard", "number"}
	switch f.Kind {
	case Surveys:
		by = []string{"lot", "date", "gauge", "survey"}
	case Checks:
		by = []string{"gauge", "date", "stage", "purpose", "check"}
	}
	var out []Group
	at, torn := map[string]int{}, f.torn()
	for _, r := range f.Records {
		var key strings.Builder
		for _, column := range by {
			fmt.Fprintf(&key, "%q ", r.text(column))
		}
		i, there := at[key.String()]
		if !there {
			i = len(out)
			at[key.String()] = i
			out = append(out, Group{})
		}
		out[i].records = append(out[i].records, r)
		out[i].torn = max(out[i].torn, torn[r.Line])
	}
	return out
}

// First is the group's first line, which its faults as a whole are said of.
func (g Group) First() Record { return g.records[0] }

// Torn is a line of the file that could not be read beside one of the group's:
// it may be one of them, without which the group is not whole. It is 0 where
// there is none.
func (g Group) Torn() int { return g.torn }

// torn gives by its line each record beside which a line could not be read, and
// that line.
func (f *File) torn() map[int]int {
	out := map[int]int{}
	for _, fault := range f.Faults {
		line := lineOf(fault)
		i, _ := slices.BinarySearchFunc(f.Records, line, func(r Record, line int) int { return r.Line - line })
		for _, beside := range f.Records[max(i-1, 0):min(i+1, len(f.Records))] {
			out[beside.Line] = line
		}
	}
	return out
}

// Lines is how many lines it has.
func (g Group) Lines() int { return len(g.records) }

// agree refuses a group whose lines say different things of what is one.
func (g Group) agree(columns ...string) error {
	for _, r := range g.records[1:] {
		for _, column := range columns {
			if a, b := g.First().text(column), r.text(column); a != b && b != "" {
				return r.fault(fmt.Errorf("%s: %q, and %q on line %d; want one for the whole", words(column), clip(b), clip(a), g.First().Line))
			}
		}
	}
	return nil
}

// sheetOf writes the group's cells of some columns as a sheet of their own for
// the reader that knows such sheets, each line where it stands in the table.
// The column many has as many cells as the line with most of them.
func (g Group) sheetOf(columns []string, many string) (string, error) {
	counts, heading := map[string]int{}, []string{}
	for _, c := range columns {
		counts[c] = 1
		if c == many {
			counts[c] = slices.MaxFunc(g.records, func(a, b Record) int { return len(a.cells[c]) - len(b.cells[c]) }).count(c)
		}
		heading = append(heading, slices.Repeat([]string{c}, counts[c])...)
	}
	var b strings.Builder
	w := csv.NewWriter(&b)
	errs, line := []error{w.Write(heading)}, 1
	for _, r := range g.records {
		var row []string
		for _, c := range columns {
			for i := range counts[c] {
				text, err := r.sheetCell(c, i)
				errs, row = append(errs, err), append(row, text)
			}
		}
		w.Flush()
		b.WriteString(strings.Repeat("\n", r.Line-line-1))
		errs, line = append(errs, w.Write(row)), r.Line
	}
	w.Flush()
	return b.String(), first(errs...)
}

func (r Record) count(column string) int { return len(r.cells[column]) }

// sheetCell is the cell i of a column as a sheet has it, empty where there is
// none: its unit behind it where only the heading named one. A break would put
// the lines out of count.
func (r Record) sheetCell(column string, i int) (string, error) {
	if i >= r.count(column) {
		return "", nil
	}
	c := r.cells[column][i]
	text := r.decimal(c.text)
	switch {
	case strings.ContainsAny(text, "\r\n"):
		return "", r.fault(fmt.Errorf("%s: %q: a line break in a cell; want one line", words(column), clip(text)))
	case strings.HasPrefix(text, "#"):
		return "", r.fault(fmt.Errorf("%s: %q: begins with #; want a value", words(column), clip(text)))
	case isPlain(text):
		return strings.TrimSpace(text + " " + cmp.Or(c.unit, r.text(unitColumn(column)))), nil
	}
	return text, nil
}

// unitColumn is the column that may hold the unit of another one's numbers.
func unitColumn(column string) string {
	switch column {
	case "deviation", "expanded":
		return "unit"
	case "nominal", "value":
		return "nominal_unit"
	default:
		return ""
	}
}

// Placed puts what was refused of the group as a whole at its first line; what
// has a line keeps it.
func (g Group) Placed(err error) error { return g.First().fault(err) }
