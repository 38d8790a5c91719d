package store

import "slices"

// Ahead asks the system to fetch what the keys of a tree from from up to, but
// not including, to lie in, as [Tx.Range] takes them: it is about to be read.
// Pages that are not in memory then come many at a time and in the order of the
// disk, and not one after the other when a reader meets them. What is in memory
// costs a microsecond a page. Damage that is met is said by who reads.
func (tx *Tx) Ahead(tree string, from, to []byte) {
	for _, s := range tx.store.stretches(tree, between(from, to)) {
		fetch(tx.store.file, s.from, s.length)
	}
}

// A stretch is one of the file, in bytes.
type stretch struct{ from, length int64 }

// stretches lists where the leaves lie that a span leads to, in the order of the
// file; none where the guide does not know.
func (s *Store) stretches(tree string, to span) (list []stretch) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.guide == nil || s.flaws[tree] != nil || s.renew() != nil {
		return nil
	}
	root, ok := s.guide.roots[tree]
	if !ok {
		return nil
	}
	var ids []uint64
	if err := s.guide.leaves(root, 0, bound{}, to, 0, func(id uint64) { ids = append(ids, id) }); err != nil {
		s.flaws[tree] = pageFault(s.path, err)
		return nil
	}
	slices.Sort(ids)
	size := s.guide.pageSize
	for _, id := range ids {
		at := int64(id) * size
		if n := len(list); n > 0 && list[n-1].from+list[n-1].length == at {
			list[n-1].length += size
			continue
		}
		list = append(list, stretch{at, size})
	}
	return list
}
