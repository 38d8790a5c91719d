package sheet

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/study"
	"example.org/wring/uncertainty/unit"
)

// Study turns the sheet into a study with g. Readings and limits without a unit
// are in the unit the gauge is read in. It refuses, with a [*LineError] that
// names the line where there is one, what [study.Study.Sound] does.
func (s *StudySheet) Study(g calib.Gauge) (study.Study, error) {
	out, err := s.Design(g)
	if err != nil {
		return study.Study{}, err
	}
	if err := s.readings(&out, g); err != nil {
		return study.Study{}, err
	}
	return out, s.lined(out.Sound(g))
}

// Design reads all but the readings.
func (s *StudySheet) Design(g calib.Gauge) (study.Study, error) {
	out := study.Study{Gauge: g.ID, Title: s.Title.Text, Process: s.Process.Text, Person: s.Person.Text, Remarks: s.Remarks.Text}
	var err error
	switch {
	case s.Gauge.Given() && s.Gauge.Text != g.ID:
		return out, s.refuse(plain(s.Gauge), "gauge %q: another gauge than the one being studied; want %s", clip(s.Gauge.Text), g.ID)
	case !s.Date.Given():
		return out, s.refuse(Field{}, "date: nothing given; write year-month-day, as 2026-03-02")
	case !s.Person.Given():
		return out, s.refuse(Field{}, "person: nothing given; want who led the study")
	}
	if out.Date, err = calib.ParseDate(s.Date.Text); err != nil {
		return out, plain(s.Date).fault(s.Name, err)
	}
	for _, step := range []func(*study.Study, calib.Gauge) error{s.names, s.numbers, s.tolerance} {
		if err := step(&out, g); err != nil {
			return out, err
		}
	}
	return out, nil
}

// mostNames is how many parts and operators a study may have, as [study.Study]
// says.
const (
	mostParts     = 100
	mostOperators = 20
)

func (s *StudySheet) names(out *study.Study, _ calib.Gauge) error {
	for _, l := range []struct {
		noun  string
		named []Field
		of    func(CellRow) Field
		to    *[]string
		most  int
	}{
		{"part", s.Parts, func(c CellRow) Field { return c.Part }, &out.Parts, mostParts},
		{"operator", s.Operators, func(c CellRow) Field { return c.Operator }, &out.Operators, mostOperators},
	} {
		for _, v := range l.named {
			name := strings.TrimSpace(v.Text)
			if name == "" || slices.Contains(*l.to, name) {
				return s.refuse(v, "%q: nothing, or named twice; want each %s once", clip(v.Text), l.noun)
			}
			*l.to = append(*l.to, name)
		}
		for _, c := range s.Cells {
			v := l.of(c)
			name := strings.TrimSpace(v.Text)
			switch {
			case slices.Contains(*l.to, name):
			case len(l.named) > 0:
				return s.refuse(v, "%q: not among the %ss of the sheet; want one of %s", clip(name), l.noun, clip(strings.Join(*l.to, ", ")))
			default:
				*l.to = append(*l.to, name)
			}
		}
		if len(*l.to) > l.most {
			return s.refuse(Field{}, "%d %ss; want at most %d", len(*l.to), l.noun, l.most)
		}
	}
	return nil
}

func (s *StudySheet) numbers(out *study.Study, _ calib.Gauge) error {
	whole := func(name string, v Field, most uint64, want string) (uint64, error) {
		if !v.Given() {
			return 0, nil
		}
		n, err := strconv.ParseUint(v.Text, 10, 64)
		if err != nil || n < 1 || n > most {
			return 0, s.refuse(plain(v), "%s %q: want %s", name, clip(v.Text), want)
		}
		return n, nil
	}
	repeats, err := whole("repeats", s.Repeats, 20, "a whole number from 1 to 20")
	if err != nil {
		return err
	}
	out.Repeats = int(repeats)
	if out.Seed, err = whole("seed", s.Seed, study.MostSeed, "a whole number from 1 to "+strconv.Itoa(study.MostSeed)); err != nil {
		return err
	}
	for _, v := range []struct {
		name string
		at   Field
		to   *float64
		most int64
		want string
	}{{"multiple", s.Multiple, &out.Multiple, 20, "a number above 0, at most 20, as 6"}, {"probability", s.Probability, &out.Probability, 1, "a confidence above 0 and below 1, as 0.95"}} {
		if !v.at.Given() {
			continue
		}
		n, err := bareNumber(v.at.Text)
		if err != nil {
			return plain(v.at).fault(s.Name, fmt.Errorf("%s %w", v.name, err))
		}
		if n.Sign() <= 0 || n.Cmp(unit.Whole(v.most)) > 0 || v.most == 1 && n.Cmp(unit.Whole(1)) == 0 {
			return s.refuse(plain(v.at), "%s %q: want %s", v.name, clip(v.at.Text), v.want)
		}
		*v.to = n.Float()
	}
	out.Pooling = study.Pooling(strings.ReplaceAll(s.Pooling.Text, "-", " "))
	if s.Pooling.Given() && !slices.Contains(study.Poolings(), out.Pooling) {
		return s.refuse(plain(s.Pooling), "pooling %q: want one of %s", clip(s.Pooling.Text), strings.Join(asStrings(study.Poolings()), ", "))
	}
	return nil
}

