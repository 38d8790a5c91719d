package calib

import (
	"cmp"
	"strings"
)

// A Part is one of the things a plan can verify of a gauge. A check records
// one or several, each with readings, budget and verdict of its own.
type Part string

// The parts. A thickness gauge for soft goods is only as good as the pressure
// of its foot, a micrometer as the force of its thimble.
const (
	LengthPart Part = "length"
	FootPart   Part = "foot pressure"
	ForcePart  Part = "measuring force"
	LoadPart   Part = "applied load"
)

// Parts lists them in the order in which they are checked and printed.
func Parts() []Part { return []Part{LengthPart, FootPart, ForcePart, LoadPart} }

// Parts lists what the plan verifies, in the order of [Parts]. The flat fields
// of a plan are its length part, which it has where it has points.
func (p Plan) Parts() []Part {
	return having(len(p.Points) > 0, p.Foot != nil, p.Force != nil, p.Load != nil)
}

// IntervalOf returns the months from one check of a part to the next: the
// part's own, else the plan's; 0 where neither has one, or the plan lacks the
// part.
func (p Plan) IntervalOf(part Part) int {
	terms, ok := p.TermsOf(part)
	if !ok {
		return 0
	}
	return cmp.Or(terms.IntervalMonths, p.IntervalMonths)
}

// TermsOf returns how a part is done and judged, its rule filled in from the
// plan's where it has none of its own. It reports false for a part that the
// plan lacks.
func (p Plan) TermsOf(part Part) (PartTerms, bool) {
	var t PartTerms
	switch {
	case part == LengthPart && len(p.Points) > 0:
		return PartTerms{IntervalMonths: p.IntervalMonths, Rule: p.Rule, Readings: p.Readings, Minimum: p.Minimum, Contributions: p.Contributions}, true
	case part == FootPart && p.Foot != nil:
		t = p.Foot.PartTerms
	case part == ForcePart && p.Force != nil:
		t = p.Force.PartTerms
	case part == LoadPart && p.Load != nil:
		t = p.Load.PartTerms
	default:
		return t, false
	}
	if t.Rule.Name == "" {
		t.Rule = p.Rule
	}
	return t, true
}

// Parts lists what the check recorded, in the order of [Parts].
func (c Check) Parts() []Part {
	return having(len(c.Points) > 0, c.Foot != nil, c.Force != nil, c.Load != nil)
}

// Parts lists what the result answers for, in the order of [Parts].
func (r Result) Parts() []Part {
	return having(len(r.Points) > 0, r.Foot != nil, r.Force != nil, r.Load != nil)
}

// OriginOf says whose limits a part is held to; of the length part the plan's
// own limit says it.
func (p Plan) OriginOf(part Part) string {
	switch {
	case part == FootPart && p.Foot != nil:
		return p.Foot.Origin()
	case part == ForcePart && p.Force != nil:
		return p.Force.Band.Origin
	case part == LoadPart && p.Load != nil:
		return strings.TrimPrefix(p.Load.Limit.Class+"; "+p.Load.Limit.Origin, "; ")
	}
	return p.Limit.Origin
}

func having(has ...bool) []Part {
	var out []Part
	for i, p := range Parts() {
		if has[i] {
			out = append(out, p)
		}
	}
	return out
}

// Part returns the result of a part other than length, nil where there is none.
func (r Result) Part(part Part) *PartResult {
	switch part {
	case FootPart:
		return r.Foot
	case ForcePart:
		return r.Force
	case LoadPart:
		return r.Load
	}
	return nil
}

// VerdictOf returns the verdict on one part, empty where it was not recorded.
func (r Result) VerdictOf(part Part) Verdict {
	switch one := r.Part(part); {
	case one != nil:
		return one.Verdict
	case part == LengthPart && len(r.Points) > 0:
		return cmp.Or(r.LengthVerdict, r.Verdict)
	}
	return ""
}
