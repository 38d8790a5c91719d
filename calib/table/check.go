package table

import (
	"fmt"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/uncertainty/unit"
)

// CheckSheet reads the lines of one check: what is the same on all of them, and
// a point on each. Who resolves the sheet puts what it refuses at the lines
// with [Group.Placed].
func (g Group) CheckSheet() (*sheet.CheckSheet, error) {
	r := g.First()
	if err := g.agree("plan", "person", "standards", "temperature", "block_temperature", "humidity", "pressure", "condition", "received", "site", "remarks"); err != nil {
		return nil, err
	}
	day, err := r.dayOf("check")
	if err != nil {
		return nil, err
	}
	text, err := g.sheetOf([]string{"part", "at", "direction", "blocks", "weights", "instrument", "reading", "comment", "skipped"}, "reading")
	if err != nil {
		return nil, err
	}
	s, err := sheet.ReadCheckCSV(r.file.Name, []byte(text))
	if err != nil {
		return nil, g.Placed(err)
	}
	received, err := r.date("received")
	if err != nil {
		return nil, r.fault(err)
	}
	s.Name, s.Date, s.Received = r.file.Name, sheet.Field{Text: day.String()}, sheet.Field{Text: received.String()}
	for column, field := range map[string]*sheet.Field{"gauge": &s.Gauge, "plan": &s.Plan, "person": &s.Person, "condition": &s.Condition, "site": &s.Site, "remarks": &s.Remarks} {
		*field = sheet.Field{Text: r.text(column)}
	}
	var stage calib.Stage
	var purpose calib.Purpose
	if err := first(word(r, "stage", []calib.Stage{calib.AsFound, calib.AsLeft}, &stage), word(r, "purpose", calib.Purposes(), &purpose)); err != nil {
		return nil, r.fault(err)
	}
	s.Stage, s.Purpose = sheet.Field{Text: string(stage)}, sheet.Field{Text: string(purpose)}
	for column, field := range map[string]*sheet.Field{"temperature": &s.Temperature, "block_temperature": &s.BlockTemperature, "humidity": &s.Humidity, "pressure": &s.Pressure} {
		if r.count(column) > 0 {
			text, err := r.sheetCell(column, 0)
			if err != nil {
				return nil, err
			}
			*field = sheet.Field{Text: text}
		}
	}
	for id := range strings.SplitSeq(r.text("standards"), "+") {
		if id = strings.TrimSpace(id); id != "" {
			s.Standards = append(s.Standards, sheet.Field{Text: id})
		}
	}
	return s, nil
}

// CheckRows is the inverse of [Group.CheckSheet]: a line for the zero, for each
// point of length, for each place and direction of another part, and for each
// place that was left out; number tells it apart from others of its day, u is
// the unit that the gauge is read in. A column reading stands once for each of
// most readings.
func CheckRows(number string, c calib.Check, u unit.Unit, most int) [][]string {
	at := c.Conditions
	celsius, _ := unit.Lookup("°C", unit.Temperature)
	percent, _ := unit.Lookup("%", unit.Percent)
	w := checkWriter{unit: u, most: most, head: []string{c.Gauge, c.Date.String(), number, c.Plan, c.Person, string(c.Stage), string(c.Purpose), strings.Join(c.Standards, "+"),
		bare(at.Gauge, celsius), bare(at.Blocks, celsius), bare(at.Humidity, percent), at.Pressure.String(), c.Condition, c.Received.String(), c.Site, c.Remarks}}
	w.add(checkRow{at: "zero", readings: c.Zero})
	for _, p := range c.Points {
		var stack []string
		for _, b := range p.Blocks {
			stack = append(stack, b.Standard+":"+bare(b.Nominal, u))
		}
		w.add(checkRow{at: bare(p.Nominal, u), blocks: strings.Join(stack, "+"), readings: p.Readings})
	}
	if f := c.Foot; f != nil {
		w.presses("foot", "lowering", "lifting", f.Instrument, f.Points)
		w.add(checkRow{part: "foot", at: "diameter", instrument: f.DiameterBy, readings: f.Diameter})
	}
	if f := c.Force; f != nil {
		w.presses("force", "in", "out", f.Instrument, f.Points)
	}
	if c.Load != nil {
		w.loads(*c.Load)
	}
	for _, s := range c.Skipped {
		part := ""
		if s.Part != calib.LengthPart {
			part = string(s.Part)
		}
		w.rows = append(w.rows, w.row(checkRow{part: part, at: bare(s.At, u), skipped: s.Reason}))
	}
	return w.rows
}

