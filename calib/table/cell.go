package table

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/limits"
	"example.org/wring/uncertainty/unit"
)

// decimal is a number's text with the point that numbers have here, where the
// mapping says that the table has commas.
func (r Record) decimal(text string) string {
	if r.m.Comma && strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
		return strings.Replace(text, ",", ".", 1)
	}
	return text
}

// quantity reads a column's cell into a field; an empty one leaves the field as
// it is. A number without a unit is in the heading's, else in fallback.
func (r Record) quantity(column string, d unit.Dimension, fallback unit.Unit, into *unit.Quantity) error {
	list := r.cells[column]
	if len(list) == 0 {
		return nil
	}
	if symbol := list[0].unit; symbol != "" {
		u, ok := unit.Lookup(symbol, d)
		if !ok {
			return fmt.Errorf("%s: its heading has the unit %q; want one of %s", words(column), clip(symbol), strings.Join(unit.Symbols(d), ", "))
		}
		fallback = u
	}
	q, err := unit.Parse(r.decimal(list[0].text), d, fallback)
	if err != nil {
		return fmt.Errorf("%s: %w", words(column), err)
	}
	*into = q
	return nil
}

// line reads a column's text into a field.
func (r Record) line(column string, into *string) {
	if text := r.text(column); text != "" {
		*into = text
	}
}

// months reads a column's whole number of months.
func (r Record) months(column string, into *int) error {
	list := r.cells[column]
	if len(list) == 0 {
		return nil
	}
	if u := letters(list[0].unit); u != "" && u != "months" && u != "month" && u != "mo" {
		return fmt.Errorf("%s: its heading has the unit %q; want months", words(column), clip(list[0].unit))
	}
	n, err := strconv.ParseUint(list[0].text, 10, 16)
	if err != nil || n < 1 || n > 240 {
		return fmt.Errorf("%s: %q: not a number of months; want a whole number from 1 to 240, as 12, or the word in [words.%s] of the mapping", words(column), clip(list[0].text), column)
	}
	*into = int(n)
	return nil
}

// uses reads a column's number of uses, as the option of that name takes it.
func (r Record) uses(column string, into *int) error {
	text := r.text(column)
	if text == "" {
		return nil
	}
	n, err := strconv.ParseUint(text, 10, 16)
	if err != nil || n < 1 {
		return fmt.Errorf("%s: %q: not a number of uses; want a whole number from 1 to 65535", words(column), clip(text))
	}
	*into = int(n)
	return nil
}

// truth reads a column's yes or no.
func (r Record) truth(column string, into *bool) error {
	switch text := r.text(column); strings.ToLower(text) {
	case "":
	case "yes", "true", "1": // as a workbook may have it
		*into = true
	case "no", "false", "0":
		*into = false
	default:
		return fmt.Errorf("%s: %q: want yes or no", words(column), clip(text))
	}
	return nil
}

// word reads a column's cell as one of a list of words, whatever its case and
// whether blanks or hyphens part it.
func word[S ~string](r Record, column string, list []S, into *S) error {
	text := r.text(column)
	if text == "" {
		return nil
	}
	for _, w := range list {
		if letters(string(w)) == letters(text) {
			*into = w
			return nil
		}
	}
	return fmt.Errorf("%s: %q: want one of %s; or the word in [words.%s] of the mapping", words(column), clip(text),
		names(list, func(s S) string { return string(s) }), column)
}

// material reads a known material, or a coefficient with its half-width.
func (r Record) material(into *calib.Material) error {
	if name := r.text("material"); name != "" {
		known, ok := limits.Material(strings.ToLower(name))
		if !ok {
			return fmt.Errorf("material: %q: not known; want one of %s, or expansion and expansion_half_width", clip(name), strings.Join(limits.Materials(), ", "))
		}
		*into = known
	}
	var a, half unit.Quantity
	if err := first(r.quantity("expansion", unit.Expansion, unit.Unit{}, &a), r.quantity("expansion_half_width", unit.Expansion, unit.Unit{}, &half)); err != nil {
		return err
	}
	switch {
	case a.IsZero() != half.IsZero():
		return errors.New("expansion: one of expansion and expansion_half_width; want both")
	case half.Inner().Sign() < 0:
		return fmt.Errorf("expansion half width: %q: want 0 or more", half)
	case !a.IsZero():
		*into = calib.Material{Name: "own figure", Coefficient: a, HalfWidth: half}
	}
	return nil
}

// first returns the first of several errors.
func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
