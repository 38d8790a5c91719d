package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

// MaxSize is the most that is taken in, in bytes. The largest sheet a plan
// allows has 200 points of 50 readings and stays below half of it. A caller
// that reads MaxSize+1 bytes knows enough to hand in (house rule).
const MaxSize = 1 << 18

// mostKeys bounds the keys of a document, because the decoder looks through
// all keys of a table for each new one. The largest plan and the largest sheet
// have about a thousand (house rule).
const mostKeys = 5000

// A nodeKind is what stands behind a key; its text is used in messages.
type nodeKind string

const (
	scalar nodeKind = "one value"
	items  nodeKind = "a list"
	table  nodeKind = "a table"
)

// A node is one value of a document with its line.
type node struct {
	kind nodeKind
	line int
	text string // of a scalar: a string's content, else the characters as written
	list []*node
	keys map[string]*node
}

// clean refuses what is no text of bearable size, and takes the byte order
// mark off that some editors write first.
func clean(name string, data []byte) ([]byte, error) {
	refuse := func(line int, format string, args ...any) ([]byte, error) {
		return nil, &LineError{Name: name, Line: line, Err: fmt.Errorf(format, args...)}
	}
	if len(data) > MaxSize {
		return refuse(0, "more than %d bytes; want a sheet of at most %d", MaxSize, MaxSize)
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if len(bytes.TrimSpace(data)) == 0 {
		return refuse(0, "nothing in it; want a filled-in sheet")
	}
	line := 1
	for rest := data; len(rest) > 0; {
		r, n := utf8.DecodeRune(rest)
		switch {
		case r == utf8.RuneError && n == 1:
			return refuse(line, "a byte that is no UTF-8 text; save it as UTF-8")
		case r == 0:
			return refuse(line, "a zero byte; want plain text")
		case r == '\n':
			line++
		}
		rest = rest[n:]
	}
	return data, nil
}

// openTOML reads a document of format 1.
func openTOML(name, noun string, data []byte) (*form, error) {
	top, err := parseTOML(name, data)
	if err != nil {
		return nil, err
	}
	f := &form{name: name, noun: noun, table: top, fault: &fault{}}
	switch v := f.field("format"); {
	case !v.Given():
		return nil, &LineError{Name: name, Where: "format", Err: errors.New("nothing given; write format = 1")}
	case len(v.Text) > 0 && v.Text != "1" && strings.Trim(v.Text, "0123456789") == "":
		return nil, v.fault(name, fmt.Errorf("%q: newer than this program reads; want 1", clip(v.Text)))
	case v.Text != "1":
		return nil, v.fault(name, fmt.Errorf("%q: want 1", clip(v.Text)))
	}
	return f, nil
}

// parseTOML walks a document twice: by TOML's parser, which knows the
// characters and the lines, and by its decoder, which knows what may not stand
// together. The tree of a document that the decoder refuses is not used.
func parseTOML(name string, data []byte) (*node, error) {
	data, err := clean(name, data)
	if err != nil {
		return nil, err
	}
	w := walk(name, data)
	if w.keys > mostKeys {
		return nil, &LineError{Name: name, Err: fmt.Errorf("more than %d keys; want a sheet of at most %d", mostKeys, mostKeys)}
	}
	var taken map[string]any
	if err := toml.Unmarshal(data, &taken); err != nil {
		return nil, syntaxFault(name, data, err)
	}
	return w.top, w.err
}

func walk(name string, data []byte) *walker {
	w := &walker{name: name, top: newTable(1)}
	w.current = w.top
	for i, c := range data {
		if c == '\n' {
			w.ends = append(w.ends, i)
		}
	}
	w.parser.Reset(data)
	for w.keys <= mostKeys && w.parser.NextExpression() {
		w.expression(w.parser.Expression())
	}
	return w
}

func newTable(line int) *node { return &node{kind: table, line: line, keys: map[string]*node{}} }

// syntaxFault turns the decoder's words into a place and what is wanted. A
// bare decimal comma is the likeliest slip, and TOML's words do not name it.
func syntaxFault(name string, data []byte, err error) error {
	var d *toml.DecodeError
	if !errors.As(err, &d) {
		return &LineError{Name: name, Err: fmt.Errorf("not TOML: %w", err)}
	}
	line, _ := d.Position()
	comma := regexp.MustCompile(`=\s*([+-]?\d+,\d+)\s*(#.*)?$`)
	if lines := bytes.Split(data, []byte("\n")); line >= 1 && line <= len(lines) {
		if m := comma.FindSubmatch(bytes.TrimRight(lines[line-1], "\r")); m != nil {
			typed := string(m[1])
			return &LineError{Name: name, Line: line, Err: fmt.Errorf("%q: a decimal comma; write %s", clip(typed), clip(strings.Replace(typed, ",", ".", 1)))}
		}
	}
	return &LineError{Name: name, Line: line, Err: fmt.Errorf("not TOML: %s; want key = value", strings.TrimPrefix(d.Error(), "toml: "))}
}

// A walker builds the tree of a document.
type walker struct {
	name    string
	parser  unstable.Parser
	ends    []int // offsets of the line ends
	top     *node
	current *node // the table that keys go into
	keys    int   // counted, each part of a dotted one
	err     error // the first thing that TOML allows and a sheet does not
}

func (w *walker) expression(e *unstable.Node) {
	switch e.Kind {
	case unstable.Table:
		w.current = w.reach(w.top, e.Key(), false)
	case unstable.ArrayTable:
		w.current = w.reach(w.top, e.Key(), true)
	case unstable.KeyValue:
		w.put(w.current, e)
	}
}

// put stores a key, dotted or not, under a table.
func (w *walker) put(under *node, e *unstable.Node) {
	for it := e.Key(); it.Next(); {
		w.keys++
		part := it.Node()
		if !it.IsLast() {
			under = w.step(under, part)
			continue
		}
		under.keys[string(part.Data)] = w.value(e.Value(), w.line(part.Raw))
	}
}

// reach walks a table header from the top and returns its table; appended says
// that the last part begins a new element of a list of tables.
func (w *walker) reach(from *node, key unstable.Iterator, appended bool) *node {
	for key.Next() {
		w.keys++
		part := key.Node()
		if !appended || !key.IsLast() {
			from = w.step(from, part)
			continue
		}
		l := from.keys[string(part.Data)]
		if l == nil {
			l = &node{kind: items, line: w.line(part.Raw)}
			from.keys[string(part.Data)] = l
		}
		from = newTable(w.line(part.Raw))
		l.list = append(l.list, from)
	}
	return from
}

// step goes to a table by one part of a key, and makes it where it is new. Of
// a list of tables, the last one is meant. What is no table is left alone: the
// decoder refuses the document.
func (w *walker) step(from *node, part *unstable.Node) *node {
	n := from.keys[string(part.Data)]
	if n == nil {
		n = newTable(w.line(part.Raw))
		from.keys[string(part.Data)] = n
	}
	if n.kind == items && len(n.list) > 0 {
		n = n.list[len(n.list)-1]
	}
	if n.kind != table {
		return newTable(n.line)
	}
	return n
}

// value copies a value out of the parser; line is that of its key, for values
// that have no place of their own.
func (w *walker) value(v *unstable.Node, line int) *node {
	switch v.Kind {
	case unstable.Array:
		return w.array(v, line)
	case unstable.InlineTable:
		n := newTable(line)
		for it := v.Children(); it.Next(); {
			w.put(n, it.Node())
		}
		return n
	}
	if v.Raw.Length > 0 {
		line = w.line(v.Raw)
	}
	return &node{kind: scalar, line: line, text: string(v.Data)}
}

// array copies a list. Two bare whole numbers with nothing but a comma between
// are refused: [2,501] is two readings to TOML and one to a German keyboard.
func (w *walker) array(v *unstable.Node, line int) *node {
	n := &node{kind: items, line: line}
	var before *unstable.Node
	for it := v.Children(); it.Next(); {
		e := it.Node()
		if e.Kind == unstable.Comment {
			continue
		}
		if before != nil && w.err == nil && w.glued(before, e) {
			typed := string(before.Data) + "," + string(e.Data)
			w.err = &LineError{Name: w.name, Line: w.line(e.Raw), Err: fmt.Errorf("%q: one number or two; write %s, or a blank after the comma",
				clip(typed), clip(strings.Replace(typed, ",", ".", 1)))}
		}
		before = e
		n.list = append(n.list, w.value(e, line))
	}
	return n
}

func (w *walker) glued(a, b *unstable.Node) bool {
	return a.Kind == unstable.Integer && b.Kind == unstable.Integer &&
		b.Raw.Offset == a.Raw.Offset+a.Raw.Length+1 && b.Data[0] >= '0' && b.Data[0] <= '9'
}

func (w *walker) line(r unstable.Range) int {
	n, _ := slices.BinarySearch(w.ends, int(r.Offset))
	return n + 1
}
