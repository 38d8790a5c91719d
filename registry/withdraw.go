package registry

import (
	"fmt"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// KindWithdrawal is the kind of an entry that takes back another one, which
// should never have been made.
const KindWithdrawal = "withdrawn"

// A Withdrawal is the payload of the entry by which a check or a standard's
// certificate counts no more. What it names stays as it is, and is shown as
// withdrawn.
type Withdrawal struct {
	Entry   uint64 `json:"entry"`   // of the check or certificate
	Subject string `json:"subject"` // gauge or standard
	Number  string `json:"number"`  // of the certificate that is withdrawn with it
	Reason  string `json:"reason"`
}

// A Fate is what became of a check: nothing, or an entry that took its place,
// or withdrew it.
type Fate struct {
	By        uint64 // 0 where it stands
	Withdrawn bool
}

// FateOf returns what became of a check.
func (tx *Tx) FateOf(k Kept) (Fate, error) {
	return tx.FateOfCheck(k.Check.Check.Gauge, k.Head.Seq)
}

// AmendedBy returns the entry that took the place of a check, or withdrew it; 0
// where it still stands.
func (tx *Tx) AmendedBy(k Kept) (uint64, error) {
	f, err := tx.FateOf(k)
	return f.By, err
}

// stands refuses a check that something was done to.
func (tx *Tx) stands(k Kept, done string) error {
	f, err := tx.FateOf(k)
	subject := fmt.Sprintf("check %d: ", k.Head.Seq)
	switch {
	case err != nil || f.By == 0:
		return err
	case f.Withdrawn:
		return &RuleError{subject + fmt.Sprintf("was withdrawn by entry %d", f.By), "want a check that stands"}
	}
	return &RuleError{subject + fmt.Sprintf("was amended by entry %d", f.By), fmt.Sprintf("want that one %s, %d", done, f.By)}
}

// Withdraw enters that a check or a certificate counts no more, and what
// follows from it: a gauge that it had failed returns, and one that had
// returned by it is doubted again.
func (tx *Tx) Withdraw(seq uint64, reason string) (journal.Head, error) {
	e, head, err := tx.Entry(seq)
	if err != nil {
		return journal.Head{}, err
	}
	if strings.TrimSpace(reason) == "" {
		return journal.Head{}, &RuleError{fmt.Sprintf("entry %d: no reason", seq), "want why it is withdrawn"}
	}
	if isCertificate(e.Kind) {
		return tx.withdrawCertificate(seq, reason)
	}
	if measured(e.Kind) {
		return tx.takeBack(e, reason)
	}
	if !isCheck(e.Kind) {
		return journal.Head{}, &RuleError{fmt.Sprintf("entry %d: is a %q", seq, e.Kind), "want the entry of a check, a standard's certificate, a survey, a study or a comparison"}
	}
	k, err := keptOf(e, head)
	if err != nil {
		return journal.Head{}, err
	}
	if err := tx.stands(k, "withdrawn"); err != nil {
		return journal.Head{}, err
	}
	if err := tx.mayWithdraw(k); err != nil {
		return journal.Head{}, err
	}
	gauge := k.Check.Check.Gauge
	h, err := tx.append(KindWithdrawal, Withdrawal{seq, gauge, k.CertificateNumber(), reason})
	if err != nil {
		return h, err
	}
	return h, tx.settle(gauge, h.Seq, fmt.Sprintf("entry %d: check %d was withdrawn", h.Seq, seq))
}

// mayWithdraw refuses, where checks want release, a withdrawal by somebody who
// is not registered, and of a released check by one who may not release: what a
// second person answers for is not taken back by a first one alone (house rule).
func (tx *Tx) mayWithdraw(k Kept) error {
	head, err := tx.Head()
	if err != nil {
		return err
	}
	required, err := tx.ReleaseRequired(head.Seq + 1)
	if err != nil || !required {
		return err
	}
	who := tx.hand.Person
	may, err := tx.May(who, MayRelease)
	if err != nil || may {
		return err
	}
	subject := fmt.Sprintf("check %d: ", k.Head.Seq)
	done, _, err := tx.ReleaseOf(k.Head.Seq)
	if err != nil {
		return err
	}
	if done != nil {
		return &RuleError{subject + fmt.Sprintf("was released by %s, and %s is not registered as one who may release", done.Person, who), "want it withdrawn by one who is, see wring person list"}
	}
	if may, err = tx.May(who, MayPerform); err == nil && !may {
		err = &RuleError{subject + who + " is not registered as one who may perform or release", "want it withdrawn by one who is, see wring person list"}
	}
	return err
}

func (tx *Tx) withdrawCertificate(seq uint64, reason string) (journal.Head, error) {
	k, err := tx.CertificateAt(seq)
	if err != nil {
		return journal.Head{}, err
	}
	if k.AmendedBy > 0 {
		done, want := "amended", fmt.Sprintf("want that one withdrawn, %d", k.AmendedBy)
		if k.Withdrawn {
			done, want = "withdrawn", "want one that counts"
		}
		return journal.Head{}, &RuleError{fmt.Sprintf("certificate %d: was %s by entry %d", seq, done, k.AmendedBy), want}
	}
	return tx.append(KindWithdrawal, Withdrawal{seq, k.Certificate.Standard, k.Certificate.Number, reason})
}

// WithdrawalAt returns the withdrawal that an entry holds; false where it holds
// something else.
func (tx *Tx) WithdrawalAt(seq uint64) (Withdrawal, journal.Entry, bool, error) {
	e, _, err := tx.Entry(seq)
	if err != nil || e.Kind != KindWithdrawal {
		return Withdrawal{}, e, false, err
	}
	var w Withdrawal
	err = decode(e, &w)
	return w, e, err == nil, err
}

func (tx *Tx) applyWithdrawal(e journal.Entry) error {
	var w Withdrawal
	if err := decode(e, &w); err != nil {
		return err
	}
	what, head, err := tx.Entry(w.Entry)
	if err != nil {
		return err
	}
	if isCertificate(what.Kind) {
		return tx.supersede(w.Entry, e.Seq, true)
	}
	k, err := keptOf(what, head)
	if err != nil {
		return err
	}
	if err := tx.leaves(k, e.Seq, true); err != nil {
		return err
	}
	return tx.again(w.Subject, e.Seq)
}

// leaves marks a check as one that counts no more, by the entry that brought
// that about.
func (tx *Tx) leaves(k Kept, by uint64, withdrawn bool) error {
	gauge := k.Check.Check.Gauge
	var other Replaced
	if there, err := tx.get(treeHouse, replacedKey(k.Head.Seq), &other); err != nil {
		return err
	} else if there {
		return &DamageError{Seq: by, Reason: fmt.Sprintf("takes the place of check %d, as entry %d did; want a check that stands", k.Head.Seq, other.By)}
	}
	if err := tx.s.Put(treeSeries, idSeqKey(gauge, k.Head.Seq), amendedRow(by, k.Bench(), withdrawn)); err != nil {
		return err
	}
	return tx.put(treeHouse, replacedKey(k.Head.Seq), Replaced{Check: k.Head.Seq, Gauge: gauge, By: by, Withdrawn: withdrawn})
}

// settle enters the status that follows for a gauge once a check counts no
// more, or counts elsewhere.
func (tx *Tx) settle(gauge string, seq uint64, why string) error {
	s, doubt, err := tx.replay(gauge, seq)
	if err != nil {
		return err
	}
	now, err := tx.Gauge(gauge) // what followed from an amendment stands already
	if err != nil {
		return err
	}
	to := calib.Status("")
	passes := s.Last == nil || s.Last.Verdict.Passed()
	switch {
	case now.Status == calib.Failed && now.Before != "" && passes && s.sound():
		to = now.Before
	case doubt != "" && now.Status.InUse():
		to = doubt
	default:
		return nil
	}
	_, err = tx.append(KindStatus, calib.StatusChange{Gauge: gauge, Status: to, Date: calib.DateOf(tx.now), Reason: why, Check: seq})
	return err
}
