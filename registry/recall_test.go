package registry

import (
	"slices"
	"testing"

	"example.org/wring/calib"
)

// What one caller does with a list in a transaction is nothing to the next.
func TestAListThatWasTurnedAboutIsAsBeforeForTheNext(t *testing.T) {
	b := newBench(t)
	b.stock("A")
	b.must(func(tx *Tx) error {
		_, err := tx.AddCertificate(calib.Certificate{Standard: "GB-1", Number: "2", Date: calib.MustDate("2026-02-28")})
		if err == nil {
			_, err = tx.AddPlan(plan(6))
		}
		return err
	})
	_ = b.View(func(tx *Tx) error {
		certificates, _ := tx.Certificates("GB-1")
		slices.Reverse(certificates)
		if k, ok, err := tx.CertificateOn("GB-1", calib.MustDate("2026-03-01")); !ok || err != nil || k.Certificate.Number != "2" {
			t.Errorf("certificate %q counts: %v; want 2", k.Certificate.Number, err)
		}
		revisions, _ := tx.Revisions("p")
		slices.Reverse(revisions)
		if k, err := tx.Plan("p", 0); err != nil || k.Plan.IntervalMonths != 6 {
			t.Errorf("revision %d is the newest: %v; want that of 6 months", k.Plan.Revision, err)
		}
		return nil
	})
}
