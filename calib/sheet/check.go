package sheet

import (
	"strings"

	"example.org/wring/calib"
)

// A CheckSheet is a check as it was handed in, every value still text. A
// caller may replace any field, as by a command's option or a default: a Field
// with only its Text set.
type CheckSheet struct {
	Name string // as handed in, for messages

	Gauge, Plan, Date, Person, Stage, Purpose Field
	Received                                  Field
	Standards                                 []Field
	Site, Condition, Remarks                  Field

	// Temperature is the gauge's, and the blocks' too where BlockTemperature
	// is not given; °C where no unit is written. Humidity is relative, Pressure
	// that of the air.
	Temperature, BlockTemperature, Humidity, Pressure Field

	Zero   []Field
	Points []PointRow

	// Skipped are the places that were left out, each with why.
	Skipped []SkipRow

	// Foot, Force and Load are the parts beside length; nil: not recorded.
	Foot, Force *PressSheet
	Load        *LoadSheet
}

// A PointRow is what a sheet says of one point.
type PointRow struct {
	At       Field
	Blocks   []Field // each a length, or a standard's identity, a colon and a length
	Readings []Field
	Comment  Field
}

// A SkipRow is a place that was left out. Part is a part's name; not given, it
// is length.
type SkipRow struct {
	Part, At, Reason Field
}

// ReadCheck reads a check sheet, CSV where the name ends so or the first line
// is its heading, else TOML; the package comment shows both. It looks at form
// only: [CheckSheet.Check] resolves the values. Refusals are [*LineError].
func ReadCheck(name string, data []byte) (*CheckSheet, error) {
	data, err := clean(name, data)
	if err != nil {
		return nil, err
	}
	if isCSV(name, string(data)) {
		return readCheckCSV(name, string(data))
	}
	return readCheckTOML(name, data)
}

// ReadCheckCSV is [ReadCheck] for what is known to be CSV, whatever its name.
func ReadCheckCSV(name string, data []byte) (*CheckSheet, error) {
	data, err := clean(name, data)
	if err != nil {
		return nil, err
	}
	return readCheckCSV(name, string(data))
}

func isCSV(name, text string) bool {
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
		first, _, found := strings.Cut(line, ",")
		first = strings.TrimSpace(strings.ToLower(first))
		return found && (first == "at" || first == "part" || first == "across")
	}
	return false
}

func readCheckTOML(name string, data []byte) (*CheckSheet, error) {
	f, err := openTOML(name, "a check sheet", data)
	if err != nil {
		return nil, err
	}
	s := &CheckSheet{
		Name: name, Gauge: f.field("gauge"), Plan: f.field("plan"), Date: f.field("date"), Person: f.field("person"),
		Stage: f.field("stage"), Purpose: f.field("purpose"), Standards: f.fields("standards", "standard"),
		Received: f.field("received"), Site: f.field("site"), Condition: f.field("condition"), Remarks: f.field("remarks"),
	}
	room := f.sub("environment", "the environment")
	s.Temperature, s.BlockTemperature, s.Humidity = room.field("temperature"), room.field("blocks"), room.field("humidity")
	s.Pressure = room.field("pressure")
	room.close()
	zero := f.sub("zero", "the zero")
	s.Zero = zero.fields("readings", "reading")
	zero.close()
	for _, t := range f.subs("point", "a point") {
		s.Points = append(s.Points, PointRow{
			At: t.need("at"), Blocks: t.fields("blocks", "block"),
			Readings: t.fields("readings", "reading"), Comment: t.field("comment"),
		})
		t.close()
	}
	for _, t := range f.subs("skipped", "a place that was left out") {
		s.Skipped = append(s.Skipped, SkipRow{Part: t.field("part"), At: t.need("at"), Reason: t.need("reason")})
		t.close()
	}
	s.Foot = readPress(f.sub("foot", "a foot"), "lowering", "lifting")
	s.Force = readPress(f.sub("force", "a measuring force"), "in", "out")
	s.Load = readLoad(f.sub("load", "a load"))
	f.close()
	if f.fault.err != nil {
		return nil, f.fault.err
	}
	return s, s.hasPoints()
}

// Parts lists what the sheet records, in the order of [calib.Parts].
func (s *CheckSheet) Parts() []calib.Part {
	var out []calib.Part
	for i, there := range []bool{len(s.Points) > 0, s.Foot != nil, s.Force != nil, s.Load != nil} {
		if there {
			out = append(out, calib.Parts()[i])
		}
	}
	return out
}

func (s *CheckSheet) hasPoints() error {
	if len(s.Parts()) == 0 {
		return s.refuse(Field{}, "no point in it; want the readings at each point")
	}
	return nil
}
