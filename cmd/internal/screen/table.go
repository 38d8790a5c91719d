package screen

import (
	"io"
	"slices"
	"strings"
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

	// Wrap lets long texts go on in the next line where the table is wider
	// than a line.
	Wrap bool
}

// A Table is finished text in rows and columns.
type Table struct {
	Columns []Column
	Rows    [][]string

	room []string // for the cells of rows to come
}

// roomFor is for how many rows room is made at once (house rule).
const roomFor = 64

// Add appends a row; cells that are left out are empty.
func (t *Table) Add(cells ...string) {
	if cap(t.room)-len(t.room) < len(cells) {
		t.room = make([]string, 0, roomFor*max(len(cells), 1))
	}
	from := len(t.room)
	t.room = append(t.room, cells...)
	t.Rows = append(t.Rows, t.room[from:len(t.room):len(t.room)])
}

// gap parts two columns, narrowGap those of a table that is wider than a line.
const (
	gap       = "  "
	narrowGap = " "
)

// Write sets the table with a ruled heading. A column in which nothing stands
// is left out. A table wider than [Width] has its long texts wrapped, then its
// gaps narrowed; figures are never broken. Trailing blanks are cut, so that a
// pipe and a file get the same clean bytes.
func (t Table) Write(w io.Writer) error {
	t = t.filled()
	cells, head := t.aligned(), t.heading()
	widths, between := natural(slices.Concat(head, cells)), gap
	if total(widths, between) > Width {
		least := words(slices.Concat(head, cells))
		for c, n := range natural(head) { // a title is not wrapped
			least[c] = max(least[c], n)
		}
		widths, between = t.fit(widths, least)
	}
	var b strings.Builder
	for _, line := range head {
		t.line(&b, line, widths, between)
	}
	rule := make([]string, len(widths))
	for c, n := range widths {
		rule[c] = strings.Repeat("─", n)
	}
	t.line(&b, rule, widths, between)
	b.Grow((total(widths, between) + 1) * (len(cells) + len(head) + 1))
	for _, row := range cells {
		if t.fits(row, widths) {
			t.line(&b, row, widths, between)
			continue
		}
		for _, line := range t.wrapped(row, widths) {
			t.line(&b, line, widths, between)
		}
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// filled leaves out the columns in which nothing stands.
func (t Table) filled() Table {
	used := func(c int) bool {
		return slices.ContainsFunc(t.Rows, func(row []string) bool { return c < len(row) && row[c] != "" })
	}
	if len(t.Rows) == 0 {
		return t
	}
	var out Table
	var from []int
	for c, col := range t.Columns {
		if used(c) {
			out.Columns, from = append(out.Columns, col), append(from, c)
		}
	}
	if len(from) == len(t.Columns) {
		return t
	}
	out.Rows = make([][]string, len(t.Rows))
	cells := make([]string, len(t.Rows)*len(from))
	for r, row := range t.Rows {
		out.Rows[r] = cells[r*len(from) : (r+1)*len(from)]
		for i, c := range from {
			if c < len(row) {
				out.Rows[r][i] = row[c]
			}
		}
	}
	return out
}

// natural returns the width of each column's longest cell.
func natural(rows [][]string) []int {
	return widest(rows, func(cell string) int { return length(cell) })
}

// words returns the width of each column's longest word, below which a column
// cannot go.
func words(rows [][]string) []int {
	return widest(rows, func(cell string) int {
		n := 0
		for word := range strings.FieldsSeq(cell) {
			n = max(n, length(word))
		}
		return n
	})
}

func widest(rows [][]string, of func(string) int) []int {
	out := make([]int, len(rows[0]))
	for _, row := range rows {
		for c, cell := range row {
			out[c] = max(out[c], of(cell))
		}
	}
	return out
}

// comfortable is how narrow a wrapped text may become before the gaps are
// narrowed instead, in characters (house rule).
const comfortable = 24

// fit narrows the columns that wrap, the widest first, until the table is no
// wider than a line, and returns the widths with the gap.
func (t Table) fit(widths, least []int) (fitted []int, between string) {
	for _, try := range []struct {
		between string
		floor   int
	}{{gap, comfortable}, {narrowGap, comfortable}, {narrowGap, 0}} {
		fitted, between = slices.Clone(widths), try.between
		for over := total(fitted, between) - Width; over > 0; over-- {
			c := t.widestWrap(fitted, least, try.floor)
			if c < 0 {
				break
			}
			fitted[c]--
		}
		if total(fitted, between) <= Width {
			break
		}
	}
	return fitted, between
}

// widestWrap returns the widest column that may still be narrowed, or -1.
func (t Table) widestWrap(widths, least []int, floor int) int {
	best := -1
	for c, col := range t.Columns {
		if col.Wrap && widths[c] > max(least[c], floor) && (best < 0 || widths[c] > widths[best]) {
			best = c
		}
	}
	return best
}

func total(widths []int, between string) int {
	sum := len(between) * (len(widths) - 1)
	for _, n := range widths {
		sum += n
	}
	return sum
}

// fits reports whether a row is set in one line.
func (t Table) fits(row []string, widths []int) bool {
	for c, cell := range row {
		if len(cell) > widths[c] && t.Columns[c].Wrap {
			return false
		}
	}
	return true
}

// wrapped parts one row into as many lines as its longest text needs.
func (t Table) wrapped(row []string, widths []int) [][]string {
	var out [][]string
	for c, cell := range row {
		parts := []string{cell}
		if t.Columns[c].Wrap && length(cell) > widths[c] {
			parts = Wrap(cell, widths[c])
		}
		for i, part := range parts {
			if i == len(out) {
				out = append(out, make([]string, len(row)))
			}
			out[i][c] = part
		}
	}
	return out
}

func (t Table) line(b *strings.Builder, cells []string, width []int, between string) {
	blanks := 0 // that are written only if something stands behind them
	for c, cell := range cells {
		if c > 0 {
			blanks += len(between)
		}
		pad := width[c] - length(cell)
		if t.Columns[c].Align != Left {
			blanks, pad = blanks+pad, 0
		}
		if text := strings.TrimRight(cell, " "); text != "" {
			for ; blanks > 0; blanks-- {
				b.WriteByte(' ')
			}
			b.WriteString(text)
			pad += len(cell) - len(text)
		} else {
			pad += len(cell)
		}
		blanks += pad
	}
	b.WriteByte('\n')
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
	if t.even() {
		return t.Rows
	}
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

// even reports whether every row has all cells, and none is to be padded.
func (t Table) even() bool {
	return !slices.ContainsFunc(t.Columns, func(c Column) bool { return c.Align == Decimal }) &&
		!slices.ContainsFunc(t.Rows, func(row []string) bool { return len(row) != len(t.Columns) })
}

// afterPoint counts the characters from the decimal point on.
func afterPoint(s string) int {
	if i := strings.IndexByte(s, '.'); i >= 0 {
		return length(s[i:])
	}
	return 0
}
