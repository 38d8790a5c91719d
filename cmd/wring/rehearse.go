package main

import (
	"fmt"
	"maps"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/assess"
	"example.org/wring/calib/length"
	"example.org/wring/calib/sheet"
	"example.org/wring/uncertainty/unit"
)

// rehearse works the check out with readings that are all right, so that
// whatever else would stop it is said before the first reading: a wrong word in
// an option, a stack that does not make its size, a standard out of date, a
// figure that nothing sizes. It returns what will be marked.
func (p *preparation) rehearse() ([]calib.Finding, error) {
	if err := p.instruments(); err != nil {
		return nil, err
	}
	check, err := p.sheet.Check(p.gauge, p.plan)
	if err != nil {
		return nil, err
	}
	if p.records(calib.LengthPart) {
		for _, at := range p.plan.Points {
			check.Points = append(check.Points, calib.Point{Nominal: at, Readings: repeated(calib.Reading{Indication: at}, p.plan.Readings)})
		}
		if p.plan.Zero != calib.ZeroNone {
			check.Zero = repeated(calib.Reading{Indication: p.gauge.Low}, p.plan.Readings)
		}
	}
	p.supposed(&check)
	asked := []calib.Gate{calib.GateNoEnvironment} // not yet, but it will be
	result, err := p.evaluate(&check, asked)
	p.rehearsed, p.expected = check, result
	return result.Findings, err
}

func repeated(r calib.Reading, n int) []calib.Reading { return slices.Repeat([]calib.Reading{r}, n) }

// evaluate works a check out, some of its plan's gates left out.
func (p *preparation) evaluate(check *calib.Check, without []calib.Gate) (calib.Result, error) {
	if err := first(p.placeBlocks(check), p.placeWeights(check)); err != nil {
		return calib.Result{}, err
	}
	plan := p.plan
	plan.Gates = maps.Clone(plan.Gates)
	if plan.Gates == nil {
		plan.Gates = map[calib.Gate]calib.Action{}
	}
	for _, g := range without {
		plan.Gates[g] = calib.Ignore
	}
	return assess.Check(*check, p.basis(plan))
}

// alone makes a check of one point, with the readings it has.
func (l *leader) alone(row sheet.PointRow) (calib.Check, *preparation, error) {
	one, p := *l.p.sheet, *l.p
	one.Zero, one.Points = l.taken.Zero, []sheet.PointRow{row}
	p.sheet, p.overrides = &one, nil
	check, err := one.Check(p.gauge, p.plan)
	if err != nil {
		return check, nil, err
	}
	if own, ok := l.p.overridden(check.Points[0].Nominal); ok {
		p.overrides = []string{own}
	}
	return check, &p, p.placeBlocks(&check)
}

// errorOf is the error at a point by its readings so far, in mm. It reports
// false where there is none yet.
func (l *leader) errorOf(row sheet.PointRow) (nominal, e unit.Exact, ok bool) {
	if len(row.Readings) == 0 {
		return nominal, e, false
	}
	check, p, err := l.alone(row)
	if err != nil {
		return nominal, e, false
	}
	errs, err := length.Errors(check, p.basis(p.plan))
	if err != nil {
		return nominal, e, false
	}
	return check.Points[0].Nominal.Inner(), errs[0], true
}

func quantities(readings []calib.Reading) []unit.Quantity {
	var out []unit.Quantity
	for _, r := range readings {
		out = append(out, r.Indication)
	}
	return out
}

// soFar says of one point, as soon as its readings are there, what the result
// will say of it.
func (l *leader) soFar(row sheet.PointRow) string {
	check, p, err := l.alone(row)
	if err != nil {
		return err.Error()
	}
	result, err := p.evaluate(&check, calib.Gates())
	if err != nil {
		return err.Error()
	}
	r, u := result.Points[0], p.gauge.ReadIn()
	e, expanded, places := inUnit(u, r, p.plan.Digits)
	_, spread := length.Running(quantities(check.Points[0].Readings))
	return fmt.Sprintf("mean %s, spread %s, error %s, U %s, ±%s %s: %s", u.From(r.Mean).Text(places), u.From(spread).Text(l.places()), e, expanded, u.From(r.Limit).Shortest(), u.Symbol(), r.Verdict)
}
