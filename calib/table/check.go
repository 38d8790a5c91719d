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
	if err := g.agree("plan", "person", "standards", "temperature", "block_temperature", "humidity", "pressure", "condition", "remarks"); err != nil {
		return nil, err
	}
	day, err := r.date("date")
	switch {
	case err != nil:
		return nil, r.fault(err)
	case day.IsZero():
		return nil, r.fault(fmt.Errorf("date: nothing given; want the day of the check"))
	}
	text, err := g.sheetOf([]string{"at", "blocks", "reading", "comment"}, "reading")
	if err != nil {
		return nil, err
	}
	s, err := sheet.ReadCheckCSV(r.file.Name, []byte(text))
	if err != nil {
		return nil, g.Placed(err)
	}
	s.Name, s.Date = r.file.Name, sheet.Field{Text: day.String()}
	for column, field := range map[string]*sheet.Field{"gauge": &s.Gauge, "plan": &s.Plan, "person": &s.Person, "condition": &s.Condition, "remarks": &s.Remarks} {
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

// CheckRows is the inverse of [Group.CheckSheet]: a line for the zero and for
// each point of length, number telling it apart from others of its day, u the
// unit that the gauge is read in. A column reading stands once for each of most readings.
func CheckRows(number string, c calib.Check, u unit.Unit, most int) [][]string {
	at := c.Conditions
	celsius, _ := unit.Lookup("°C", unit.Temperature)
	percent, _ := unit.Lookup("%", unit.Percent)
	head := []string{c.Gauge, c.Date.String(), number, c.Plan, c.Person, string(c.Stage), string(c.Purpose), strings.Join(c.Standards, "+"),
		bare(at.Gauge, celsius), bare(at.Blocks, celsius), bare(at.Humidity, percent), at.Pressure.String(), c.Condition, c.Remarks}
	row := func(at, blocks string, readings []calib.Reading) []string {
		out := append(append([]string{}, head...), at, blocks)
		comment := ""
		for i := range most {
			text := ""
			if i < len(readings) {
				text, comment = bare(readings[i].Indication, u), commented(comment, readings[i].Comment)
			}
			out = append(out, text)
		}
		return append(out, comment)
	}
	var out [][]string
	if len(c.Zero) > 0 {
		out = append(out, row("zero", "", c.Zero))
	}
	for _, p := range c.Points {
		var stack []string
		for _, b := range p.Blocks {
			stack = append(stack, b.Standard+":"+bare(b.Nominal, u))
		}
		out = append(out, row(bare(p.Nominal, u), strings.Join(stack, "+"), p.Readings))
	}
	return out
}

func commented(so, one string) string {
	if so != "" {
		return so
	}
	return one
}

// CheckHeading lists the columns of checks with as many readings as the largest
// has.
func CheckHeading(most int) (out []string) {
	for _, name := range Heading(Checks) {
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
