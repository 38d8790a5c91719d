package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"example.org/wring/uncertainty/unit"
)

// A LineError says where in what was handed in something stands that cannot be
// used.
type LineError struct {
	Name  string // as handed in
	Line  int    // 1-based; 0 for the whole
	Where string // in words, "point 3: reading 2"; may be empty
	Err   error
}

func (e *LineError) Error() string {
	var b strings.Builder
	b.WriteString(e.Name)
	if e.Line > 0 {
		b.WriteString(":" + strconv.Itoa(e.Line))
	}
	if e.Where != "" {
		b.WriteString(": " + e.Where)
	}
	return strings.TrimPrefix(b.String()+": "+e.Err.Error(), ": ")
}

// Unwrap returns what was wrong, without its place.
func (e *LineError) Unwrap() error { return e.Err }

// A Field is one value as written, with its place. A Field that is made with
// its Text only stands in for the sheet's and has no place. The zero value is
// "not given".
type Field struct {
	Text    string
	Comment string // on a reading; empty for another field

	line  int
	where string
}

// Given reports whether the field was written at all.
func (f Field) Given() bool { return f.Text != "" || f.line > 0 }

// Line returns the line the field stands on, 0 where it has none. Commands name
// it where they refuse a value that only the registry or the clock can judge.
func (f Field) Line() int { return f.line }

// fault puts an error at the field's place. A field from elsewhere is not the
// sheet's to answer for, so its name stays out.
func (f Field) fault(name string, err error) error {
	if f.line == 0 && f.Text != "" {
		name = ""
	}
	return &LineError{Name: name, Line: f.line, Where: f.where, Err: err}
}

// A form reads the keys of one table. The first thing that cannot be used is
// kept in fault and every later answer is a zero value, so that a reader can
// be written as a list of what the form holds.
type form struct {
	name  string
	noun  string // "a plan", for messages
	where string // "point 3", empty at the top
	table *node
	asked []string
	fault *fault // common to all forms of one document
}

// A fault is the first thing that cannot be used; nil where all can. One that
// says that a key is missing gives way to a key that nobody knows, which is
// likely the same key mistyped.
type fault struct {
	err     error
	missing bool
}

// refuse keeps the first fault.
func (f *form) refuse(at Field, format string, args ...any) {
	f.keep(at.fault(f.name, fmt.Errorf(format, args...)))
}

func (f *form) keep(err error) {
	if f.fault.err == nil {
		f.fault.err = err
	}
}

func (f *form) at(key string) string {
	words := strings.ReplaceAll(key, "_", " ")
	if f.where == "" {
		return words
	}
	return f.where + ": " + words
}

func (f *form) ask(key string) *node {
	if !slices.Contains(f.asked, key) {
		f.asked = append(f.asked, key)
	}
	if f.table == nil {
		return nil
	}
	return f.table.keys[key]
}

// field returns a single value, not given where the key is missing.
func (f *form) field(key string) Field {
	n := f.ask(key)
	switch {
	case n == nil:
		return Field{}
	case n.kind != scalar:
		f.keep(&LineError{f.name, n.line, f.at(key), fmt.Errorf("%s; want one value", n.kind)})
		return Field{}
	}
	return Field{Text: n.text, line: n.line, where: f.at(key)}
}

// need is field for a key that must be there.
func (f *form) need(key string) Field {
	got := f.field(key)
	if strings.TrimSpace(got.Text) == "" {
		f.fault.missing = f.fault.missing || f.fault.err == nil
		f.refuse(f.missing(key), "nothing given; want a value")
	}
	return got
}

// has reports whether any of the keys is there.
func (f *form) has(keys ...string) bool {
	return f.table != nil && slices.ContainsFunc(keys, func(k string) bool { return f.table.keys[k] != nil })
}

// none refuses keys that would be read and then not counted.
func (f *form) none(why string, keys ...string) {
	for _, k := range keys {
		if n := f.ask(k); n != nil {
			f.refuse(Field{line: n.line, where: f.at(k)}, "%s; want it left out", why)
		}
	}
}

// place is where a table itself stands; missing is where a key of it would.
func (f *form) place() Field {
	at := Field{where: f.where}
	if f.table != nil && f.where != "" {
		at.line = f.table.line
	}
	return at
}

func (f *form) missing(key string) Field {
	at := f.place()
	at.where = f.at(key)
	return at
}

// fields returns a list of values, each in words of its own: "reading 2". A
// single value is a list of one.
func (f *form) fields(key, each string) []Field {
	n := f.ask(key)
	if n == nil {
		return nil
	}
	list := []*node{n}
	if n.kind == items {
		list = n.list
	}
	out := make([]Field, 0, len(list))
	for i, v := range list {
		where := f.at(each + " " + strconv.Itoa(i+1))
		if v.kind == table && each == "reading" {
			out = append(out, f.commented(v, where))
			continue
		}
		if v.kind != scalar {
			f.keep(&LineError{f.name, v.line, where, fmt.Errorf("%s; want one value", v.kind)})
			return nil
		}
		out = append(out, Field{Text: v.text, line: v.line, where: where})
	}
	return out
}

