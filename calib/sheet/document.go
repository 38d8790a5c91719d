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
// allows has 200 points of 50 readings, a tenth of it; a caller that reads
// MaxSize+1 bytes knows enough to hand in (house rule).
const MaxSize = 1 << 20

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

// parseTOML walks a document twice: once by the decoder, which knows what TOML
// allows, and once by its parser, which knows the characters and the lines.
func parseTOML(name string, data []byte) (*node, error) {
	data, err := clean(name, data)
	if err != nil {
		return nil, err
	}
	var any map[string]any
	if err := toml.Unmarshal(data, &any); err != nil {
		return nil, syntaxFault(name, data, err)
	}
	w := walker{name: name, top: &node{kind: table, line: 1, keys: map[string]*node{}}}
	w.current = w.top
	for i, c := range data {
		if c == '\n' {
			w.ends = append(w.ends, i)
		}
	}
	w.parser.Reset(data)
	for w.err == nil && w.parser.NextExpression() {
		w.expression(w.parser.Expression())
	}
	if w.err == nil && w.parser.Error() != nil {
		w.err = &LineError{Name: name, Err: w.parser.Error()} // the decoder took it, so this cannot be
	}
	return w.top, w.err
}

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

// A walker builds the tree of a document that the decoder has taken.
type walker struct {
	name    string
	parser  unstable.Parser
	ends    []int // offsets of the line ends
	top     *node
	current *node // the table that keys go into
	err     error
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
	var path []*unstable.Node
	for it := e.Key(); it.Next(); {
		path = append(path, it.Node())
	}
	for _, part := range path[:len(path)-1] {
		under = w.step(under, part)
	}
	last := path[len(path)-1]
	under.keys[string(last.Data)] = w.value(e.Value(), w.line(last.Raw))
}

// reach walks a table header from the top and returns its table; appended says
// that the last part begins a new element of a list of tables.
func (w *walker) reach(from *node, key unstable.Iterator, appended bool) *node {
	for key.Next() {
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
		l.list = append(l.list, &node{kind: table, line: w.line(part.Raw), keys: map[string]*node{}})
		return l.list[len(l.list)-1]
	}
	return from
}

// step goes to a table by one part of a key, and makes it where it is new. Of
// a list of tables, the last one is meant.
func (w *walker) step(from *node, part *unstable.Node) *node {
	n := from.keys[string(part.Data)]
	if n == nil {
		n = &node{kind: table, line: w.line(part.Raw), keys: map[string]*node{}}
		from.keys[string(part.Data)] = n
	}
	if n.kind == items && len(n.list) > 0 {
		n = n.list[len(n.list)-1]
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
		n := &node{kind: table, line: line, keys: map[string]*node{}}
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
		if before != nil && w.glued(before, e) {
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
