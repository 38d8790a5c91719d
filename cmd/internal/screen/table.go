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

// A Table is finished text in rows and columns. The columns are set before the
// first row is added.
type Table struct {
	Columns []Column
	blocks  []*strings.Builder
	seen    []extent // of each column, so far
}

// A table keeps its cells one behind the other, each with its length before it.
// In a long list most cells say what the one above them says, and that takes a
// byte:
//
//	0                 as the cell above; the first row is below an empty one
//	1 + its length    as a varint, then its letters
const asAbove = 0

// blockSize is from how much text on another block is begun, in bytes (house
// rule): none is copied to let it grow.
const blockSize = 1 << 15

// An extent is what is known of the cells of a column: the last of them, and how
// many characters the longest have before the decimal point and from it on.
type extent struct {
	last           string
	used           bool
	before, behind int
}

func (e *extent) add(cell string, align Align) {
	e.last = cell
	if cell == "" {
		return
	}
	e.used = true
	n := length(cell)
	if align == Decimal {
		after := afterPoint(cell)
		e.behind = max(e.behind, after)
		n -= after
	}
	e.before = max(e.before, n)
}

// Add appends a row; cells that are left out are empty.
func (t *Table) Add(cells ...string) {
	n := len(t.blocks)
	if n == 0 {
		t.seen = make([]extent, len(t.Columns))
	}
	if n == 0 || t.blocks[n-1].Len() >= blockSize {
		b := &strings.Builder{}
		if n > 0 {
			b.Grow(blockSize * 5 / 4)
		}
		t.blocks = append(t.blocks, b)
	}
	b := t.blocks[len(t.blocks)-1]
	for c := range t.seen {
		cell := ""
		if c < len(cells) {
			cell = cells[c]
		}
		if cell == t.seen[c].last {
			b.WriteByte(asAbove)
			continue
		}
		t.seen[c].add(cell, t.Columns[c].Align)
		rest := len(cell) + 1
		for ; rest >= 1<<7; rest >>= 7 {
			b.WriteByte(byte(rest) | 1<<7)
		}
		b.WriteByte(byte(rest))
		b.WriteString(cell)
	}
}

// Empty reports whether no row was added.
func (t *Table) Empty() bool { return len(t.blocks) == 0 }

// rows goes through the rows. What is handed out is written over by the next.
func (t *Table) rows(yield func([]string) bool) {
	row := make([]string, len(t.Columns))
	for _, b := range t.blocks {
		for text := b.String(); len(text) > 0; {
			for c := range row {
				n, shift := 0, 0
				for ; text[0] >= 1<<7; shift += 7 {
					n, text = n|int(text[0]&(1<<7-1))<<shift, text[1:]
				}
				n, text = n|int(text[0])<<shift, text[1:]
				if n != asAbove {
					row[c], text = text[:n-1], text[n-1:]
				}
			}
			if !yield(row) {
				return
			}
		}
	}
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
	l := t.layout()
	for _, line := range l.head {
		l.line(line)
	}
	rule := make([]string, len(l.widths))
	for c, n := range l.widths {
		rule[c] = strings.Repeat("─", n)
	}
	l.line(rule)
	for row := range t.rows {
		row = l.set(row)
		if l.fits(row) {
			l.line(row)
		} else {
			for _, line := range l.wrapped(row) {
				l.line(line)
			}
		}
		if err := l.pass(w, passOn); err != nil {
			return err
		}
	}
	return l.pass(w, 0)
}

// passOn is from how much on what is set is passed on, in bytes (house rule):
// what a pipe of Linux takes at once.
const passOn = 1 << 16

// A layout is where the cells of a table stand, and what of it is set.
type layout struct {
	columns []Column
	from    []int      // the table's column that each one shows
	head    [][]string // lines of the heading
	widths  []int      // characters of each column
	behind  []int      // characters from the decimal point on, of each column
	between string
	row     []string // the cells of one row
	last    []letters
	text    []byte
}

// letters is a cell without the blanks behind it, with how many characters it
// has in all and how many of them are those blanks: as the next cell below mostly
// has the same, it is kept.
type letters struct {
	cell, text    string
	total, behind int
}

func lettersOf(cell string) letters {
	text := strings.TrimRight(cell, " ")
	return letters{cell, text, length(cell), len(cell) - len(text)}
}

