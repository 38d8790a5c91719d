package store

import (
	"bytes"
	"encoding/binary"
	"strings"
	"testing"
)

// A patient is a whole registry in memory, with the places where the tests cut.
type patient struct {
	bytes                    []byte
	found                    survey
	branch, first, last, run int // pages: the journal's root, two leaves below it, a leaf that runs over more pages
	root, free               int
}

func newPatient(t *testing.T) patient {
	t.Helper()
	o := newOriginal(t)
	p := patient{bytes: o.bytes, found: o.found, root: int(o.found.root), free: int(o.found.freelist)}
	w, err := newWalker(bytes.NewReader(o.bytes), o.found, branches)
	if err != nil {
		t.Fatal(err)
	}
	p.branch = int(w.roots[journalTree])
	n := binary.NativeEndian
	b := p.page(p.branch)
	count := int(n.Uint16(b[10:]))
	if n.Uint16(b[8:]) != flagBranch || count < 3 {
		t.Fatalf("the journal's root has the mark %d and %d elements; the test needs a branch with 3", n.Uint16(b[8:]), count)
	}
	p.first = int(n.Uint64(b[pageHeader+8:]))
	p.last = int(n.Uint64(b[pageHeader+(count-1)*elementLen+8:]))
	p.run = int(w.roots[blobTree])
	if n.Uint32(p.page(p.run)[12:]) == 0 {
		t.Fatal("no leaf runs over more than one page; the test needs one")
	}
	return p
}

func (p patient) page(id int) []byte { return p.bytes[id*pageSize:] }

// keyAt is the key of element i of the leaf on page id, 8 bytes to be changed.
func (p patient) keyAt(id, i int) []byte {
	at := pageHeader + i*elementLen
	return p.page(id)[at+int(binary.NativeEndian.Uint32(p.page(id)[at+4:])):][:8]
}

