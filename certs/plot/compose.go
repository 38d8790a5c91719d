package plot

import "math"

// Distances in the picture, mm (house rules, chosen by eye).
const (
	gap         = 1.6 // between neighbouring things
	edge        = 0.2 // kept free beyond a text at the picture's edge
	tickLength  = 1.2
	capWidth    = 1.6  // of a bar's end
	perTickX    = 18.0 // room wanted for each tick
	perTickY    = 6.5
	fewTicks    = 3
	legendKey   = 7.0 // length of a sample line in the legend
	legendSpace = 6.0 // between entries of the legend
	legendLine  = 1.9 // height of a legend line in heights of a figure
)

// Compose lays the plot out in width × height mm. The error says what cannot
// be drawn.
func Compose(p Plot, width, height float64, l Letters) (Picture, error) {
	if err := p.Check(); err != nil {
		return Picture{}, err
	}
	c := composer{plot: p, letters: l, pic: Picture{Width: width, Height: height}}
	c.measure()
	c.areas()
	c.axes()
	c.tiles()
	c.lines()
	c.points()
	c.titles()
	return c.pic, nil
}

type composer struct {
	plot           Plot
	letters        Letters
	pic            Picture
	x, y           Range
	xTicks, yTicks []Tick
}

func (c *composer) add(s Shape) { c.pic.Shapes = append(c.pic.Shapes, s) }

// measure places the frame: the legend needs the whole width, the ticks of
// the Y axis depend on the height that the legend leaves, and the left edge on
// the widest of their labels.
func (c *composer) measure() {
	c.x, c.y = c.plot.Spans()
	f := Frame{Right: c.pic.Width - gap}
	f.Top = c.legend() + gap
	tick, title := c.letters.Height(TickRole), c.letters.Height(TitleRole)
	f.Bottom = c.pic.Height - 3*gap - tick - title - tickLength
	c.yTicks = c.plot.Y.Ticks(c.y, int((f.Bottom-f.Top)/perTickY))
	if len(c.yTicks) < fewTicks { // two leave a limit between them to guessing
		c.yTicks = c.plot.Y.Ticks(c.y, 2*int((f.Bottom-f.Top)/perTickY))
	}
	widest := 0.0
	for _, t := range c.yTicks {
		widest = max(widest, c.letters.Width(TickRole, t.Label))
	}
	f.Left = 2*gap + title + widest + tickLength + gap
	c.xTicks = c.plot.X.Ticks(c.x, int((f.Right-f.Left)/perTickX))
	c.pic.Frame = f
	c.drawIn()
}

// drawIn moves the right edge in, until the label of every tick ends on the
// picture: one at the end of the axis reaches beyond the frame.
func (c *composer) drawIn() {
	for range 3 { // each move shifts the ticks by less than the one before
		beyond := 0.0
		for _, t := range c.xTicks {
			end := c.spot(Vertex{X: t.At}).X + c.letters.Width(TickRole, t.Label)/2
			beyond = max(beyond, end-c.pic.Width)
		}
		if beyond == 0 {
			return
		}
		c.pic.Frame.Right -= beyond + edge
	}
}

// Ticks divides what the axis shows into about the wanted number of steps.
func (a Axis) Ticks(r Range, wanted int) []Tick {
	if a.Dates {
		return dateTicks(r, wanted)
	}
	if a.Whole {
		wanted = int(min(float64(wanted), math.Ceil(r.High-r.Low)))
	}
	return Ticks(r, wanted, a.Signed)
}

// spot is the one place where a value becomes a position.
func (c *composer) spot(v Vertex) Spot {
	f := c.pic.Frame
	return Spot{
		X: f.Left + (v.X-c.x.Low)/(c.x.High-c.x.Low)*(f.Right-f.Left),
		Y: f.Bottom - (v.Y-c.y.Low)/(c.y.High-c.y.Low)*(f.Bottom-f.Top),
	}
}

func (c *composer) spots(line []Vertex) []Spot {
	run := make([]Spot, len(line))
	for i, v := range line {
		run[i] = c.spot(v)
	}
	return run
}

func (c *composer) areas() {
	for _, b := range c.plot.Bands {
		corners := c.spots(b.High)
		low := c.spots(b.Low)
		for i := len(low) - 1; i >= 0; i-- {
			corners = append(corners, low[i])
		}
		if cut := clipArea(corners, c.pic.Frame); len(cut) > 2 {
			c.add(Area{b.Kind, cut})
		}
	}
}

