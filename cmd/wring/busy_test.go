package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/wring/calib"
	"example.org/wring/registry"
)

// deskForTest is a desk for tests: no input, a fixed clock, what is printed in buffers.
func deskForTest(stdin string) (e env, out, errs *bytes.Buffer) {
	out, errs = &bytes.Buffer{}, &bytes.Buffer{}
	return env{In: strings.NewReader(stdin), Out: out, Err: errs,
		Now:      func() time.Time { return time.Date(2026, 11, 25, 10, 0, 0, 0, time.UTC) },
		Getenv:   func(string) string { return "" },
		LoggedIn: func() string { return "tester" }}, out, errs
}

func newRegistry(t *testing.T) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "shop.wring")
	e, _, errs := deskForTest("")
	if code := run([]string{"wring", "--registry", file, "init", "--organisation", "X"}, e); code != exitDone {
		t.Fatalf("init: %d %s", code, errs)
	}
	return file
}

// A registry that another process writes to is busy: nothing waits for ever,
// nothing is kept, and the exit status asks for another try.
func TestARegistryInUseIsSaidToBeBusy(t *testing.T) {
	file := newRegistry(t)
	e, _, _ := deskForTest("")
	held, err := registry.Open(file, registry.Hand{Person: "other", Program: version, Now: e.Now})
	if err != nil {
		t.Fatal(err)
	}
	for _, command := range [][]string{{"plan", "add", "--preset", "caliper-150"}, {"due"}} {
		e, out, errs := deskForTest("")
		began := time.Now()
		code := run(append([]string{"wring", "--registry", file}, command...), e)
		if code != exitBusy || out.Len() > 0 || !strings.Contains(errs.String(), "in use") {
			t.Errorf("%v: status %d, want %d; it printed %q, %q", command, code, exitBusy, out, errs)
		}
		if n := strings.Count(errs.String(), "\n"); n > 2 {
			t.Errorf("%v: %d lines, want one and a hint: %s", command, n, errs)
		}
		if waited := time.Since(began); waited > 30*time.Second {
			t.Errorf("%v: waited %v", command, waited)
		}
	}
	if err := held.Close(); err != nil {
		t.Fatal(err)
	}
	if plans := plansOf(t, file); plans != 0 {
		t.Errorf("%d plans were kept by a command that found the registry busy", plans)
	}
}

func plansOf(t *testing.T, file string) int {
	t.Helper()
	r, err := registry.OpenReading(file)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	n := 0
	if err := r.View(func(tx *registry.Tx) error {
		kept, err := tx.Plans()
		n = len(kept)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return n
}

// A registry whose end is missing is damaged: exit status 4, whatever is asked,
// and the file is left as it is.
func TestACutOffRegistryIsSaidToBeDamaged(t *testing.T) {
	file := newRegistry(t)
	whole, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, keep := range []int{len(whole) / 2, len(whole) / 3} {
		cut := filepath.Join(t.TempDir(), "cut.wring")
		if err := os.WriteFile(cut, whole[:keep], 0o666); err != nil {
			t.Fatal(err)
		}
		for _, command := range [][]string{{"due"}, {"plan", "add", "--preset", "caliper-150"}} {
			e, out, errs := deskForTest("")
			code := run(append([]string{"wring", "--registry", cut}, command...), e)
			if code != exitDamaged || out.Len() > 0 || !strings.Contains(errs.String(), "damaged") || strings.Count(errs.String(), "\n") > 2 {
				t.Errorf("%d of %d bytes, %v: status %d, want %d; it printed %q, %q", keep, len(whole), command, code, exitDamaged, out, errs)
			}
		}
		if after, err := os.ReadFile(cut); err != nil || !bytes.Equal(after, whole[:keep]) {
			t.Errorf("%d of %d bytes: the file was changed: %v", keep, len(whole), err)
		}
	}
}

// No message shows the machinery: a type of the language, a system call, a
// pointer.
func TestMessagesSpeakTheTradesWords(t *testing.T) {
	file := newRegistry(t)
	for _, command := range [][]string{
		{"check", "MIC-014", "--sheet", t.TempDir()}, {"check", "X", "--sheet", "none.toml"}, {"plan", "add", "/no/where.toml"},
		{"certificate", "1", "--out", "/no/where.pdf"}, {"standard", "add", "GB", "--kind", "block"}, {"gauge", "add", "-"},
		{"gauge", "add", strings.Repeat("x", 60), "--kind", "caliper", "--range", "0..150", "--resolution", "0.05"},
		{"due", "--within", "99999999999999999999d"}, {"plan", "show", "x", "--revision", "99999999999999999999"},
		{"gauge", "add", "X", "--kind", "caliper", "--range", "0..150", "--resolution", "0.05", "--description", "a\nb"},
	} {
		e, _, errs := deskForTest("")
		code := run(append([]string{"wring", "--registry", file}, command...), e)
		if code != exitRefused && code != exitUsage {
			t.Errorf("%v: status %d", command, code)
		}
		for _, machinery := range []string{"*", "0x", "syscall", "strconv", "Errno", "panic", "map[", "{", "%!", "json:", "open /", "read /"} {
			if strings.Contains(errs.String(), machinery) {
				t.Errorf("%v: it says %q in %q", command, machinery, errs)
			}
		}
	}
}

// What happens to a gauge in the night is stated for the day by the clock that
// was handed in.
func TestTodayIsTheDayOfTheClock(t *testing.T) {
	e, _, _ := deskForTest("")
	if got := (desk{env: e}).today(); got != calib.MustDate("2026-11-25") {
		t.Errorf("today is %s", got)
	}
}
