package table

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/sheet"
	"example.org/wring/calib/survey"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/unit"
)

// Lot reads a line of a lot. What it leaves out of unit and rule is the house's.
func (r Record) Lot(house calib.House) (survey.Lot, error) {
	l := survey.Lot{ID: r.ID(), Revision: 1, Form: survey.Sheet, Unit: house.Unit, Rule: house.Rule}
	for column, field := range map[string]*string{"material": &l.Material, "supplier": &l.Supplier, "unit": &l.Unit, "method": &l.Method, "remarks": &l.Remarks} {
		r.line(column, field)
	}
	u, ok := unit.Lookup(l.Unit, unit.Length)
	switch {
	case l.Material == "":
		return l, r.fault(errors.New("material: nothing given; want what the lot is of"))
	case !ok:
		return l, r.fault(fmt.Errorf("unit: %q: want one of %s", clip(l.Unit), strings.Join(unit.Lengths(), ", ")))
	}
	if name := r.text("rule"); name != "" {
		l.Rule = calib.Rule{Name: strings.ToLower(name)}
	}
	millimetre, _ := unit.Lookup("mm", unit.Length)
	err := first(word(r, "form", survey.Forms(), &l.Form), r.quantity("width", unit.Length, millimetre, &l.Width), r.quantity("length", unit.Length, millimetre, &l.Length),
		r.band("mean", u, &l.Mean), r.band("place", u, &l.Place), r.share("guard_factor", &l.Rule.Factor), r.share("risk", &l.Rule.Risk))
	if k := conformity.Kind(l.Rule.Name); l.Rule.Factor == 0 && (k == conformity.Guarded || k == conformity.FourVerdicts) {
		l.Rule.Factor = 1
	}
	l.Unit = u.Symbol()
	return l, r.fault(err)
}

// band reads the columns name_low and name_high, of which one may be empty.
func (r Record) band(name string, u unit.Unit, into *calib.Band) error {
	err := first(r.quantity(name+"_low", unit.Length, u, &into.Low), r.quantity(name+"_high", unit.Length, u, &into.High))
	if !into.IsZero() {
		into.Origin = "agreed for the lot"
	}
	return err
}

// share reads a bare number.
func (r Record) share(column string, into *float64) error {
	text := r.decimal(r.text(column))
	if text == "" {
		return nil
	}
	if !isPlain(text) {
		return fmt.Errorf("%s: %q: want a bare number, as 0.5", words(column), clip(text))
	}
	v, err := strconv.ParseFloat(text, 64)
	*into = v
	return err
}

// LotRow is the inverse of [Record.Lot].
func LotRow(l survey.Lot) []string {
	u, _ := unit.Lookup(l.Unit, unit.Length)
	millimetre, _ := unit.Lookup("mm", unit.Length)
	return []string{l.ID, l.Material, l.Supplier, string(l.Form), bare(l.Width, millimetre), bare(l.Length, millimetre), l.Unit, bare(l.Mean.Low, u), bare(l.Mean.High, u),
		bare(l.Place.Low, u), bare(l.Place.High, u), l.Rule.Name, bareNumber(l.Rule.Factor), bareNumber(l.Rule.Risk), l.Method, l.Remarks}
}

