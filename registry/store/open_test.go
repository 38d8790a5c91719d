package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestOpenMakesNothing(t *testing.T) {
	folder := t.TempDir()
	for _, readOnly := range []bool{true, false} {
		_, err := Open(filepath.Join(folder, "shop.wring"), Options{ReadOnly: readOnly})
		wants(t, err, ErrMissing)
		_, err = Open(filepath.Join(folder, "none", "shop.wring"), Options{ReadOnly: readOnly})
		wants(t, err, ErrMissing)
		_, err = Open("", Options{ReadOnly: readOnly})
		wants(t, err, ErrMissing)
	}
	alone(t, folder)
}

func TestWhatIsNoRegistryIsRefusedAndLeftAsItWas(t *testing.T) {
	path, _ := newRegistry(t, 1)
	folder := t.TempDir()
	for name, make := range map[string]func(string) error{
		"empty":      func(p string) error { return os.WriteFile(p, nil, 0o600) },
		"short text": func(p string) error { return os.WriteFile(p, []byte("gauge,date\n"), 0o600) },
		"long text":  func(p string) error { return os.WriteFile(p, []byte(strings.Repeat("gauge,date\n", 9999)), 0o600) },
		"zeros":      func(p string) error { return os.WriteFile(p, []byte(strings.Repeat("\x00", 99999)), 0o600) },
		"folder":     func(p string) error { return os.Mkdir(p, 0o700) },
		"link":       func(p string) error { return os.Symlink(path, p) },
		"loose link": func(p string) error { return os.Symlink(p+"-nowhere", p) },
	} {
		t.Run(name, func(t *testing.T) {
			p := filepath.Join(folder, name)
			if err := make(p); err != nil {
				t.Skip(err)
			}
			before, err := os.Lstat(p)
			if err != nil {
				t.Fatal(err)
			}
			for _, readOnly := range []bool{true, false} {
				_, err := Open(p, Options{ReadOnly: readOnly})
				wants(t, err, ErrNotRegistry)
			}
			after, err := os.Lstat(p)
			if err != nil || after.Size() != before.Size() || after.Mode() != before.Mode() || !after.ModTime().Equal(before.ModTime()) {
				t.Errorf("now %v (%v), want it as it was", after, err)
			}
		})
	}
	if _, err := os.Lstat(filepath.Join(folder, "loose link-nowhere")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the link's target: %v, want it not made", err)
	}
}

func TestOpenNeverWaitsForEver(t *testing.T) {
	path, _ := newRegistry(t, 1)
	held := open(t, path, Options{})
	for timeout, want := range map[time.Duration]time.Duration{0: 3 * time.Second, -1: 3 * time.Second, 1: 1, time.Minute: time.Minute} {
		if got := (Options{Timeout: timeout}).wait(); got != want {
			t.Errorf("a time-out of %s is a wait of %s, want %s", timeout, got, want)
		}
	}
	_, err := Open(path, Options{Timeout: time.Nanosecond})
	wants(t, err, ErrBusy)
	closed(t, held)
	closed(t, open(t, path, Options{Timeout: time.Nanosecond}))
}
