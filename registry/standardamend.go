package registry

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// The kinds of entry that amend a standard's record and a certificate of it.
const (
	KindStandardAmended    = "standard amended"
	KindCertificateAmended = "standard certificate amended"
)

// A StandardAmendment is the payload of a change to a standard's record: the
// whole new record, what was changed and why. Checks that were kept before rest
// on the old one.
type StandardAmendment struct {
	Standard calib.Standard `json:"standard"`
	Changes  []Change       `json:"changes"`
	Reason   string         `json:"reason"`
}

// A CertificateAmendment is the payload of the amendment of a certificate that
// was entered wrongly: the whole certificate as it counts from now on. The
// entry that it names stays, and so do the checks that rest on it.
type CertificateAmendment struct {
	Amends      uint64            `json:"amends"` // the certificate or amendment whose place it takes
	Certificate calib.Certificate `json:"certificate"`
	Changes     []Change          `json:"changes"`
	Reason      string            `json:"reason"`
}

// isCertificate reports whether an entry of the kind holds a certificate.
func isCertificate(kind string) bool {
	return kind == KindCertificate || kind == KindCertificateAmended
}

// AmendStandard enters the new record of a standard with what was changed and
// why. Its identity and kind stay: another kind of thing is another standard.
func (tx *Tx) AmendStandard(a StandardAmendment) (journal.Head, error) {
	old, err := tx.Standard(a.Standard.ID)
	refuse := func(found, want string) (journal.Head, error) {
		return journal.Head{}, &RuleError{"standard " + a.Standard.ID + ": " + found, want}
	}
	switch {
	case err != nil:
		return journal.Head{}, err
	case strings.TrimSpace(a.Reason) == "":
		return refuse("no reason", "want why it is amended")
	case len(a.Changes) == 0:
		return refuse("nothing changed", "want at least one new value")
	case a.Standard.Kind != old.Standard.Kind:
		return refuse("is a "+string(old.Standard.Kind), "want another standard for another kind of thing")
	}
	return tx.append(KindStandardAmended, a)
}

// AmendCertificate enters the amendment of a certificate. It refuses one
// without a reason or a change, of an entry that is no certificate or counts no
// more, and one that would make it that of another standard.
func (tx *Tx) AmendCertificate(a CertificateAmendment) (journal.Head, error) {
	old, err := tx.CertificateAt(a.Amends)
	if err != nil {
		return journal.Head{}, err
	}
	refuse := func(found, want string) (journal.Head, error) {
		return journal.Head{}, &RuleError{fmt.Sprintf("certificate %d: %s", a.Amends, found), want}
	}
	switch {
	case old.Withdrawn:
		return refuse(fmt.Sprintf("was withdrawn by entry %d", old.AmendedBy), "want one that counts, or a new one")
	case old.AmendedBy > 0:
		return refuse(fmt.Sprintf("was amended by entry %d", old.AmendedBy), fmt.Sprintf("want that one amended, %d", old.AmendedBy))
	case strings.TrimSpace(a.Reason) == "":
		return refuse("no reason", "want why it is amended")
	case len(a.Changes) == 0:
		return refuse("nothing changed", "want at least one new value")
	case a.Certificate.Standard != old.Certificate.Standard:
		return refuse("is of "+old.Certificate.Standard, "want it withdrawn, and entered for the other standard")
	}
	if err := tx.numberFree(a.Certificate, a.Amends); err != nil {
		return journal.Head{}, err
	}
	return tx.append(KindCertificateAmended, a)
}

// numberFree refuses a certificate's number that another one of its standard
// has, of the same laboratory or the same day.
func (tx *Tx) numberFree(c calib.Certificate, but uint64) error {
	kept, err := tx.Certificates(c.Standard)
	for _, k := range kept {
		o := k.Certificate
		if k.Entry != but && k.AmendedBy == 0 && o.Number == c.Number && (o.Laboratory == c.Laboratory || o.Date == c.Date) {
			return &TakenError{"certificate", c.Number}
		}
	}
	return err
}

// certificatePayload reads the certificate that an entry holds, as first
// entered or amended, and which entry it amends; 0 for none.
func (tx *Tx) certificatePayload(seq uint64) (calib.Certificate, uint64, error) {
	e, _, err := tx.Entry(seq)
	if err != nil {
		return calib.Certificate{}, 0, err
	}
	if e.Kind == KindCertificateAmended {
		var a CertificateAmendment
		err := decode(e, &a)
		return a.Certificate, a.Amends, err
	}
	var c calib.Certificate
	return c, 0, tx.payload(seq, KindCertificate, &c)
}

