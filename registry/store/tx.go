package store

import (
	"bytes"
	"fmt"
	"slices"

	"go.etcd.io/bbolt"
)

// A Tx is one transaction, handed to the function that View or Update runs,
// and dead when that function returns. It belongs to one goroutine.
//
// Its methods are all that a registry needs of a store: Get, Put, Delete,
// Range, Last and Drop. Another store, on a database server, has to offer
// these with the promises of the package comment, and no more.
//
// When the file turns out to be damaged, the method does not return: the
// function is left, its deferred calls run, and View or Update returns the
// [*DamageError].
type Tx struct {
	store *Store
	tx    *bbolt.Tx
	write bool
	dirty bool
	fault error // what do panicked over

	// walking counts the walks over each tree that are under way. bbolt's
	// cursors miss keys when their tree is written to meanwhile.
	walking map[string]int
}

// A found is the panic that leaves a transaction's function when the file
// turns out to be damaged.
type found struct{ err error }

// do runs one call into bbolt.
func (tx *Tx) do(call func()) {
	if tx.tx == nil {
		panic("store: transaction used after its function returned")
	}
	if damage := guard(tx.store.path, call); damage != nil {
		tx.leave(damage)
	}
}

// leave gives up the transaction's function.
func (tx *Tx) leave(fault error) {
	tx.fault = fault
	tx.store.note(fault)
	panic(found{fault})
}

// look checks the pages of a tree on the way to keys, before bbolt goes there.
func (tx *Tx) look(tree string, to span) {
	if err := tx.store.vetWay(tree, to); err != nil {
		tx.leave(err)
	}
}

// read runs one call into bbolt that reads some keys of a tree.
func (tx *Tx) read(tree string, keys span, call func(*bbolt.Bucket, *reader)) {
	tx.look(tree, keys)
	var r *reader
	tx.do(func() {
		if b := tx.tx.Bucket([]byte(tree)); b != nil {
			r = newReader(b)
			call(b, r)
		}
	})
	tx.whole(tree, r)
}

// whole gives up when a value was met of which pieces are missing.
func (tx *Tx) whole(tree string, r *reader) {
	if r != nil && r.torn {
		tx.leave(&DamageError{tx.store.path, fmt.Sprintf("tree %q has the pieces of a value after key %x out of order or not all; want them whole", tree, r.k)})
	}
}

// Get returns a copy of the value of key, or nil if the tree has no such key.
// A value of no bytes is not nil.
func (tx *Tx) Get(tree string, key []byte) (value []byte) {
	tx.read(tree, valueOf(key), func(b *bbolt.Bucket, r *reader) { value = r.get(b, key) })
	return value
}

// Put sets the value of key. Both are copied. Keys have 1 to 32,768 bytes,
// values fewer than 2^31 (bbolt's MaxKeySize, MaxValueSize).
//
// In a tree whose keys are written once, it returns [ErrWriteOnce] for a key
// that is there, whatever its value.
func (tx *Tx) Put(tree string, key, value []byte) error {
	if err := tx.writable(tree, "put"); err != nil {
		return err
	}
	if len(key) == 0 || len(key) > bbolt.MaxKeySize || len(value) > bbolt.MaxValueSize {
		return about(tx.store.path, errSize, "tree %q: a key of %d bytes and a value of %d; want keys of 1 to %d bytes and values up to %d",
			tree, len(key), len(value), bbolt.MaxKeySize, bbolt.MaxValueSize)
	}
	way := valueOf(key)
	way.beside = !tx.store.writeOnce[tree] // then pieces may go
	tx.look(tree, way)
	var taken, odd bool
	var r *reader
	var err error
	tx.do(func() {
		var b *bbolt.Bucket
		if b, err = tx.tree(tree); err != nil {
			return
		}
		if tx.store.writeOnce[tree] {
			// Keys that mostly come in order would leave every page half empty.
			b.FillPercent = 1
			r = newReader(b)
			if taken = r.get(b, key) != nil; taken || r.torn {
				return
			}
		}
		if !pieced(b) {
			err = b.Put(key, copied(value))
		} else if odd = !sameLength(b, key); !odd {
			err = putPieces(b, key, value)
		}
	})
	tx.whole(tree, r)
	if odd {
		return about(tx.store.path, errSize, "tree %q: a key of %d bytes; want the length of those there", tree, len(key))
	}
	if taken {
		return about(tx.store.path, ErrWriteOnce, "tree %q has key %x; want a new key", tree, key)
	}
	tx.dirty = true
	return err
}

