// Package store keeps ordered bytes in one file and gives them back, all of a
// transaction or none of it.
//
// It knows how a file comes to be, is looked at before it is trusted, locked,
// read, written, copied and given up; and it turns every fault on the way into
// an error of one line. It is the only importer of bbolt.
// It refuses to know what the bytes mean: records, hashes, numbering and the
// trees there are belong to those above.
//
// # What is promised
//
// A tree is a set of keys with values, in the order of bytes.Compare over the
// keys. A tree without keys and a tree that was never written are the same.
//
// [Store.Update] is one serialisable transaction: it sees what was committed
// before it and its own writes, nobody sees any of its writes before all of
// them are durable on the disk, and when it returns an error none of them is
// (one exception is named: [ErrUnconfirmed]). [Store.View] sees one committed
// state from beginning to end. Many processes may have a registry open to read;
// one that has it open to write keeps all others out until it closes.
//
// What [Tx] hands out is a copy: nothing points into the file.
//
// bbolt keeps no checksum over its pages, so a store cannot promise that the
// bytes it gives back are the bytes it was given. It promises not to crash and
// not to hang over those that it finds damaged; proof is the journal's.
package store
