package registry

import (
	"bytes"
	"slices"

	"example.org/wring/registry/journal"
)

// MadeWith calls fn with every kept check that names a standard, oldest first,
// and what became of it.
func (tx *Tx) MadeWith(standard string, fn func(Kept, Fate) error) error {
	if _, err := tx.Standard(standard); err != nil {
		return err
	}
	from, to := under(standard)
	return tx.s.Range(treeByStandard, from, to, func(key, _ []byte) error {
		seq, err := seqOf(key)
		if err != nil {
			return err
		}
		k, err := tx.Check(seq)
		if err != nil {
			return err
		}
		f, err := tx.FateOf(k)
		if err != nil {
			return err
		}
		return fn(k, f)
	})
}

// CertificateUsed returns the certificate that counted for a standard when a
// check was made, its entry 0 where none did, with the files that are kept with
// it.
func (tx *Tx) CertificateUsed(r StandardRef) (KeptCertificate, []KeptAttachment, error) {
	k := KeptCertificate{Entry: r.Certificate}
	if r.Certificate == 0 {
		return k, nil, nil
	}
	on, ok, err := tx.standIn(r)
	k.Certificate = on.Certificate
	if err == nil && !ok {
		k, err = tx.CertificateAt(r.Certificate)
	}
	if err != nil {
		return k, nil, err
	}
	files, err := tx.CertificateFiles(r)
	return k, files, err
}

// CertificateFiles returns the files that are kept with the certificate that
// counted for a standard when a check was made.
func (tx *Tx) CertificateFiles(r StandardRef) (files []KeptAttachment, err error) {
	if r.Certificate == 0 {
		return nil, nil
	}
	all, err := tx.Attachments(r.ID)
	if err != nil || len(all) == 0 { // most often, and the certificate need not be read
		return nil, err
	}
	e, _, err := tx.Entry(r.Certificate)
	papers := []uint64{r.Certificate}
	if err == nil && isCertificate(e.Kind) {
		papers, err = tx.lineage(r.Certificate)
	}
	for _, f := range all {
		if slices.Contains(papers, f.Attachment.Entry) {
			files = append(files, f)
		}
	}
	return files, err
}

// PlanEntries returns the entries of a plan's revisions, oldest first; none if
// there is no plan of that name.
func (tx *Tx) PlanEntries(name string) ([]journal.Entry, error) {
	revisions, err := tx.Revisions(name)
	if err != nil {
		return nil, err
	}
	var out []journal.Entry
	for _, k := range revisions {
		e, _, err := tx.Entry(k.Entry)
		if err != nil {
			return nil, err
		}
		out = append(out, e)
	}
	return out, nil
}

// HouseEntries returns the entries about the registry itself: its opening,
// backups, restores, people and rules. It reads the whole journal, which nobody does often.
func (tx *Tx) HouseEntries() ([]journal.Entry, error) {
	var out []journal.Entry
	return out, records(tx.s, 0, every, func(seq uint64, record []byte) error {
		e, _, err := journal.Open(seq, record)
		if err != nil {
			return err
		}
		switch e.Kind {
		case KindHouse, KindHouseAmended, KindBackup, KindRestore, KindPerson, KindReleaseRule:
			e.Payload = bytes.Clone(e.Payload)
			out = append(out, e)
		}
		return nil
	})
}
