package store

import (
	"encoding/binary"
	"os"
	"path/filepath"
	"testing"

	"example.org/wring/registry/journal"
)

// An entry of 2.2 KB with its four lines in views, durable. Beside it, in
// BenchmarkBareCommit, the same number of pages written and made durable by
// hand, which no store can undercut.
func BenchmarkCommit(b *testing.B) {
	path, _ := newRegistry(b, 100)
	s := open(b, path, Options{})
	before := s.db.Stats().TxStats
	b.ReportAllocs()
	for b.Loop() {
		update(b, s, func(tx *Tx) error { _, err := appendEntry(tx); return err })
	}
	after := s.db.Stats().TxStats
	b.ReportMetric(float64(after.GetWrite()-before.GetWrite())/float64(b.N), "writes/op")
	b.ReportMetric(float64(after.GetPageAlloc()-before.GetPageAlloc())/float64(b.N), "pagebytes/op")
}

// Nine scattered pages and a meta page, as BenchmarkCommit reports them.
func BenchmarkBareCommit(b *testing.B) {
	const pages, written = 200, 9
	f, err := os.Create(filepath.Join(b.TempDir(), "bare"))
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	page := make([]byte, pageSize)
	for i := range pages {
		if _, err := f.WriteAt(page, int64(i)*pageSize); err != nil {
			b.Fatal(err)
		}
	}
	if err := f.Sync(); err != nil {
		b.Fatal(err)
	}
	at := 0
	for b.Loop() {
		for range written {
			at = (at + 37) % pages
			if _, err := f.WriteAt(page, int64(at)*pageSize); err != nil {
				b.Fatal(err)
			}
		}
		if err := flush(f); err != nil {
			b.Fatal(err)
		}
		if _, err := f.WriteAt(page, 0); err != nil {
			b.Fatal(err)
		}
		if err := flush(f); err != nil {
			b.Fatal(err)
		}
	}
}

// large makes a registry of about 2.4 KB an entry, in transactions of 1000.
func large(b *testing.B, entries int) string {
	b.Helper()
	path := filepath.Join(b.TempDir(), "large.wring")
	if err := Create(path, kept(), func(*Tx) error { return nil }); err != nil {
		b.Fatal(err)
	}
	s := open(b, path, Options{})
	for done := 0; done < entries; done += 1000 {
		update(b, s, func(tx *Tx) error {
			for range 1000 {
				if _, err := appendEntry(tx); err != nil {
					return err
				}
			}
			return nil
		})
	}
	st, err := s.Stat()
	if err != nil {
		b.Fatal(err)
	}
	closed(b, s)
	b.Logf("%d entries: %d bytes used, %.0f an entry", entries, st.Used, float64(st.Used)/float64(entries))
	return path
}

func BenchmarkOpen(b *testing.B) {
	for name, entries := range map[string]int{"2000 entries": 2000, "20000 entries": 20000, "100000 entries": 100000} {
		b.Run(name, func(b *testing.B) {
			path := large(b, entries)
			for mode, readOnly := range map[string]bool{"to read": true, "to write": false} {
				b.Run(mode, func(b *testing.B) {
					for b.Loop() {
						closed(b, open1(b, path, readOnly))
					}
				})
			}
		})
	}
}

func open1(b *testing.B, path string, readOnly bool) *Store {
	s, err := Open(path, Options{ReadOnly: readOnly})
	if err != nil {
		b.Fatal(err)
	}
	return s
}

func BenchmarkCheckPages(b *testing.B) {
	path := large(b, 20000)
	s := open(b, path, Options{ReadOnly: true})
	st, err := s.Stat()
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(st.Used)
	for b.Loop() {
		if err := s.CheckPages(); err != nil {
			b.Fatal(err)
		}
	}
}

// The chain of a whole file through the store; beside it, in the package
// journal, the hash alone.
func BenchmarkVerifyChain(b *testing.B) {
	path := large(b, 20000)
	s := open(b, path, Options{ReadOnly: true})
	var total int64
	walk := func(tx *Tx) error {
		var head journal.Head
		return tx.Range(journalTree, nil, nil, func(k, v []byte) (err error) {
			total += int64(len(v))
			head, _, err = journal.Check(head, binary.BigEndian.Uint64(k), v)
			return err
		})
	}
	if err := s.View(walk); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(total)
	for b.Loop() {
		if err := s.View(walk); err != nil {
			b.Fatal(err)
		}
	}
}
