package sheet

import (
	"fmt"
	"slices"
	"strings"
)

// A keyed reads the lines "# key: value" that stand above the rows of a CSV
// sheet, each key into its field.
type keyed struct {
	name, noun string // as handed in; "a study sheet"
	keys       []string
	fields     []*Field
}

// read takes the lines of a text. A single word before a colon is a key, so
// that a mistyped one cannot pass for a comment; "##" begins a comment.
func (k keyed) read(text string) error {
	n := 0
	for line := range strings.Lines(text) {
		n++
		rest, found := strings.CutPrefix(line, "#")
		key, value, isKey := strings.Cut(rest, ":")
		key, value = strings.TrimSpace(key), strings.TrimSpace(value)
		if !found || !isKey || key == "" || value == "" || strings.ContainsAny(key, " \t#") {
			continue
		}
		at := Field{Text: value, line: n, where: strings.ReplaceAll(key, "_", " ")}
		i := slices.Index(k.keys, key)
		switch {
		case i < 0:
			return plain(at).fault(k.name, fmt.Errorf("%q: no key of %s; want %s, or ## before a comment", clip(key), k.noun, strings.Join(k.keys, ", ")))
		case k.fields[i].Given():
			return plain(at).fault(k.name, fmt.Errorf("%s for the second time; want it once", key))
		}
		*k.fields[i] = at
	}
	return nil
}

// heading holds the names of the columns to those a sheet may have; those in
// often may stand more than once.
func (k keyed) heading(h row, may, often []string) ([]string, error) {
	var out []string
	for _, cell := range h.cells {
		column := strings.ToLower(cell)
		at := Field{line: h.line}
		switch {
		case !slices.Contains(may, column):
			return nil, at.fault(k.name, fmt.Errorf("column %q: no column of %s; want %s", clip(cell), k.noun, strings.Join(may, ", ")))
		case !slices.Contains(often, column) && slices.Contains(out, column):
			return nil, at.fault(k.name, fmt.Errorf("column %q for the second time; want it once", clip(cell)))
		}
		out = append(out, column)
	}
	return out, nil
}

// startsWith reports whether a text is CSV: by the end of its name, else by
// the first column of its heading.
func startsWith(name, text string, first ...string) bool {
	switch lower := strings.ToLower(name); {
	case strings.HasSuffix(lower, ".csv"):
		return true
	case strings.HasSuffix(lower, ".toml"):
		return false
	}
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		cell, _, found := strings.Cut(line, ",")
		return found && slices.Contains(first, strings.TrimSpace(strings.ToLower(cell)))
	}
	return false
}
