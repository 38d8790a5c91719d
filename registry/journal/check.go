package journal

import "fmt"

// A DamageError names the first entry that is not as it was written, or is
// not there.
type DamageError struct {
	// Seq is the number of the entry, counted from 1.
	Seq uint64

	// Reason says what was found and what was wanted.
	Reason string
}

func (e *DamageError) Error() string {
	if e.Seq == 0 { // of no entry
		return "registry: " + e.Reason
	}
	return fmt.Sprintf("journal entry %d: %s", e.Seq, e.Reason)
}

// A NewerError names an entry that a later version of the program wrote.
// Nothing is wrong with it.
type NewerError struct {
	// Seq is the number of the entry, counted from 1.
	Seq uint64

	// Format is the format byte found, above the one this version knows.
	Format byte
}

func (e *NewerError) Error() string {
	return fmt.Sprintf("journal entry %d: written in format %d by a newer program; want format %d or a newer program", e.Seq, e.Format, format)
}

func damage(seq uint64, reason string, args ...any) *DamageError {
	return &DamageError{Seq: seq, Reason: fmt.Sprintf(reason, args...)}
}

// Check verifies that record, kept under seq, is the entry that follows prev,
// and returns the head that it makes and the entry. Called for every record in
// the order of the keys, beginning with the zero Head, it stops at the first
// one that does not fit; the head it ends with is that of the journal.
//
// A [*DamageError] names the entry that is missing (seq above the one after
// prev), out of order (below it), changed (its hash is not the one written in
// it), or cut off from its past (its hash was made with another history). A
// [*NewerError] is a later format, which this version cannot check.
//
// A stretch in the middle can be checked by itself, from the head that the
// record before it claims; the stretches together prove what one walk proves.
func Check(prev Head, seq uint64, record []byte) (Head, Entry, error) {
	head, err := Prove(prev, seq, record)
	if err != nil {
		return Head{}, Entry{}, err
	}
	e, _, err := Open(seq, record)
	if err != nil {
		return Head{}, Entry{}, err
	}
	return head, e, nil
}

// Prove is Check of the chain alone: the text is hashed and not looked into.
func Prove(prev Head, seq uint64, record []byte) (Head, error) {
	want := prev.Seq + 1
	if seq > want {
		return Head{}, damage(want, "missing, the next one found is %d; want every number from 1 on", seq)
	}
	if seq < want {
		return Head{}, damage(seq, "found after entry %d; want every number once and in order", prev.Seq)
	}
	stored, err := sealed(seq, record)
	if newer, is := err.(*NewerError); is {
		return Head{}, judgeNewer(prev, newer, record)
	}
	if err != nil {
		return Head{}, err
	}
	if chainHash(prev.Hash, seq, record[bodyAt:]) != stored {
		return Head{}, damage(seq, "the hash in it is not that of its text after entry %d; want the one it was written with", prev.Seq)
	}
	return Head{Seq: seq, Hash: stored}, nil
}

// judgeNewer tells a later format from a format byte that was damaged: if the
// hash is right for the present format, the byte is wrong.
func judgeNewer(prev Head, newer *NewerError, record []byte) error {
	var stored [32]byte
	copy(stored[:], record)
	if chainHash(prev.Hash, newer.Seq, record[bodyAt:]) == stored {
		return damage(newer.Seq, "format byte %d on an entry of format %d; want %d", newer.Format, format, format)
	}
	return newer
}
