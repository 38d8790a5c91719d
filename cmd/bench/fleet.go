package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"example.org/wring/calib"
	"example.org/wring/calib/assess"
	"example.org/wring/calib/limits"
	"example.org/wring/calib/sheet"
	"example.org/wring/cmd/internal/inorder"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

// A fleet is a registry of invented micrometers, each of which was checked at
// ten points with three readings every year, and which are the same again for
// the same seed.
type fleet struct {
	gauges, checks int
	seed           uint64
	path           string
	now            func() time.Time

	plan calib.Plan

	next, extra int    // gauge and year of the next further check
	sqlSeq      uint64 // entries that were added to the SQLite file
	payloadAt   string // the file that holds the payload
}

// firstYear is that of the first check of a gauge; the last one's follows from
// how many there are.
const firstYear = 2006

// batch is how many entries go into one transaction: what the import of a list
// does too.
const batch = 1000

const planName = "micrometer-0-25"

// gaugeID is the identity of gauge n.
func gaugeID(n int) string { return fmt.Sprintf("MIC-%06d", n) }

// day is when gauge n has its check in a year: spread over the year.
func (f *fleet) day(n, year int) calib.Date {
	return calib.MustDate(fmt.Sprintf("%d-01-01", firstYear+year)).AddDays((n*37 + year*11) % 365)
}

// clock gives each entry a time of its own, that of the day it is about.
func (f *fleet) hand(now *time.Time) registry.Hand {
	return registry.Hand{Person: "EK", Program: "bench", Now: func() time.Time { *now = now.Add(time.Second); return *now }}
}

// build makes the registry.
func (f *fleet) build(dir string) error {
	f.path = filepath.Join(dir, fmt.Sprintf("fleet-%d.wring", f.gauges))
	now := time.Date(firstYear, 1, 1, 6, 0, 0, 0, time.UTC)
	hand := f.hand(&now)
	house := calib.House{Organisation: "An invented group of plants", Unit: "mm"}
	if err := registry.Create(f.path, house, hand); err != nil {
		return err
	}
	r, err := registry.Open(f.path, hand)
	if err != nil {
		return err
	}
	defer r.Close()
	if err := r.Update(f.standards); err != nil {
		return err
	}
	if err := f.inBatches(r, f.gauges, func(tx *registry.Tx, n int) error {
		_, err := tx.AddGauge(f.gauge(n))
		return err
	}); err != nil {
		return err
	}
	for year := range f.checks {
		now = time.Date(firstYear+year, 1, 1, 6, 0, 0, 0, time.UTC)
		if err := f.year(r, year); err != nil {
			return err
		}
	}
	return r.Close()
}

// inBatches does the same for 0 to n-1, a thousand in each transaction.
func (f *fleet) inBatches(r *registry.Registry, n int, do func(*registry.Tx, int) error) error {
	for from := 0; from < n; from += batch {
		if err := r.Update(func(tx *registry.Tx) error {
			for i := from; i < min(from+batch, n); i++ {
				if err := do(tx, i); err != nil {
					return err
				}
			}
			return nil
		}); err != nil {
			return err
		}
	}
	return nil
}

// standards enters the plan, the blocks and the thermometer.
func (f *fleet) standards(tx *registry.Tx) error {
	data, _ := limits.Preset(planName)
	p, err := sheet.ReadPlan(planName, data)
	if err != nil {
		return err
	}
	if _, err := tx.AddPlan(p); err != nil {
		return err
	}
	kept, err := tx.Plan(planName, 0)
	if err != nil {
		return err
	}
	f.plan = kept.Plan
	steel, _ := limits.Material("steel")
	for _, s := range []calib.Standard{{ID: "GB-1", Kind: calib.BlockSet, Grade: "1", Material: steel}, {ID: "TH-1", Kind: calib.Thermometer}} {
		if _, err := tx.AddStandard(s); err != nil {
			return err
		}
		c := calib.Certificate{Standard: s.ID, Number: s.ID + "-1", Laboratory: "An invented laboratory", Route: calib.ByAccredited,
			Accreditation: "invented, no. 000", Date: calib.MustDate(fmt.Sprintf("%d-01-01", firstYear-1))}
		if s.Kind == calib.BlockSet {
			c.Values = f.blocks()
		}
		if _, err := tx.AddCertificate(c); err != nil {
			return err
		}
	}
	return nil
}

// blocks are those of the plan's points, each of one piece.
func (f *fleet) blocks() (all []calib.Value) {
	for _, at := range f.plan.Points {
		all = append(all, calib.Value{Nominal: at, Deviation: unit.Must("0.02 µm", unit.Length), Expanded: unit.Must("0.08 µm", unit.Length), K: "2", Grade: "1"})
	}
	return all
}

func (f *fleet) gauge(n int) calib.Gauge {
	steel, _ := limits.Material("steel")
	return calib.Gauge{ID: gaugeID(n), Kind: f.plan.Kind, Description: "outside micrometer 0-25", Maker: "invented", Place: place(n), Owner: fmt.Sprintf("plant %d", n%7), Unit: "mm",
		Low: unit.Must("0 mm", unit.Length), High: unit.Must("25 mm", unit.Length), Resolution: unit.Must("0.001 mm", unit.Length),
		Plan: planName, Material: steel, IntervalMonths: 12}
}

