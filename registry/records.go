package registry

import "math"

// aheadBy is after how many entries as many more are asked for beforehand, some
// twenty megabytes (house rule): the disk is never waited for, and no memory is
// filled with what is wanted much later.
const aheadBy = 2500

// every stands for the end of a whole journal.
const every = math.MaxUint64

// records calls fn with each record of the journal from one number to before
// another, in their order.
func records(s trees, from, to uint64, fn func(seq uint64, record []byte) error) error {
	n := 0
	return s.Range(treeJournal, seqKey(from), seqKey(to), func(k, record []byte) error {
		seq, err := seqOf(k)
		if err != nil {
			return err
		}
		if n%aheadBy == 0 {
			s.Ahead(treeJournal, k, seqKey(min(seq+2*aheadBy, to)))
		}
		n++
		return fn(seq, record)
	})
}
