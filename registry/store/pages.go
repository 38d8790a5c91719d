package store

import (
	"fmt"
	"io"
	"maps"
	"slices"
)

// bbolt trusts the pages of a file. A branch that points to a page above it
// makes a cursor go in circles for ever; a page that claims to run over more
// pages than it does makes a commit give away pages in use. Neither can be
// stopped once bbolt is at it, so the pages are walked here first, by reading
// and not by mapping, with every step checked.

// maxDepth bounds the levels of a tree: a house rule. With two keys in every
// branch, 64 levels hold more pages than can be numbered.
const maxDepth = 64

// A depth says how much of the file a walk looks at.
type depth int

const (
	// heads: all branch pages, the beginning and the end of every leaf, and the
	// list of free pages. It rules out circles, that a commit writes over a page
	// that the list has for free, and that it gives away the page after one
	// that it replaces.
	heads depth = iota

	// all: every element, its place and its order, and that each page has one
	// use.
	all
)

// A walker walks the pages of one committed state.
type walker struct {
	survey
	file io.ReaderAt
	to   depth

	// used has one bit for each page that something was seen to use.
	used []uint64

	// front is the beginning of the page that was peeked at last: mostly enough
	// to find the end of a leaf of entries without reading again.
	front [256]byte

	// roots holds where the trees begin that were not walked yet.
	roots map[string]uint64
}

// flawed is what a walk returns for pages that do not hang together; every
// other error of a walk is one of reading.
func flawed(format string, args ...any) error { return &flaw{fmt.Sprintf(format, args...)} }

type flaw struct{ text string }

func (f *flaw) Error() string { return f.text }

// newWalker returns a walker over the state that s describes, which has walked
// the root tree and knows where the other trees begin. Every page is walked
// once at most, so it comes to an end whatever is in the file.
func newWalker(file io.ReaderAt, s survey, to depth) (*walker, error) {
	w := &walker{survey: s, file: file, to: to, used: make([]uint64, s.highWater/64+1), roots: map[string]uint64{}}
	if err := w.claim(0, 2); err != nil { // the meta pages
		return nil, err
	}
	return w, w.tree(s.root, bound{}, 0)
}

// walkTree walks one tree, unless it was walked before or is not there.
func (w *walker) walkTree(name string) error {
	root, ok := w.roots[name]
	if !ok {
		return nil
	}
	delete(w.roots, name)
	return w.branch(root, bound{}, 0)
}

// walkPages walks all trees of the state that s describes.
func walkPages(file io.ReaderAt, s survey, to depth) error {
	w, err := newWalker(file, s, to)
	if err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(w.roots)) {
		if err := w.walkTree(name); err != nil {
			return err
		}
	}
	if s.freelist == noFreelist {
		return nil
	}
	if err := w.free(); err != nil || to < all {
		return err
	}
	for id := range s.highWater {
		if !w.taken(id) {
			return flawed("page %d is neither used nor free; want it one of them", id)
		}
	}
	return nil
}

// checkFree checks the list of free pages by itself.
func checkFree(file io.ReaderAt, s survey) error {
	if s.freelist == noFreelist {
		return nil
	}
	w := &walker{survey: s, file: file, used: make([]uint64, s.highWater/64+1)}
	return w.free()
}

// taken says that something was seen to use a page of the file.
func (w *walker) taken(id uint64) bool { return w.used[id/64]&(1<<(id%64)) != 0 }

// claim notes that n pages from id on are used, which nothing else may do.
func (w *walker) claim(id, n uint64) error {
	if id >= w.highWater || n > w.highWater-id {
		return flawed("%s from %d on, of %d in the file; want them inside", plural(n, "page"), id, w.highWater)
	}
	for ; n > 0; id, n = id+1, n-1 {
		if w.taken(id) {
			return flawed("page %d is used twice; want it once", id)
		}
		w.used[id/64] |= 1 << (id % 64)
	}
	return nil
}

// tree walks the root tree, whose leaves hold the other trees, below page id.
func (w *walker) tree(id uint64, keys bound, level int) error {
	p, list, err := w.read(id, keys, level)
	if err != nil {
		return err
	}
	if p.flags == flagLeaf {
		return w.buckets(p, list)
	}
	return below(list, keys, func(e element, keys bound) error { return w.tree(e.child, keys, level+1) })
}

