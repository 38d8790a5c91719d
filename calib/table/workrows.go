package table

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// bookRows are the rows of a sheet that hold anything, and by their numbers the
// rows that a merged cell reaches down to, with its reference.
type bookRows struct {
	list  []bookRow
	under map[int]string
}

// A bookRow is a row by its number from 1.
type bookRow struct {
	number int
	cells  []bookCell
}

// A bookCell is one cell as it is written.
type bookCell struct {
	Ref     string   `xml:"r,attr"`
	Type    string   `xml:"t,attr"`
	Style   int      `xml:"s,attr"`
	Formula *string  `xml:"f"`
	Value   string   `xml:"v"`
	Inline  richText `xml:"is"`
}

// holds reports whether a cell says anything.
func (c bookCell) holds() bool { return c.Value != "" || c.Formula != nil || c.Inline.String() != "" }

// rows reads a sheet.
func (b *workbook) rows(s bookSheet) (bookRows, error) {
	out := bookRows{under: map[int]string{}}
	there, err := b.decode(s.part, out.read)
	if !there && err == nil {
		err = fmt.Errorf("no whole workbook: its sheet %q is missing; want it saved anew", s.name)
	}
	return out, err
}

// read takes a sheet cell by cell: of those that hold nothing, a sheet may have
// more than there is room for.
func (b *bookRows) read(d *xml.Decoder) error {
	var merged []string
	row, column, begun := 0, 0, false
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) && begun {
			b.merge(merged)
			return nil
		}
		if err != nil {
			return err
		}
		start, ok := token.(xml.StartElement)
		begun = begun || ok
		switch start.Name.Local { // none of what is no start
		case "row":
			if row, err = rowAfter(row, start.Attr); err != nil {
				return err
			}
			column = 0
		case "c":
			var c bookCell
			if err := d.DecodeElement(&c, &start); err != nil {
				return err
			}
			if c.Ref == "" {
				c.Ref = columnName(column) + strconv.Itoa(row)
			}
			if at, ok := columnOf(c.Ref); ok {
				column = at + 1
			}
			b.add(row, c)
		case "mergeCell":
			merged = append(merged, attribute(start.Attr, "ref"))
		}
	}
}

// add keeps a cell that holds anything in its row, the last one or a new one.
func (b *bookRows) add(row int, c bookCell) {
	if !c.holds() {
		return
	}
	if n := len(b.list); n == 0 || b.list[n-1].number != row {
		b.list = append(b.list, bookRow{number: row})
	}
	last := &b.list[len(b.list)-1]
	last.cells = append(last.cells, c)
}

// rowAfter is the number of a row, which may be left out.
func rowAfter(before int, attributes []xml.Attr) (int, error) {
	text := attribute(attributes, "r")
	if text == "" {
		return before + 1, nil
	}
	n, err := strconv.ParseUint(text, 10, 31)
	if err != nil || int(n) <= before {
		return 0, fmt.Errorf("row %q after row %d", clip(text), before)
	}
	return int(n), nil
}

func attribute(list []xml.Attr, name string) string {
	for _, a := range list {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// merge notes the rows under the first of each merged cell.
func (b *bookRows) merge(refs []string) {
	slices.SortStableFunc(refs, func(a, b string) int { return firstRow(a) - firstRow(b) })
	reached := 0
	for _, ref := range refs {
		_, to, _ := strings.Cut(ref, ":")
		last := min(rowOf(to), mostLines)
		for row := max(firstRow(ref), reached) + 1; row <= last; row++ {
			b.under[row] = ref
		}
		reached = max(reached, last)
	}
}

func firstRow(ref string) int {
	from, _, _ := strings.Cut(ref, ":")
	return rowOf(from)
}

// columnOf is the column of a cell from 0, as 27 of AB12.
func columnOf(ref string) (int, bool) {
	n := 0
	for i, r := range ref {
		if r < 'A' || r > 'Z' || i > 3 {
			return n - 1, i > 0 && i <= 3
		}
		n = n*26 + int(r-'A') + 1
	}
	return n - 1, n > 0
}

func columnName(n int) string {
	if n < 26 {
		return string(rune('A' + n))
	}
	return columnName(n/26-1) + columnName(n%26)
}

func rowOf(ref string) int {
	n, _ := strconv.Atoi(strings.TrimLeft(ref, "ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
	return n
}