func TestPagesThatDoNotHangTogetherAreNamed(t *testing.T) {
	n := binary.NativeEndian
	whole := newPatient(t)
	if err := walkPages(bytes.NewReader(whole.bytes), whole.found, all); err != nil {
		t.Fatalf("before the cuts: %v", err)
	}
	for _, c := range []struct {
		name string
		to   depth // the least that finds it
		cut  func(patient)
		want string
	}{
		{"two leaf keys the same", all, func(p patient) { copy(p.keyAt(p.first, 1), p.keyAt(p.first, 0)) }, "out of order"},
		{"leaf keys out of order", all, func(p patient) { p.keyAt(p.first, 2)[0] = 0xFF }, "out of order"},
		{"key below its branch", all, func(p patient) { clear(p.keyAt(p.last, 0)) }, "out of order"},
		{"key above its branch", all, func(p patient) {
			count := int(n.Uint16(p.page(p.first)[10:]))
			p.keyAt(p.first, count-1)[0] = 0xFF
		}, "out of order"},
		{"no key", all, func(p patient) { n.PutUint32(p.page(p.first)[pageHeader+8:], 0) }, "lies outside it"},
		{"element before the contents", all, func(p patient) { n.PutUint32(p.page(p.first)[pageHeader+4:], 16) }, "lies outside it"},
		{"element behind the page", all, func(p patient) { n.PutUint32(p.page(p.first)[pageHeader+12:], 1<<31) }, "lies outside it"},
		{"more elements than room", all, func(p patient) { n.PutUint16(p.page(p.first)[10:], 2000) }, "claims 2000 elements"},
		{"leaf of another number", all, func(p patient) { n.PutUint64(p.page(p.last), 3) }, "calls itself 3"},
		{"leaf with another mark", all, func(p patient) { n.PutUint16(p.page(p.last)[8:], 4) }, "has the mark 0x4"},
		{"leaf runs over too many", heads, func(p patient) { n.PutUint32(p.page(p.last)[12:], 1) }, "page"},
		{"leaf runs over too few", heads, func(p patient) { n.PutUint32(p.page(p.run)[12:], 1) }, "page "},
		{"leaf runs over the end", heads, func(p patient) { n.PutUint32(p.page(p.last)[12:], 1<<31) }, "want them inside"},
		{"last leaf ends elsewhere", heads, func(p patient) {
			count := int(n.Uint16(p.page(p.first)[10:]))
			n.PutUint32(p.page(p.first)[pageHeader+(count-1)*elementLen+12:], 1<<16)
		}, "page"},
		{"free page in use", lists, func(p patient) { n.PutUint64(p.page(p.free)[pageHeader:], uint64(p.first)) }, ""},
		{"free page outside", lists, func(p patient) {
			count := int(n.Uint16(p.page(p.free)[10:]))
			n.PutUint64(p.page(p.free)[pageHeader+(count-1)*freeIDLen:], p.found.highWater)
		}, "want them inside"},
		{"free page twice", lists, func(p patient) { copy(p.page(p.free)[pageHeader+8:][:8], p.page(p.free)[pageHeader:][:8]) }, "want ascending numbers"},
		{"free list too long", lists, func(p patient) { n.PutUint16(p.page(p.free)[10:], 60000) }, "claims 60000"},
		{"free list of absurd length", lists, func(p patient) {
			n.PutUint16(p.page(p.free)[10:], manyFree)
			n.PutUint64(p.page(p.free)[pageHeader:], 1<<60)
		}, "claims 1152921504606846976"},
		{"free list of another number", lists, func(p patient) { n.PutUint64(p.page(p.free), 1) }, "is not the list of free pages"},
		{"free list with another mark", lists, func(p patient) { n.PutUint16(p.page(p.free)[8:], 2) }, "is not the list of free pages"},
		{"free page forgotten", all, func(p patient) { n.PutUint16(p.page(p.free)[10:], n.Uint16(p.page(p.free)[10:])-1) }, "is neither used nor free"},
		{"branch with one leaf twice", branches, func(p patient) {
			b := p.page(p.branch)
			copy(b[pageHeader+elementLen+8:][:8], b[pageHeader+8:][:8])
		}, "is used twice"},
		{"branch out of the file", branches, func(p patient) { n.PutUint64(p.page(p.branch)[pageHeader+elementLen+8:], 1<<40) }, "in the file"},
		{"branch to a page out of the file first", branches, func(p patient) { n.PutUint64(p.page(p.branch)[pageHeader+8:], 1<<40) }, "want one inside"},
		{"branch to itself", branches, func(p patient) { n.PutUint64(p.page(p.branch)[pageHeader+8:], uint64(p.branch)) }, "is used twice"},
		{"branch to a meta page", branches, func(p patient) { n.PutUint64(p.page(p.branch)[pageHeader+8:], 0) }, "has the mark 0x4"},
		{"branch to nowhere", branches, func(p patient) { n.PutUint16(p.page(p.branch)[10:], 0) }, "branch to nowhere"},
		{"root with another mark", branches, func(p patient) { n.PutUint16(p.page(p.root)[8:], 16) }, "has the mark 0x10"},
		{"root holds a value", branches, func(p patient) { n.PutUint32(p.page(p.root)[pageHeader:], 0) }, "outside a tree"},
		{"root holds half a tree", branches, func(p patient) { n.PutUint32(p.page(p.root)[pageHeader+12:], 15) }, "a tree of 15 bytes"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := whole
			p.bytes = bytes.Clone(whole.bytes)
			c.cut(p)
			for to := branches; to <= all; to++ {
				err := walkPages(bytes.NewReader(p.bytes), p.found, to)
				if to < c.to {
					continue
				}
				if _, is := err.(*flaw); !is || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "; want ") {
					t.Errorf("depth %d says %v, want a flaw with %q", to, err, c.want)
				}
			}
		})
	}
}
