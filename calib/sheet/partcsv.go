package sheet

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
)

// partNamed is the part that a word in CSV names, by the short word that tables
// have; empty for one that names none.
func partNamed(word string) string {
	word = strings.ToLower(word)
	for i, short := range []string{"length", "foot", "force", "load"} {
		if word == short || word == string(calib.Parts()[i]) {
			return short
		}
	}
	return ""
}

// partOf is the part of a short word.
func partOf(short string) calib.Part {
	return map[string]calib.Part{"length": calib.LengthPart, "foot": calib.FootPart, "force": calib.ForcePart, "load": calib.LoadPart}[short]
}

// directionsOf are those of a part's readings in CSV, forward and back.
func directionsOf(part string) (forward, back string) {
	switch part {
	case "foot":
		return "lowering", "lifting"
	case "force":
		return "in", "out"
	default:
		return "up", "down"
	}
}

// takePartRow reads the readings of a part beside length at one place and in
// one direction, or of a foot's diameter. Rows of one place are one point, in
// the order of the first.
func (s *CheckSheet) takePartRow(r row, columns []string) error {
	part, way := partNamed(cellOf(r, columns, "part")), strings.ToLower(cellOf(r, columns, "direction"))
	at := cellOf(r, columns, "at")
	if part == "" {
		return s.refuse(Field{line: r.line, where: "part"}, "%q: want length, foot, force or load", clip(cellOf(r, columns, "part")))
	}
	where := Field{line: r.line, where: part}
	forward, back := directionsOf(part)
	sized := part == "foot" && strings.EqualFold(at, "diameter")
	switch {
	case part == "load" && strings.EqualFold(at, "zero"):
		forward, back = "before", "after"
	case sized:
		forward, back = "", ""
	}
	if way != forward && way != back {
		return s.refuse(where, "direction %q: want %s", clip(way), yes(sized, "none for a diameter", forward+" or "+back))
	}
	name := strings.TrimSuffix(fmt.Sprintf("%s: %s, %s", part, at, way), ", ")
	c, err := s.partCells(r, columns, name)
	if err != nil {
		return err
	}
	if len(c.weights) > 0 && (part != "load" || forward == "before") {
		return s.refuse(c.weights[0], "%q: weights belong to a load; want none", clip(c.weights[0].Text))
	}
	place := Field{Text: at, line: r.line, where: name}
	into := s.partRow(part, place, way == back && !sized)
	switch {
	case len(*into) > 0:
		return s.refuse(where, "%s for the second time; want one row of it", strings.TrimPrefix(name, part+": "))
	case len(c.readings) == 0:
		return s.refuse(where, "%s: no reading; want the readings, or the row left out", strings.TrimPrefix(name, part+": "))
	}
	*into = c.readings
	if len(c.weights) > 0 {
		row := &s.Load.Points[s.loadRow(place)]
		if len(row.Weights) > 0 {
			return s.refuse(c.weights[0], "weights of %s for the second time; want them in one of its rows", at)
		}
		row.Weights = c.weights
	}
	return s.instrument(s.instrumentOf(part, sized), c.instrument)
}

func yes(is bool, a, b string) string {
	if is {
		return a
	}
	return b
}

// instrumentOf is where the instrument of a part's rows is kept.
func (s *CheckSheet) instrumentOf(part string, sized bool) *Field {
	switch {
	case part == "load":
		return &s.Load.Tester
	case part == "force":
		return &s.Force.Instrument
	case sized:
		return &s.Foot.DiameterBy
	default:
		return &s.Foot.Instrument
	}
}

// instrument holds all rows of a part to one.
func (s *CheckSheet) instrument(into *Field, given Field) error {
	switch {
	case !given.Given():
	case into.Given() && into.Text != given.Text:
		return s.refuse(given, "%q, and %q on line %d; want one for the part", clip(given.Text), clip(into.Text), into.line)
	default:
		*into = given
	}
	return nil
}

