package main

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"slices"
	"strings"
	"time"
)

// costs are the measurements of one side, in seconds.
type costs []float64

func (c costs) sorted() []float64 { return slices.Sorted(slices.Values(c)) }

func (c costs) median() float64 { s := c.sorted(); return s[len(s)/2] }

// A result holds the measurements of an operation, pair by pair.
type result struct {
	op                 operation
	ours, other, limit costs
}

// time measures the three sides in turn, once unseen and then as often as
// asked, so that a machine that becomes slower does so for all of them.
func (s *stage) time(op operation) (result, error) {
	r := result{op: op}
	for i := range s.runs + 1 {
		for _, side := range []struct {
			do   func() error
			into *costs
		}{{op.ours, &r.ours}, {op.other, &r.other}, {op.limit, &r.limit}} {
			if side.do == nil {
				continue
			}
			if op.prepare != nil {
				if err := op.prepare(side.into == &r.ours); err != nil {
					return r, err
				}
			}
			settle()
			runtime.GC() // what this program left over is none of the operation's time
			start := s.now()
			if err := side.do(); err != nil {
				return r, err
			}
			took := s.now().Sub(start).Seconds()
			if op.parts != nil {
				took /= float64(op.parts())
			}
			if i > 0 {
				*side.into = append(*side.into, took)
			}
		}
	}
	return r, nil
}

// ratios are ours over the other side's, pair by pair.
func ratios(ours, other costs) string {
	if len(other) == 0 {
		return ""
	}
	var all []float64
	for i := range ours {
		all = append(all, ours[i]/other[i])
	}
	slices.Sort(all)
	return fmt.Sprintf("%.3g %.3g %.3g", all[0], all[len(all)/2], all[len(all)-1])
}

func (r result) write(out io.Writer) {
	t := r.ours.sorted()
	ours := fmt.Sprintf("%s %s %s", shown(t[0]), shown(t[len(t)/2]), shown(t[len(t)-1]))
	line := fmt.Sprintf("%-44s%-26s%-60s%s", r.op.name, ours, beside(ratios(r.ours, r.other), r.op.otherName, r.op.goalOther),
		beside(ratios(r.ours, r.limit), r.op.limitName, r.op.goalLimit))
	fmt.Fprintln(out, strings.TrimRight(line, " "))
}

// beside says what a ratio is to, and what it ought to be.
func beside(ratio, name, goal string) string {
	if ratio == "" {
		return ""
	}
	if goal != "" {
		name += " (" + goal + ")"
	}
	return ratio + " × " + name
}

// shown is a time with three digits.
func shown(seconds float64) string {
	return time.Duration(seconds * 1e9).Round(roundTo(seconds)).String()
}

func roundTo(seconds float64) time.Duration {
	d := time.Duration(1)
	for x := seconds * 1e9; x >= 1000; x /= 10 {
		d *= 10
	}
	return d
}

// process runs a whole process, its output thrown away. Exit status 3 is an
// answer too.
func process(stdin io.Reader, name string, args ...string) error {
	cmd := exec.Command(name, args...)
	cmd.Stdin = stdin
	var errs strings.Builder
	cmd.Stderr = &errs
	if err := cmd.Run(); err != nil && cmd.ProcessState.ExitCode() != 3 {
		return fmt.Errorf("%s %s: %w: %s", name, strings.Join(args, " "), err, errs.String())
	}
	return nil
}

// sizeOf is the length of a file in bytes, 0 where it is not there.
func sizeOf(path string) int64 {
	info, err := os.Stat(path)
	if err != nil {
		return 0
	}
	return info.Size()
}