func (c *composer) axes() {
	f := c.pic.Frame
	tick := c.letters.Height(TickRole)
	for _, t := range c.yTicks {
		y := c.spot(Vertex{c.x.Low, t.At}).Y
		c.add(Stroke{GridPen, []Spot{{f.Left, y}, {f.Right, y}}})
		c.add(Stroke{TickPen, []Spot{{f.Left - tickLength, y}, {f.Left, y}}})
		c.add(Words{TickRole, End, Spot{f.Left - tickLength - gap/2, y + tick/2}, t.Label, false})
	}
	for _, t := range c.xTicks {
		x := c.spot(Vertex{t.At, c.y.Low}).X
		c.add(Stroke{TickPen, []Spot{{x, f.Bottom}, {x, f.Bottom + tickLength}}})
		c.add(Words{TickRole, Middle, Spot{x, f.Bottom + tickLength + gap/2 + tick}, t.Label, false})
	}
	c.add(Stroke{FramePen, []Spot{{f.Left, f.Top}, {f.Left, f.Bottom}, {f.Right, f.Bottom}}})
}

func (c *composer) lines() {
	for _, l := range c.plot.Lines {
		for _, run := range clipLine(c.spots(l.Points), c.pic.Frame) {
			c.add(Stroke{l.Kind.pen(), run})
		}
	}
}

func (k LineKind) pen() Pen {
	switch k {
	case Acceptance:
		return AcceptancePen
	case Zero:
		return ZeroPen
	}
	return LimitPen
}

func (c *composer) points() {
	for _, s := range c.plot.Series {
		for _, p := range s.Points {
			c.bar(p)
			c.add(Sign{s.Mark, c.spot(Vertex{p.X, p.Y})})
		}
	}
}

// bar draws the bar of a point with a cap at each end that lies in the frame.
func (c *composer) bar(p Point) {
	if p.Bar == 0 {
		return
	}
	ends := []Spot{c.spot(Vertex{p.X, p.Y - p.Bar}), c.spot(Vertex{p.X, p.Y + p.Bar})}
	for _, run := range clipLine(ends, c.pic.Frame) {
		c.add(Stroke{BarPen, run})
	}
	for _, e := range ends {
		for _, run := range clipLine([]Spot{{e.X - capWidth/2, e.Y}, {e.X + capWidth/2, e.Y}}, c.pic.Frame) {
			c.add(Stroke{BarPen, run})
		}
	}
}

func (c *composer) titles() {
	f := c.pic.Frame
	h := c.letters.Height(TitleRole)
	c.add(Words{TitleRole, Middle, Spot{(f.Left + f.Right) / 2, c.pic.Height - gap/2}, c.plot.X.Title(), false})
	c.add(Words{TitleRole, Middle, Spot{h + gap/2, (f.Top + f.Bottom) / 2}, c.plot.Y.Title(), true})
}

// legend lists what carries a label along the top edge, in as many lines as it
// needs, and returns the height it takes.
func (c *composer) legend() float64 {
	h := c.letters.Height(LegendRole)
	at := Spot{gap, h * legendLine / 2}
	lines := 0
	for _, e := range c.entries() {
		room := legendKey + gap + c.letters.Width(LegendRole, e.label)
		if lines == 0 || at.X+room > c.pic.Width {
			at = Spot{gap, h*legendLine/2 + h*legendLine*float64(lines)}
			lines++
		}
		e.draw(at)
		c.add(Words{LegendRole, Start, Spot{at.X + legendKey + gap, at.Y + h/2}, e.label, false})
		at.X += room + legendSpace
	}
	return math.Ceil(h * legendLine * float64(lines))
}

type entry struct {
	label string
	draw  func(at Spot) // at: left end of the sample, its middle height
}

func (c *composer) entries() []entry {
	var list []entry
	listed := func(label string, draw func(Spot)) {
		if label != "" {
			list = append(list, entry{label, draw})
		}
	}
	for _, k := range c.plot.Keys {
		listed(k.Label, func(at Spot) {
			r, d := at.X+legendKey, capWidth
			c.add(Patch{k.Shade, []Spot{{at.X, at.Y - d}, {r, at.Y - d}, {r, at.Y + d}, {at.X, at.Y + d}}})
		})
	}
	for _, s := range c.plot.Series {
		if len(s.Points) == 0 {
			continue
		}
		listed(s.Label, func(at Spot) {
			x := at.X + legendKey/2
			c.add(Stroke{BarPen, []Spot{{x, at.Y - capWidth}, {x, at.Y + capWidth}}})
			c.add(Sign{s.Mark, Spot{x, at.Y}})
		})
	}
	for _, l := range c.plot.Lines {
		listed(l.Label, func(at Spot) { c.add(Stroke{l.Kind.pen(), []Spot{at, {at.X + legendKey, at.Y}}}) })
	}
	for _, b := range c.plot.Bands {
		listed(b.Label, func(at Spot) {
			r, d := at.X+legendKey, capWidth/2
			c.add(Area{b.Kind, []Spot{{at.X, at.Y - d}, {r, at.Y - d}, {r, at.Y + d}, {at.X, at.Y + d}}})
			if b.Kind == Guard { // a pale area alone is not seen by everybody
				c.add(Stroke{LimitPen, []Spot{{at.X, at.Y - d}, {r, at.Y - d}}})
				c.add(Stroke{AcceptancePen, []Spot{{at.X, at.Y + d}, {r, at.Y + d}}})
			}
		})
	}
	return list
}
