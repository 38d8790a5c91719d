package store

import (
	"bytes"
	"encoding/binary"
)

// What follows the header of a page, from bbolt's source, v1.5.0
// (internal/common/page.go, inode.go, bucket.go; internal/freelist/shared.go):
//
//	branch  count × (0–3 pos, 4–7 key length, 8–15 page)
//	leaf    count × (0–3 flags, 4–7 pos, 8–11 key length, 12–15 value length)
//	        pos counts from the element itself; keys and values follow the
//	        elements, in their order
//	tree    the value of a leaf element with flag 1: 0–7 root page, 8–15
//	        sequence; with root page 0 the rest of the value is a leaf page
//	free    count × 8 bytes of page number, ascending; with count 0xFFFF the
//	        first of them is the true count
const (
	elementLen   = 16
	bucketHeader = 16
	freeIDLen    = 8
	flagBucket   = 0x01
	manyFree     = 0xFFFF
)

// A page is a page with those it runs over, or the inline page of a small
// tree, which has no number.
type page struct {
	id       uint64
	flags    uint16
	count    int
	overflow uint64
	bytes    []byte // from the header on; nil when only the header was read
}

func parsePage(b []byte) page {
	n := binary.NativeEndian
	return page{id: n.Uint64(b), flags: n.Uint16(b[8:]), count: int(n.Uint16(b[10:])), overflow: uint64(n.Uint32(b[12:]))}
}

// An element is one key of a page, with its value or the page below it.
type element struct {
	key, value []byte
	flags      uint32
	child      uint64
	end        int64 // bytes from the page's header to the end of the contents
}

// A bound holds the keys that may stand on a page: from low up to, but not
// including, high; nil is no bound.
type bound struct{ low, high []byte }

// inOrder checks that all elements of a page lie on it, and that the keys ascend
// within their bound. It returns where the contents end, counted in bytes from
// the page's header.
func (p page) inOrder(keys bound) (end int64, err error) {
	if pageHeader+p.count*elementLen > len(p.bytes) {
		return 0, flawed("page %d claims %d elements; want those that it has room for", p.id, p.count)
	}
	end = pageHeader
	last := keys.low
	for i := range p.count {
		e, ok := p.element(i)
		switch {
		case !ok:
			return 0, flawed("element %d of page %d lies outside it; want it inside", i+1, p.id)
		case i > 0 && bytes.Compare(e.key, last) <= 0,
			i == 0 && keys.low != nil && bytes.Compare(e.key, last) < 0,
			keys.high != nil && bytes.Compare(e.key, keys.high) >= 0:
			return 0, flawed("element %d of page %d is out of order; want ascending keys", i+1, p.id)
		}
		last, end = e.key, e.end
	}
	return end, nil
}

// element returns element i, or false if it has no key or does not lie behind
// the elements and on the page.
func (p page) element(i int) (e element, ok bool) {
	n := binary.NativeEndian
	at := int64(pageHeader + i*elementLen)
	b := p.bytes[at:]
	var pos, ksize, vsize int64
	if p.flags == flagLeaf {
		e.flags = n.Uint32(b)
		pos, ksize, vsize = int64(n.Uint32(b[4:])), int64(n.Uint32(b[8:])), int64(n.Uint32(b[12:]))
	} else {
		e.child = n.Uint64(b[8:])
		pos, ksize = int64(n.Uint32(b)), int64(n.Uint32(b[4:]))
	}
	start := at + pos
	e.end = start + ksize + vsize
	if ksize == 0 || start < int64(pageHeader+p.count*elementLen) || e.end > int64(len(p.bytes)) {
		return element{}, false
	}
	e.key, e.value = p.bytes[start:start+ksize], p.bytes[start+ksize:e.end]
	return e, true
}

// leafEnd is where the contents of the leaf element in b end, counted from b.
func leafEnd(b []byte) int64 {
	n := binary.NativeEndian
	return int64(n.Uint32(b[4:])) + int64(n.Uint32(b[8:])) + int64(n.Uint32(b[12:]))
}

// parseBucket reads the value that holds a tree: the page of its root, or the
// tree itself.
func parseBucket(b []byte) (root uint64, inline page, err error) {
	if len(b) < bucketHeader {
		return 0, page{}, flawed("a tree of %d bytes; want at least %d", len(b), bucketHeader)
	}
	if root = binary.NativeEndian.Uint64(b); root != 0 {
		return root, page{}, nil
	}
	if b = b[bucketHeader:]; len(b) < pageHeader {
		return 0, page{}, flawed("a small tree of %d bytes; want at least %d", len(b), pageHeader)
	}
	inline = parsePage(b)
	inline.bytes = b
	if inline.flags != flagLeaf {
		return 0, page{}, flawed("a small tree has the mark %#x; want a leaf", inline.flags)
	}
	return 0, inline, nil
}

// free reads the list of free pages and claims them and its own pages.
func (w *walker) free() error {
	b := make([]byte, pageHeader+freeIDLen)
	if _, err := w.file.ReadAt(b, int64(w.freelist)*w.pageSize); err != nil {
		return err
	}
	p := parsePage(b)
	if p.id != w.freelist || p.flags != flagFreelist {
		return flawed("page %d is not the list of free pages; want it there", w.freelist)
	}
	if err := w.claim(p.id, p.overflow+1); err != nil {
		return err
	}
	count, at := uint64(p.count), int64(pageHeader)
	if count == manyFree {
		count, at = binary.NativeEndian.Uint64(b[pageHeader:]), at+freeIDLen
	}
	room := int64(p.overflow+1)*w.pageSize - at
	if count > uint64(room)/freeIDLen {
		return flawed("the list of free pages claims %d; want those that it has room for", count)
	}
	ids := make([]byte, count*freeIDLen)
	if _, err := w.file.ReadAt(ids, int64(p.id)*w.pageSize+at); err != nil {
		return err
	}
	for last := uint64(0); len(ids) > 0; ids = ids[freeIDLen:] {
		id := binary.NativeEndian.Uint64(ids)
		if id <= last {
			return flawed("the list of free pages has %d after %d; want ascending numbers", id, last)
		}
		if err := w.claim(id, 1); err != nil {
			return err
		}
		last = id
	}
	return nil
}
