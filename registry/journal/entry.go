package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"time"
	"unicode/utf8"
)

// A record is what is kept of one entry:
//
//	byte  0–31   chain hash
//	byte  32     format, 1
//	byte  33–    canonical JSON (RFC 8785) of one object with five members,
//	             which by that rule always stand in this order:
//
//	{"at":"2026-11-25T09:30:00.000Z","kind":"…","payload":…,"person":"…","program":"…"}
//
// The sequence number is not in the record: it is the key the record is kept
// under, and it goes into the hash. The chain hash is SHA-256 (FIPS 180-4) over
//
//	byte  0–15   chainTag, 16 bytes of ASCII
//	byte 16–47   chain hash of the entry before, or 32 zero bytes for entry 1
//	byte 48–55   sequence number, big endian, counted from 1
//	byte 56–     the JSON bytes, as they stand in the record
//
// so that the chain can be checked from an export by any program that has
// SHA-256, without this one.
//
// A later version keeps bytes 0–32 as they are and takes the next number as
// its format byte; what follows is its own affair. If it still holds the same
// JSON in another dress (compressed, say), the hash stays that of the JSON
// under the same tag; if it hashes anything else, it takes a new tag. A
// program that meets a format above its own says that the entry is newer, and
// never that it is damaged.
const (
	format   = 1
	chainTag = "wring journal 1\n"

	// hashLen and bodyAt are the offsets of the format byte and of the JSON.
	hashLen = sha256.Size
	bodyAt  = hashLen + 1
)

// instant is the form of a time in a record: UTC with milliseconds
// (RFC 3339, 5.6). It has one length for all years from 0 to 9999.
const instant = "2006-01-02T15:04:05.000Z"

// An Entry is one thing that happened, as it is kept for ever.
type Entry struct {
	// Seq is the entry's place in the journal, counted from 1 without gaps.
	Seq uint64

	// At is when the entry was made, by the clock of the machine: in UTC, in
	// whole milliseconds.
	At time.Time

	// Person is who made it, as given. Without signatures a name is a claim.
	Person string

	// Kind says what the payload is; never empty. The words are the caller's.
	Kind string

	// Program is the name and version of the program that made the entry.
	Program string

	// Payload is a JSON value. In an entry that was opened it is in canonical
	// form and shares the memory of the record.
	Payload json.RawMessage
}

// Seal makes the record of e, which must follow prev, and returns the new head.
//
// It refuses an entry that is out of sequence, without a kind or a payload,
// with a time that a record cannot hold exactly (not UTC, finer than a
// millisecond, outside the years 0 to 9999), or with a payload that
// [Canonical] refuses. [Open] of the record gives the entry back.
func Seal(prev Head, e Entry) (record []byte, head Head, err error) {
	payload, err := e.payload()
	if err != nil {
		return nil, Head{}, fmt.Errorf("journal entry %d: %w", e.Seq, err)
	}
	return SealForm(prev, e, payload)
}

// SealForm is [Seal] of an entry whose payload is already in canonical form;
// e.Payload is not looked at.
func SealForm(prev Head, e Entry, payload Form) (record []byte, head Head, err error) {
	if prev.Seq == math.MaxUint64 || e.Seq != prev.Seq+1 {
		return nil, Head{}, fmt.Errorf("journal entry %d: follows entry %d; want the next number", e.Seq, prev.Seq)
	}
	record, err = e.body(make([]byte, bodyAt, bodyAt+len(payload.text)+len(e.Kind)+len(e.Person)+len(e.Program)+envelope), payload)
	if err != nil {
		return nil, Head{}, fmt.Errorf("journal entry %d: %w", e.Seq, err)
	}
	body := record[bodyAt:]
	head = Head{Seq: e.Seq, Hash: chainHash(prev.Hash, e.Seq, body)}
	copy(record, head.Hash[:])
	record[hashLen] = format
	return record, head, nil
}

// envelope is more bytes than the members around a payload take without their
// words.
const envelope = 120