// place puts nine gauges in ten in one store, as where all are given out from
// one counter, and spreads the others over benches.
func place(n int) string {
	if n%10 > 0 {
		return "store"
	}
	return fmt.Sprintf("bench %d", n/10%50)
}

// year makes the check of each gauge in one year: worked out on all processors
// while those before are being kept, in the order of the gauges.
func (f *fleet) year(r *registry.Registry, year int) error {
	for from := 0; from < f.gauges; from += batch {
		jobs, err := f.jobs(r, year, from, min(from+batch, f.gauges))
		if err != nil {
			return err
		}
		if err := r.Update(func(tx *registry.Tx) error {
			for _, w := range inorder.Each(jobs, job.ready) {
				if w.err != nil {
					return w.err
				}
				if _, err := tx.KeepReady(w.check); err != nil {
					return err
				}
			}
			return nil
		}); err != nil {
			return err
		}
	}
	return nil
}

// A job is a check that is to be worked out.
type job struct {
	check calib.Check
	basis calib.Basis
	refs  registry.Refs
}

func (j job) workOut() (k registry.KeptCheck, err error) {
	k = registry.KeptCheck{Check: j.check, Basis: j.refs}
	k.Result, err = assess.Check(j.check, j.basis)
	return k, err
}

func (j job) ready() (w readied) {
	k, err := j.workOut()
	if err != nil {
		return readied{err: err}
	}
	return ready(k)
}

// jobs are the checks of some gauges in one year, with what they rest on.
func (f *fleet) jobs(r *registry.Registry, year, from, to int) ([]job, error) {
	all := make([]job, 0, to-from)
	err := r.View(func(tx *registry.Tx) error {
		for n := from; n < to; n++ {
			c := f.check(n, year)
			basis, refs, err := tx.Basis(c)
			if err != nil {
				return err
			}
			all = append(all, job{c, basis, refs})
		}
		return nil
	})
	return all, err
}

// check takes the readings of gauge n in one year.
func (f *fleet) check(n, year int) calib.Check {
	draw := rand.New(rand.NewPCG(f.seed, uint64(n)<<8+uint64(year)))
	fixed := rand.New(rand.NewPCG(f.seed, uint64(n)))
	zero, slope := 0.8*fixed.NormFloat64(), 0.0 // µm, µm a year
	if fixed.IntN(50) == 0 {
		slope = 0.1 * fixed.NormFloat64()
	}
	c := calib.Check{Gauge: gaugeID(n), Plan: planName, Revision: 1, Stage: calib.AsFound, Date: f.day(n, year), Person: "EK", Standards: []string{"GB-1", "TH-1"},
		Conditions: calib.Conditions{Gauge: unit.Must(fmt.Sprintf("%.1f °C", 20+draw.Float64()-0.5), unit.Temperature)}}
	reading := func(mm, um float64) calib.Reading {
		return calib.Reading{Indication: unit.Must(fmt.Sprintf("%.3f mm", math.Abs(mm+um/1000)), unit.Length)}
	}
	if f.plan.Zero != calib.ZeroNone {
		for range 3 {
			c.Zero = append(c.Zero, reading(0, 0))
		}
	}
	for _, at := range f.plan.Points {
		p := calib.Point{Nominal: at, Blocks: []calib.BlockUse{{Standard: "GB-1", Nominal: at}}}
		off := zero + slope*float64(year) + 0.3*fixed.NormFloat64()
		for range 3 {
			p.Readings = append(p.Readings, reading(at.Inner().Float(), off+0.4*draw.NormFloat64()))
		}
		c.Points = append(c.Points, p)
	}
	return c
}

// sheet is a further check of gauge n as it is written down at the bench, a day
// after the last of the fleet's own: the program takes none from the future.
func (f *fleet) sheet(n int) []byte {
	c := f.check(n, f.checks-1)
	c.Date = c.Date.AddDays(1)
	b := fmt.Appendf(nil, "format = 1\ngauge = %q\nplan = %q\ndate = %s\nperson = %q\nstage = %q\nstandards = [\"GB-1\", \"TH-1\"]\n[environment]\ntemperature = 20.4\n",
		c.Gauge, c.Plan, c.Date, c.Person, c.Stage)
	if len(c.Zero) > 0 {
		b = fmt.Appendf(b, "[zero]\nreadings = [%s]\n", typed(c.Zero))
	}
	for _, p := range c.Points {
		b = fmt.Appendf(b, "[[point]]\nat = %q\nblocks = [%q]\nreadings = [%s]\n", p.Nominal, p.Blocks[0].Nominal, typed(p.Readings))
	}
	return b
}

func typed(readings []calib.Reading) string {
	var all []string
	for _, r := range readings {
		all = append(all, strconv.Quote(r.Indication.String()))
	}
	return strings.Join(all, ", ")
}
