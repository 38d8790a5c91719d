package main

import (
	"example.org/wring/calib"
	"example.org/wring/calib/history"
	"example.org/wring/cmd/internal/inorder"
	"example.org/wring/registry"
)

// A fleetGauge is one gauge with its series and what it says.
type fleetGauge struct {
	state   registry.GaugeState
	checks  []history.Check
	scatter history.Scatter
	options history.Options
	said    history.Assessment
	figure  *followed // nil: the length
}

// zeroOf is where a gauge's zero is set: the low end of its range.
func zeroOf(g calib.Gauge) float64 { return g.Low.Inner().Float() }

// atOnce is how many gauges are read before they are assessed on all
// processors: a house rule, some megabytes.
const atOnce = 1000

// eachInFleet assesses the series of each gauge that is wanted, in the order of
// identities, knowing how those that are checked by the same plan scatter. It
// reads the rows of the series alone; of a large fleet twice, since it keeps
// only so many gauges in memory.
func eachInFleet(tx *registry.Tx, wanted func(registry.GaugeState) bool, take func(*fleetGauge) error) error {
	like := map[string]*history.Fleet{}
	var kept []*fleetGauge
	many := false
	err := inParts(tx, func(t registry.Trail) (*fleetGauge, error) { return scattered(t, everyGauge) }, func(g *fleetGauge) error {
		if like[g.state.Gauge.Plan] == nil {
			like[g.state.Gauge.Plan] = &history.Fleet{}
		}
		like[g.state.Gauge.Plan].Add(g.scatter)
		if many = many || len(kept) == atOnce; many {
			kept = nil
		} else if wanted(g.state) {
			kept = append(kept, g)
		}
		return nil
	})
	if err != nil {
		return err
	}
	if !many {
		return handOver(kept, func(g *fleetGauge) (*fleetGauge, error) { return g, g.assess(like) }, take)
	}
	return inParts(tx, func(t registry.Trail) (*fleetGauge, error) {
		g, err := scattered(t, wanted)
		if g != nil && err == nil {
			err = g.assess(like)
		}
		return g, err
	}, take)
}

func (g *fleetGauge) assess(like map[string]*history.Fleet) (err error) {
	r := g.state.Gauge
	g.options = history.Options{Zero: zeroOf(r), Due: dueByInterval(g.state, calib.LengthPart), Known: like[r.Plan].For(g.scatter)}
	if g.said, err = history.Assess(g.checks, g.options); err != nil {
		return at(r.ID, err)
	}
	return nil
}

// scattered reads one gauge; nil where it is not wanted, left the fleet or has
// no check.
func scattered(t registry.Trail, wanted func(registry.GaugeState) bool) (*fleetGauge, error) {
	s, checks, err := t.Read()
	if err != nil || s.Status.Withdrawn() || len(checks) == 0 || !wanted(s) {
		return nil, err
	}
	return &fleetGauge{state: s, checks: checks, scatter: history.ScatterOf(checks, zeroOf(s.Gauge))}, nil
}

// inParts does work on the trail of each gauge, so many at once.
func inParts(tx *registry.Tx, work func(registry.Trail) (*fleetGauge, error), take func(*fleetGauge) error) error {
	var part []registry.Trail
	err := tx.Trails(func(t registry.Trail) error {
		if part = append(part, t); len(part) < atOnce {
			return nil
		}
		err := handOver(part, work, take)
		part = part[:0]
		return err
	})
	if err != nil {
		return err
	}
	return handOver(part, work, take)
}

// handOver does work on each of a list, on all processors, and hands over in
// order what came of it, if anything did.
func handOver[T any](list []T, work func(T) (*fleetGauge, error), take func(*fleetGauge) error) error {
	type result struct {
		g   *fleetGauge
		err error
	}
	for _, r := range inorder.Each(list, func(one T) (r result) { r.g, r.err = work(one); return r }) {
		if r.err != nil {
			return r.err
		}
		if r.g == nil {
			continue
		}
		if err := take(r.g); err != nil {
			return err
		}
	}
	return nil
}

// readFleet keeps what eachInFleet finds.
func readFleet(tx *registry.Tx, wanted func(registry.GaugeState) bool) (all []*fleetGauge, err error) {
	err = eachInFleet(tx, wanted, func(g *fleetGauge) error { all = append(all, g); return nil })
	return all, err
}

// just wants one gauge, and everyGauge every one.
func just(id string) func(registry.GaugeState) bool {
	return func(s registry.GaugeState) bool { return s.Gauge.ID == id }
}

func everyGauge(registry.GaugeState) bool { return true }

// dueByInterval is the day on which a part is due by its interval, whatever its
// last verdict; zero where it has none.
func dueByInterval(s registry.GaugeState, part calib.Part) calib.Date {
	for _, p := range s.Parts {
		if months := s.Months(p.Part); p.Part == part && p.Last != nil && months > 0 {
			return p.Last.Date.AddMonths(months)
		}
	}
	return calib.Date{}
}
