package registry

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// A LookBack is the payload of the entry that opens one: what may have been
// measured wrongly, with what, in which time.
type LookBack struct {
	Subject string     `json:"subject"`        // gauge or standard
	Since   calib.Date `json:"since,omitzero"` // last known good; zero: never
	Until   calib.Date `json:"until"`
	Check   uint64     `json:"check,omitempty"` // entry that opened it; 0: a person did
	Reason  string     `json:"reason"`
}

// A Decision says what became of one item of a look-back.
type Decision string

// The decisions: it stands, it was measured again, or it was called back.
const (
	DecidedKept       Decision = "kept"
	DecidedRemeasured Decision = "re-measured"
	DecidedRecalled   Decision = "recalled"
)

// Decisions lists them in the order they are offered.
func Decisions() []Decision { return []Decision{DecidedKept, DecidedRemeasured, DecidedRecalled} }

// A Disposition is the payload of a decision on one item.
type Disposition struct {
	LookBack uint64     `json:"look_back"` // entry that opened it
	Item     string     `json:"item"`      // "use MIC-014", "check 45"
	Decision Decision   `json:"decision"`
	Date     calib.Date `json:"date"`
	Informed string     `json:"informed,omitempty"`   // whom
	On       calib.Date `json:"informed_on,omitzero"` // and when
	Reason   string     `json:"reason"`

	// Seen is what the item was when it was decided on; nil in the entry of a
	// program that did not keep it.
	Seen *Seen `json:"seen,omitempty"`
}

// Seen is what of an item bears on the decision: in which span of time it was
// made, and the check whose errors it was held against.
type Seen struct {
	From  calib.Date `json:"from,omitzero"`   // zero: from the beginning
	To    calib.Date `json:"to"`              // not before From
	Check uint64     `json:"check,omitempty"` // entry that stood for the one that opened the look-back; 0: a person opened it
}

// A KeptDisposition is one with its entry.
type KeptDisposition struct {
	Entry uint64 `json:"entry"`
	Disposition
}

// A LookBackState is a look-back with what was decided so far.
type LookBackState struct {
	Entry uint64 `json:"entry"`
	LookBack
	Decided []KeptDisposition `json:"decided,omitempty"`
}

// OpenLookBack enters a look-back that a person opens: a standard was recalled
// or found wrong, a gauge was dropped.
func (tx *Tx) OpenLookBack(l LookBack) (journal.Head, error) {
	if !tx.known(l.Subject) {
		_, err := tx.Gauge(l.Subject)
		return journal.Head{}, err
	}
	if strings.TrimSpace(l.Reason) == "" {
		return journal.Head{}, &RuleError{"look-back of " + l.Subject + ": no reason", "want why it is opened"}
	}
	if l.Until.Before(l.Since) {
		return journal.Head{}, &RuleError{fmt.Sprintf("look-back of %s: from %s to %s", l.Subject, l.Since, l.Until), "want the earlier day first"}
	}
	l.Check = 0
	return tx.append(KindLookBack, l)
}

func (tx *Tx) known(id string) bool {
	return tx.s.Get(treeGauges, []byte(id)) != nil || tx.s.Get(treeStandards, []byte(id)) != nil
}

// openFor reports whether a look-back that a check opened from that day on
// still stands without a decision, or was opened by the same check before it
// was amended: its decisions are then open again by themselves.
func (tx *Tx) openFor(subject string, since calib.Date, seq uint64) (bool, error) {
	all, err := tx.LookBacks(subject)
	if err != nil {
		return false, err
	}
	for _, l := range all {
		if l.Check == 0 || l.Since != since {
			continue
		}
		stands, err := tx.Stands(l.Check)
		if err != nil || len(l.Decided) == 0 || stands == seq {
			return true, err
		}
	}
	return false, nil
}

// Decide enters what became of one item of a look-back.
func (tx *Tx) Decide(d Disposition) (journal.Head, error) {
	refuse := func(found, want string) (journal.Head, error) {
		return journal.Head{}, &RuleError{fmt.Sprintf("look-back %d: %s", d.LookBack, found), want}
	}
	l, err := tx.lookBack(d.LookBack)
	if err != nil {
		return journal.Head{}, err
	}
	items, err := tx.Items(l)
	if err != nil {
		return journal.Head{}, err
	}
	switch {
	case !slices.Contains(Decisions(), d.Decision):
		return refuse(fmt.Sprintf("no decision %q", d.Decision), "want kept, re-measured or recalled")
	case strings.TrimSpace(d.Reason) == "":
		return refuse("no reason", "want why it is so decided")
	}
	n := slices.IndexFunc(items, func(i Item) bool { return i.Key == d.Item })
	if n < 0 {
		return refuse(fmt.Sprintf("no item %q", d.Item), "want one of its list")
	}
	seen, err := tx.seen(l, items[n])
	if err != nil {
		return journal.Head{}, err
	}
	d.Seen = &seen
	return tx.append(KindDisposition, d)
}

