package main

import (
	"errors"
	"fmt"
	"io"
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
	opener string // this program, compiled alike: a process that is to be compared must not begin otherwise
	sqlite *sqlite
}

// An operation is timed beside its alternative and its limit; either may be
// missing.
type operation struct {
	name                 string
	prepare              func(ours bool) error // before each side, untimed; nil for none
	parts                func() int            // how many alike things ours did, whose time is one's; nil for one
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
	wring, err := o.compile("wring")
	if err != nil {
		return err
	}
	opener, err := o.compile("bench")
	if err != nil {
		return err
	}
	fmt.Fprintln(o.out, "sqlite3: pages of 4096 bytes, its script on standard input, one process for each question; journal and synchronous as said at each line")
	fmt.Fprintf(o.out, "%d checks of ten points and three readings for each gauge, seed %d, %d runs, %d processors, %s/%s\n",
		o.checks, o.seed, o.runs, runtime.GOMAXPROCS(0), runtime.GOOS, runtime.GOARCH)
	grown := growth{}
	for _, n := range o.sizes {
		s := &stage{options: o, wring: wring, opener: opener, fleet: &fleet{gauges: n, checks: o.checks, seed: o.seed, now: o.now}}
		if err := s.measure(grown); err != nil {
			return fmt.Errorf("%d gauges: %w", n, err)
		}
	}
	grown.write(o.out, o.sizes)
	return nil
}

// compile compiles a program as cmd/release does.
func (o options) compile(name string) (string, error) {
	to := filepath.Join(o.dir, name)
	build := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-tags=urfave_cli_no_docs", "-o", to, "example.org/wring/cmd/"+name)
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	build.Stderr = o.errs
	if err := build.Run(); err != nil {
		return "", fmt.Errorf("building %s: %w", name, err)
	}
	return to, nil
}

// measure makes the data of one size and times every operation on it.
func (s *stage) measure(grown growth) error {
	start := s.now()
	err := s.fleet.build(s.dir)
	if err != nil {
		return err
	}
	made := s.now().Sub(start).Seconds()
	if s.sqlite, err = newSQLite(s); err != nil && !errors.Is(err, exec.ErrNotFound) {
		return err
	}
	defer s.tidy()
	fmt.Fprintf(s.out, "\n%d gauges, made in %s: %s a check, worked out and kept\n", s.fleet.gauges, shown(made), shown(made/float64(s.fleet.gauges*s.checks)))
	if err := s.size(); err != nil { // before the operations add to it
		return err
	}
	fmt.Fprintf(s.out, "%-44s%-26s%-60s%s\n", "", "ours: min median max", "ratio to the alternative: min median max", "ratio to the limit")
	for _, op := range s.operations() {
		r, err := s.time(op)
		if err != nil {
			return fmt.Errorf("%s: %w", op.name, err)
		}
		r.write(s.out)
		grown.add(op.name, s.fleet.gauges, r.ours.median())
	}
	return s.memories()
}

// tidy removes what is as large as the journal and was only compared with.
func (s *stage) tidy() {
	for _, name := range []string{"payload", "scattered", filepath.Base(s.fleet.path) + ".copy", filepath.Base(s.fleet.path) + ".csv", filepath.Base(s.fleet.path) + ".toml"} {
		os.Remove(filepath.Join(s.dir, name))
	}
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
