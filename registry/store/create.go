package store

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"go.etcd.io/bbolt"
)

// pageSize is that of a new file, in bytes. With bbolt's usual 4 KiB an entry
// of 2.3 KB wastes 43 % of the journal; 16 KiB hold seven of them (measured).
const pageSize = 16 << 10

// Create makes a new registry at path, of whose options WriteOnce and Pieces
// count, holding what first puts in it, and
// leaves it closed. The file appears under its name whole and durable, or not
// at all; its mode is 0600. Nothing that has the name already is touched.
//
// The file is made under another name in the same folder, because a power cut
// while bbolt lays out a file leaves one that cannot be told from a damaged
// registry. After a power cut that other file, named after path with ".new-"
// and digits, may be left; it is no registry and can be deleted.
//
// It returns [ErrExists], [ErrDenied], [ErrMissing] when there is no such
// folder, [ErrFull], or the error of first, unchanged.
func Create(path string, o Options, first func(*Tx) error) error {
	if _, err := os.Lstat(path); err == nil {
		return about(path, ErrExists, "something has this name; want a new one")
	}
	folder, name := filepath.Split(path)
	if folder == "" {
		folder = "."
	}
	f, err := os.CreateTemp(folder, name+".new-*") // mode 0600
	if err != nil {
		return createFault(path, err)
	}
	f.Close()
	temp := f.Name()
	// Deferred, for a panic of first too; after success it is gone already.
	defer os.Remove(temp)
	if err := fill(path, temp, o, first); err != nil {
		return err
	}
	if err := syncFile(temp); err != nil {
		return createFault(path, err)
	}
	if err := place(temp, path, os.Link); err != nil {
		return err
	}
	if err := settle(folder, temp); err != nil {
		os.Remove(path)
		return createFault(path, err)
	}
	return nil
}

// settle removes the first name of the file, if it has two, and makes the
// folder durable.
func settle(folder, temp string) error {
	if err := os.Remove(temp); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return syncFolder(folder)
}

// fill lays out temp and runs first in its first transaction.
func fill(path, temp string, o Options, first func(*Tx) error) error {
	db, err := bbolt.Open(temp, 0o600, &bbolt.Options{Timeout: DefaultTimeout, PageSize: pageSize})
	if err != nil {
		return createFault(path, err)
	}
	s := &Store{path: path, db: db, writeOnce: set(o.WriteOnce), pieces: set(o.Pieces)}
	// Deferred as well, for a panic of first.
	defer s.Close()
	if s.file, err = os.Open(temp); err != nil {
		return createFault(path, err)
	}
	defer s.file.Close()
	if err := s.Update(first); err != nil {
		return err
	}
	return s.Close()
}

func syncFile(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// place gives temp the name path, unless something has it. A second link does
// that in one step. Where the file system has no second links, an empty file
// takes the name first, which nobody can take twice, and temp replaces it; a
// power cut in between leaves the empty file, which Open refuses.
func place(temp, path string, link func(from, to string) error) error {
	err := link(temp, path)
	if err == nil {
		return nil
	}
	taken := about(path, ErrExists, "something took this name meanwhile; want a new one")
	if errors.Is(err, fs.ErrExist) {
		return taken
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return taken
	}
	if err != nil {
		return createFault(path, err)
	}
	f.Close()
	if err := os.Rename(temp, path); err != nil {
		os.Remove(path)
		return createFault(path, err)
	}
	return nil
}

// createFault gives a fault of the file system in Create our words.
func createFault(path string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return about(path, ErrMissing, "its folder is not there; want one that is")
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return about(path, ErrDenied, "%v; want a folder that can be written to", cause(err))
	case isFull(err):
		return about(path, ErrFull, "%v; want more of it", cause(err))
	}
	return fmt.Errorf("registry %q: %w; want a folder that can be written to", path, err)
}
