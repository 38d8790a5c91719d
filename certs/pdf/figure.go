package pdf

import (
	"fmt"

	"example.org/wring/certs"
	"example.org/wring/certs/plot"
)

// Heights of a plot, mm (house rules): the usual one, and the one to which it
// may be lowered to stay on the page.
const (
	figureHeight = 52.0
	figureLeast  = 44.0
)

// figure sets a plot in one box with its title and caption; room is the height
// left on the page.
func (s *setter) figure(f certs.Figure, room float64) ([]box, error) {
	b := s.tableTitle(f.Title)
	var note box
	if f.Caption != "" {
		note = s.note(f.Caption)
	}
	height := s.spacing.figure
	if left := room - b.space - b.height - note.height - 1; left >= figureLeast {
		height = min(height, left)
	}
	pic, err := plot.Compose(f.Plot, s.sheet.measure(), height, letters{s.Renderer})
	if err != nil {
		return nil, fmt.Errorf("figure %q: %w", f.Title, err)
	}
	for _, shape := range pic.Shapes {
		for _, m := range s.marks(shape) {
			b.marks = append(b.marks, m.moved(spot{0, b.height}))
		}
	}
	b.height += pic.Height + 0.8
	for _, m := range note.marks {
		b.marks = append(b.marks, m.moved(spot{0, b.height}))
	}
	b.height += note.height
	return []box{b}, nil
}

// letters tells the plot how wide its texts are.
type letters struct{ *Renderer }

func (l letters) Width(r plot.Role, text string) float64 { return l.width(text, roleStyle(r)) }
func (l letters) Height(r plot.Role) float64             { return roleStyle(r).figure() }

func roleStyle(r plot.Role) style {
	switch r {
	case plot.TitleRole:
		return axisStyle
	case plot.LegendRole:
		return legendStyle
	}
	return tickStyle
}

// marks turns a shape of a plot into marks of a page.
func (s *setter) marks(shape plot.Shape) []mark {
	switch sh := shape.(type) {
	case plot.Area:
		k := paleBand
		if sh.Kind == plot.Guard {
			k = guardBand
		}
		return []mark{areaMark{spots(sh.Corners), k}}
	case plot.Patch:
		corners := spots(sh.Corners)
		outline := ruleMark{path: append(corners, corners[0]), width: 0.15, ink: grey}
		return []mark{areaMark{corners, shadeInk(sh.Shade)}, outline}
	case plot.Stroke:
		m := penMark(sh.Pen)
		m.path = spots(sh.Path)
		return []mark{m}
	case plot.Sign:
		return signMarks(sh)
	case plot.Words:
		return []mark{s.words(sh)}
	}
	return nil
}

// shadeInk is pale enough for a number to be read on it.
func shadeInk(s plot.Shade) ink {
	switch s {
	case plot.FarBelow:
		return farBelowTile
	case plot.Below:
		return belowTile
	case plot.Above:
		return aboveTile
	case plot.FarAbove:
		return farAboveTile
	case plot.Alarming:
		return alarmingTile
	}
	return whitePaper
}

func spots(path []plot.Spot) []spot {
	list := make([]spot, len(path))
	for i, p := range path {
		list[i] = spot{p.X, p.Y}
	}
	return list
}

// penMark gives each pen its width and ink; only the acceptance limit is dashed.
func penMark(p plot.Pen) ruleMark {
	switch p {
	case plot.FramePen, plot.TickPen:
		return ruleMark{width: 0.2, ink: black}
	case plot.GridPen:
		return ruleMark{width: 0.08, ink: hair}
	case plot.LimitPen:
		return ruleMark{width: 0.4, ink: petrol}
	case plot.AcceptancePen:
		return ruleMark{width: 0.3, ink: petrol, dashed: true}
	case plot.ZeroPen:
		return ruleMark{width: 0.15, ink: grey}
	}
	return ruleMark{width: 0.22, ink: black}
}

// signMarks draws the mark of a point: the shapes differ, not only the inks.
func signMarks(sign plot.Sign) []mark {
	at := spot{sign.At.X, sign.At.Y}
	const r, line = 0.9, 0.28 // mm
	square := shifted([]spot{{-r, -r}, {r, -r}, {r, r}, {-r, r}, {-r, -r}}, at)
	box := []mark{areaMark{square, whitePaper}, ruleMark{path: square, width: line, ink: black}}
	cross := []mark{
		ruleMark{path: shifted([]spot{{-r, -r}, {r, r}}, at), width: line, ink: black},
		ruleMark{path: shifted([]spot{{-r, r}, {r, -r}}, at), width: line, ink: black},
	}
	switch sign.Mark {
	case plot.Ring:
		return []mark{dotMark{at: at, radius: r, fill: whitePaper, rim: line}}
	case plot.Square:
		return box
	case plot.Saltire:
		return cross
	case plot.Cross:
		return append(box, cross...)
	}
	return []mark{dotMark{at: at, radius: r, fill: black}}
}

func (s *setter) words(t plot.Words) mark {
	st := roleStyle(t.Role)
	w := s.width(t.Text, st)
	back := map[plot.Anchor]float64{plot.Middle: w / 2, plot.End: w}[t.Anchor]
	m := textMark{at: spot{t.At.X - back, t.At.Y}, text: t.Text, style: st, turned: t.Turned}
	if t.Turned {
		m.at = spot{t.At.X, t.At.Y + back}
	}
	return m
}
