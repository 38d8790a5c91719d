package main

import (
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"slices"
	"strconv"
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
	memory             float64 // the largest of the process in bytes; 0 where it is none of its own
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
			start := s.now()
			if err := side.do(); err != nil {
				return r, err
			}
			if i > 0 {
				*side.into = append(*side.into, s.now().Sub(start).Seconds())
			}
		}
	}
	if op.asked == nil {
		return r, nil
	}
	var err error
	r.memory, err = memory(s.wring, op.asked...)
	return r, err
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
	memory := ""
	if r.memory > 0 {
		memory = fmt.Sprintf("%.0f MB", r.memory/1e6)
	}
	line := fmt.Sprintf("%-44s%-26s%-52s%-48s%s", r.op.name, ours, beside(ratios(r.ours, r.other), r.op.otherName, r.op.goalOther),
		beside(ratios(r.ours, r.limit), r.op.limitName, r.op.goalLimit), memory)
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

func sortedNames(g growth) []string { return slices.Sorted(maps.Keys(g)) }

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

// memory runs a process from a small one, which then says how much memory it
// had at most: a process counts what its parent had when it began.
func memory(name string, args ...string) (float64, error) {
	self, err := os.Executable()
	if err != nil {
		return 0, err
	}
	text, err := exec.Command(self, append([]string{"-memory", name}, args...)...).Output()
	if err != nil {
		return 0, fmt.Errorf("%s: %w", name, err)
	}
	return strconv.ParseFloat(string(text), 64)
}

// tellMemory is that small process.
func tellMemory(out io.Writer, command []string) error {
	cmd := exec.Command(command[0], command[1:]...)
	if err := cmd.Run(); err != nil && cmd.ProcessState.ExitCode() != 3 {
		return err
	}
	_, err := fmt.Fprint(out, memoryOf(cmd.ProcessState))
	return err
}

// sizeOf is the length of a file in bytes, 0 where it is not there.
func sizeOf(path string) int64 {
	info, err := os.Stat(path)
	if err != nil {
		return 0
	}
	return info.Size()
}
