package registry

import (
	"fmt"
	"runtime"
	"sync"

	"example.org/wring/registry/journal"
	"example.org/wring/registry/store"
)

// ProveChain checks every entry's hash and the chain, on all processors, and
// returns the head. Each stretch begins from the hash that the entry before it
// claims, which the stretch before checks: together they prove what one walk
// proves. It returns a [*DamageError] that names the first bad entry.
func (r *Registry) ProveChain() (journal.Head, error) {
	var head journal.Head
	if err := r.View(func(tx *Tx) (err error) { head, err = tx.Head(); return err }); err != nil {
		return head, err
	}
	stretches := uint64(min(runtime.GOMAXPROCS(0), int(head.Seq/stretchLeast)+1))
	errs := make([]error, stretches)
	var wait sync.WaitGroup
	for i := range stretches {
		wait.Go(func() {
			from, to := 1+head.Seq*i/stretches, 1+head.Seq*(i+1)/stretches
			errs[i] = r.store.View(func(s *store.Tx) error { return proveStretch(s, from, to) })
		})
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return journal.Head{}, err
		}
	}
	return head, nil
}

// stretchLeast is how many entries are worth a goroutine of their own (house
// rule).
const stretchLeast = 1000

// proveStretch checks the entries from one number to before another.
func proveStretch(s trees, from, to uint64) error {
	prev, err := claimed(s, from-1)
	if err != nil {
		return err
	}
	err = records(s, from, to, func(seq uint64, record []byte) error {
		prev, err = journal.Prove(prev, seq, record)
		return err
	})
	if err == nil && prev.Seq != to-1 {
		return &DamageError{Seq: prev.Seq + 1, Reason: fmt.Sprintf("missing, of entries up to %d; want every number from 1 on", to-1)}
	}
	return err
}

// claimed is the head that the journal had at an entry, by what the entry says.
func claimed(s trees, seq uint64) (journal.Head, error) {
	if seq == 0 {
		return journal.Head{}, nil
	}
	record := s.Get(treeJournal, seqKey(seq))
	if record == nil {
		return journal.Head{}, &DamageError{Seq: seq, Reason: "missing; want every number from 1 on"}
	}
	_, hash, err := journal.Open(seq, record)
	return journal.Head{Seq: seq, Hash: hash}, err
}