// commented reads a reading that was written with a comment.
func (f *form) commented(n *node, where string) Field {
	t := &form{name: f.name, noun: "a reading with a comment", where: where, table: n, fault: f.fault}
	value, comment := t.need("value"), t.field("comment")
	t.close()
	return Field{Text: value.Text, Comment: comment.Text, line: value.line, where: where}
}

// sub returns a table under a key; one that is missing has no keys.
func (f *form) sub(key, noun string) *form {
	n := f.ask(key)
	if n != nil && n.kind != table {
		f.keep(&LineError{f.name, n.line, f.at(key), fmt.Errorf("%s; want a table [%s]", n.kind, key)})
		n = nil
	}
	return &form{name: f.name, noun: noun, where: f.at(key), table: n, fault: f.fault}
}

// subs returns the tables [[key]], each in words of its own: "point 3".
func (f *form) subs(key, noun string) []*form {
	n := f.ask(key)
	if n == nil {
		return nil
	}
	list := n.list
	if n.kind != items || slices.ContainsFunc(list, func(n *node) bool { return n.kind != table }) {
		f.keep(&LineError{f.name, n.line, f.at(key), fmt.Errorf("no list of tables; want [[%s]] before each", key)})
		return nil
	}
	out := make([]*form, len(list))
	for i, v := range list {
		out[i] = &form{name: f.name, noun: noun, where: f.at(key + " " + strconv.Itoa(i+1)), table: v, fault: f.fault}
	}
	return out
}

// close refuses the first key that nobody asked for: a mistyped key would
// else be a value that silently does not count.
func (f *form) close() {
	if f.table == nil {
		return
	}
	var unknown *node
	var key string
	for k, n := range f.table.keys {
		if !slices.Contains(f.asked, k) && (unknown == nil || n.line < unknown.line || n.line == unknown.line && k < key) {
			unknown, key = n, k
		}
	}
	if unknown == nil {
		return
	}
	if f.fault.missing {
		*f.fault = fault{}
	}
	f.keep(&LineError{f.name, unknown.line, f.where,
		fmt.Errorf("%q: no key of %s; want %s", clip(key), f.noun, strings.Join(f.asked, ", "))})
}

// quantity reads a number with a unit of dimension d; one that was not given
// stays so.
func (f *form) quantity(v Field, d unit.Dimension, fallback unit.Unit) unit.Quantity {
	if !v.Given() {
		return unit.Quantity{}
	}
	q, err := unit.Parse(v.Text, d, fallback)
	if err != nil {
		f.keep(v.fault(f.name, err))
	}
	return q
}

// anyQuantity reads a number with a unit of one of several dimensions.
func (f *form) anyQuantity(v Field, d []unit.Dimension, fallback unit.Unit) unit.Quantity {
	if !v.Given() {
		return unit.Quantity{}
	}
	q, err := unit.ParseAny(v.Text, d, fallback)
	if err != nil {
		f.keep(v.fault(f.name, err))
	}
	return q
}

// truth reads yes or no; one that was not given is no.
func (f *form) truth(v Field) bool {
	if v.Given() && v.Text != "true" && v.Text != "false" {
		f.refuse(v, "%q: want true or false", clip(v.Text))
	}
	return v.Text == "true"
}

// number reads a bare number; one that was not given is otherwise.
func (f *form) number(v Field, otherwise float64) float64 {
	if !v.Given() {
		return otherwise
	}
	got, err := bareNumber(v.Text)
	if err != nil {
		f.keep(v.fault(f.name, err))
	}
	return got.Float()
}

// whole reads a whole number, 0 or more.
func (f *form) whole(v Field, otherwise int) int {
	if !v.Given() {
		return otherwise
	}
	n, err := strconv.ParseUint(v.Text, 10, 16) // no count and no interval is larger
	if err != nil {
		f.refuse(v, "%q: want a whole number, as 3", clip(v.Text))
	}
	return int(n)
}

// word reads one of a list of words.
func word[S ~string](f *form, v Field, list []S) S {
	if v.Given() && !slices.Contains(list, S(v.Text)) {
		f.refuse(v, "%q: want one of %s", clip(v.Text), strings.Join(asStrings(list), ", "))
	}
	return S(v.Text)
}

func asStrings[S ~string](list []S) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = string(s)
	}
	return out
}

// bareNumber holds a number without a unit to the same grammar as one with.
func bareNumber(text string) (unit.Exact, error) {
	text = strings.TrimSpace(text)
	i := strings.IndexFunc(text, func(r rune) bool { return unicode.IsLetter(r) || r == '%' || r == '°' })
	if i > 0 && text[i] != 'e' && text[i] != 'E' { // an exponent is refused as one below
		return unit.Exact{}, fmt.Errorf("%q: a unit; write a bare number, as %s", clip(text), clip(strings.TrimSpace(text[:i])))
	}
	one, _ := unit.Lookup("%", unit.Percent) // any unit of factor 1 will do
	q, err := unit.Parse(text, unit.Percent, one)
	return q.Value(), err
}

// clip keeps a message to one readable line.
func clip(text string) string {
	const most = 40 // enough to recognise what was typed
	r := []rune(text)
	if len(r) <= most {
		return text
	}
	return string(r[:most]) + "…"
}