// seen is what a decision on an item rests on now.
func (tx *Tx) seen(l LookBackState, i Item) (Seen, error) {
	found, err := tx.Stands(l.Check)
	return Seen{From: i.From, To: i.To, Check: found}, err
}

// Stands follows the amendments of a check to the entry that stands in its
// place; 0 stays 0.
func (tx *Tx) Stands(seq uint64) (uint64, error) {
	for seq > 0 {
		k, err := tx.Check(seq)
		if err != nil {
			return 0, err
		}
		by, err := tx.AmendedBy(k)
		if err != nil || by == 0 {
			return seq, err
		}
		seq = by
	}
	return 0, nil
}

// since says why a decision no longer holds for what the item has become;
// empty where it does. A span that shrank is covered by what was decided, and
// an amendment that changed no result by the errors that were seen.
func (tx *Tx) since(then, now Seen) (string, error) {
	if now.From.Before(then.From) || now.To.After(then.To) {
		return fmt.Sprintf("its span was %s to %s then", spanStart(then.From), then.To), nil
	}
	if now.Check == then.Check {
		return "", nil
	}
	var results [2][]byte
	for i, seq := range []uint64{then.Check, now.Check} {
		k, err := tx.Check(seq)
		if err != nil {
			return "", err
		}
		if results[i], err = journal.Canonical(k.Check.Result); err != nil {
			return "", err
		}
	}
	if bytes.Equal(results[0], results[1]) {
		return "", nil
	}
	return fmt.Sprintf("entry %d amended the result of check %d since", now.Check, then.Check), nil
}

func spanStart(d calib.Date) string {
	if d.IsZero() {
		return "the beginning"
	}
	return d.String()
}

// lookBack reads the state of one by the entry that opened it.
func (tx *Tx) lookBack(seq uint64) (LookBackState, error) {
	var l LookBack
	var s LookBackState
	if err := tx.payload(seq, KindLookBack, &l); err != nil {
		return s, err
	}
	ok, err := tx.get(treeLookBacks, idSeqKey(l.Subject, seq), &s)
	if err == nil && !ok {
		err = &DamageError{Seq: seq, Reason: "has no row in the look-backs; want the views rebuilt from the journal"}
	}
	return s, err
}

// LookBacks returns those of one gauge or standard, or all where the identity
// is empty, in the order of identities and entries.
func (tx *Tx) LookBacks(subject string) ([]LookBackState, error) {
	var from, to []byte
	if subject != "" {
		from, to = under(subject)
	}
	var out []LookBackState
	return out, tx.s.Range(treeLookBacks, from, to, func(_, v []byte) error {
		var s LookBackState
		if err := json.Unmarshal(v, &s); err != nil {
			return viewDamage(treeLookBacks, err)
		}
		out = append(out, s)
		return nil
	})
}

func (tx *Tx) applyLookBack(e journal.Entry) error {
	var l LookBack
	if err := decode(e, &l); err != nil {
		return err
	}
	if err := tx.s.Put(treeSeries, idSeqKey(l.Subject, e.Seq), otherRow()); err != nil {
		return err
	}
	return tx.put(treeLookBacks, idSeqKey(l.Subject, e.Seq), LookBackState{Entry: e.Seq, LookBack: l})
}

func (tx *Tx) applyDisposition(e journal.Entry) error {
	var d Disposition
	if err := decode(e, &d); err != nil {
		return err
	}
	s, err := tx.lookBack(d.LookBack)
	if err != nil {
		return err
	}
	if err := tx.s.Put(treeSeries, idSeqKey(s.Subject, e.Seq), otherRow()); err != nil {
		return err
	}
	s.Decided = append(s.Decided, KeptDisposition{e.Seq, d})
	return tx.put(treeLookBacks, idSeqKey(s.Subject, s.Entry), s)
}