func (s *StudySheet) tolerance(out *study.Study, g calib.Gauge) error {
	for _, v := range []struct {
		name string
		at   Field
		to   *unit.Quantity
	}{{"lower", s.Low, &out.Low}, {"upper", s.High, &out.High}} {
		if !v.at.Given() {
			continue
		}
		q, err := unit.Parse(v.at.Text, g.Kind.Dimension(), g.ReadIn())
		if err != nil {
			return plain(v.at).fault(s.Name, fmt.Errorf("%s limit %w", v.name, err))
		}
		*v.to = q
	}
	return nil
}

// readings takes the readings in the order of their turns, else of the sheet.
func (s *StudySheet) readings(out *study.Study, g calib.Gauge) error {
	rows, turned, err := s.turns()
	if err != nil {
		return err
	}
	most := 0
	count := map[[2]string]int{}
	single := true
	for _, c := range rows {
		cell := [2]string{strings.TrimSpace(c.Part.Text), strings.TrimSpace(c.Operator.Text)}
		single = single && len(c.Readings) <= 1
		for i, v := range c.Readings {
			q, err := unit.Parse(v.Text, g.Kind.Dimension(), g.ReadIn())
			if err != nil {
				return v.fault(s.Name, err)
			}
			if q.Unit().Symbol() != g.Unit {
				return s.refuse(v, "%s on a gauge that is read in %s; want one unit throughout", q, g.Unit)
			}
			r := study.Reading{Part: cell[0], Operator: cell[1], Indication: q}
			if i == 0 {
				r.Comment = c.Comment.Text
			}
			out.Readings = append(out.Readings, r)
			count[cell]++
			most = max(most, count[cell])
		}
	}
	out.Repeats = cmp.Or(out.Repeats, most)
	out.Ordered = turned && single
	return nil
}

// turns sorts the rows by their turn, where they have one.
func (s *StudySheet) turns() ([]CellRow, bool, error) {
	rows := slices.Clone(s.Cells)
	numbers := map[uint64]int{}
	turn := func(c CellRow) uint64 { n, _ := strconv.ParseUint(c.Turn.Text, 10, 32); return n }
	for _, c := range rows {
		if !c.Turn.Given() {
			if len(numbers) > 0 {
				return nil, false, s.refuse(c.Part, "no turn; want one in every row, or in none")
			}
			continue
		}
		n, err := strconv.ParseUint(c.Turn.Text, 10, 32)
		if err != nil || n < 1 {
			return nil, false, s.refuse(c.Turn, "%q: want a whole number, as 7", clip(c.Turn.Text))
		}
		if first, twice := numbers[n]; twice {
			return nil, false, s.refuse(c.Turn, "%d for the second time, first on line %d; want each once", n, first)
		}
		numbers[n] = c.Turn.line
	}
	if len(numbers) > 0 && len(numbers) < len(rows) {
		return nil, false, s.refuse(rows[0].Part, "no turn; want one in every row, or in none")
	}
	slices.SortStableFunc(rows, func(a, b CellRow) int { return cmp.Compare(turn(a), turn(b)) })
	return rows, len(numbers) > 0, nil
}

// lined puts the last line of a cell behind what is wrong with it.
func (s *StudySheet) lined(err error) error {
	var cell *study.CellError
	if err == nil {
		return nil
	}
	at := Field{}
	if errors.As(err, &cell) {
		for _, c := range s.Cells {
			if strings.TrimSpace(c.Part.Text) == cell.Part && strings.TrimSpace(c.Operator.Text) == cell.Operator {
				at.line = c.Part.line
			}
		}
	}
	return at.fault(s.Name, err)
}

// WriteStudyPlan writes a study that is still to be taken as a CSV sheet, its
// turns in the order of its seed and its readings open.
func WriteStudyPlan(s study.Study, turns []study.Turn) []byte {
	var b strings.Builder
	b.WriteString("## Fill in the column reading, turn by turn, and look at no earlier reading.\n")
	for _, line := range [][2]string{
		{"gauge", s.Gauge}, {"title", s.Title}, {"process", s.Process}, {"parts", strings.Join(s.Parts, ", ")}, {"operators", strings.Join(s.Operators, ", ")},
		{"repeats", strconv.Itoa(s.Repeats)}, {"seed", strconv.FormatUint(s.Seed, 10)}, {"low", s.Low.String()}, {"high", s.High.String()},
		{"multiple", bare(s.Multiple)}, {"probability", bare(s.Probability)}, {"pooling", string(s.Pooling)},
	} {
		if line[1] != "" {
			b.WriteString("# " + line[0] + ": " + line[1] + "\n")
		}
	}
	b.WriteString("turn,part,operator,reading,comment\n")
	for i, t := range turns {
		b.WriteString(strconv.Itoa(i+1) + "," + csvCell(t.Part) + "," + csvCell(t.Operator) + ",,\n")
	}
	return []byte(b.String())
}

func bare(f float64) string {
	if f == 0 {
		return ""
	}
	return strconv.FormatFloat(f, 'f', -1, 64)
}

// csvCell writes a cell that may hold a comma.
func csvCell(cell string) string {
	if strings.ContainsAny(cell, ",\"") || strings.HasPrefix(cell, "#") {
		return `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
	}
	return cell
}
