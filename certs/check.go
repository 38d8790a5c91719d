package certs

import (
	"fmt"
	"time"
	"unicode"
	"unicode/utf8"
)

// Check finds what no rendering could set: a paper without title, number, date
// of issue or end mark, an unknown size, a row that does not fit its columns,
// a file without a name of its own,
// a text with a line break or a control character, or longer than any
// record's, a plot with a number that
// is not finite.
func (d Document) Check() error {
	if err := d.checkFace(); err != nil {
		return fmt.Errorf("document: %w", err)
	}
	if _, err := d.MapText(checkText); err != nil {
		return fmt.Errorf("document %q: %w", d.Number, err)
	}
	if err := checkFiles(d.Files); err != nil {
		return fmt.Errorf("document %q: %w", d.Number, err)
	}
	for i, p := range d.Parts {
		if err := checkPart(p); err != nil {
			return fmt.Errorf("document %q: part %d: %w", d.Number, i+1, err)
		}
	}
	return nil
}

func (d Document) checkFace() error {
	for _, f := range []struct{ name, text string }{
		{"title", d.Title}, {"number", d.Number}, {"house name", d.House.Name}, {"end mark", d.End},
	} {
		if f.text == "" {
			return fmt.Errorf("%s: nothing; want a text, for every page must say what it belongs to", f.name)
		}
	}
	if d.Paper != A4 && d.Paper != Letter {
		return fmt.Errorf("paper: %q; want %s or %s", string(d.Paper), A4, Letter)
	}
	if _, err := time.Parse(time.DateOnly, d.Issued); err != nil {
		return fmt.Errorf("date of issue: %q; want a date as 2026-03-02", d.Issued)
	}
	return nil
}

// longest bounds one text, in bytes: three pages of print. No record of the
// trade holds more in one field (house rule).
const longest = 10_000

func checkText(place, text string) (string, error) {
	if len(text) > longest {
		return "", fmt.Errorf("%s: a text of %d bytes; want at most %d", place, len(text), longest)
	}
	if !utf8.ValidString(text) {
		return "", fmt.Errorf("%s: %q is not UTF-8; want text", place, text)
	}
	for _, r := range text {
		if unicode.IsControl(r) || r == '\u2028' || r == '\u2029' {
			return "", fmt.Errorf("%s: %q holds the control character %U; want one line of text", place, text, r)
		}
	}
	return text, nil
}

// checkFiles looks at what is written outside the pages.
func checkFiles(files []File) error {
	taken := map[string]bool{}
	for _, f := range files {
		for _, text := range []string{f.Name, f.Media, f.About} {
			if _, err := checkText("file", text); err != nil {
				return err
			}
		}
		if f.Name == "" || taken[f.Name] {
			return fmt.Errorf("file %q: named so twice, or not at all; want names by which each is found", f.Name)
		}
		taken[f.Name] = true
	}
	return nil
}

func checkPart(p Part) error {
	switch p := p.(type) {
	case Table:
		return p.check()
	case Figure:
		if err := p.Plot.Check(); err != nil {
			return fmt.Errorf("figure %q: %w", p.Title, err)
		}
	case nil:
		return fmt.Errorf("nothing; want a part")
	}
	return nil
}

func (t Table) check() error {
	if len(t.Columns) == 0 {
		return fmt.Errorf("table %q: no columns; want at least one", t.Title)
	}
	for i, r := range t.Rows {
		if len(r.Cells) != len(t.Columns) {
			return fmt.Errorf("table %q: row %d has %d cells; want %d, one for each column", t.Title, i+1, len(r.Cells), len(t.Columns))
		}
		if r.Lifted && r.Remark == "" && len(t.Notes) == 0 {
			return fmt.Errorf("table %q: row %d is lifted without a word; want a note or a remark that says why", t.Title, i+1)
		}
	}
	return nil
}
