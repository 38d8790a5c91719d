package store

import (
	"encoding/binary"
	"errors"
	"hash/fnv"
	"io"
	"os"
)

// The parts of a bbolt file that are looked at before bbolt may map it, since
// a fault in a mapping can end the process. From bbolt's source, v1.5.0
// (internal/common/page.go, meta.go), in the byte order of the machine:
//
//	page    bytes 0–7 id, 8–9 flags, 10–11 count, 12–15 overflow (further pages)
//	meta    at byte 16 of pages 0 and 1:
//	        0–3 magic, 4–7 version, 8–11 page size, 12–15 flags,
//	        16–23 root page, 24–31 root sequence, 32–39 free list page,
//	        40–47 high water mark (pages in use), 48–55 transaction,
//	        56–63 FNV-1a 64 of bytes 0–55
const (
	pageHeader = 16
	metaLen    = 64

	magic   = 0xED0CDAED
	version = 2

	flagBranch   = 0x01
	flagLeaf     = 0x02
	flagFreelist = 0x10

	// noFreelist in the place of the free list page says that none is kept.
	noFreelist = ^uint64(0)

	// bbolt looks for the second meta page at these sizes (db.go).
	minPageSize = 1 << 10
	maxPageSize = 1 << 24
)

// A meta is one meta page, and which transaction wrote it.
type meta struct {
	pageSize  int64 // bytes
	root      uint64
	freelist  uint64
	highWater uint64 // pages in use; the file must have at least so many
	txid      uint64
}

// A kind says what stands in the place of a meta page.
type kind int

const (
	foreign kind = iota // no magic number: not bbolt's
	later               // the magic number of another version
	broken              // the magic number, and a checksum that is not its own
	sound
)

// parseMeta reads the meta page in b, of at least 80 bytes.
func parseMeta(b []byte) (meta, kind) {
	b = b[pageHeader : pageHeader+metaLen]
	n := binary.NativeEndian
	if n.Uint32(b) != magic {
		return meta{}, foreign
	}
	h := fnv.New64a()
	h.Write(b[:56])
	if h.Sum64() != n.Uint64(b[56:]) {
		return meta{}, broken
	}
	if n.Uint32(b[4:]) != version {
		return meta{}, later
	}
	m := meta{
		pageSize: int64(n.Uint32(b[8:])),
		root:     n.Uint64(b[16:]), freelist: n.Uint64(b[32:]),
		highWater: n.Uint64(b[40:]), txid: n.Uint64(b[48:]),
	}
	s := m.pageSize
	if s < minPageSize || s > maxPageSize || s&(s-1) != 0 || m.root >= m.highWater {
		return meta{}, broken
	}
	return m, sound
}

// A survey is what preflight found.
type survey struct {
	meta

	// lone says that one of the two meta pages cannot be used. That is what an
	// interrupted commit leaves, which nobody was told of; it is also what a
	// damaged last commit looks like, and then the state is one commit old.
	lone bool
}

// preflight reads both meta pages of the open file and returns the newer one
// that can be used, or says why the file is no registry or a damaged one. It
// maps nothing.
func preflight(path string, f *os.File) (survey, error) {
	info, err := f.Stat()
	if err != nil {
		return survey{}, readFault(path, err)
	}
	if info.Size() == 0 {
		return survey{}, about(path, ErrNotRegistry, "the file is empty; want one made by init, or a backup")
	}
	first, k0, err := metaAt(f, 0)
	if err != nil {
		return survey{}, readFault(path, err)
	}
	second, k1, err := secondMeta(f, first, k0)
	if err != nil {
		return survey{}, readFault(path, err)
	}
	s := survey{meta: first, lone: k0 != sound || k1 != sound}
	if k1 == sound && (k0 != sound || second.txid > first.txid) {
		s.meta = second
	}
	switch {
	case k0 == sound || k1 == sound:
		return s, s.fits(path, info.Size())
	case k0 == later || k1 == later:
		return survey{}, about(path, ErrNewer, "its layout has another number; want bbolt's layout %d", version)
	case k0 == broken || k1 == broken:
		return survey{}, &DamageError{path, "neither of the two meta pages has the checksum of its contents; want one that has"}
	}
	return survey{}, about(path, ErrNotRegistry, "it begins like no registry; want one made by init, or a backup")
}

// metaAt reads the meta page at offset; a place beyond the end is foreign.
func metaAt(f *os.File, offset int64) (meta, kind, error) {
	var b [pageHeader + metaLen]byte
	if _, err := f.ReadAt(b[:], offset); errors.Is(err, io.EOF) {
		return meta{}, foreign, nil
	} else if err != nil {
		return meta{}, foreign, err
	}
	m, k := parseMeta(b[:])
	return m, k, nil
}

// secondMeta finds the second meta page: one page after the first, or, when
// the first cannot say how long a page is, wherever one page of some size
// would put it.
func secondMeta(f *os.File, first meta, k0 kind) (meta, kind, error) {
	if k0 == sound {
		m, k, err := metaAt(f, first.pageSize)
		if k == sound && m.pageSize != first.pageSize {
			k = broken
		}
		return m, k, err
	}
	best := foreign
	for size := int64(minPageSize); size <= maxPageSize; size *= 2 {
		m, k, err := metaAt(f, size)
		if err != nil {
			return meta{}, foreign, err
		}
		if k == sound && m.pageSize == size {
			return m, sound, nil
		}
		best = max(best, min(k, broken))
	}
	return meta{}, best, nil
}

// fits checks that the file is long enough for what the meta page says is in it.
func (s survey) fits(path string, size int64) error {
	pages := uint64(size / s.pageSize)
	if pages < s.highWater {
		return &DamageError{path, plural(pages, "page") + " left of " + plural(s.highWater, "page") + "; want all of them: the file was cut off"}
	}
	if s.freelist != noFreelist && s.freelist >= s.highWater {
		return &DamageError{path, "the list of free pages lies outside the file; want it inside"}
	}
	return nil
}
