package registry

import (
	"encoding/hex"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"example.org/wring/registry/journal"
)

// A Mark is a head as somebody read it off a paper or a screen: the number of
// an entry and its hash, whole or the first digits of it.
type Mark struct {
	Seq    uint64
	Digits string // of the hash, hexadecimal, 16 to 64
}

// markDigits is how many digits of a hash a mark must have: those of a head in
// its short form. They find a lost tail and another history; only the whole
// hash is a proof.
const markDigits = 16

// ParseMark reads a head in the whole or the short form. Blanks and line ends
// are dropped, since a head may come from a paper on which it was broken, and
// capitals are small letters.
func ParseMark(text string) (Mark, error) {
	const want = "want the entry's number, a hyphen and the digits, as printed on the certificate"
	plain := strings.ToLower(strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, text))
	number, digits, cut := strings.Cut(plain, "-")
	seq, err := strconv.ParseUint(number, 10, 64)
	if !cut || err != nil || seq == 0 || strconv.FormatUint(seq, 10) != number {
		return Mark{}, fmt.Errorf("head %.100q: no number of an entry with a hyphen after it; %s", text, want)
	}
	if n := len(digits); n < markDigits || n > 2*len(journal.Head{}.Hash) {
		return Mark{}, fmt.Errorf("head %.100q: %d digits after the hyphen, of %d to %d; %s", text, n, markDigits, 2*len(journal.Head{}.Hash), want)
	}
	if i := strings.IndexFunc(digits, func(r rune) bool { return !strings.ContainsRune("0123456789abcdef", r) }); i >= 0 {
		return Mark{}, fmt.Errorf("head %.100q: %q is no hexadecimal digit; %s", text, digits[i:i+1], want)
	}
	return Mark{seq, digits}, nil
}

func (m Mark) String() string { return fmt.Sprintf("%d-%s", m.Seq, m.Digits) }

// A Standing says how a registry stands to a head that was written down
// elsewhere.
type Standing string

// The history of the head is contained in the registry; the registry ends
// before it, so that a tail is lost or this is an older copy; or another entry
// stands in its place.
const (
	Contained   Standing = "contained"
	TailLost    Standing = "tail lost"
	OtherBranch Standing = "other history"
)

// StandingOf compares the registry with a head from elsewhere.
func (tx *Tx) StandingOf(m Mark) (Standing, error) {
	head, err := tx.Head()
	if err != nil {
		return "", err
	}
	if m.Seq > head.Seq {
		return TailLost, nil
	}
	_, at, err := tx.Entry(m.Seq)
	var missing *NotFoundError
	switch {
	case errors.As(err, &missing):
		return "", &DamageError{Seq: m.Seq, Reason: "missing; want every number from 1 on"}
	case err != nil:
		return "", err
	case strings.HasPrefix(hex.EncodeToString(at.Hash[:]), m.Digits):
		return Contained, nil
	}
	return OtherBranch, nil
}
