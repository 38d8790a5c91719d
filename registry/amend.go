package registry

import (
	"bytes"
	"cmp"
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
	Part calib.Part `json:"part,omitempty"` // empty for length
	Way  calib.Way  `json:"way,omitempty"`  // empty for length

	Point      int    `json:"point"`      // counted from 1; 0 for the zero, and for what a part has once
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

func (tx *Tx) rowOf(gauge string, seq uint64) (SeriesRow, error) {
	v := tx.s.Get(treeSeries, idSeqKey(gauge, seq))
	if v == nil {
		return SeriesRow{}, &DamageError{Seq: seq, Reason: "has no row in the series; want the views rebuilt from the journal"}
	}
	return decodeRow(seq, v)
}

// AmendedBasis says what an amended check rests on: on what the old one did,
// but on the gauge as it is now where that is another one, and for a standard
// that is named anew, or that again lists, on the certificate that the registry
// has for the day; for all of them where the day is another.
func (tx *Tx) AmendedBasis(old Kept, c calib.Check, again []string) (Refs, error) {
	refs := old.Check.Basis
	refs.Standards = nil
	if was := old.Check.Check; c.Gauge != was.Gauge {
		g, err := tx.Gauge(c.Gauge)
		if err != nil {
			return refs, err
		}
		refs.Gauge, refs.Status = g.Entry, g.Status
	}
	var plan calib.Plan
	if err := tx.payload(refs.Plan, KindPlan, &plan); err != nil {
		return refs, err
	}
	for _, id := range c.Standards {
		i := slices.IndexFunc(old.Check.Basis.Standards, func(r StandardRef) bool { return r.ID == id })
		if i >= 0 && c.Date == old.Check.Check.Date && !slices.Contains(again, id) {
			refs.Standards = append(refs.Standards, old.Check.Basis.Standards[i])
			continue
		}
		_, ref, err := tx.measuredWith(plan, id, c.Date)
		if err != nil {
			return refs, err
		}
		refs.Standards = append(refs.Standards, ref)
	}
	return refs, nil
}

// AmendCheck enters the amendment of a check. It refuses one without a reason
// or a change, of an entry that is no check or counts no more, one that changes
// gauge, date, stage or purpose without saying so, and one that would make
// another check of it: its plan, points and readings are what was observed.
func (tx *Tx) AmendCheck(a CheckAmendment) (journal.Head, error) {
	old, err := tx.Check(a.Amends)
	if err != nil {
		return journal.Head{}, err
	}
	refuse := func(found, want string) (journal.Head, error) {
		return journal.Head{}, &RuleError{fmt.Sprintf("check %d: %s", a.Amends, found), want}
	}
	if err := tx.stands(old, "amended"); err != nil {
		return journal.Head{}, err
	}
	what, err := otherThan(old.Check.Check, a)
	switch {
	case err != nil:
		return journal.Head{}, err
	case strings.TrimSpace(a.Reason) == "":
		return refuse("no reason", "want why it is amended")
	case len(a.Changes) == 0 && len(a.Rejected) == 0:
		return refuse("nothing changed", "want at least one new value or a rejected reading")
	case what != "":
		return refuse("the amendment has another "+what, "want what was observed left as it is, or a new check")
	}
	if err := tx.amendable(old, a); err != nil {
		return journal.Head{}, err
	}
	a.Bench = old.Bench()
	head, err := tx.append(KindCheckAmended, a)
	if err != nil {
		return head, err
	}
	return head, tx.followAmended(head.Seq, old.Check.Check, a)
}

// amendable holds an amendment to what the registry has: its standards, who may
// perform, and the checks that are there.
func (tx *Tx) amendable(old Kept, a CheckAmendment) error {
	var again []string
	for _, ref := range a.Basis.Standards {
		if !slices.Contains(old.Check.Basis.Standards, ref) {
			again = append(again, ref.ID)
		}
	}
	refs, err := tx.AmendedBasis(old, a.Check, again)
	if err != nil {
		return err
	}
	if !refs.Same(a.Basis) {
		return &RuleError{fmt.Sprintf("check %d: its gauge or standards were changed meanwhile", a.Amends), "look again, and amend it then"}
	}
	if a.Check.Person != old.Check.Check.Person {
		if err := tx.mayPerform(a.Check); err != nil {
			return err
		}
	}
	if err := tx.mayEnter(a.Check); err != nil {
		return err
	}
	if len(moved(old.Check.Check, a.Check)) == 0 {
		return nil
	}
	return tx.refuseTwice(a.Check)
}

// followAmended enters what follows from an amendment: as from a check, and for
// the gauge that it was taken from.
func (tx *Tx) followAmended(seq uint64, old calib.Check, a CheckAmendment) error {
	if err := tx.follow(seq, a.KeptCheck); err != nil {
		return err
	}
	why := fmt.Sprintf("entry %d: check %d was amended", seq, a.Amends)
	if err := tx.settle(old.Gauge, seq, why); err != nil || old.Gauge == a.Check.Gauge {
		return err
	}
	return tx.settle(a.Check.Gauge, seq, why)
}

// moved names what gives a check another place among a gauge's checks.
func moved(old, now calib.Check) (out []string) {
	for _, f := range []struct {
		name  string
		other bool
	}{{"gauge", old.Gauge != now.Gauge}, {"date", old.Date != now.Date}, {"stage", old.Stage != now.Stage}, {"purpose", old.Intermediate() != now.Intermediate()}} {
		if f.other {
			out = append(out, f.name)
		}
	}
	return out
}

// otherThan names what an amendment may not touch and did, or did not say;
// nothing if the readings are those of the old check less the rejected ones.
func otherThan(old calib.Check, a CheckAmendment) (string, error) {
	now := a.Check
	for _, field := range moved(old, now) {
		if !slices.ContainsFunc(a.Changes, func(c Change) bool { return c.Field == field }) {
			return field + " than it says", nil
		}
	}
	if old.Plan != now.Plan || old.Revision != now.Revision {
		return "plan", nil
	}
	was, is := old.Clone(), now.Clone()
	runs, others := was.Runs(), is.Runs()
	if len(runs) != len(others) {
		return "number of points", nil
	}
	left := len(a.Rejected)
	for i, r := range runs {
		gone, ok := fewer(*r.Readings, *others[i].Readings)
		if left -= gone; !ok || !r.Is(others[i]) || r.Place != others[i].Place {
			return "reading at " + r.String(), nil
		}
		*r.Readings, *others[i].Readings = nil, nil
	}
	if left != 0 {
		return "number of readings than it rejects", nil
	}
	x, err := restOf(was)
	if err != nil {
		return "", err
	}
	y, err := restOf(is)
	if err == nil && !bytes.Equal(x, y) {
		return "part that was observed", nil
	}
	return "", err
}

// restOf is what an amendment may not touch beside readings, in one form.
func restOf(c calib.Check) ([]byte, error) {
	for i := range c.Points {
		c.Points[i].Blocks = nil
	}
	c.Standards, c.Gauge, c.Date, c.Stage, c.Purpose = nil, "", calib.Date{}, "", ""
	c.Person, c.Site, c.Condition, c.Remarks, c.Conditions = "", "", "", "", calib.Conditions{}
	return journal.Canonical(c)
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
// series, and as the gauge's last check if the old one was that. Where it has
// another place now, the states of its gauges are made again.
func (tx *Tx) applyCheckAmended(e journal.Entry) error {
	var a CheckAmendment
	if err := decode(e, &a); err != nil {
		return err
	}
	before, err := tx.Check(a.Amends)
	if err != nil {
		return err
	}
	if err := a.follows(e.Seq, before); err != nil {
		return err
	}
	row, err := checkRow(a.KeptCheck, a.Bench)
	if err != nil {
		return err
	}
	if err := tx.leaves(before, e.Seq, false); err != nil {
		return err
	}
	if err := tx.nameStandards(e.Seq, a.Basis); err != nil {
		return err
	}
	if was := before.Check.Check; len(moved(was, a.Check)) > 0 {
		return tx.movedTo(was.Gauge, a, e.Seq, row)
	}
	old, err := tx.Gauge(a.Check.Gauge)
	if err != nil {
		return err
	}
	return tx.setGauge(&old, old.amended(a.Amends, e.Seq, a.Result), e.Seq, row)
}

// follows refuses an amendment that no program of this house writes: verify and
// a rebuild go this way too, and a chain that was hashed anew proves nothing of
// what its entries say of each other.
func (a CheckAmendment) follows(seq uint64, before Kept) error {
	what, err := otherThan(before.Check.Check, a)
	switch {
	case err != nil:
		return err
	case what != "":
		return &DamageError{Seq: seq, Reason: fmt.Sprintf("amends check %d and has another %s; want what was observed left as it is", a.Amends, what)}
	case a.Bench != before.Bench():
		return &DamageError{Seq: seq, Reason: fmt.Sprintf("amends check %d and says that entry %d kept it first; want %d", a.Amends, a.Bench, before.Bench())}
	}
	return nil
}

// movedTo writes the row of a check that has another place, and the states of
// the gauges that it went from and to.
func (tx *Tx) movedTo(was string, a CheckAmendment, seq uint64, row []byte) error {
	if was != a.Check.Gauge {
		if err := tx.again(was, seq); err != nil {
			return err
		}
	}
	if err := tx.s.Put(treeSeries, idSeqKey(a.Check.Gauge, seq), row); err != nil {
		return err
	}
	return tx.stateAgain(a.Check.Gauge, seq)
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
	at := calib.Run{Part: cmp.Or(r.Part, calib.LengthPart), Point: r.Point, Place: r.Nominal, Way: r.Way}
	return fmt.Sprintf("reading %d at %s, %s, rejected: %s", r.Reading, at, r.Indication, r.Reason)
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