// tree returns the tree of this name, and makes it if it is not there.
func (tx *Tx) tree(name string) (*bbolt.Bucket, error) {
	if b := tx.tx.Bucket([]byte(name)); b != nil {
		return b, nil
	}
	b, err := tx.tx.CreateBucket([]byte(name))
	if err == nil && tx.store.pieces[name] {
		err = b.SetSequence(inPieces)
	}
	return b, err
}

// Delete removes key, if it is there. It returns [ErrWriteOnce] in a tree
// whose keys are written once.
func (tx *Tx) Delete(tree string, key []byte) error {
	if err := tx.removable(tree, "delete"); err != nil {
		return err
	}
	way := valueOf(key)
	way.beside = true
	tx.look(tree, way)
	var err error
	tx.do(func() {
		b := tx.tx.Bucket([]byte(tree))
		switch {
		case b == nil || newReader(b).get(b, key) == nil:
			return
		case pieced(b):
			err = dropPieces(b, key)
		default:
			err = b.Delete(key)
		}
		tx.dirty = true
	})
	return err
}

// Drop removes the tree with all its keys, if it is there: a view that is to
// be built again. It returns [ErrWriteOnce] for a tree whose keys are written
// once.
func (tx *Tx) Drop(tree string) error {
	if err := tx.removable(tree, "drop"); err != nil {
		return err
	}
	if err := tx.store.vetTree(tree); err != nil {
		tx.leave(err)
	}
	var err error
	tx.do(func() {
		if tx.tx.Bucket([]byte(tree)) != nil {
			err = tx.tx.DeleteBucket([]byte(tree))
			tx.dirty = true
		}
	})
	return err
}

// Range calls fn for every key of the tree from from up to, but not including,
// to, in ascending order; nil means from the first, or to the last. It stops
// at the first error and returns it unchanged.
//
// k and v are valid until fn returns, and the tree must not be written to
// until Range does; writing to another tree is allowed.
func (tx *Tx) Range(tree string, from, to []byte, fn func(k, v []byte) error) error {
	defer tx.walk(tree)()
	var r *reader
	var more bool
	inside := func() bool { return to == nil || bytes.Compare(r.k, to) < 0 }
	tx.read(tree, between(from, to), func(_ *bbolt.Bucket, first *reader) {
		r = first
		more = r.seek(from) && inside()
	})
	var b batch
	for more {
		var err error
		if more, err = tx.some(r, &b, inside, fn); err != nil {
			return err
		}
		tx.whole(tree, r)
	}
	return nil
}

// some hands out what r is at: a batch, or by itself what is too long for one.
// It reports whether there is more.
func (tx *Tx) some(r *reader, b *batch, inside func() bool, fn func(k, v []byte) error) (more bool, err error) {
	if len(r.v) < batchLen {
		tx.do(func() { more = b.gather(r, inside) })
		return more, b.each(fn)
	}
	if err := fn(slices.Clip(r.k), slices.Clip(r.v)); err != nil {
		return false, err
	}
	tx.do(func() { more = r.next() && inside() })
	return more, nil
}

// Last returns copies of the greatest key of the tree and its value, or nil
// for both if the tree has no keys.
func (tx *Tx) Last(tree string) (key, value []byte) {
	tx.read(tree, span{last: true}, func(_ *bbolt.Bucket, r *reader) { key = r.last() })
	if key == nil {
		return nil, nil
	}
	return key, tx.Get(tree, key)
}

// copied is a copy that is not nil: to bbolt, within one transaction, a value
// that is nil is a key that is not there.
func copied(b []byte) []byte { return append([]byte{}, b...) }

// walk notes that a walk over the tree is under way, and returns what ends it.
func (tx *Tx) walk(tree string) (end func()) {
	if tx.walking == nil {
		tx.walking = map[string]int{}
	}
	tx.walking[tree]++
	return func() { tx.walking[tree]-- }
}

// writable reports why the tree must not be written to now.
func (tx *Tx) writable(tree, what string) error {
	if !tx.write {
		return about(tx.store.path, ErrReadOnly, "%s in tree %q; want it in an update", what, tree)
	}
	if tx.walking[tree] > 0 {
		return about(tx.store.path, errWalked, "%s in tree %q; want it after the walk", what, tree)
	}
	return nil
}

// removable reports why nothing must be removed from the tree now.
func (tx *Tx) removable(tree, what string) error {
	if err := tx.writable(tree, what); err != nil {
		return err
	}
	if tx.store.writeOnce[tree] {
		return about(tx.store.path, ErrWriteOnce, "%s in tree %q; want its keys kept", what, tree)
	}
	return nil
}
