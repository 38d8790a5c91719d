package sheet

import (
	"cmp"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// skipped reads the places that were left out. It refuses one that the plan
// lacks, one that was taken after all, and one for the second time.
func (s *CheckSheet) skipped(c *calib.Check, g calib.Gauge, p calib.Plan) error {
	for _, row := range s.Skipped {
		skip := calib.Skip{Part: calib.Part(cmp.Or(row.Part.Text, string(calib.LengthPart))), Reason: row.Reason.Text}
		planned, dimension := placesOf(p, skip.Part, g)
		if planned == nil {
			return s.refuse(row.Part, "%q: no part of plan %s; want one of %s", clip(string(skip.Part)), p.Name, strings.Join(asStrings(p.Parts()), ", "))
		}
		var err error
		if skip.At, err = s.quantity(row.At, dimension, g.ReadIn()); err != nil {
			return err
		}
		_, before := c.WhySkipped(skip.Part, skip.At)
		switch {
		case !slices.ContainsFunc(planned, skip.At.Same):
			return s.refuse(row.At, "%s: no place of plan %s; the nearest %s", skip.At, p.Name, nearest(skip.At, planned))
		case before:
			return s.refuse(row.At, "%s left out for the second time; want it once", skip.At)
		case slices.ContainsFunc(taken(c, skip.Part), skip.At.Same):
			return s.refuse(row.At, "%s left out, and there are readings at it; want one of the two", skip.At)
		}
		c.Skipped = append(c.Skipped, skip)
	}
	return nil
}

// placesOf lists the places of a part in a plan and the dimension they are in;
// nil where the plan lacks the part.
func placesOf(p calib.Plan, part calib.Part, g calib.Gauge) ([]unit.Quantity, unit.Dimension) {
	switch {
	case part == calib.LengthPart:
		return p.Points, unit.Length
	case part == calib.FootPart && p.Foot != nil:
		return p.Foot.Openings, unit.Length
	case part == calib.ForcePart && p.Force != nil:
		return p.Force.Points, unit.Length
	case part == calib.LoadPart && p.Load != nil:
		return p.Load.Loads, g.Kind.Dimension()
	}
	return nil, ""
}

// taken lists the places of a part at which a check has readings.
func taken(c *calib.Check, part calib.Part) (out []unit.Quantity) {
	presses := func(list []calib.PressPoint) {
		for _, q := range list {
			out = append(out, q.At)
		}
	}
	switch {
	case part == calib.LengthPart:
		for _, q := range c.Points {
			out = append(out, q.Nominal)
		}
	case part == calib.FootPart && c.Foot != nil:
		presses(c.Foot.Points)
	case part == calib.ForcePart && c.Force != nil:
		presses(c.Force.Points)
	case part == calib.LoadPart && c.Load != nil:
		for _, q := range c.Load.Points {
			out = append(out, q.Load)
		}
	}
	return out
}