// buckets notes where the trees begin that the elements of a leaf hold, and
// checks those that are small enough to lie in the leaf.
func (w *walker) buckets(p page, list []element) error {
	for _, e := range list {
		if e.flags != flagBucket {
			return flawed("page %d holds the value %.40q outside a tree; want trees only", p.id, e.key)
		}
		root, inline, err := parseBucket(e.value)
		if err != nil {
			return err
		}
		if root != 0 {
			w.roots[string(e.key)] = root
		} else if _, err := inline.inOrder(bound{}); err != nil {
			return err
		}
	}
	return nil
}

// branch walks a tree other than the root tree, below page id.
func (w *walker) branch(id uint64, keys bound, level int) error {
	p, err := w.peek(id)
	if err != nil {
		return err
	}
	if p.flags == flagLeaf && w.to < all {
		return w.leafHead(p)
	}
	p, list, err := w.read(id, keys, level)
	if err != nil || p.flags == flagLeaf {
		return err
	}
	return below(list, keys, func(e element, keys bound) error { return w.branch(e.child, keys, level+1) })
}

// below calls fn for each element of a branch with the keys that may stand
// below it.
func below(list []element, keys bound, fn func(element, bound) error) error {
	for i, e := range list {
		in := bound{low: e.key, high: keys.high}
		if i+1 < len(list) {
			in.high = list[i+1].key
		}
		if err := fn(e, in); err != nil {
			return err
		}
	}
	return nil
}

// peek reads the front of a page and checks that it is that of a branch or a
// leaf with this number.
func (w *walker) peek(id uint64) (page, error) {
	if id >= w.highWater {
		return page{}, flawed("page %d, of %d in the file; want one inside", id, w.highWater)
	}
	if _, err := w.file.ReadAt(w.front[:], int64(id)*w.pageSize); err != nil {
		return page{}, err
	}
	p := parsePage(w.front[:])
	if p.id != id {
		return page{}, flawed("page %d calls itself %d; want its own number", id, p.id)
	}
	if p.flags != flagLeaf && p.flags != flagBranch {
		return page{}, flawed("page %d has the mark %#x; want a branch or a leaf", id, p.flags)
	}
	return p, nil
}

// read reads page id whole and returns its elements.
func (w *walker) read(id uint64, keys bound, level int) (page, []element, error) {
	p, err := w.peek(id)
	if err != nil {
		return page{}, nil, err
	}
	if p, err = w.open(p, keys, level); err != nil {
		return page{}, nil, err
	}
	list := make([]element, p.count)
	for i := range list {
		list[i], _ = p.element(i)
	}
	return p, list, nil
}

// open reads a page, which was peeked at last, whole, with those it runs over,
// claims them, and checks its elements.
func (w *walker) open(p page, keys bound, level int) (page, error) {
	if level > maxDepth {
		return page{}, flawed("page %d lies more than %d levels down; want fewer", p.id, maxDepth)
	}
	if err := w.claim(p.id, p.overflow+1); err != nil {
		return page{}, err
	}
	p.bytes = make([]byte, int64(p.overflow+1)*w.pageSize)
	if _, err := w.file.ReadAt(p.bytes, int64(p.id)*w.pageSize); err != nil {
		return page{}, err
	}
	end, err := p.inOrder(keys)
	if err != nil {
		return page{}, err
	}
	if p.flags == flagBranch && p.count == 0 {
		return page{}, flawed("page %d is a branch to nowhere; want pages below it", p.id)
	}
	return p, w.fills(p, end)
}

// leafHead claims a leaf, which was peeked at last, with the pages that it runs
// over, and checks them against its end.
func (w *walker) leafHead(p page) error {
	if err := w.claim(p.id, p.overflow+1); err != nil {
		return err
	}
	return w.ends(p)
}

// ends checks the pages that a leaf, which was peeked at last, runs over
// against the end of its last element, without reading what lies between.
func (w *walker) ends(p page) error {
	if p.count == 0 {
		return w.fills(p, pageHeader)
	}
	at := pageHeader + int64(p.count-1)*elementLen
	if at+elementLen <= int64(len(w.front)) {
		return w.fills(p, at+leafEnd(w.front[at:]))
	}
	b := w.front[:elementLen]
	if _, err := w.file.ReadAt(b, int64(p.id)*w.pageSize+at); err != nil {
		return err
	}
	return w.fills(p, at+leafEnd(b))
}

// fills checks that a page runs over as many pages as its contents need, which
// end at byte end: bbolt allots neither more nor fewer.
func (w *walker) fills(p page, end int64) error {
	if need := uint64((end + w.pageSize - 1) / w.pageSize); need != p.overflow+1 {
		return flawed("page %d runs over %s and its contents over %d; want the same", p.id, plural(p.overflow+1, "page"), need)
	}
	return nil
}
