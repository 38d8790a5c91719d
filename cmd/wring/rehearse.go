package main

import (
	"fmt"
	"maps"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/assess"
	"example.org/wring/calib/sheet"
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
	p.rehearsed = check
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

// soFar says of one point, as soon as its readings are there, what the result
// will say of it.
func (p *preparation) soFar(row sheet.PointRow) string {
	one := *p.sheet
	one.Points = []sheet.PointRow{row}
	check, err := one.Check(p.gauge, p.plan)
	if err != nil {
		return err.Error()
	}
	alone := preparation{sheet: &one, gauge: p.gauge, status: p.status, plan: p.plan, sets: p.sets, house: p.house, day: p.day}
	if own, ok := p.overridden(check.Points[0].Nominal); ok {
		alone.overrides = []string{own}
	}
	result, err := alone.evaluate(&check, calib.Gates())
	if err != nil {
		return err.Error()
	}
	r, u := result.Points[0], p.gauge.ReadIn()
	e, expanded, places := inUnit(u, r, p.plan.Digits)
	return fmt.Sprintf("mean %s, error %s, U %s, limit ±%s %s: %s", u.From(r.Mean).Text(places), e, expanded, u.From(r.Limit).Shortest(), u.Symbol(), r.Verdict)
}