// layout leaves out the columns in which nothing stands, and gives the others
// their widths.
func (t Table) layout() *layout {
	l := &layout{between: gap}
	for c, col := range t.Columns {
		var e extent
		if !t.Empty() {
			e = t.seen[c]
		}
		if e.used || t.Empty() {
			l.columns, l.from = append(l.columns, col), append(l.from, c)
			l.widths, l.behind = append(l.widths, e.before+e.behind), append(l.behind, e.behind)
		}
	}
	l.row, l.last = make([]string, len(l.from)), make([]letters, len(l.from))
	l.head = heading(l.columns)
	titles := make([]int, len(l.columns))
	for _, line := range l.head {
		for c, cell := range line {
			titles[c] = max(titles[c], length(cell))
			l.widths[c] = max(l.widths[c], titles[c])
		}
	}
	if total(l.widths, l.between) <= Width {
		return l
	}
	least := titles // a title is not wrapped
	for row := range t.rows {
		for c, from := range l.from {
			for word := range strings.FieldsSeq(row[from]) {
				least[c] = max(least[c], length(word))
			}
		}
	}
	l.fit(least)
	return l
}

// set takes the cells that are shown out of a row, and pads those of the decimal
// columns so that all points stand under each other.
func (l *layout) set(row []string) []string {
	for c, from := range l.from {
		cell := row[from]
		if l.columns[c].Align == Decimal && cell != "" {
			cell += strings.Repeat(" ", l.behind[c]-afterPoint(cell))
		}
		l.row[c] = cell
	}
	return l.row
}

// pass writes what is set, if it is as much as that.
func (l *layout) pass(w io.Writer, least int) error {
	if len(l.text) == 0 || len(l.text) < least {
		return nil
	}
	_, err := w.Write(l.text)
	l.text = l.text[:0]
	return err
}

// comfortable is how narrow a wrapped text may become before the gaps are
// narrowed instead, in characters (house rule).
const comfortable = 24

// fit narrows the columns that wrap, the widest first, until the table is no
// wider than a line.
func (l *layout) fit(least []int) {
	widths := l.widths
	for _, try := range []struct {
		between string
		floor   int
	}{{gap, comfortable}, {narrowGap, comfortable}, {narrowGap, 0}} {
		l.widths, l.between = slices.Clone(widths), try.between
		for over := total(l.widths, l.between) - Width; over > 0; over-- {
			c := l.widestWrap(least, try.floor)
			if c < 0 {
				break
			}
			l.widths[c]--
		}
		if total(l.widths, l.between) <= Width {
			break
		}
	}
}

// widestWrap returns the widest column that may still be narrowed, or -1.
func (l *layout) widestWrap(least []int, floor int) int {
	best := -1
	for c, col := range l.columns {
		if col.Wrap && l.widths[c] > max(least[c], floor) && (best < 0 || l.widths[c] > l.widths[best]) {
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
func (l *layout) fits(row []string) bool {
	for c, cell := range row {
		if len(cell) > l.widths[c] && l.columns[c].Wrap {
			return false
		}
	}
	return true
}

// wrapped parts one row into as many lines as its longest text needs.
func (l *layout) wrapped(row []string) [][]string {
	var out [][]string
	for c, cell := range row {
		parts := []string{cell}
		if l.columns[c].Wrap && length(cell) > l.widths[c] {
			parts = Wrap(cell, l.widths[c])
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

// someBlanks are as many as mostly part two cells.
const someBlanks = "                "

// line sets one line.
func (l *layout) line(cells []string) {
	blanks := 0 // that are written only if something stands behind them
	for c, cell := range cells {
		if c > 0 {
			blanks += len(l.between)
		}
		if cell != l.last[c].cell {
			l.last[c] = lettersOf(cell)
		}
		known := &l.last[c]
		pad := l.widths[c] - known.total
		if l.columns[c].Align != Left {
			blanks, pad = blanks+pad, 0
		}
		if known.text != "" {
			for ; blanks > len(someBlanks); blanks -= len(someBlanks) {
				l.text = append(l.text, someBlanks...)
			}
			l.text = append(append(l.text, someBlanks[:blanks]...), known.text...)
			blanks = 0
		}
		blanks += pad + known.behind
	}
	l.text = append(l.text, '\n')
}

// heading parts the titles into lines, the last ones on the same level.
func heading(columns []Column) [][]string {
	rows := 1
	for _, c := range columns {
		rows = max(rows, strings.Count(c.Title, "\n")+1)
	}
	out := make([][]string, rows)
	for r := range out {
		out[r] = make([]string, len(columns))
	}
	for i, c := range columns {
		lines := strings.Split(c.Title, "\n")
		for j, l := range lines {
			out[j][i] = l
		}
	}
	return out
}

// afterPoint counts the characters from the decimal point on.
func afterPoint(s string) int {
	if i := strings.IndexByte(s, '.'); i >= 0 {
		return length(s[i:])
	}
	return 0
}
