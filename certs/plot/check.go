package plot

import (
	"fmt"
	"math"
)

// Bounds on what is drawn (house rules). No gauge of the trade shows as much
// as the largest value in any unit, so no difference can overflow; an axis
// narrower than the finest share of its own values could not be counted off
// in steps, and one narrower than the finest width shows nothing but noise.
const (
	largest     = 1e12
	finestShare = 1e-9
	finestWidth = 1e-12
)

// Check finds what cannot be drawn: a number that is not finite or beyond
// belief, a line of fewer than two vertices, a point outside a given range.
func (p Plot) Check() error {
	if err := checkAxes(p); err != nil {
		return err
	}
	for i, b := range p.Bands {
		if err := checkLine(b.Low); err != nil {
			return fmt.Errorf("plot: lower edge of band %d %q: %w", i+1, b.Label, err)
		}
		if err := checkLine(b.High); err != nil {
			return fmt.Errorf("plot: upper edge of band %d %q: %w", i+1, b.Label, err)
		}
	}
	for i, l := range p.Lines {
		if err := checkLine(l.Points); err != nil {
			return fmt.Errorf("plot: line %d %q: %w", i+1, l.Label, err)
		}
	}
	for i, t := range p.Tiles {
		if err := p.checkTile(t); err != nil {
			return fmt.Errorf("plot: tile %d: %w", i+1, err)
		}
	}
	for i, s := range p.Series {
		for j, pt := range s.Points {
			if err := p.checkPoint(pt); err != nil {
				return fmt.Errorf("plot: series %d %q, point %d: %w", i+1, s.Label, j+1, err)
			}
		}
	}
	return nil
}

func checkAxes(p Plot) error {
	for _, a := range []Axis{p.X, p.Y} {
		if r := a.Range; r != nil && (!drawable(r.Low) || !drawable(r.High) || !r.wide()) {
			return fmt.Errorf("plot: axis %q: range %g to %g; want finite ends, the lower first, and room between them", a.Quantity, r.Low, r.High)
		}
	}
	if len(p.Tiles) > 0 {
		return nil
	}
	for _, s := range p.Series {
		if len(s.Points) > 0 {
			return nil
		}
	}
	return fmt.Errorf("plot: no points; want at least one")
}

func checkLine(line []Vertex) error {
	if len(line) < 2 {
		return fmt.Errorf("%d vertices; want at least 2", len(line))
	}
	for i, v := range line {
		if !drawable(v.X) || !drawable(v.Y) {
			return fmt.Errorf("vertex %d at %g, %g; want finite numbers", i+1, v.X, v.Y)
		}
	}
	return nil
}

func (p Plot) checkPoint(pt Point) error {
	if !drawable(pt.X) || !drawable(pt.Y) {
		return fmt.Errorf("at %g, %g; want finite numbers", pt.X, pt.Y)
	}
	if !(pt.Bar >= 0) || !drawable(pt.Bar) {
		return fmt.Errorf("bar of %g; want a finite number, not negative", pt.Bar)
	}
	if !p.X.Range.holds(pt.X) || !p.Y.Range.holds(pt.Y) {
		return fmt.Errorf("at %g, %g beyond the given axes; want every point inside", pt.X, pt.Y)
	}
	return nil
}

func (r *Range) holds(v float64) bool { return r == nil || (v >= r.Low && v <= r.High) }

// wide reports whether the range can be divided into ticks.
func (r Range) wide() bool {
	return r.High-r.Low > max(finestShare*math.Abs(r.Low), finestShare*math.Abs(r.High), finestWidth)
}

func drawable(v float64) bool { return v >= -largest && v <= largest }
