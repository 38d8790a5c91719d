package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

// memories runs commands once and says how much memory each had at most: of
// its own, and with the pages of files that the system lends it, which it takes
// back when it wants them.
func (s *stage) memories() error {
	day, id := s.dueDay().String(), gaugeID(s.fleet.gauges/2)
	copied, gauges, sheet := s.fleet.path+".copy", s.fleet.path+".csv", s.fleet.path+".toml"
	if err := os.WriteFile(sheet, s.fleet.sheet(s.fleet.gauges/2), 0o666); err != nil {
		return err
	}
	for _, c := range []struct {
		goal  int // MB
		words []string
	}{
		{60, []string{"check", id, "--sheet", sheet}},
		{60, []string{"due", "--on", day, "--within", "0d"}},
		{60, []string{"history", id}},
		{60, []string{"trace", id}},
		{200, []string{"gauge", "list"}},
		{200, []string{"drift"}},
		{200, []string{"report", "fleet", "--html", filepath.Join(s.dir, "fleet.html"), "--replace"}},
		{200, []string{"table", "export", "gauges", gauges}},
		{200, []string{"verify", "--chain"}},
		{200, []string{"backup", copied}},
	} {
		m, err := memory(s.wring, s.words(c.words...)...)
		if err != nil {
			return err
		}
		fmt.Fprintf(s.out, "memory of %-34s%4.0f MB of its own, %.0f with the pages of files (goal %d)\n", strings.Join(c.words[:min(2, len(c.words))], " "), m.own/1e6, m.all/1e6, c.goal)
	}
	return nil
}

// A most is the largest memory of a process in bytes.
type most struct{ own, all float64 }

// memory runs a process from a small one, which then says how much memory it
// had at most: a process counts what its parent had when it began.
func memory(name string, args ...string) (m most, err error) {
	self, err := os.Executable()
	if err != nil {
		return m, err
	}
	text, err := exec.Command(self, append([]string{"-memory", name}, args...)...).Output()
	if err != nil {
		return m, fmt.Errorf("%s %s: %w", name, strings.Join(args, " "), err)
	}
	_, err = fmt.Sscan(string(text), &m.own, &m.all)
	return m, err
}

// lookEvery is how often a process is looked at: its own memory is told while
// it runs, and not afterwards.
const lookEvery = 2 * time.Millisecond

// tellMemory is that small process.
func tellMemory(out io.Writer, command []string) error {
	cmd := exec.Command(command[0], command[1:]...)
	if err := cmd.Start(); err != nil {
		return err
	}
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	var m most
	for {
		select {
		case err := <-ended:
			if err != nil && cmd.ProcessState.ExitCode() != 3 {
				return err
			}
			m.all = memoryOf(cmd.ProcessState)
			_, err = fmt.Fprint(out, m.own, " ", m.all)
			return err
		case <-time.After(lookEvery):
			m.own = max(m.own, ownMemory(cmd.Process.Pid))
		}
	}
}

// ownMemory is what a process has of its own now in bytes, 0 where the system
// does not tell.
func ownMemory(pid int) float64 {
	f, err := os.Open(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if n, ok := strings.CutPrefix(lines.Text(), "RssAnon:"); ok {
			kb, _ := strconv.ParseFloat(strings.Fields(n)[0], 64)
			return kb * 1024
		}
	}
	return 0
}