// bareNumber writes a number, none for 0.
func bareNumber(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// surveyFields are the columns that are the same on all lines of a survey,
// with where the sheet has them.
func surveyFields(s *sheet.SurveySheet) []struct {
	column string
	into   *sheet.Field
} {
	return []struct {
		column string
		into   *sheet.Field
	}{
		{"lot", &s.Lot}, {"gauge", &s.Gauge}, {"method", &s.Method}, {"person", &s.Person}, {"grid", &s.Grid}, {"temperature", &s.Temperature}, {"humidity", &s.Humidity}, {"pressure", &s.AirPressure},
		{"wanted", &s.Wanted}, {"share", &s.Share}, {"confidence", &s.Confidence}, {"override", &s.Override}, {"remarks", &s.Remarks},
	}
}

// SurveySheet reads the lines of one survey: what is the same on all of them,
// and on each a place, the zero, or a step of a compression run.
func (g Group) SurveySheet() (*sheet.SurveySheet, error) {
	var places, steps []Record
	for _, r := range g.records {
		switch {
		case r.count("reading") == 0:
			return nil, r.fault(errors.New("reading: nothing given; want the readings there, or the line left out"))
		case r.text("under") != "":
			steps = append(steps, r)
		default:
			places = append(places, r)
		}
	}
	r := g.First()
	if len(places) == 0 {
		return nil, r.fault(errors.New("place: steps of a compression run alone; want the places that were read too"))
	}
	text, err := Group{records: places}.sheetOf([]string{"at", "across", "along", "reading", "comment"}, "reading")
	if err != nil {
		return nil, err
	}
	s, err := sheet.ReadSurveyCSV(r.file.Name, []byte(text))
	if err != nil {
		return nil, g.Placed(err)
	}
	s.Name = r.file.Name
	for _, f := range surveyFields(s) {
		if err := g.agree(f.column); err != nil {
			return nil, err
		}
		if r.count(f.column) == 0 {
			continue
		}
		cell, err := r.sheetCell(f.column, 0)
		if err != nil {
			return nil, err
		}
		*f.into = sheet.Field{Text: cell}
	}
	day, err := r.dayOf("survey")
	if err != nil {
		return nil, err
	}
	s.Date = sheet.Field{Text: day.String()}
	return s, first(g.effect(s), undwelt(places, s), compression(steps, s))
}

// effect reads the effect of pressure as somebody stated it.
func (g Group) effect(s *sheet.SurveySheet) error {
	r := g.First()
	e := &sheet.StatedSheet{}
	given := 0
	columns := []string{"effect_change", "effect_for", "effect_expanded", "effect_k", "effect_source"}
	fields := []*sheet.Field{&e.Change, &e.For, &e.Expanded, &e.K, &e.Source}
	if err := g.agree(columns...); err != nil {
		return err
	}
	for i, column := range columns {
		if text := r.text(column); text != "" {
			given++
			*fields[i] = sheet.Field{Text: r.decimal(text)}
		}
	}
	switch given {
	case 0:
	case len(columns):
		s.Stated = e
	default:
		return r.fault(errors.New("effect of pressure: some of its columns; want effect_change, effect_for, effect_expanded, effect_k and effect_source, or none"))
	}
	return nil
}

// undwelt reads before which readings of each place the dwell was not counted.
func undwelt(places []Record, s *sheet.SurveySheet) error {
	i := 0
	for _, r := range places {
		if strings.EqualFold(r.text("at"), "zero") {
			continue
		}
		for _, text := range strings.Fields(r.text("undwelt")) {
			n, err := strconv.ParseUint(text, 10, 8)
			if err != nil || n < 1 || n > uint64(len(s.Places[i].Readings)) {
				return r.fault(fmt.Errorf("undwelt: %q: want numbers of readings of the place, as 1 2", clip(text)))
			}
			s.Places[i].Undwelt = append(s.Places[i].Undwelt, int(n))
		}
		i++
	}
	return nil
}

// compression reads the steps of a run, each with one reading.
func compression(steps []Record, s *sheet.SurveySheet) error {
	for _, r := range steps {
		if n := r.count("reading"); n != 1 {
			return r.fault(fmt.Errorf("under: %q with %d readings; want one for each pressure", clip(r.text("under")), n))
		}
		reading, err := r.sheetCell("reading", 0)
		if err != nil {
			return err
		}
		under, err := r.sheetCell("under", 0)
		if err != nil {
			return err
		}
		s.Compression = append(s.Compression, sheet.PressStep{Pressure: sheet.Field{Text: under}, Reading: sheet.Field{Text: reading}})
	}
	return nil
}

// SurveyRows is the inverse of [Group.SurveySheet], as [CheckRows] is of its.
func SurveyRows(number string, s survey.Survey, u unit.Unit, most int) [][]string {
	celsius, _ := unit.Lookup("°C", unit.Temperature)
	percent, _ := unit.Lookup("%", unit.Percent)
	millimetre, _ := unit.Lookup("mm", unit.Length)
	grid, at := "", s.Conditions
	if s.Grid != nil {
		grid = fmt.Sprintf("%dx%d", s.Grid.Columns, s.Grid.Rows)
	}
	head := []string{s.Lot, s.Date.String(), number, s.Gauge, s.Method, s.Person, grid, bare(at.Gauge, celsius), bare(at.Humidity, percent), at.Pressure.String(),
		bare(s.Wanted, u), bareNumber(s.Share), bareNumber(s.Confidence), s.Override, s.Remarks}
	tail := make([]string, 5) // of the effect
	if e := s.Stated; e != nil {
		tail = []string{e.Change.String(), e.For.String(), e.Expanded.String(), bareNumber(e.K), e.Source}
	}
	var out [][]string
	add := func(before []string, readings []calib.Reading, after ...string) {
		row := append(append([]string{}, head...), before...)
		for i := range most {
			text := ""
			if i < len(readings) {
				text = bare(readings[i].Indication, u)
			}
			row = append(row, text)
		}
		out = append(out, append(append(row, after...), tail...))
	}
	if len(s.Zero) > 0 {
		add([]string{"zero", "", "", ""}, s.Zero, "", "")
	}
	for _, p := range s.Places {
		var before []string
		for _, n := range p.Undwelt {
			before = append(before, strconv.Itoa(n))
		}
		add([]string{p.Name, bare(p.Across, millimetre), bare(p.Along, millimetre), ""}, p.Readings, strings.Join(before, " "), p.Comment)
	}
	for _, step := range s.Compression {
		add([]string{"", "", "", step.Pressure.String()}, []calib.Reading{{Indication: step.Reading}}, "", "")
	}
	return out
}

// MostSurveyed is how many readings the fullest line of a survey has.
func MostSurveyed(s survey.Survey) int {
	most := max(1, len(s.Zero))
	for _, p := range s.Places {
		most = max(most, len(p.Readings))
	}
	return most
}