// A checkRow is what differs from line to line of a check.
type checkRow struct {
	part, at, direction, blocks, weights, instrument, skipped string
	readings                                                  []calib.Reading
}

// A checkWriter gathers the lines of one check.
type checkWriter struct {
	head []string
	unit unit.Unit
	most int
	rows [][]string
}

// add adds a line, unless nothing was read there.
func (w *checkWriter) add(r checkRow) {
	if len(r.readings) > 0 {
		w.rows = append(w.rows, w.row(r))
	}
}

func (w *checkWriter) row(r checkRow) []string {
	out := append(append([]string{}, w.head...), r.part, r.at, r.direction, r.blocks, r.weights, r.instrument)
	var comments []string
	for i := range w.most {
		text := ""
		if i < len(r.readings) {
			text = w.reading(r, r.readings[i].Indication)
			if c := r.readings[i].Comment; c != "" {
				comments = append(comments, c)
			}
		}
		out = append(out, text)
	}
	return append(out, shortened(strings.Join(comments, "; ")), r.skipped)
}

// shortened keeps the comments of a line within what a reading's may have, as
// [calib.Reading] says: they come back on the first.
func shortened(text string) string {
	const most = 200 // characters
	if r := []rune(text); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return text
}

// reading is as typed; what an instrument under a foot or a spindle read has
// its unit, which is not the gauge's.
func (w *checkWriter) reading(r checkRow, q unit.Quantity) string {
	if r.part == "foot" && r.at != "diameter" || r.part == "force" {
		return q.String()
	}
	return bare(q, w.unit)
}

func (w *checkWriter) presses(part, forward, back, instrument string, points []calib.PressPoint) {
	for _, p := range points {
		w.add(checkRow{part: part, at: bare(p.At, w.unit), direction: forward, instrument: instrument, readings: p.Forward})
		w.add(checkRow{part: part, at: bare(p.At, w.unit), direction: back, instrument: instrument, readings: p.Back})
	}
}

func (w *checkWriter) loads(l calib.LoadCheck) {
	w.add(checkRow{part: "load", at: "zero", direction: "before", instrument: l.Tester, readings: l.Zero})
	for _, p := range l.Points {
		var list []string
		for _, use := range p.Weights {
			list = append(list, use.Standard+":"+use.Nominal.String()+use.Mark)
		}
		weights := strings.Join(list, "+")
		w.add(checkRow{part: "load", at: bare(p.Load, w.unit), direction: "up", weights: weights, instrument: l.Tester, readings: p.Up})
		if len(p.Up) > 0 {
			weights = "" // they stand on the line before
		}
		w.add(checkRow{part: "load", at: bare(p.Load, w.unit), direction: "down", weights: weights, instrument: l.Tester, readings: p.Down})
	}
	w.add(checkRow{part: "load", at: "zero", direction: "after", instrument: l.Tester, readings: l.Return})
}

// MostReadings is how many readings the fullest line of a check has.
func MostReadings(c calib.Check) int {
	most := len(c.Zero)
	for _, p := range c.Points {
		most = max(most, len(p.Readings))
	}
	list := []calib.PressPoint{}
	if c.Foot != nil {
		most, list = max(most, len(c.Foot.Diameter)), append(list, c.Foot.Points...)
	}
	if c.Force != nil {
		list = append(list, c.Force.Points...)
	}
	for _, p := range list {
		most = max(most, len(p.Forward), len(p.Back))
	}
	if c.Load == nil {
		return most
	}
	most = max(most, len(c.Load.Zero), len(c.Load.Return))
	for _, p := range c.Load.Points {
		most = max(most, len(p.Up), len(p.Down))
	}
	return most
}

// CheckHeading and SurveyHeading list the columns of their tables with as many
// readings as the largest has.
func CheckHeading(most int) []string { return numbered(Heading(Checks), most) }

// SurveyHeading is described at [CheckHeading].
func SurveyHeading(most int) []string { return numbered(Heading(Surveys), most) }

func numbered(heading []string, most int) (out []string) {
	for _, name := range heading {
		if name != "reading" {
			out = append(out, name)
			continue
		}
		for i := range most {
			out = append(out, fmt.Sprintf("reading %d", i+1))
		}
	}
	return out
}
