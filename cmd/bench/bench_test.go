package main

import (
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/wring/registry"
)

func TestAFleetIsTheSameAgain(t *testing.T) {
	entries := func() string {
		f := &fleet{gauges: 100, checks: 2, seed: 1}
		if err := f.build(t.TempDir()); err != nil {
			t.Fatal(err)
		}
		var text string
		r, err := registry.OpenReading(f.path)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		if _, err := r.ProveChain(); err != nil {
			t.Fatal(err)
		}
		if err := f.eachEntry(func(payload []byte) error {
			if !strings.Contains(string(payload), `"registry"`) { // whose identity is its own
				text += string(payload)
			}
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(text, `"verdict":"pass"`); n < 1000 {
			t.Errorf("%d points pass; want nearly all of 2000", n)
		}
		return text
	}
	first, again := entries(), entries()
	if first != again {
		t.Error("two fleets of one seed differ")
	}
}

// SQLite answers with as many rows as the registry, or the comparison is none.
func TestSQLiteHasTheSameData(t *testing.T) {
	s := &stage{options: options{checks: 2, dir: t.TempDir(), now: time.Now}, fleet: &fleet{gauges: 100, checks: 2, seed: 1}}
	if err := s.fleet.build(s.dir); err != nil {
		t.Fatal(err)
	}
	var err error
	if s.sqlite, err = newSQLite(s); err != nil {
		t.Skip("sqlite3 is not there: ", err)
	}
	count := func(sql string) string {
		out, err := exec.Command(s.sqlite.program, s.sqlite.path, sql).Output()
		if err != nil {
			t.Fatal(err)
		}
		return strings.TrimSpace(string(out))
	}
	due := 0
	r, err := registry.OpenReading(s.fleet.path)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if err := r.View(func(tx *registry.Tx) error {
		return tx.Due(s.dueDay(), func(*registry.DueRow) error { due++; return nil })
	}); err != nil {
		t.Fatal(err)
	}
	for sql, want := range map[string]string{
		"SELECT count(*) FROM checks": "200", "SELECT count(*) FROM points": "2000",
		"SELECT count(*) FROM due WHERE day <= '" + s.dueDay().String() + "'": strconv.Itoa(due),
	} {
		if got := count(sql); got != want {
			t.Errorf("%s: %s, want %s", sql, got, want)
		}
	}
}

func TestWhatIsAskedForIsBounded(t *testing.T) {
	for _, sizes := range []string{"", "99", "100001", "1000,x"} {
		if _, err := parseSizes(sizes); err == nil || !strings.Contains(err.Error(), "; want ") {
			t.Errorf("sizes %q: %v", sizes, err)
		}
	}
	for _, o := range []options{{checks: 1, runs: 3}, {checks: 21, runs: 3}, {checks: 2, runs: 2}} {
		if err := o.bounded(); err == nil || !strings.Contains(err.Error(), "; want ") {
			t.Errorf("%+v: %v", o, err)
		}
	}
}
