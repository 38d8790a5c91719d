package store

import "slices"

// A batch holds some keys of a walk, each with its value behind it: a call into
// bbolt is guarded, and that takes longer than going on to the next key.
type batch struct {
	text []byte
	ends []int // of each key and each value in the text
}

// batchLen is how many bytes a batch takes: a house rule, far above a row of a
// view. A longer value is not gathered.
const batchLen = 4 << 10

// gather takes what r is at and some that follow, as long as they are inside. It
// reports whether r is at one more. It is used inside a guard.
func (b *batch) gather(r *reader, inside func() bool) (more bool) {
	b.text, b.ends = b.text[:0], b.ends[:0]
	for more = true; more && len(b.text)+len(r.v) < batchLen; more = r.next() && inside() {
		b.text = append(b.text, r.k...)
		b.ends = append(b.ends, len(b.text))
		b.text = append(b.text, r.v...)
		b.ends = append(b.ends, len(b.text))
	}
	return more
}

// each hands out what was gathered.
func (b *batch) each(fn func(k, v []byte) error) error {
	from := 0
	for i := 0; i < len(b.ends); i += 2 {
		k, v := b.text[from:b.ends[i]], b.text[b.ends[i]:b.ends[i+1]]
		from = b.ends[i+1]
		if err := fn(slices.Clip(k), slices.Clip(v)); err != nil {
			return err
		}
	}
	return nil
}
