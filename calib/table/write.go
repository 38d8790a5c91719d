package table

import (
	"encoding/csv"
	"encoding/json"
	"io"
)

// A Table is one table ready to be written: its name, its columns, and a cell
// for each under them.
type Table struct {
	Name    string
	Columns []string
	Rows    [][]string
}

// Add adds a row; cells left out at its end are empty.
func (t *Table) Add(cells ...string) {
	for len(cells) < len(t.Columns) {
		cells = append(cells, "")
	}
	t.Rows = append(t.Rows, cells)
}

// CSV writes the table as UTF-8 with commas and lines ended as RFC 4180 has
// it, every cell guarded.
func (t Table) CSV(w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	for _, row := range append([][]string{t.Columns}, t.Rows...) {
		guarded := make([]string, len(row))
		for i, c := range row {
			guarded[i] = guard(c)
		}
		if err := out.Write(guarded); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// JSON writes the table as a list of objects; the cells are text as in CSV,
// without its guards, so that numbers keep their digits. Empty cells are left
// out.
func (t Table) JSON(w io.Writer) error {
	list := make([]map[string]string, len(t.Rows))
	for i, row := range t.Rows {
		list[i] = map[string]string{}
		for j, c := range row {
			if c != "" {
				list[i][t.Columns[j]] = c
			}
		}
	}
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(list)
}
