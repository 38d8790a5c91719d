package registry

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// A CheckAmendment is the payload of the amendment of a check: the whole check
// as it stands from now on, worked out again, which entry it takes the place
// of, what was changed, and why. The entry that it names stays as it is.
type CheckAmendment struct {
	Amends   uint64      `json:"amends"`  // the check or amendment whose place it takes
	Bench    uint64      `json:"bench"`   // the check as it was first kept
	Reason   string      `json:"reason"`  // in words
	Changes  []Change    `json:"changes"` // old and new values
	Rejected []Rejection `json:"rejected,omitempty"`
	KeptCheck
}

// A Rejection is a reading that no longer counts. It stays in the entry of the
// check as it was first kept, and here with its reason.
type Rejection struct {
	Point      int    `json:"point"`      // counted from 1; 0 for the zero
	Nominal    string `json:"nominal"`    // size of the point as written; "zero" for the zero
	Reading    int    `json:"reading"`    // counted from 1, in the check that is amended
	Indication string `json:"indication"` // as typed
	Reason     string `json:"reason"`
}

// isCheck reports whether an entry of the kind holds a check with its result.
func isCheck(kind string) bool { return kind == KindCheck || kind == KindCheckAmended }

// keptOf reads a check or its amendment.
func keptOf(e journal.Entry, head journal.Head) (Kept, error) {
	k := Kept{Entry: e, Head: head}
	if e.Kind == KindCheckAmended {
		var a CheckAmendment
		if err := decode(e, &a); err != nil {
			return k, err
		}
		k.Amendment, k.Check = &a, a.KeptCheck
		return k, nil
	}
	return k, decode(e, &k.Check)
}

// Bench returns the number of the entry in which the check was first kept.
func (k Kept) Bench() uint64 {
	if k.Amendment != nil {
		return k.Amendment.Bench
	}
	return k.Head.Seq
}

// AmendedBy returns the entry that took the place of a check; 0 where it still
// stands.
func (tx *Tx) AmendedBy(k Kept) (uint64, error) {
	row, err := tx.rowOf(k.Check.Check.Gauge, k.Head.Seq)
	return row.AmendedBy, err
}

func (tx *Tx) rowOf(gauge string, seq uint64) (SeriesRow, error) {
	v := tx.s.Get(treeSeries, idSeqKey(gauge, seq))
	if v == nil {
		return SeriesRow{}, &DamageError{Seq: seq, Reason: "has no row in the series; want the views rebuilt from the journal"}
	}
	return decodeRow(seq, v)
}

// AmendedBasis says what an amended check rests on: on what the old one did,
// and for a standard that it did not name, on the certificate that the
// registry has for the day.
func (tx *Tx) AmendedBasis(old Kept, c calib.Check) (Refs, error) {
	refs := old.Check.Basis
	refs.Standards = nil
	for _, id := range c.Standards {
		i := slices.IndexFunc(old.Check.Basis.Standards, func(r StandardRef) bool { return r.ID == id })
		if i >= 0 {
			refs.Standards = append(refs.Standards, old.Check.Basis.Standards[i])
			continue
		}
		_, ref, err := tx.standardOn(id, c.Date)
		if err != nil {
			return Refs{}, err
		}
		refs.Standards = append(refs.Standards, ref)
	}
	return refs, nil
}

// AmendCheck enters the amendment of a check. It refuses one without a reason
// or a change, of an entry that is no check or was amended already, and one
// that would make another check of it: its gauge, plan, stage, date, points and
// readings are what was observed.
func (tx *Tx) AmendCheck(a CheckAmendment) (journal.Head, error) {
	old, err := tx.Check(a.Amends)
	if err != nil {
		return journal.Head{}, err
	}
	refuse := func(found, want string) (journal.Head, error) {
		return journal.Head{}, &RuleError{fmt.Sprintf("check %d: %s", a.Amends, found), want}
	}
	by, err := tx.AmendedBy(old)
	switch {
	case err != nil:
		return journal.Head{}, err
	case by > 0:
		return refuse(fmt.Sprintf("was amended by entry %d", by), fmt.Sprintf("want that one amended, %d", by))
	case strings.TrimSpace(a.Reason) == "":
		return refuse("no reason", "want why it is amended")
	case len(a.Changes) == 0 && len(a.Rejected) == 0:
		return refuse("nothing changed", "want at least one new value or a rejected reading")
	}
	if what := sameObservation(old.Check.Check, a.Check, a.Rejected); what != "" {
		return refuse("the amendment has another "+what, "want what was observed left as it is, or a new check")
	}
	refs, err := tx.AmendedBasis(old, a.Check)
	if err != nil {
		return journal.Head{}, err
	}
	if !refs.same(a.Basis) {
		return refuse("its standards were changed meanwhile", "look again, and amend it then")
	}
	a.Bench = old.Bench()
	head, err := tx.append(KindCheckAmended, a)
	if err != nil {
		return head, err
	}
	return head, tx.follow(head.Seq, a.KeptCheck)
}

