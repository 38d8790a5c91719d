package sheet

import (
	"fmt"
	"slices"
	"strings"
)

// A SurveySheet is a survey as it was handed in, every value still text. A
// caller may replace any field by one with only its Text set.
type SurveySheet struct {
	Name string // as handed in, for messages

	Lot, Method, Gauge, Date, Person   Field
	Grid                               Field // "3x5": columns across × rows along
	Wanted, Share, Confidence          Field
	Override, Remarks                  Field
	Temperature, Humidity, AirPressure Field

	Zero        []Field
	Places      []SpotRow
	Compression []PressStep
	Stated      *StatedSheet
}

// A SpotRow is what a sheet says of one place.
type SpotRow struct {
	At, Across, Along, Comment Field
	Readings                   []Field
	Undwelt                    []int // as [survey.Place] has it; only who leads a survey knows
}

// A PressStep is one step of a compression run.
type PressStep struct{ Pressure, Reading Field }

// A StatedSheet is the effect of pressure as somebody states it.
type StatedSheet struct{ Change, For, Expanded, K, Source Field }

func (s *SurveySheet) refuse(at Field, format string, args ...any) error {
	return at.fault(s.Name, fmt.Errorf(format, args...))
}

// ReadSurvey reads a survey sheet, CSV where the name ends so or the first line
// is its heading, else TOML; the package comment shows both. It looks at form
// only: [SurveySheet.Survey] resolves the values. Refusals are [*LineError].
func ReadSurvey(name string, data []byte) (*SurveySheet, error) {
	data, err := clean(name, data)
	if err != nil {
		return nil, err
	}
	if isCSV(name, string(data)) {
		return readSurveyCSV(name, string(data))
	}
	return readSurveyTOML(name, data)
}

// ReadSurveyCSV is [ReadSurvey] for what is known to be CSV, whatever its name.
func ReadSurveyCSV(name string, data []byte) (*SurveySheet, error) {
	data, err := clean(name, data)
	if err != nil {
		return nil, err
	}
	return readSurveyCSV(name, string(data))
}

func readSurveyTOML(name string, data []byte) (*SurveySheet, error) {
	f, err := openTOML(name, "a survey sheet", data)
	if err != nil {
		return nil, err
	}
	s := &SurveySheet{
		Name: name, Lot: f.field("lot"), Method: f.field("method"), Gauge: f.field("gauge"), Date: f.field("date"), Person: f.field("person"),
		Grid: f.field("grid"), Wanted: f.field("wanted"), Share: f.field("share"), Confidence: f.field("confidence"),
		Override: f.field("override"), Remarks: f.field("remarks"), Zero: f.fields("zero", "reading"),
	}
	room := f.sub("environment", "the environment")
	s.Temperature, s.Humidity, s.AirPressure = room.field("temperature"), room.field("humidity"), room.field("pressure")
	room.close()
	for _, t := range f.subs("place", "a place") {
		s.Places = append(s.Places, SpotRow{At: t.field("at"), Across: t.field("across"), Along: t.field("along"),
			Readings: t.fields("readings", "reading"), Comment: t.field("comment")})
		t.close()
	}
	for _, t := range f.subs("compression", "a step of the compression run") {
		s.Compression = append(s.Compression, PressStep{t.need("pressure"), t.need("reading")})
		t.close()
	}
	if f.has("effect") {
		t := f.sub("effect", "an effect of pressure")
		s.Stated = &StatedSheet{t.need("change"), t.need("for"), t.need("expanded"), t.need("k"), t.need("source")}
		t.close()
	}
	f.close()
	if f.fault.err != nil {
		return nil, f.fault.err
	}
	return s, s.hasPlaces()
}

func (s *SurveySheet) hasPlaces() error {
	if len(s.Places) == 0 {
		return s.refuse(Field{}, "no place in it; want the readings at each place")
	}
	return nil
}

func surveyColumns() []string { return []string{"at", "across", "along", "reading", "comment"} }

