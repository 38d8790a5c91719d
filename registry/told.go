package registry

import (
	"encoding/json"
	"fmt"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// KindTold is the kind of an entry that says who of those that hold a
// certificate was told that it counts no more.
const KindTold = "holder told"

// A Telling is its payload. Nobody says that nobody holds the certificate, and
// that nobody needs to be told.
type Telling struct {
	Check  uint64     `json:"check"` // whose certificate was replaced or withdrawn
	Gauge  string     `json:"gauge"`
	Whom   string     `json:"whom,omitempty"`
	Nobody bool       `json:"nobody,omitempty"`
	On     calib.Date `json:"on,omitzero"` // when they were told
	Note   string     `json:"note,omitempty"`
}

// A KeptTelling is one with its entry.
type KeptTelling struct {
	Entry uint64 `json:"entry"`
	Telling
}

// A Replaced is a check whose certificate counts no more, and who was told.
type Replaced struct {
	Check     uint64        `json:"check"`
	Gauge     string        `json:"gauge"`
	By        uint64        `json:"by"` // the amendment, or the withdrawal
	Withdrawn bool          `json:"withdrawn,omitempty"`
	Told      []KeptTelling `json:"told,omitempty"`
}

// Open reports whether nobody was told yet.
func (r Replaced) Open() bool { return len(r.Told) == 0 }

func replacedKey(check uint64) []byte { return append([]byte("replaced\x00"), seqKey(check)...) }

// ReplacedAll returns every check whose certificate was replaced or withdrawn,
// in the order of their entries. One that waited for release and never got it
// is left out: it had no certificate.
func (tx *Tx) ReplacedAll() ([]Replaced, error) {
	var all, out []Replaced
	if err := tx.s.Range(treeHouse, []byte("replaced\x00"), []byte("replaced\x01"), func(_, v []byte) error {
		var r Replaced
		if err := json.Unmarshal(v, &r); err != nil {
			return viewDamage(treeHouse, err)
		}
		all = append(all, r)
		return nil
	}); err != nil {
		return nil, err
	}
	for _, r := range all {
		issued, err := tx.wasIssued(r.Check)
		if err != nil {
			return nil, err
		}
		if issued {
			out = append(out, r)
		}
	}
	return out, nil
}

// wasIssued reports whether a check could have had a certificate that counted.
func (tx *Tx) wasIssued(seq uint64) (bool, error) {
	required, err := tx.ReleaseRequired(seq)
	if err != nil || !required {
		return err == nil, err
	}
	e, _, err := tx.ReleaseOf(seq)
	return e != nil, err
}

// Tell enters that somebody was told that a certificate counts no more. It
// refuses one that counts, nobody named, a day that is not over, and one
// before the check.
func (tx *Tx) Tell(t Telling) (journal.Head, error) {
	k, err := tx.Check(t.Check)
	if err != nil {
		return journal.Head{}, err
	}
	f, err := tx.FateOf(k)
	if err != nil {
		return journal.Head{}, err
	}
	refuse := func(found, want string) (journal.Head, error) {
		return journal.Head{}, &RuleError{fmt.Sprintf("certificate %s: %s", k.CertificateNumber(), found), want}
	}
	t.Gauge = k.Check.Check.Gauge
	switch whom := strings.TrimSpace(t.Whom); {
	case f.By == 0:
		return refuse("counts", "want one that was replaced or withdrawn")
	case t.Nobody == (whom != ""):
		return refuse("nobody is named", "want who was told, or that nobody holds it")
	case t.Nobody && strings.TrimSpace(t.Note) == "":
		return refuse("nobody holds it, without a reason", "want how that is known")
	case !t.Nobody && t.On.IsZero():
		return refuse("no day", "want when they were told")
	case !t.Nobody && t.On.Before(k.Check.Check.Date):
		return refuse(fmt.Sprintf("told on %s, before the check of %s", t.On, k.Check.Check.Date), "want when they were told that it counts no more")
	case t.On.After(calib.DateOf(tx.now)):
		return refuse("told on "+t.On.String()+", ahead of today", "want it entered once it was done")
	}
	return tx.append(KindTold, t)
}

func (tx *Tx) applyTold(e journal.Entry) error {
	var t Telling
	if err := decode(e, &t); err != nil {
		return err
	}
	var r Replaced
	ok, err := tx.get(treeHouse, replacedKey(t.Check), &r)
	if err != nil {
		return err
	}
	if !ok {
		return &NotFoundError{What: "replaced check", ID: fmt.Sprint(t.Check)}
	}
	r.Told = append(r.Told, KeptTelling{e.Seq, t})
	if err := tx.s.Put(treeSeries, idSeqKey(r.Gauge, e.Seq), otherRow()); err != nil {
		return err
	}
	return tx.put(treeHouse, replacedKey(t.Check), r)
}
