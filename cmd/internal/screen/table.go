package screen

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// An Align says how the cells of a column line up.
type Align int

// Left, right, or on the decimal point, where a cell without a point ends at
// the place where the others have it.
const (
	Left Align = iota
	Right
	Decimal
)

// A Column is a heading with the alignment of what stands under it. A heading
// may have several lines, parted by "\n": the lower one carries the unit.
type Column struct {
	Title string
	Align Align
}

// A Table is finished text in rows and columns.
type Table struct {
	Columns []Column
	Rows    [][]string
}

// Add appends a row; cells that are left out are empty.
func (t *Table) Add(cells ...string) { t.Rows = append(t.Rows, cells) }

// gap parts two columns.
const gap = "  "

// Write sets the table with a ruled heading. Trailing blanks are cut, so that
// a pipe and a file get the same clean bytes.
func (t Table) Write(w io.Writer) error {
	cells := t.aligned()
	head := t.heading()
	width := make([]int, len(t.Columns))
	for c := range t.Columns {
		for _, line := range head {
			width[c] = max(width[c], utf8.RuneCountInString(line[c]))
		}
		for _, row := range cells {
			width[c] = max(width[c], utf8.RuneCountInString(row[c]))
		}
	}
	var b strings.Builder
	for _, line := range head {
		t.line(&b, line, width)
	}
	rule := make([]string, len(width))
	for c, n := range width {
		rule[c] = strings.Repeat("─", n)
	}
	t.line(&b, rule, width)
	for _, row := range cells {
		t.line(&b, row, width)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func (t Table) line(b *strings.Builder, cells []string, width []int) {
	var line strings.Builder
	for c, cell := range cells {
		if c > 0 {
			line.WriteString(gap)
		}
		pad := strings.Repeat(" ", width[c]-utf8.RuneCountInString(cell))
		if t.Columns[c].Align == Left {
			line.WriteString(cell + pad)
		} else {
			line.WriteString(pad + cell)
		}
	}
	fmt.Fprintln(b, strings.TrimRight(line.String(), " "))
}

// heading parts the titles into lines, the last ones on the same level.
func (t Table) heading() [][]string {
	rows := 1
	for _, c := range t.Columns {
		rows = max(rows, strings.Count(c.Title, "\n")+1)
	}
	out := make([][]string, rows)
	for r := range out {
		out[r] = make([]string, len(t.Columns))
	}
	for i, c := range t.Columns {
		lines := strings.Split(c.Title, "\n")
		for j, l := range lines {
			out[j][i] = l
		}
	}
	return out
}

// aligned pads the decimal columns so that all points stand under each other.
func (t Table) aligned() [][]string {
	out := make([][]string, len(t.Rows))
	for r, row := range t.Rows {
		out[r] = make([]string, len(t.Columns))
		copy(out[r], row)
	}
	for c, col := range t.Columns {
		if col.Align != Decimal {
			continue
		}
		behind := 0
		for _, row := range out {
			behind = max(behind, afterPoint(row[c]))
		}
		for _, row := range out {
			if row[c] != "" {
				row[c] += strings.Repeat(" ", behind-afterPoint(row[c]))
			}
		}
	}
	return out
}

// afterPoint counts the characters from the decimal point on.
func afterPoint(s string) int {
	if i := strings.IndexByte(s, '.'); i >= 0 {
		return utf8.RuneCountInString(s[i:])
	}
	return 0
}

// Facts sets labels and values in two columns.
func Facts(w io.Writer, pairs ...[2]string) error {
	width := 0
	for _, p := range pairs {
		width = max(width, utf8.RuneCountInString(p[0]))
	}
	for _, p := range pairs {
		if p[1] == "" {
			continue
		}
		if _, err := fmt.Fprintf(w, "%s%s%s%s\n", p[0], strings.Repeat(" ", width-utf8.RuneCountInString(p[0])), gap, p[1]); err != nil {
			return err
		}
	}
	return nil
}
