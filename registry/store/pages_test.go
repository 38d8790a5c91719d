package store

import (
	"bytes"
	"encoding/binary"
	"maps"
	"slices"
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
	w, err := newWalker(bytes.NewReader(o.bytes), o.found, heads)
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

// A finder is one of the ways in which pages are looked at.
type finder int

const (
	reading finder = iota // all ways to keys, before reading
	writing               // all ways to keys, before writing
	walking               // all pages, before writing to a small file
	proving               // all that is on them, for verify
)

// look looks at all pages in one of the ways.
func (p patient) look(by finder) error {
	file := bytes.NewReader(p.bytes)
	switch by {
	case walking:
		return walkPages(file, p.found, heads)
	case proving:
		return walkPages(file, p.found, all)
	}
	g, err := newGuide(file, p.found, by == writing)
	if err != nil {
		return err
	}
	for _, tree := range slices.Sorted(maps.Keys(g.roots)) {
		if err := g.lead(tree, span{}); err != nil {
			return err
		}
	}
	return nil
}

func TestPagesThatDoNotHangTogetherAreNamed(t *testing.T) {
	n := binary.NativeEndian
	whole := newPatient(t)
	if err := walkPages(bytes.NewReader(whole.bytes), whole.found, all); err != nil {
		t.Fatalf("before the cuts: %v", err)
	}
	for _, c := range []struct {
		name string
		by   finder // the least that finds it
		cut  func(patient)
		want string
	}{
		{"two leaf keys the same", proving, func(p patient) { copy(p.keyAt(p.first, 1), p.keyAt(p.first, 0)) }, "out of order"},
		{"leaf keys out of order", proving, func(p patient) { p.keyAt(p.first, 2)[0] = 0xFF }, "out of order"},
		{"key below its branch", proving, func(p patient) { clear(p.keyAt(p.last, 0)) }, "out of order"},
		{"key above its branch", proving, func(p patient) {
			count := int(n.Uint16(p.page(p.first)[10:]))
			p.keyAt(p.first, count-1)[0] = 0xFF
		}, "out of order"},
		{"no key", proving, func(p patient) { n.PutUint32(p.page(p.first)[pageHeader+8:], 0) }, "lies outside it"},
		{"element before the contents", proving, func(p patient) { n.PutUint32(p.page(p.first)[pageHeader+4:], 16) }, "lies outside it"},
		{"element behind the page", proving, func(p patient) { n.PutUint32(p.page(p.first)[pageHeader+12:], 1<<31) }, "lies outside it"},
		{"more elements than room", proving, func(p patient) { n.PutUint16(p.page(p.first)[10:], 2000) }, "claims 2000 elements"},
		{"leaf of another number", proving, func(p patient) { n.PutUint64(p.page(p.last), 3) }, "calls itself 3"},
		{"leaf with another mark", proving, func(p patient) { n.PutUint16(p.page(p.last)[8:], 4) }, "has the mark 0x4"},
		{"leaf runs over too many", writing, func(p patient) { n.PutUint32(p.page(p.last)[12:], 1) }, "page"},
		{"leaf runs over too few", writing, func(p patient) { n.PutUint32(p.page(p.run)[12:], 1) }, "page "},
		{"leaf runs over the end", writing, func(p patient) { n.PutUint32(p.page(p.last)[12:], 1<<31) }, "want them inside"},
		{"last leaf ends elsewhere", writing, func(p patient) {
			count := int(n.Uint16(p.page(p.first)[10:]))
			n.PutUint32(p.page(p.first)[pageHeader+(count-1)*elementLen+12:], 1<<16)
		}, "page"},
		{"free page in use", writing, func(p patient) { n.PutUint64(p.page(p.free)[pageHeader:], uint64(p.first)) }, ""},
		{"free page outside", writing, func(p patient) {
			count := int(n.Uint16(p.page(p.free)[10:]))
			n.PutUint64(p.page(p.free)[pageHeader+(count-1)*freeIDLen:], p.found.highWater)
		}, "want them inside"},
		{"free page twice", writing, func(p patient) { copy(p.page(p.free)[pageHeader+8:][:8], p.page(p.free)[pageHeader:][:8]) }, "want ascending numbers"},
		{"free list too long", writing, func(p patient) { n.PutUint16(p.page(p.free)[10:], 60000) }, "claims 60000"},
		{"free list of absurd length", writing, func(p patient) {
			n.PutUint16(p.page(p.free)[10:], manyFree)
			n.PutUint64(p.page(p.free)[pageHeader:], 1<<60)
		}, "claims 1152921504606846976"},
		{"free list of another number", writing, func(p patient) { n.PutUint64(p.page(p.free), 1) }, "is not the list of free pages"},
		{"free list with another mark", writing, func(p patient) { n.PutUint16(p.page(p.free)[8:], 2) }, "is not the list of free pages"},
		{"free page forgotten", proving, func(p patient) { n.PutUint16(p.page(p.free)[10:], n.Uint16(p.page(p.free)[10:])-1) }, "is neither used nor free"},
		{"branch with one leaf twice", reading, func(p patient) {
			b := p.page(p.branch)
			copy(b[pageHeader+elementLen+8:][:8], b[pageHeader+8:][:8])
		}, "is used twice"},
		{"branch out of the file", reading, func(p patient) { n.PutUint64(p.page(p.branch)[pageHeader+elementLen+8:], 1<<40) }, "in the file"},
		{"branch to a page out of the file first", reading, func(p patient) { n.PutUint64(p.page(p.branch)[pageHeader+8:], 1<<40) }, "want one inside"},
		{"branch to itself", reading, func(p patient) { n.PutUint64(p.page(p.branch)[pageHeader+8:], uint64(p.branch)) }, "is used twice"},
		{"branch to a meta page", reading, func(p patient) { n.PutUint64(p.page(p.branch)[pageHeader+8:], 0) }, "has the mark 0x4"},
		{"branch to nowhere", reading, func(p patient) { n.PutUint16(p.page(p.branch)[10:], 0) }, "branch to nowhere"},
		{"root with another mark", reading, func(p patient) { n.PutUint16(p.page(p.root)[8:], 16) }, "has the mark 0x10"},
		{"root holds a value", reading, func(p patient) { n.PutUint32(p.page(p.root)[pageHeader:], 0) }, "outside a tree"},
		{"root holds half a tree", reading, func(p patient) { n.PutUint32(p.page(p.root)[pageHeader+12:], 15) }, "a tree of 15 bytes"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := whole
			p.bytes = bytes.Clone(whole.bytes)
			c.cut(p)
			for by := c.by; by <= proving; by++ {
				err := p.look(by)
				if _, is := err.(*flaw); !is || !strings.Contains(err.Error(), c.want) || !strings.Contains(err.Error(), "; want ") {
					t.Errorf("looked at by %d: %v, want a flaw with %q", by, err, c.want)
				}
			}
		})
	}
}
