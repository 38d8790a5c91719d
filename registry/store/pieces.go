package store

import (
	"bytes"
	"encoding/binary"
	"math"

	"go.etcd.io/bbolt"
)

// A page holds whole values, and a journal's entries of some kilobytes leave a
// good part of it empty: with 8 KB in pages of 16, nearly half (measured). So a
// tree can keep its values in pieces, which fill pages to the end.
//
// Such a tree has the mark inPieces in the place of bbolt's sequence number,
// keys of one length, and for each key as many pieces as its value needs:
//
//	key, piece number 4 bytes big endian → 1,000 bytes, the last piece fewer
//
// A value whose last piece is full has an empty one after it, so that the end
// cannot be lost unseen. A tree without the mark has whole values; a later
// way of keeping them has another mark.
const (
	inPieces = 1
	pieceLen = 1000
	pieceKey = 4 // bytes of the piece number
)

// pieced says whether the tree b keeps its values in pieces.
func pieced(b *bbolt.Bucket) bool { return b.Sequence() == inPieces }

func pieceAt(key []byte, n uint32) []byte {
	return binary.BigEndian.AppendUint32(append(make([]byte, 0, len(key)+pieceKey), key...), n)
}

// isPiece says whether k is what pieceAt gives, which would be made for each.
func isPiece(k, key []byte, n uint32) bool {
	return len(k) == len(key)+pieceKey && bytes.Equal(k[:len(key)], key) && binary.BigEndian.Uint32(k[len(key):]) == n
}

// valueOf is the way to a key and to all of its pieces.
func valueOf(key []byte) span { return between(key, pieceAt(key, math.MaxUint32)) }

// putPieces writes a value in pieces, in the place of those that are there.
func putPieces(b *bbolt.Bucket, key, value []byte) error {
	if err := dropPieces(b, key); err != nil {
		return err
	}
	for n := uint32(0); ; n++ {
		piece := value[:min(pieceLen, len(value))]
		value = value[len(piece):]
		if err := b.Put(pieceAt(key, n), copied(piece)); err != nil {
			return err
		}
		if len(piece) < pieceLen {
			return nil
		}
	}
}

// dropPieces removes all pieces of a key.
func dropPieces(b *bbolt.Bucket, key []byte) error {
	for n := uint32(0); b.Get(pieceAt(key, n)) != nil; n++ {
		if err := b.Delete(pieceAt(key, n)); err != nil {
			return err
		}
	}
	return nil
}

// A reader takes keys with their values from a tree, in order, whole or from
// their pieces. It is used inside a guard.
type reader struct {
	c      *bbolt.Cursor
	pieces bool

	k, v []byte // valid until the next call
	torn bool   // the pieces met last are not those of one value
}

func newReader(b *bbolt.Bucket) *reader { return &reader{c: b.Cursor(), pieces: pieced(b)} }

// seek goes to the first key at or after from; nil is the first of all.
func (r *reader) seek(from []byte) bool {
	if from == nil {
		return r.take(r.c.First())
	}
	return r.take(r.c.Seek(from))
}

func (r *reader) next() bool { return r.take(r.c.Next()) }

// take takes what the cursor is at: false at the end of the tree, and where
// pieces are missing.
func (r *reader) take(k, v []byte) bool {
	// A key of no bytes does not exist; nil is the end.
	if k == nil {
		return false
	}
	if !r.pieces {
		r.k, r.v = append(r.k[:0], k...), append(r.v[:0], v...)
		return true
	}
	if len(k) <= pieceKey {
		r.torn = true
		return false
	}
	r.k, r.v = append(r.k[:0], k[:len(k)-pieceKey]...), r.v[:0]
	for n := uint32(0); ; n++ {
		if !isPiece(k, r.k, n) || len(v) > pieceLen {
			r.torn = true
			return false
		}
		r.v = append(r.v, v...)
		if len(v) < pieceLen {
			return true
		}
		k, v = r.c.Next()
	}
}

// get returns a copy of the value of a key, nil if it is not there.
func (r *reader) get(b *bbolt.Bucket, key []byte) []byte {
	if !r.pieces {
		if v := b.Get(key); v != nil {
			return copied(v)
		}
		return nil
	}
	if !r.seek(pieceAt(key, 0)) || !bytes.Equal(r.k, key) {
		return nil
	}
	return copied(r.v)
}

// last returns a copy of the greatest key, nil if there is none.
func (r *reader) last() []byte {
	k, _ := r.c.Last()
	switch {
	case k == nil:
		return nil
	case !r.pieces:
		return copied(k)
	case len(k) <= pieceKey:
		r.torn = true
		return nil
	}
	return copied(k[:len(k)-pieceKey])
}

// sameLength says whether keys of a tree in pieces have the length of key: the
// pieces of a longer key would stand between those of a shorter one.
func sameLength(b *bbolt.Bucket, key []byte) bool {
	k, _ := b.Cursor().First()
	return k == nil || len(k) == len(key)+pieceKey
}
