package store

import (
	"errors"
	"io"

	"go.etcd.io/bbolt"
)

// A Stat says how large a store is.
type Stat struct {
	// Size is the length of the file in bytes, and Used the part of it that a
	// backup has: pages in use and pages to be used again.
	Size, Used int64

	// PageSize is the length of a page in bytes.
	PageSize int64

	// TxID counts the commits since the file was made.
	TxID uint64

	// LoneMeta says that, when the file was opened, only one of its two meta
	// pages could be used. An interrupted commit leaves that, of which nobody
	// was told that it succeeded; but a last commit that was damaged later
	// looks the same, and then what is read is one commit old. The head
	// printed on the last certificate tells them apart.
	LoneMeta bool
}

// Stat returns the sizes of the store as they are now.
func (s *Store) Stat() (st Stat, err error) {
	err = s.View(func(tx *Tx) error {
		info, err := s.file.Stat()
		if err != nil {
			return readFault(s.path, err)
		}
		tx.do(func() {
			st = Stat{Size: info.Size(), Used: tx.tx.Size(), TxID: uint64(tx.tx.ID())}
		})
		st.PageSize, st.LoneMeta = s.found.pageSize, s.found.lone
		return nil
	})
	return st, err
}

// Backup writes a registry to w that holds one committed state, and returns
// its length in bytes. Others may read meanwhile, in this program and in
// others. An error of w is returned unchanged. The copy is as good as the
// original: verify it.
func (s *Store) Backup(w io.Writer) (n int64, err error) {
	err = s.View(func(tx *Tx) error {
		// Not guarded: this reads the file and not the mapping, and runs w.
		out := &outlet{w: w}
		var err error
		n, err = tx.tx.WriteTo(out)
		switch {
		case out.err != nil:
			return out.err
		case errors.Is(err, io.EOF):
			return &DamageError{s.path, "it ends before its last page; want all of them"}
		case err != nil:
			return readFault(s.path, err)
		}
		return nil
	})
	return n, err
}

// An outlet remembers the error of its writer, which bbolt passes on as text.
type outlet struct {
	w   io.Writer
	err error
}

func (o *outlet) Write(p []byte) (n int, err error) {
	n, o.err = o.w.Write(p)
	return n, o.err
}

// CheckPages walks every page of the store and returns a [*DamageError] with
// the first that does not hang together: keys out of order or out of place, a
// page used twice, or neither used nor free. It reads and does not map, reads
// each page once, and so comes to an end whatever is in the file. It cannot see
// a value that was altered: bbolt keeps no checksum over values.
func (s *Store) CheckPages() error {
	return s.View(func(*Tx) error {
		now, err := preflight(s.path, s.file)
		if err != nil {
			return err
		}
		return pageFault(s.path, walkPages(s.file, now, all))
	})
}

// CheckStructure runs bbolt's own check over the registry at path and returns
// a [*DamageError] with the first thing that it finds.
//
// Call it in a process of its own, with a time limit, and take a crash or a
// hang for damage: bbolt checks in a goroutine that cannot be guarded, where a
// fault in the mapping ends the process, and a damaged page can keep it in a
// circle for ever (both measured).
func CheckStructure(path string) error {
	s, err := Open(path, Options{ReadOnly: true})
	if err != nil {
		return err
	}
	defer s.Close()
	return s.View(func(tx *Tx) error {
		var first error
		// The goroutine of the check ends when its channel was read to the end.
		for err := range tx.tx.Check(bbolt.WithKVStringer(bbolt.HexKVStringer())) {
			if first == nil {
				first = &DamageError{path, oneLine(err) + "; want pages that hang together"}
			}
		}
		return first
	})
}
