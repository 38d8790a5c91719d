package sheet

import (
	"fmt"
	"slices"
	"strings"
)

// directionsOf are those of a part's readings in CSV, forward and back; none
// for a word that names no part beside length.
func directionsOf(part string) (forward, back string) {
	switch part {
	case "foot":
		return "lowering", "lifting"
	case "force":
		return "in", "out"
	case "load":
		return "up", "down"
	}
	return "", ""
}

// takePartRow reads the readings of a part beside length at one place and in
// one direction. Rows of one place are one point, in the order of the first.
func (s *CheckSheet) takePartRow(r row, columns []string) error {
	part, way := strings.ToLower(cellOf(r, columns, "part")), strings.ToLower(cellOf(r, columns, "direction"))
	at := cellOf(r, columns, "at")
	forward, back := directionsOf(part)
	where := Field{line: r.line, where: part}
	switch {
	case forward == "":
		return s.refuse(Field{line: r.line, where: "part"}, "%q: want length, foot, force or load", clip(part))
	case part == "load" && strings.EqualFold(at, "zero"):
		forward, back = "before", "after"
	}
	if way != forward && way != back {
		return s.refuse(where, "direction %q: want %s or %s", clip(way), forward, back)
	}
	name := fmt.Sprintf("%s: %s, %s", part, at, way)
	readings, weights, err := s.partCells(r, columns, name)
	if err != nil {
		return err
	}
	if len(weights) > 0 && (part != "load" || forward == "before") {
		return s.refuse(weights[0], "%q: weights belong to a load; want none", clip(weights[0].Text))
	}
	place := Field{Text: at, line: r.line, where: name}
	into := s.partRow(part, place, way == back)
	switch {
	case len(*into) > 0:
		return s.refuse(where, "%s, %s for the second time; want one row of it", at, way)
	case len(readings) == 0:
		return s.refuse(where, "%s, %s: no reading; want the readings, or the row left out", at, way)
	}
	*into = readings
	if len(weights) > 0 {
		row := &s.Load.Points[s.loadRow(place)]
		if len(row.Weights) > 0 {
			return s.refuse(weights[0], "weights of %s for the second time; want them in one of its rows", at)
		}
		row.Weights = weights
	}
	return nil
}

// partCells are the readings and the weights of a row.
func (s *CheckSheet) partCells(r row, columns []string, name string) (readings, weights []Field, err error) {
	for i, cell := range r.cells {
		switch {
		case cell == "" || slices.Contains([]string{"part", "direction", "at"}, columns[i]):
		case columns[i] == "weights":
			weights = parted(cell, "+", r.line, name+": weight")
		case columns[i] != "reading":
			return nil, nil, s.refuse(Field{line: r.line, where: name}, "%s %q: no column of a part beside length; want the cell empty", columns[i], clip(cell))
		case zeroLed(cell):
			return nil, nil, s.refuse(Field{line: r.line, where: name}, zeroLedFault, cell)
		default:
			readings = append(readings, Field{Text: cell, line: r.line, where: fmt.Sprintf("%s %d", name, len(readings)+1)})
		}
	}
	return readings, weights, nil
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
