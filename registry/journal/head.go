package journal

import (
	"encoding/hex"
	"fmt"
	"strconv"
	"strings"
)

// A Head names a whole history in one line: how many entries, and the hash of
// the last one, which holds the hash of the one before, and so on to the
// first. A registry that shows the same head holds the same entries; a head
// written down elsewhere betrays a lost tail and an older copy.
//
// The zero Head is that of an empty journal.
type Head struct {
	// Seq is the number of the last entry, counted from 1, and so the number
	// of entries; 0 means none.
	Seq uint64

	// Hash is the chain hash of that entry; all zero when there is none.
	Hash [32]byte
}

// shortDigits is how many hexadecimal digits Short prints: a house rule.
// 64 bits tell two histories apart by eye; they are no proof.
const shortDigits = 16

// String returns the head as it stands on a certificate: the number, a hyphen
// and the whole hash as 64 hexadecimal digits. It is the inverse of
// [ParseHead].
func (h Head) String() string {
	return strconv.FormatUint(h.Seq, 10) + "-" + hex.EncodeToString(h.Hash[:])
}

// Short returns the number and the first 16 digits of the hash, for screens.
// It is for the eye: ParseHead does not take it.
func (h Head) Short() string {
	return strconv.FormatUint(h.Seq, 10) + "-" + hex.EncodeToString(h.Hash[:shortDigits/2])
}

// ParseHead reads what [Head.String] wrote, and nothing else: no blanks, no
// leading zeros, no capitals, no shortened hash.
func ParseHead(s string) (Head, error) {
	const want = "want the entry's number, a hyphen and 64 hexadecimal digits, as printed on the certificate"
	number, digits, cut := strings.Cut(s, "-")
	if !cut {
		return Head{}, fmt.Errorf("head %.100q: no hyphen; %s", s, want)
	}
	seq, err := strconv.ParseUint(number, 10, 64)
	if err != nil {
		return Head{}, fmt.Errorf("head %.100q: %.30q before the hyphen; %s", s, number, want)
	}
	h := Head{Seq: seq}
	if len(digits) != hex.EncodedLen(len(h.Hash)) {
		return Head{}, fmt.Errorf("head %.100q: %d characters after the hyphen; %s", s, len(digits), want)
	}
	if _, err := hex.Decode(h.Hash[:], []byte(digits)); err != nil || h.String() != s {
		return Head{}, fmt.Errorf("head %.100q: written in another way; %s", s, want)
	}
	if h.Seq == 0 && h != (Head{}) {
		return Head{}, fmt.Errorf("head %.100q: a hash without an entry; want zeros for an empty journal", s)
	}
	return h, nil
}
