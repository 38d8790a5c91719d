package store

import (
	"errors"

	"go.etcd.io/bbolt"
	berrors "go.etcd.io/bbolt/errors"
)

// View runs fn over one committed state of the registry. An error from fn is
// returned unchanged; damage that was met is returned as a [*DamageError]
// whatever fn returned. A panic of fn passes through.
//
// It returns [ErrNested] when an update is open in this program.
func (s *Store) View(fn func(*Tx) error) error {
	tx, err := s.begin(false)
	if err != nil {
		return err
	}
	// Deferred, so that a panic of fn, too, ends the transaction.
	defer s.end(tx)
	return run(tx, fn)
}

// Update runs fn and makes all that it wrote durable, or nothing. An error
// from fn is returned unchanged and leaves the file as it was; so does a panic
// of fn, which passes through. Damage that was met is returned as a
// [*DamageError] whatever fn returned.
//
// When it returns nil, the writes are on the disk. It returns [ErrReadOnly],
// [ErrNested] when any transaction is open in this program, [ErrFull] when
// there was no room, with nothing kept, and [ErrUnconfirmed] when the disk
// did not confirm what was already written, which may be kept or not. After
// damage and after doubt a store takes no more updates until it is opened again.
func (s *Store) Update(fn func(*Tx) error) error {
	tx, err := s.begin(true)
	if err != nil {
		return err
	}
	defer s.end(tx)
	if err := run(tx, fn); err != nil || !tx.dirty {
		return err
	}
	return s.commit(tx)
}

// begin starts a transaction, unless it would wait for ever for another one of
// this program: bbolt waits for an open update, and an update that makes the
// file grow waits for open views.
func (s *Store) begin(write bool) (*Tx, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case s.db == nil:
		return nil, about(s.path, errClosed, "a transaction on it; want it opened again")
	case s.stuck, write && s.halt != nil:
		return nil, s.halt
	case write && s.readOnly:
		return nil, about(s.path, ErrReadOnly, "an update; want it opened to write")
	case s.writing, write && s.viewing > 0:
		return nil, about(s.path, ErrNested, "another inside it; want one after the other")
	}
	var inner *bbolt.Tx
	var err error
	if damage := guard(s.path, func() { inner, err = s.db.Begin(write) }); damage != nil {
		s.halt, s.stuck = damage, true
		return nil, damage
	}
	if err != nil {
		return nil, about(s.path, errClosed, "%v; want it opened again", err)
	}
	if write {
		s.writing = true
	} else {
		s.viewing++
	}
	return &Tx{store: s, tx: inner, write: write}, nil
}

// end gives up what the transaction has not committed, and the transaction.
func (s *Store) end(tx *Tx) {
	s.mu.Lock()
	defer s.mu.Unlock()
	// A stuck bbolt might wait here for a lock that it holds itself.
	if !s.stuck {
		damage := guard(s.path, func() {
			if err := tx.tx.Rollback(); err != nil && !errors.Is(err, berrors.ErrTxClosed) {
				panic(err)
			}
		})
		if damage != nil {
			s.halt, s.stuck = damage, true
		}
	}
	tx.tx = nil
	if tx.write {
		s.writing = false
	} else {
		s.viewing--
	}
}

// run calls fn. Damage that was met goes before what fn returns, even if fn
// caught the panic that tells of it.
func run(tx *Tx, fn func(*Tx) error) (err error) {
	defer func() {
		p := recover()
		if _, ours := p.(found); p != nil && !ours {
			panic(p)
		}
		if tx.fault != nil {
			err = tx.fault
		}
	}()
	return fn(tx)
}

// note keeps a fault in mind, so that nothing is written after it.
func (s *Store) note(fault error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.halt = fault
}

// commit makes the transaction durable and says what became of it if it could
// not.
func (s *Store) commit(tx *Tx) error {
	id := uint64(tx.tx.ID())
	var err error
	if damage := guard(s.path, func() { err = tx.tx.Commit() }); damage != nil {
		s.mu.Lock()
		defer s.mu.Unlock()
		// bbolt was interrupted between its locks.
		s.halt, s.stuck = damage, true
		return damage
	}
	if err == nil {
		s.committed()
		return nil
	}
	if now, pre := preflight(s.path, s.file); pre != nil || now.txid >= id {
		doubt := about(s.path, ErrUnconfirmed, "%v; want the registry opened again and looked at", cause(err))
		s.note(doubt)
		return doubt
	}
	if isFull(err) {
		return about(s.path, ErrFull, "%v; want room, and the same again: nothing was recorded", cause(err))
	}
	return about(s.path, errCommit, "%v; want a disk that takes it: nothing was recorded", cause(err))
}

// committed notes that the pages of the file are others now.
func (s *Store) committed() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.stale = true
}