func readSurveyCSV(name, text string) (*SurveySheet, error) {
	s := &SurveySheet{Name: name}
	if err := s.remarksOf(text); err != nil {
		return nil, err
	}
	rows, err := readRows(name, text)
	if err != nil {
		return nil, err
	}
	var columns []string
	for _, cell := range rows[0].cells {
		column := strings.ToLower(cell)
		at := Field{Text: cell, line: rows[0].line}
		switch {
		case !slices.Contains(surveyColumns(), column):
			return nil, s.refuse(at, "column %q: no column of a survey sheet; want %s", clip(cell), strings.Join(surveyColumns(), ", "))
		case column != "reading" && slices.Contains(columns, column):
			return nil, s.refuse(at, "column %q for the second time; want it once", clip(cell))
		}
		columns = append(columns, column)
	}
	if !slices.Contains(columns, "reading") {
		return nil, s.refuse(Field{line: rows[0].line}, "no column named reading; want at,reading or at,across,along,reading")
	}
	for _, r := range rows[1:] {
		if err := s.takeRow(r, columns); err != nil {
			return nil, err
		}
	}
	return s, s.hasPlaces()
}

// takeRow reads one place, or the zero, whose at is the word zero.
func (s *SurveySheet) takeRow(r row, columns []string) error {
	where := fmt.Sprintf("place %d", len(s.Places)+1)
	zero := strings.EqualFold(cellOf(r, columns, "at"), "zero")
	if zero {
		where = "zero"
	}
	if len(r.cells) > len(columns) {
		return s.refuse(Field{line: r.line, where: where}, "%d cells under %d columns; want a column named reading for each, and no decimal comma", len(r.cells), len(columns))
	}
	var p SpotRow
	for i, cell := range r.cells {
		if cell == "" {
			continue
		}
		at := Field{Text: cell, line: r.line, where: where + ": " + columns[i]}
		if columns[i] == "reading" && zeroLed(cell) {
			return s.refuse(Field{line: r.line, where: where}, zeroLedFault, cell)
		}
		switch columns[i] {
		case "at":
			p.At = at
		case "across":
			p.Across = at
		case "along":
			p.Along = at
		case "comment":
			p.Comment = at
		case "reading":
			at.where = fmt.Sprintf("%s: reading %d", where, len(p.Readings)+1)
			p.Readings = append(p.Readings, at)
		}
	}
	switch {
	case zero && len(s.Zero) > 0:
		return s.refuse(Field{line: r.line, where: where}, "for the second time; want one row of it")
	case zero:
		s.Zero = p.Readings
	default:
		s.Places = append(s.Places, p)
	}
	return nil
}

// remarksOf reads the lines "# key: value", as a check sheet has them.
func (s *SurveySheet) remarksOf(text string) error {
	keys := []string{"lot", "method", "gauge", "date", "person", "grid", "wanted", "share", "confidence", "override", "remarks", "temperature", "humidity"}
	fields := []*Field{&s.Lot, &s.Method, &s.Gauge, &s.Date, &s.Person, &s.Grid, &s.Wanted, &s.Share, &s.Confidence, &s.Override, &s.Remarks, &s.Temperature, &s.Humidity}
	n := 0
	for line := range strings.Lines(text) {
		n++
		rest, found := strings.CutPrefix(line, "#")
		key, value, isKey := strings.Cut(rest, ":")
		key, value = strings.TrimSpace(key), strings.TrimSpace(value)
		if !found || !isKey || key == "" || value == "" || strings.ContainsAny(key, " \t#") {
			continue
		}
		at := Field{Text: value, line: n, where: key}
		i := slices.Index(keys, key)
		switch {
		case i < 0:
			return s.refuse(plain(at), "%q: no key of a survey sheet; want %s, or ## before a comment", clip(key), strings.Join(keys, ", "))
		case fields[i].Given():
			return s.refuse(plain(at), "%s for the second time; want it once", key)
		}
		*fields[i] = at
	}
	return nil
}
