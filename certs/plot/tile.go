package plot

import "fmt"

// A Tile is a patch of a map: where it lies, how what was found there stands
// to the whole, and the number itself, so that a shade is never the only thing
// that says so.
type Tile struct {
	Low   Vertex // lower left corner
	High  Vertex // upper right corner
	Shade Shade
	Text  string // in its middle
}

// Shade says how a patch stands to the whole.
type Shade int

const (
	Even     Shade = iota // like the whole
	Below                 // less
	FarBelow              // much less
	Above                 // more
	FarAbove              // much more
	Alarming              // beyond a limit
	shadeCount
)

// A Key names a shade in the legend.
type Key struct {
	Shade Shade
	Label string
}

// A Patch is a filled rectangle of a map, with its outline drawn by the
// rendering.
type Patch struct {
	Shade   Shade
	Corners []Spot // four
}

func (Patch) shape() {}

func (c *composer) tiles() {
	h := c.letters.Height(TickRole)
	for _, t := range c.plot.Tiles {
		low, high := c.spot(t.Low), c.spot(t.High)
		c.add(Patch{t.Shade, []Spot{{low.X, high.Y}, {high.X, high.Y}, {high.X, low.Y}, {low.X, low.Y}}})
		c.add(Words{TickRole, Middle, Spot{(low.X + high.X) / 2, (low.Y+high.Y)/2 + h/2}, t.Text, false})
	}
}

// checkTile refuses what is no rectangle or lies beyond the given axes.
func (p Plot) checkTile(t Tile) error {
	for _, v := range []Vertex{t.Low, t.High} {
		if !drawable(v.X) || !drawable(v.Y) {
			return fmt.Errorf("at %g, %g; want finite numbers", v.X, v.Y)
		}
		if !p.X.Range.holds(v.X) || !p.Y.Range.holds(v.Y) {
			return fmt.Errorf("at %g, %g beyond the given axes; want it inside", v.X, v.Y)
		}
	}
	if !(t.High.X > t.Low.X) || !(t.High.Y > t.Low.Y) {
		return fmt.Errorf("from %g, %g to %g, %g; want room in it", t.Low.X, t.Low.Y, t.High.X, t.High.Y)
	}
	if t.Shade < 0 || t.Shade >= shadeCount {
		return fmt.Errorf("shade %d; want one that there is", t.Shade)
	}
	return nil
}