// sameObservation names what an amendment may not touch and did; nothing if
// the readings are those of the old check less the rejected ones.
func sameObservation(old, now calib.Check, rejected []Rejection) string {
	switch {
	case old.Gauge != now.Gauge:
		return "gauge"
	case old.Plan != now.Plan || old.Revision != now.Revision:
		return "plan"
	case old.Stage != now.Stage:
		return "stage"
	case old.Date != now.Date:
		return "date"
	case len(old.Points) != len(now.Points):
		return "number of points"
	}
	left := len(rejected)
	gone, ok := fewer(old.Zero, now.Zero)
	if left -= gone; !ok {
		return "zero"
	}
	for i := range old.Points {
		gone, ok := fewer(old.Points[i].Readings, now.Points[i].Readings)
		if left -= gone; !ok || !old.Points[i].Nominal.Same(now.Points[i].Nominal) {
			return fmt.Sprintf("reading at point %d", i+1)
		}
	}
	if left != 0 {
		return "number of readings than it rejects"
	}
	if !bytes.Equal(restOf(old), restOf(now)) {
		return "part that was observed"
	}
	return ""
}

// restOf is what an amendment may not touch beside points and zero, in one form.
func restOf(c calib.Check) []byte {
	c.Points, c.Zero, c.Standards = nil, nil, nil
	c.Person, c.Condition, c.Remarks, c.Conditions = "", "", "", calib.Conditions{}
	text, err := journal.Canonical(c)
	if err != nil {
		return nil // of text that no entry takes either
	}
	return text
}

// fewer reports how many readings were left out, and whether the others stand
// unchanged in their order.
func fewer(old, now []calib.Reading) (gone int, ok bool) {
	for _, r := range old {
		if len(now) > 0 && r.Comment == now[0].Comment && r.Indication.String() == now[0].Indication.String() {
			now = now[1:]
		} else {
			gone++
		}
	}
	return gone, len(now) == 0
}

// applyCheckAmended puts the amended check in the place of the old one: in the
// series, and as the gauge's last check if the old one was that.
func (tx *Tx) applyCheckAmended(e journal.Entry) error {
	var a CheckAmendment
	if err := decode(e, &a); err != nil {
		return err
	}
	old, err := tx.Gauge(a.Check.Gauge)
	if err != nil {
		return err
	}
	row, err := checkRow(a.KeptCheck, e.Seq, a.Bench)
	if err != nil {
		return err
	}
	if err := tx.s.Put(treeSeries, idSeqKey(a.Check.Gauge, a.Amends), amendedRow(e.Seq, a.Bench)); err != nil {
		return err
	}
	if err := tx.nameStandards(e.Seq, a.Basis); err != nil {
		return err
	}
	return tx.setGauge(&old, old.amended(a.Amends, e.Seq, a.Result), e.Seq, row)
}

func (tx *Tx) nameStandards(seq uint64, refs Refs) error {
	for _, r := range refs.Standards {
		if err := tx.s.Put(treeByStandard, idSeqKey(r.ID, seq), []byte{}); err != nil {
			return err
		}
	}
	return nil
}

// String says which reading was rejected, and why.
func (r Rejection) String() string {
	return fmt.Sprintf("reading %d at %s, %s, rejected: %s", r.Reading, r.Nominal, r.Indication, r.Reason)
}

// Amendments returns what was amended from the check as it was first kept up to
// this one, oldest first; none for a check that is as it was first kept.
func (tx *Tx) Amendments(k Kept) ([]Kept, error) {
	var out []Kept
	for k.Amendment != nil {
		out = append(out, k)
		if k.Amendment.Amends >= k.Head.Seq {
			return nil, &DamageError{Seq: k.Head.Seq, Reason: fmt.Sprintf("amends entry %d; want an earlier one", k.Amendment.Amends)}
		}
		var err error
		if k, err = tx.Check(k.Amendment.Amends); err != nil {
			return nil, err
		}
	}
	slices.Reverse(out)
	return out, nil
}
