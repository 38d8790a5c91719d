package store

import (
	"bytes"
	"io"
	"sort"
)

// A whole walk grows with the file. So in a file that is not small, only the
// pages on the way to a key are looked at, before bbolt goes there: as many as
// the tree has levels, whatever else is in the file.

// A span is the keys that bbolt is about to look for.
type span struct {
	// low and high are the least and the greatest of them; nil is no bound.
	low, high []byte

	// last says that only the greatest key of the tree is looked for.
	last bool

	// after takes in the page after the last: a cursor comes to its first key
	// to see that it is beyond the greatest.
	after bool

	// beside takes in the pages next to each page on the way, with which a
	// delete may merge it.
	beside bool
}

// between is what a cursor meets on its way from one key to before another.
func between(from, to []byte) span { return span{low: from, high: to, after: true} }

// A guide looks at the pages on the way to keys of one committed state.
type guide struct {
	*walker

	// write says that what is found may be written to: then the leaves are
	// looked at too, for the pages that they run over.
	write bool

	// stems holds the branch pages that were read, and lone the trees that are
	// but a leaf.
	stems map[uint64]stem
	lone  map[uint64]bool
}

// A stem is a branch page that was read, and found in order.
type stem struct {
	page
	parent uint64
	leaves bool         // the pages below are leaves
	seen   map[int]bool // of those the ones that were looked at
}

// newGuide returns a guide over the state that s describes, after a look at the
// root tree and, before writing, at the list of free pages: a free page that
// turns up on the way to a key is one in use. One that is in use elsewhere is
// found by [Store.CheckPages] alone: to see that would take the whole file.
func newGuide(file io.ReaderAt, s survey, write bool) (*guide, error) {
	w, err := newWalker(file, s, heads)
	if err != nil {
		return nil, err
	}
	if write && s.freelist != noFreelist {
		if err := w.free(); err != nil {
			return nil, err
		}
	}
	return &guide{walker: w, write: write, stems: map[uint64]stem{}, lone: map[uint64]bool{}}, nil
}

// lead looks at the way to the keys of a span in one tree, if it is there.
func (g *guide) lead(tree string, to span) error {
	root, ok := g.roots[tree]
	if !ok {
		return nil
	}
	return g.follow(root, 0, bound{}, to, 0)
}

// follow looks at page id below parent, and at those below it on the way.
func (g *guide) follow(id, parent uint64, keys bound, to span, level int) error {
	st, ok, err := g.stem(id, parent, keys, level)
	if err != nil || !ok {
		return err
	}
	first, last := st.way(to)
	if to.beside {
		if err := g.neighbours(st, id, keys, first, last, level); err != nil {
			return err
		}
	}
	for i := first; i <= last; i++ {
		if err := g.step(st, id, i, keys, to, level); err != nil {
			return err
		}
	}
	return nil
}

// step goes on to the child i of a stem.
func (g *guide) step(st stem, id uint64, i int, keys bound, to span, level int) error {
	if st.leaves {
		return g.leaf(st, i)
	}
	e, in := st.child(i, keys)
	return g.follow(e.child, id, in, to, level+1)
}

// neighbours looks at the pages next to those from first to last, and not at
// what is below them.
func (g *guide) neighbours(st stem, id uint64, keys bound, first, last, level int) error {
	for _, i := range []int{first - 1, last + 1} {
		if i < 0 || i >= st.count {
			continue
		}
		if st.leaves {
			if err := g.leaf(st, i); err != nil {
				return err
			}
			continue
		}
		e, in := st.child(i, keys)
		if _, _, err := g.stem(e.child, id, in, level+1); err != nil {
			return err
		}
	}
	return nil
}

// stem reads the branch page id, or returns it again. It is not one when the
// tree is but a leaf.
func (g *guide) stem(id, parent uint64, keys bound, level int) (stem, bool, error) {
	if st, ok := g.stems[id]; ok {
		if st.parent != parent {
			return stem{}, false, flawed("page %d is used twice; want it once", id)
		}
		return st, true, nil
	}
	p, err := g.peek(id)
	if err != nil {
		return stem{}, false, err
	}
	if p.flags == flagLeaf {
		return stem{}, false, g.only(p)
	}
	p, err = g.open(p, keys, level)
	if err != nil {
		return stem{}, false, err
	}
	st := stem{page: p, parent: parent, seen: map[int]bool{}}
	if err := g.below(&st); err != nil {
		return stem{}, false, err
	}
	g.stems[id] = st
	return st, true, nil
}

// only looks at a leaf that is a whole tree.
func (g *guide) only(p page) error {
	if g.lone[p.id] {
		return nil
	}
	g.lone[p.id] = true
	if !g.write {
		return g.claim(p.id, 1)
	}
	return g.leafHead(p)
}

// below finds out whether the pages below are leaves, and claims them if they
// are. All leaves of a tree lie equally deep, so the first tells what the
// others are, and they need not be read.
func (g *guide) below(st *stem) error {
	e, _ := st.element(0)
	first, err := g.peek(e.child)
	if err != nil || first.flags != flagLeaf {
		return err
	}
	st.leaves = true
	for i := range st.count {
		e, _ := st.element(i)
		if err := g.claim(e.child, 1); err != nil {
			return err
		}
	}
	return nil
}

// leaf looks at the pages that leaf i of a stem runs over, when they may be
// given away.
func (g *guide) leaf(st stem, i int) error {
	if !g.write || st.seen[i] {
		return nil
	}
	st.seen[i] = true
	e, _ := st.element(i)
	p, err := g.peek(e.child)
	if err != nil {
		return err
	}
	if p.flags != flagLeaf {
		return flawed("page %d is a branch beside leaves; want a leaf", p.id)
	}
	if err := g.claim(p.id+1, p.overflow); err != nil {
		return err
	}
	return g.ends(p)
}

// way returns the first and the last child that a span can lead to.
func (st stem) way(to span) (first, last int) {
	last = st.count - 1
	if to.last {
		return last, last
	}
	if to.low != nil {
		first = st.find(to.low)
	}
	if to.high != nil {
		last = max(first, st.find(to.high))
	}
	if to.after {
		last = min(last+1, st.count-1)
	}
	return first, last
}

// find returns the child below which a key stands, if it is there: the last
// that begins at or before it, or the first.
func (st stem) find(key []byte) int {
	after := sort.Search(st.count, func(i int) bool {
		e, _ := st.element(i)
		return bytes.Compare(e.key, key) > 0
	})
	return max(after-1, 0)
}

// child returns element i and the keys that may stand below it.
func (st stem) child(i int, keys bound) (element, bound) {
	e, _ := st.element(i)
	in := bound{low: e.key, high: keys.high}
	if i+1 < st.count {
		next, _ := st.element(i + 1)
		in.high = next.key
	}
	return e, in
}

// leaves calls fn with the number of every leaf below page id that a span can
// lead to.
func (g *guide) leaves(id, parent uint64, keys bound, to span, level int, fn func(id uint64)) error {
	st, ok, err := g.stem(id, parent, keys, level)
	if err != nil || !ok {
		return err
	}
	first, last := st.way(to)
	for i := first; i <= last; i++ {
		e, in := st.child(i, keys)
		if st.leaves {
			fn(e.child)
		} else if err := g.leaves(e.child, id, in, to, level+1, fn); err != nil {
			return err
		}
	}
	return nil
}