// CertificateAt returns the certificate that an entry holds, and whether it
// counts still.
func (tx *Tx) CertificateAt(seq uint64) (KeptCertificate, error) {
	e, _, err := tx.Entry(seq)
	if err != nil {
		return KeptCertificate{}, err
	}
	if !isCertificate(e.Kind) {
		return KeptCertificate{}, &RuleError{fmt.Sprintf("entry %d: is a %q", seq, e.Kind), "want the entry of a standard's certificate"}
	}
	c, _, err := tx.certificatePayload(seq)
	if err != nil {
		return KeptCertificate{}, err
	}
	var k KeptCertificate
	ok, err := tx.get(treeCertificates, certificateKey(c.Standard, c.Date, seq), &k)
	if err == nil && !ok {
		err = &DamageError{Seq: seq, Reason: "has no row in the certificates; want the views rebuilt from the journal"}
	}
	return k, err
}

// standardAt reads a standard's record as one entry has it.
func (tx *Tx) standardAt(seq uint64) (calib.Standard, error) {
	e, _, err := tx.Entry(seq)
	if err != nil {
		return calib.Standard{}, err
	}
	if e.Kind == KindStandardAmended {
		var a StandardAmendment
		err := decode(e, &a)
		return a.Standard, err
	}
	var s calib.Standard
	return s, tx.payload(seq, KindStandard, &s)
}

// lineage lists a certificate's entry and those it took the place of: they are
// of one paper.
func (tx *Tx) lineage(seq uint64) ([]uint64, error) {
	out := []uint64{seq}
	for {
		_, before, err := tx.certificatePayload(seq)
		if err != nil || before == 0 || before >= seq {
			return out, err
		}
		out, seq = append(out, before), before
	}
}

// RestingOn returns the checks that stand and rest on an entry: on a standard's
// record, on a certificate, or on the check of a gauge that they were made with.
func (tx *Tx) RestingOn(id string, seq uint64) ([]Kept, error) {
	var out []Kept
	return out, tx.eachMadeWith(id, func(k Kept) error {
		if slices.ContainsFunc(k.Check.Basis.Standards, func(r StandardRef) bool { return r.ID == id && (r.Standard == seq || r.Certificate == seq) }) {
			out = append(out, k)
		}
		return nil
	})
}

// SurveysResting returns the surveys that rest on a check of a gauge.
func (tx *Tx) SurveysResting(gauge string, check uint64) ([]Surveyed, error) {
	list, err := tx.SurveysWith(gauge)
	return slices.DeleteFunc(list, func(s Surveyed) bool { return s.Survey.Basis.Sizes != check && s.Survey.Basis.Foot != check }), err
}

// eachMadeWith calls fn with every check that stands and names a standard.
func (tx *Tx) eachMadeWith(id string, fn func(Kept) error) error {
	from, to := under(id)
	return tx.s.Range(treeByStandard, from, to, func(key, _ []byte) error {
		seq, err := seqOf(key)
		if err != nil {
			return err
		}
		k, err := tx.Check(seq)
		if err != nil {
			return err
		}
		by, err := tx.AmendedBy(k)
		if err != nil || by > 0 {
			return err
		}
		return fn(k)
	})
}

func (tx *Tx) applyStandardAmended(e journal.Entry) error {
	var a StandardAmendment
	if err := decode(e, &a); err != nil {
		return err
	}
	old, err := tx.Standard(a.Standard.ID)
	if err != nil {
		return err
	}
	s := old
	s.Standard, s.Entry = a.Standard, e.Seq
	return tx.setStandard(&old, s, e.Seq)
}

func (tx *Tx) applyCertificateAmended(e journal.Entry) error {
	var a CertificateAmendment
	if err := decode(e, &a); err != nil {
		return err
	}
	if err := tx.put(treeCertificates, certificateKey(a.Certificate.Standard, a.Certificate.Date, e.Seq), KeptCertificate{Entry: e.Seq, Certificate: a.Certificate}); err != nil {
		return err
	}
	return tx.supersede(a.Amends, e.Seq, false)
}

// supersede marks a certificate as one that counts no more, and takes the
// newest of those that do for the standard's.
func (tx *Tx) supersede(seq, by uint64, withdrawn bool) error {
	c, _, err := tx.certificatePayload(seq)
	if err != nil {
		return err
	}
	row := KeptCertificate{Entry: seq, Certificate: c, AmendedBy: by, Withdrawn: withdrawn}
	if err := tx.put(treeCertificates, certificateKey(c.Standard, c.Date, seq), row); err != nil {
		return err
	}
	old, err := tx.Standard(c.Standard)
	if err != nil {
		return err
	}
	all, err := tx.Certificates(c.Standard)
	if err != nil {
		return err
	}
	s := old
	s.Newest = nil
	for _, k := range all {
		if k.AmendedBy == 0 {
			s.Newest = k.head()
		}
	}
	return tx.setStandard(&old, s, by)
}

func (k KeptCertificate) head() *CertificateHead {
	c := k.Certificate
	return &CertificateHead{Entry: k.Entry, Number: c.Number, Laboratory: c.Laboratory, Date: c.Date, Due: c.Due, Values: len(c.Values)}
}