// partCells are what a row says beside its place.
type partCells struct {
	readings, weights []Field
	instrument        Field
}

func (s *CheckSheet) partCells(r row, columns []string, name string) (c partCells, err error) {
	comment := ""
	for i, cell := range r.cells {
		switch {
		case cell == "" || slices.Contains([]string{"part", "direction", "at", "skipped"}, columns[i]):
		case columns[i] == "weights":
			c.weights = parted(cell, "+", r.line, name+": weight")
		case columns[i] == "instrument":
			c.instrument = Field{Text: cell, line: r.line, where: name + ": instrument"}
		case columns[i] == "comment":
			comment = cell
		case columns[i] != "reading":
			return c, s.refuse(Field{line: r.line, where: name}, "%s %q: no column of a part beside length; want the cell empty", columns[i], clip(cell))
		case zeroLed(cell):
			return c, s.refuse(Field{line: r.line, where: name}, zeroLedFault, cell)
		default:
			c.readings = append(c.readings, Field{Text: cell, line: r.line, where: fmt.Sprintf("%s %d", name, len(c.readings)+1)})
		}
	}
	if comment != "" && len(c.readings) > 0 {
		c.readings[0].Comment = comment
	}
	return c, nil
}

// takeSkipped reads a place that was left out.
func (s *CheckSheet) takeSkipped(r row, columns []string) error {
	reason := Field{Text: cellOf(r, columns, "skipped"), line: r.line, where: "skipped"}
	part := "length"
	if word := cellOf(r, columns, "part"); word != "" {
		part = partNamed(word)
	}
	for i, cell := range r.cells {
		if cell != "" && !slices.Contains([]string{"part", "at", "skipped"}, columns[i]) {
			return s.refuse(reason, "%s %q: a place that was left out has none; want the cell empty, or no reason", columns[i], clip(cell))
		}
	}
	if part == "" {
		return s.refuse(Field{line: r.line, where: "part"}, "%q: want length, foot, force or load", clip(cellOf(r, columns, "part")))
	}
	s.Skipped = append(s.Skipped, SkipRow{Part: Field{Text: string(partOf(part)), line: r.line, where: "skipped: part"},
		At: Field{Text: cellOf(r, columns, "at"), line: r.line, where: "skipped: at"}, Reason: reason})
	return nil
}

// partRow returns where the readings of a place and a direction are kept.
func (s *CheckSheet) partRow(part string, at Field, back bool) *[]Field {
	if part == "load" {
		if s.Load == nil {
			s.Load = &LoadSheet{}
		}
		switch zero := strings.EqualFold(at.Text, "zero"); {
		case zero && back:
			return &s.Load.Return
		case zero:
			return &s.Load.Zero
		}
		row := &s.Load.Points[s.loadRow(at)]
		if back {
			return &row.Down
		}
		return &row.Up
	}
	press := &s.Foot
	if part == "force" {
		press = &s.Force
	}
	if *press == nil {
		*press = &PressSheet{}
	}
	if part == "foot" && strings.EqualFold(at.Text, "diameter") {
		return &(*press).Diameter
	}
	i := slices.IndexFunc((*press).Points, func(p PressRow) bool { return p.At.Text == at.Text })
	if i < 0 {
		i = len((*press).Points)
		(*press).Points = append((*press).Points, PressRow{At: at})
	}
	if row := &(*press).Points[i]; back {
		return &row.Back
	} else {
		return &row.Forward
	}
}

// loadRow finds the load of a place, and makes it where there is none.
func (s *CheckSheet) loadRow(at Field) int {
	i := slices.IndexFunc(s.Load.Points, func(p LoadRow) bool { return p.Load.Text == at.Text })
	if i < 0 {
		i = len(s.Load.Points)
		s.Load.Points = append(s.Load.Points, LoadRow{Load: at})
	}
	return i
}
