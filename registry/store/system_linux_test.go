package store

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// systemChild does what only a process of its own can do to itself.
func systemChild(what, path string) error {
	switch what {
	case "outgrow the limit":
		return outgrow(path)
	case "stranger":
		return stranger(path)
	}
	return fmt.Errorf("%s: not known here", what)
}

// outgrow lowers the largest size of a file to that of the registry and writes
// until it does not fit.
func outgrow(path string) error {
	s, err := Open(path, Options{})
	if err != nil {
		return err
	}
	defer s.Close()
	st, err := s.Stat()
	if err != nil {
		return err
	}
	signal.Ignore(syscall.SIGXFSZ)
	size := uint64(st.Size)
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: size, Max: size}); err != nil {
		return err
	}
	return fillUp(s)
}

// fillUp writes entries until one does not fit, says what the error was and
// what is still possible.
func fillUp(s *Store) error {
	for range 100000 {
		before, err := contents(s)
		if err != nil {
			return err
		}
		err = s.Update(func(tx *Tx) error {
			head, err := appendEntry(tx)
			if err != nil {
				return err
			}
			return tx.Put(blobTree, key(head.Seq), make([]byte, 30000))
		})
		if err == nil {
			continue
		}
		if !errors.Is(err, ErrFull) || strings.Contains(err.Error(), "\n") || !strings.Contains(err.Error(), "nothing was recorded") {
			return fmt.Errorf("want it full, and nothing recorded: %w", err)
		}
		// The store still reads, and has what it had; room can be made.
		if after, err := contents(s); err != nil || after != before {
			return fmt.Errorf("the contents have changed: %w", err)
		}
		if err := s.Update(func(tx *Tx) error { return tx.Delete(viewTree, []byte("none")) }); err != nil && !errors.Is(err, ErrFull) {
			return err
		}
		fmt.Println("full")
		return nil
	}
	return errors.New("never full")
}

// stranger gives up being root and tries to get at the registry at path and to
// make another beside it.
func stranger(path string) error {
	const nobody = 65534
	if err := syscall.Setgid(nobody); err != nil {
		return err
	}
	if err := syscall.Setuid(nobody); err != nil {
		return err
	}
	for _, readOnly := range []bool{true, false} {
		if _, err := Open(path, Options{ReadOnly: readOnly}); !errors.Is(err, ErrDenied) {
			return fmt.Errorf("open, read only %v: want it denied: %w", readOnly, err)
		}
	}
	if err := Create(path+"2", Options{}, putOne); !errors.Is(err, ErrDenied) {
		return fmt.Errorf("create: want it denied: %w", err)
	}
	fmt.Println("denied")
	return nil
}

func TestAFullDiskIsSaidAndLeavesTheFileAsItWas(t *testing.T) {
	t.Run("largest size of a file", func(t *testing.T) {
		path, _ := newRegistry(t, 3)
		_, out, stop := spawn(t, "outgrow the limit", path)
		text, _ := io.ReadAll(out)
		if err := stop(); err != nil || string(text) != "full\n" {
			t.Errorf("child says %q (%v), want full", text, err)
		}
	})
	t.Run("disk", func(t *testing.T) {
		folder := t.TempDir()
		if err := syscall.Mount("tmpfs", folder, "tmpfs", 0, "size=1m"); err != nil {
			t.Skipf("a small disk cannot be mounted here: %v", err)
		}
		t.Cleanup(func() {
			if err := syscall.Unmount(folder, 0); err != nil {
				t.Error(err)
			}
		})
		path := filepath.Join(folder, "shop.wring")
		if err := Create(path, kept(), putOne); err != nil {
			t.Fatal(err)
		}
		s := open(t, path, Options{})
		if err := fillUp(s); err != nil {
			t.Error(err)
		}
		closed(t, s)
		if _, err := verify(path); err != nil {
			t.Error(err)
		}
		err := Create(filepath.Join(folder, "second.wring"), Options{}, putOne)
		wants(t, err, ErrFull)
		alone(t, folder, "shop.wring")
	})
}

func TestWhatTheSystemKeepsFromUsIsDenied(t *testing.T) {
	if os.Getuid() != 0 {
		path, _ := newRegistry(t, 1)
		if err := os.Chmod(path, 0); err != nil {
			t.Fatal(err)
		}
		_, err := Open(path, Options{ReadOnly: true})
		wants(t, err, ErrDenied)
		if err := os.Chmod(path, 0o600); err != nil {
			t.Fatal(err)
		}
		return
	}
	path, _ := newRegistry(t, 1)
	// The way there is open to strangers, the folder itself is not writable.
	for folder := filepath.Dir(path); folder != os.TempDir() && folder != "/"; folder = filepath.Dir(folder) {
		if err := os.Chmod(folder, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	_, out, stop := spawn(t, "stranger", path)
	text, _ := io.ReadAll(out)
	if err := stop(); err != nil || string(text) != "denied\n" {
		t.Errorf("child says %q (%v), want denied", text, err)
	}
	alone(t, filepath.Dir(path), filepath.Base(path))
}

func TestADiskThatCannotBeWrittenToIsDenied(t *testing.T) {
	folder := t.TempDir()
	if err := syscall.Mount("tmpfs", folder, "tmpfs", 0, "size=1m"); err != nil {
		t.Skipf("a small disk cannot be mounted here: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(folder, 0); err != nil {
			t.Error(err)
		}
	})
	path := filepath.Join(folder, "shop.wring")
	if err := Create(path, Options{}, putOne); err != nil {
		t.Fatal(err)
	}
	if err := syscall.Mount("tmpfs", folder, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Fatal(err)
	}
	_, err := Open(path, Options{})
	wants(t, err, ErrDenied)
	wants(t, Create(path+"2", Options{}, putOne), ErrDenied)
	closed(t, open(t, path, Options{ReadOnly: true}))
	if _, err := verify(path); err != nil {
		t.Error(err)
	}
}

func TestAPipeIsNoRegistry(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pipe")
	if err := syscall.Mkfifo(path, 0o600); err != nil {
		t.Skip(err)
	}
	_, err := Open(path, Options{ReadOnly: true})
	wants(t, err, ErrNotRegistry)
}

// flush makes what was written to f durable, as bbolt does it.
func flush(f *os.File) error { return syscall.Fdatasync(int(f.Fd())) }
