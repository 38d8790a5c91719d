package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"time"
)

type options struct {
	out    io.Writer
	errs   io.Writer
	now    func() time.Time
	sizes  []int
	checks int
	runs   int
	seed   uint64
	dir    string
}

func (o options) bounded() error {
	if o.checks < 2 || o.checks > 20 || o.runs < 3 || o.runs > 50 {
		return fmt.Errorf("%d checks, %d runs; want 2 to 20 and 3 to 50", o.checks, o.runs)
	}
	return nil
}

// A stage is what all operations of one size need.
type stage struct {
	options
	fleet  *fleet
	wring  string // the program
	sqlite *sqlite
}

// An operation is timed beside its alternative and its limit; either may be
// missing.
type operation struct {
	name  string
	asked []string // the program's arguments, where it is a process

	prepare              func(ours bool) error // before each side, untimed; nil for none
	ours, other, limit   func() error
	otherName, limitName string
	goalOther, goalLimit string
}

func run(o options) error {
	if err := o.bounded(); err != nil {
		return err
	}
	if o.dir == "" {
		dir, err := os.MkdirTemp("", "bench-*")
		if err != nil {
			return err
		}
		defer os.RemoveAll(dir)
		o.dir = dir
	}
	wring := filepath.Join(o.dir, "wring")
	build := exec.Command("go", "build", "-o", wring, "example.org/wring/cmd/wring")
	build.Stderr = o.errs
	if err := build.Run(); err != nil {
		return fmt.Errorf("building the program: %w", err)
	}
	fmt.Fprintf(o.out, "%d checks of ten points and three readings for each gauge, seed %d, %d runs, %d processors, %s/%s\n",
		o.checks, o.seed, o.runs, runtime.GOMAXPROCS(0), runtime.GOOS, runtime.GOARCH)
	grown := growth{}
	for _, n := range o.sizes {
		s := &stage{options: o, wring: wring, fleet: &fleet{gauges: n, checks: o.checks, seed: o.seed, now: o.now}}
		if err := s.measure(grown); err != nil {
			return fmt.Errorf("%d gauges: %w", n, err)
		}
	}
	grown.write(o.out, o.sizes)
	return nil
}

// measure makes the data of one size and times every operation on it.
func (s *stage) measure(grown growth) error {
	if err := s.fleet.build(s.dir); err != nil {
		return err
	}
	var err error
	if s.sqlite, err = newSQLite(s); err != nil && !errors.Is(err, exec.ErrNotFound) {
		return err
	}
	fmt.Fprintf(s.out, "\n%d gauges\n", s.fleet.gauges)
	if err := s.size(); err != nil { // before the operations add to it
		return err
	}
	fmt.Fprintf(s.out, "%-44s%-26s%-52s%-48s%s\n", "", "ours: min median max", "ratio to the alternative: min median max", "ratio to the limit", "memory")
	for _, op := range s.operations() {
		r, err := s.time(op)
		if err != nil {
			return fmt.Errorf("%s: %w", op.name, err)
		}
		r.write(s.out)
		grown.add(op.name, s.fleet.gauges, r.ours.median())
	}
	return nil
}

// size prints how many bytes a check takes.
func (s *stage) size() error {
	info, err := os.Stat(s.fleet.path)
	if err != nil {
		return err
	}
	used, payload, err := s.fleet.bytes()
	if err != nil {
		return err
	}
	n := float64(s.fleet.gauges * s.fleet.checks)
	fmt.Fprintf(s.out, "bytes a check: %.0f of journal for %.0f of payload, %.2f × (limit 1.15 × + 32: %.2f); the whole file %.0f",
		used/n, payload/n, used/payload, 1.15+32*n/payload, float64(info.Size())/n)
	if s.sqlite != nil {
		fmt.Fprintf(s.out, "; SQLite %.0f", s.sqlite.bytes()/n)
	}
	fmt.Fprintln(s.out)
	return nil
}

// A growth is how the time of each operation grows with the fleet.
type growth map[string]map[int]float64

func (g growth) add(name string, size int, seconds float64) {
	if g[name] == nil {
		g[name] = map[int]float64{}
	}
	g[name][size] = seconds
}

// write prints the exponent between the smallest and the largest size.
func (g growth) write(out io.Writer, sizes []int) {
	if len(sizes) < 2 {
		return
	}
	first, last := sizes[0], sizes[len(sizes)-1]
	fmt.Fprintf(out, "\ntime grows with the number of gauges, from %d to %d, with the exponent\n", first, last)
	for _, name := range sortedNames(g) {
		e := math.Log(g[name][last]/g[name][first]) / math.Log(float64(last)/float64(first))
		fmt.Fprintf(out, "%-46s%6.2f\n", name, e)
	}
}
