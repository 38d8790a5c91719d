package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"
)

func putOne(tx *Tx) error { return tx.Put(viewTree, []byte("k"), []byte("v")) }

func TestCreateMakesAWholeFileThatOnlyItsOwnerCanRead(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "shop.wring")
	if err := Create(path, Options{}, putOne); err != nil {
		t.Fatal(err)
	}
	alone(t, folder, "shop.wring")
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOOS != "windows" && info.Mode() != 0o600 {
		t.Errorf("mode %v, want -rw-------", info.Mode())
	}
	s := open(t, path, Options{})
	st, err := s.Stat()
	if err != nil || st.PageSize != 16384 || st.Size != info.Size() && runtime.GOOS != "windows" || st.LoneMeta {
		t.Errorf("stat %+v (%v), want pages of 16384 bytes, %d in all, and two meta pages", st, err, info.Size())
	}
	if err := s.View(func(tx *Tx) error {
		if v := tx.Get(viewTree, []byte("k")); string(v) != "v" {
			t.Errorf("value %q, want v", v)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}

func TestCreateOverwritesNothing(t *testing.T) {
	folder := t.TempDir()
	for name, prepare := range map[string]func(path string) error{
		"file":   func(p string) error { return os.WriteFile(p, []byte("ours"), 0o600) },
		"folder": func(p string) error { return os.Mkdir(p, 0o700) },
		"link":   func(p string) error { return os.Symlink(p+"-elsewhere", p) },
	} {
		path := filepath.Join(folder, name)
		if err := prepare(path); err != nil {
			t.Skip(err)
		}
		before, _ := os.Lstat(path)
		wants(t, Create(path, Options{}, putOne), ErrExists)
		if after, err := os.Lstat(path); err != nil || after.Mode() != before.Mode() || after.Size() != before.Size() {
			t.Errorf("%s: %v (%v), want it untouched", name, after, err)
		}
	}
	alone(t, folder, "file", "folder", "link")
}

func TestCreateLeavesNothingBehindWhenItDoesNotSucceed(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "shop.wring")
	mine := errors.New("mine")
	if err := Create(path, Options{}, func(tx *Tx) error { return errors.Join(putOne(tx), mine) }); !errors.Is(err, mine) {
		t.Errorf("got %v, want the caller's own", err)
	}
	alone(t, folder)
	func() {
		defer func() {
			if p := recover(); p != "mine" {
				t.Errorf("panic %v, want the caller's own", p)
			}
		}()
		_ = Create(path, Options{}, func(tx *Tx) error { panic("mine") })
	}()
	alone(t, folder)
	wants(t, Create(filepath.Join(folder, "none", "shop.wring"), Options{}, putOne), ErrMissing)
	alone(t, folder)
	// Somebody takes the name while the file is being filled.
	wants(t, Create(path, Options{}, func(tx *Tx) error {
		return errors.Join(putOne(tx), os.WriteFile(path, []byte("theirs"), 0o600))
	}), ErrExists)
	alone(t, folder, "shop.wring")
	if b, err := os.ReadFile(path); string(b) != "theirs" {
		t.Errorf("the file of the other holds %q (%v), want it untouched", b, err)
	}
}

func TestAFileTakesItsNameWhereThereAreNoSecondLinks(t *testing.T) {
	noLinks := func(from, to string) error { return &os.LinkError{Op: "link", Old: from, New: to, Err: syscall.EPERM} }
	folder := t.TempDir()
	temp, path := filepath.Join(folder, "temp"), filepath.Join(folder, "shop.wring")
	for i, link := range []func(from, to string) error{noLinks, os.Link, noLinks} {
		if err := os.WriteFile(temp, []byte{byte('a' + i)}, 0o600); err != nil {
			t.Fatal(err)
		}
		err := place(temp, path, link)
		if i == 0 && err != nil || i > 0 && !errors.Is(err, ErrExists) {
			t.Errorf("time %d: %v, want the name taken once and refused from then on", i+1, err)
		}
		if b, err := os.ReadFile(path); string(b) != "a" {
			t.Errorf("time %d: the file holds %q (%v), want a", i+1, b, err)
		}
	}
	if err := place(filepath.Join(folder, "none"), filepath.Join(folder, "other"), noLinks); !errors.Is(err, ErrMissing) {
		t.Errorf("got %v, want it missing", err)
	}
	if _, err := os.Lstat(filepath.Join(folder, "other")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("the name stays taken (%v), want it given back", err)
	}
}
