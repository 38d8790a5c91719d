package sheet

import (
	"fmt"
	"slices"
	"strings"
)

// A StudySheet is a study as it was handed in, every value still text. A
// caller may replace any field by one with only its Text set.
type StudySheet struct {
	Name string // as handed in, for messages

	Gauge, Title, Process, Date, Person, Remarks Field

	// Parts and Operators may be left out: they are then those of the cells.
	Parts, Operators []Field

	Repeats, Seed, Multiple, Probability, Pooling Field
	Low, High                                     Field // of the tolerance

	Cells []CellRow
}

// A CellRow is what a sheet says of one part and one operator; there may be
// several for one cell.
type CellRow struct {
	Turn           Field // its number in the order of the study; not given: not known
	Part, Operator Field
	Readings       []Field
	Comment        Field
}

func (s *StudySheet) refuse(at Field, format string, args ...any) error {
	return at.fault(s.Name, fmt.Errorf(format, args...))
}

// ReadStudy reads a study sheet, CSV where the name ends so or the first line
// is its heading, else TOML; the package comment shows both. It looks at form
// only: [StudySheet.Study] resolves the values. Refusals are [*LineError].
func ReadStudy(name string, data []byte) (*StudySheet, error) {
	data, err := clean(name, data)
	if err != nil {
		return nil, err
	}
	if startsWith(name, string(data), "turn", "part", "operator") {
		return readStudyCSV(name, string(data))
	}
	return readStudyTOML(name, data)
}

func readStudyTOML(name string, data []byte) (*StudySheet, error) {
	f, err := openTOML(name, "a study sheet", data)
	if err != nil {
		return nil, err
	}
	s := &StudySheet{
		Name: name, Gauge: f.field("gauge"), Title: f.field("title"), Process: f.field("process"), Date: f.field("date"), Person: f.field("person"),
		Parts: f.fields("parts", "part"), Operators: f.fields("operators", "operator"), Repeats: f.field("repeats"), Seed: f.field("seed"),
		Multiple: f.field("multiple"), Probability: f.field("probability"), Pooling: f.field("pooling"), Remarks: f.field("remarks"),
	}
	if f.has("tolerance") {
		t := f.sub("tolerance", "a tolerance")
		s.Low, s.High = t.field("low"), t.field("high")
		t.close()
	}
	for _, t := range f.subs("cell", "a cell") {
		s.Cells = append(s.Cells, CellRow{Turn: t.field("turn"), Part: t.need("part"), Operator: t.need("operator"), Readings: t.fields("readings", "reading"), Comment: t.field("comment")})
		t.close()
	}
	f.close()
	return s, f.fault.err
}

func studyColumns() []string { return []string{"turn", "part", "operator", "reading", "comment"} }

func readStudyCSV(name, text string) (*StudySheet, error) {
	s := &StudySheet{Name: name}
	var parts, operators Field
	k := keyed{name, "a study sheet",
		[]string{"gauge", "title", "process", "date", "person", "parts", "operators", "repeats", "seed", "low", "high", "multiple", "probability", "pooling", "remarks"},
		[]*Field{&s.Gauge, &s.Title, &s.Process, &s.Date, &s.Person, &parts, &operators, &s.Repeats, &s.Seed, &s.Low, &s.High, &s.Multiple, &s.Probability, &s.Pooling, &s.Remarks}}
	if err := k.read(text); err != nil {
		return nil, err
	}
	s.Parts, s.Operators = parted(parts.Text, ",", parts.line, "part"), parted(operators.Text, ",", operators.line, "operator")
	rows, err := readRows(name, text)
	if err != nil {
		return nil, err
	}
	columns, err := k.heading(rows[0], studyColumns(), []string{"reading"})
	if err != nil {
		return nil, err
	}
	for _, need := range []string{"part", "operator", "reading"} {
		if !slices.Contains(columns, need) {
			return nil, s.refuse(Field{line: rows[0].line}, "no column %s; want part,operator,reading", need)
		}
	}
	for _, r := range rows[1:] {
		if err := s.takeRow(r, columns); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// takeRow reads one row. Empty cells are readings that were not taken.
func (s *StudySheet) takeRow(r row, columns []string) error {
	where := fmt.Sprintf("row %d", len(s.Cells)+1)
	if len(r.cells) > len(columns) {
		return s.refuse(Field{line: r.line, where: where}, "%d cells under %d columns; want a column named reading for each, and no decimal comma", len(r.cells), len(columns))
	}
	var c CellRow
	for i, cell := range r.cells {
		if cell == "" {
			continue
		}
		at := Field{Text: cell, line: r.line, where: where + ": " + columns[i]}
		switch columns[i] {
		case "turn":
			c.Turn = at
		case "part":
			c.Part = at
		case "operator":
			c.Operator = at
		case "comment":
			c.Comment = at
		case "reading":
			if zeroLed(cell) {
				return s.refuse(Field{line: r.line, where: where}, zeroLedFault, cell)
			}
			at.where = fmt.Sprintf("%s: reading %d", where, len(c.Readings)+1)
			c.Readings = append(c.Readings, at)
		}
	}
	for what, v := range map[string]Field{"part": c.Part, "operator": c.Operator} {
		if strings.TrimSpace(v.Text) == "" {
			return s.refuse(Field{line: r.line, where: where}, "no %s; want one in every row", what)
		}
	}
	s.Cells = append(s.Cells, c)
	return nil
}

// Empty reports whether the sheet holds no reading: it is a plan to be led by.
func (s *StudySheet) Empty() bool {
	return !slices.ContainsFunc(s.Cells, func(c CellRow) bool { return len(c.Readings) > 0 })
}
