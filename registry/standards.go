package registry

import (
	"encoding/json"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/registry/journal"
)

// A StandardState is a standard as the journal has it now.
type StandardState struct {
	Standard calib.Standard `json:"standard"`
	Entry    uint64         `json:"entry"`

	// Newest is the certificate of the latest date, without its values; nil
	// where there is none. Due is the last day on which it counts.
	Newest *CertificateHead `json:"newest,omitempty"`
}

// A CertificateHead is a certificate without its values.
type CertificateHead struct {
	Entry      uint64     `json:"entry"`
	Number     string     `json:"number"`
	Laboratory string     `json:"laboratory"`
	Date       calib.Date `json:"date"`
	Due        calib.Date `json:"due,omitzero"`
	Values     int        `json:"values"` // how many rows it has
}

// A KeptCertificate is a certificate with the entry that holds it.
type KeptCertificate struct {
	Entry       uint64            `json:"entry"`
	Certificate calib.Certificate `json:"certificate"`

	// AmendedBy is the entry that took its place, or, where it was Withdrawn,
	// the one that withdrew it; 0 where it counts.
	AmendedBy uint64 `json:"amended_by,omitempty"`
	Withdrawn bool   `json:"withdrawn,omitempty"`
}

// AddStandard enters a new standard.
func (tx *Tx) AddStandard(s calib.Standard) (journal.Head, error) {
	if tx.s.Get(treeStandards, []byte(s.ID)) != nil || tx.s.Get(treeGauges, []byte(s.ID)) != nil {
		return journal.Head{}, &TakenError{"standard", s.ID}
	}
	if tx.isLot(s.ID) {
		return journal.Head{}, &TakenError{"lot", s.ID}
	}
	return tx.append(KindStandard, s)
}

// AddCertificate enters a new certificate of a standard. Where it states no
// due date, the standard's interval gives one.
func (tx *Tx) AddCertificate(c calib.Certificate) (journal.Head, error) {
	s, err := tx.Standard(c.Standard)
	if err != nil {
		return journal.Head{}, err
	}
	if err := tx.numberFree(c, 0); err != nil {
		return journal.Head{}, err
	}
	if c.Due.IsZero() && s.Standard.IntervalMonths > 0 {
		c.Due = c.Date.AddMonths(s.Standard.IntervalMonths)
	}
	return tx.append(KindCertificate, c)
}

// Standard returns a standard's state, or a [*NotFoundError].
func (tx *Tx) Standard(id string) (StandardState, error) {
	return recalled(tx, treeStandards, id, func() (StandardState, error) { return tx.standard(id) })
}

func (tx *Tx) standard(id string) (StandardState, error) {
	var s StandardState
	ok, err := tx.get(treeStandards, []byte(id), &s)
	if err != nil || ok {
		return s, err
	}
	names, err := tx.names(treeStandards)
	if err != nil {
		return s, err
	}
	return s, &NotFoundError{"standard", id, Nearest(id, names)}
}

// Standards calls fn with each standard in the order of identities.
func (tx *Tx) Standards(fn func(StandardState) error) error {
	return tx.s.Range(treeStandards, nil, nil, func(_, v []byte) error {
		var s StandardState
		if err := json.Unmarshal(v, &s); err != nil {
			return viewDamage(treeStandards, err)
		}
		return fn(s)
	})
}

// Certificates returns all certificates of a standard by their dates, oldest
// first, and with them those that count no more.
func (tx *Tx) Certificates(id string) ([]KeptCertificate, error) {
	all, err := tx.certificates(id)
	return slices.Clone(all), err // the list is the caller's to turn about
}

// certificates is Certificates in a list that is shared.
func (tx *Tx) certificates(id string) ([]KeptCertificate, error) {
	return recalled(tx, treeCertificates, id, func() ([]KeptCertificate, error) { return tx.certificatesOf(id) })
}

func (tx *Tx) certificatesOf(id string) ([]KeptCertificate, error) {
	var out []KeptCertificate
	from, to := under(id)
	return out, tx.s.Range(treeCertificates, from, to, func(_, v []byte) error {
		var k KeptCertificate
		if err := json.Unmarshal(v, &k); err != nil {
			return viewDamage(treeCertificates, err)
		}
		out = append(out, k)
		return nil
	})
}

// CertificateOn returns the certificate that counts on a day: the newest whose
// date is not after it, as it was last amended. It reports false where there is
// none.
func (tx *Tx) CertificateOn(id string, day calib.Date) (KeptCertificate, bool, error) {
	all, err := tx.certificates(id)
	if err != nil {
		return KeptCertificate{}, false, err
	}
	for i := len(all) - 1; i >= 0; i-- {
		if all[i].AmendedBy == 0 && !all[i].Certificate.Date.After(day) {
			return all[i], true, nil
		}
	}
	return KeptCertificate{}, false, nil
}