// payload is that of e in canonical form; none stays none.
func (e Entry) payload() (Form, error) {
	if len(e.Payload) == 0 {
		return Form{}, nil
	}
	f, err := FormOf(e.Payload)
	if err != nil {
		return f, fmt.Errorf("payload: %w", err)
	}
	return f, nil
}

// body appends the canonical JSON of e.
func (e Entry) body(out []byte, payload Form) ([]byte, error) {
	if e.Kind == "" {
		return nil, fmt.Errorf("kind: none; want a word for what happened")
	}
	if len(payload.text) == 0 {
		return nil, fmt.Errorf("payload: none; want a JSON value")
	}
	at := e.At.Format(instant)
	// Compared with ==, which wants the zone to be the same too.
	if back, ok := parseInstant(at); !ok || back != e.At {
		return nil, fmt.Errorf("time %s: no record holds it exactly; want UTC in whole milliseconds", e.At)
	}
	for _, s := range []string{e.Kind, e.Person, e.Program} {
		if !utf8.ValidString(s) {
			return nil, fmt.Errorf("text %q: not UTF-8; want UTF-8", s)
		}
	}
	out = appendText(append(out, `{"at":`...), at)
	out = appendText(append(out, `,"kind":`...), e.Kind)
	out = append(append(out, `,"payload":`...), payload.text...)
	out = appendText(append(out, `,"person":`...), e.Person)
	out = appendText(append(out, `,"program":`...), e.Program)
	return append(out, '}'), nil
}

// chainHash is the hash laid out above.
func chainHash(prev [32]byte, seq uint64, body []byte) (sum [32]byte) {
	var front [len(chainTag) + hashLen + 8]byte
	copy(front[:], chainTag)
	copy(front[len(chainTag):], prev[:])
	binary.BigEndian.PutUint64(front[len(chainTag)+hashLen:], seq)
	h := sha256.New()
	h.Write(front[:])
	h.Write(body)
	h.Sum(sum[:0])
	return sum
}

// Open reads the record kept under seq and returns the entry with the chain
// hash written in it. It checks the layout and not the hash, for which
// [Check] wants the entry before; nor does it bring the JSON into canonical
// form again, for which there is [CheckForm].
//
// It returns a [*NewerError] for a later format and a [*DamageError] for
// bytes that no version wrote. The payload shares the record's memory.
func Open(seq uint64, record []byte) (Entry, [32]byte, error) {
	hash, err := sealed(seq, record)
	if err != nil {
		return Entry{}, hash, err
	}
	e, ok := read(record[bodyAt:])
	if !ok {
		return Entry{}, hash, damage(seq, "the text is not that of an entry; want at, kind, payload, person and program")
	}
	e.Seq = seq
	return e, hash, nil
}

// sealed returns the hash of a record of this format.
func sealed(seq uint64, record []byte) (hash [32]byte, err error) {
	if len(record) <= bodyAt {
		return hash, damage(seq, "%d bytes; want more than %d", len(record), bodyAt)
	}
	copy(hash[:], record)
	switch f := record[hashLen]; {
	case f > format:
		return hash, &NewerError{Seq: seq, Format: f}
	case f < format:
		return hash, damage(seq, "format %d, which no version wrote; want %d", f, format)
	}
	return hash, nil
}

// CheckForm reports, as a [*DamageError], a record that [Seal] would have
// written differently although its layout and its hash may be right: white
// space, another order, a number or an escape in another form.
func CheckForm(seq uint64, record []byte) error {
	e, _, err := Open(seq, record)
	if err != nil {
		return err
	}
	payload, err := e.payload()
	if err != nil {
		return damage(seq, "%v", err)
	}
	body, err := e.body(nil, payload)
	if err != nil {
		return damage(seq, "%v", err)
	}
	if !bytes.Equal(body, record[bodyAt:]) {
		return damage(seq, "the text is not in canonical form; want that of RFC 8785")
	}
	return nil
}
