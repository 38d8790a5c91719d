package store

import (
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
// others. The copy is as good as the original: verify it.
func (s *Store) Backup(w io.Writer) (n int64, err error) {
	err = s.View(func(tx *Tx) error {
		// Not guarded: this reads the file and not the mapping, and runs w.
		n, err = tx.tx.WriteTo(w)
		if err == io.EOF {
			return &DamageError{s.path, "it ends before its last page; want all of them"}
		}
		return err
	})
	return n, err
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
