package registry

import (
	"testing"
	"time"

	"example.org/wring/calib"
)

// BenchmarkVerify proves a registry of 2,000 checks of one point: chain, views,
// pages, without working results out again.
func BenchmarkVerify(b *testing.B) {
	path := b.TempDir() + "/r.wring"
	r := benchRegistry(b, path)
	defer r.Close()
	b.ReportAllocs()
	for b.Loop() {
		if p, err := r.Verify(nil); err != nil || !p.Sound() {
			b.Fatal(p, err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/benchChecks, "ns/check")
}

const benchChecks = 2000

func benchRegistry(b *testing.B, path string) *Registry {
	b.Helper()
	hand := Hand{Person: "EK", Program: "test", Now: func() time.Time { return time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC) }}
	if err := Create(path, calib.House{Organisation: "invented", Unit: "mm"}, hand); err != nil {
		b.Fatal(err)
	}
	r, err := Open(path, hand)
	if err != nil {
		b.Fatal(err)
	}
	err = r.Update(func(tx *Tx) error {
		if _, err := tx.AddPlan(plan(12)); err != nil {
			return err
		}
		if _, err := tx.AddGauge(gauge("A")); err != nil {
			return err
		}
		if _, err := tx.AddStandard(calib.Standard{ID: "GB-1", Kind: calib.BlockSet}); err != nil {
			return err
		}
		if _, err := tx.AddCertificate(calib.Certificate{Standard: "GB-1", Number: "1", Date: calib.MustDate("2026-01-31")}); err != nil {
			return err
		}
		c := check("A", "2026-02-28", calib.AsFound)
		_, refs, err := tx.Basis(c)
		if err != nil {
			return err
		}
		for i := range benchChecks {
			c.Date = calib.MustDate("2026-02-28").AddDays(i)
			if _, err := tx.KeepCheck(KeptCheck{Check: c, Basis: refs, Result: result("pass")}); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	return r
}

// BenchmarkKeepingAmongMany keeps a check of a gauge that has 10,000.
func BenchmarkKeepingAmongMany(b *testing.B) {
	r := benchRegistry(b, b.TempDir()+"/r.wring")
	defer r.Close()
	c, refs := check("A", "2026-02-28", calib.AsFound), Refs{}
	keep := func(tx *Tx, from, n int) (err error) {
		for i := range n {
			c.Date = calib.MustDate("2026-02-28").AddDays(from + i)
			if _, refs, err = tx.Basis(c); err != nil {
				return err
			}
			if _, err = tx.KeepCheck(KeptCheck{Check: c, Basis: refs, Result: result("pass")}); err != nil {
				return err
			}
		}
		return nil
	}
	const many = 10_000
	if err := r.Update(func(tx *Tx) error { return keep(tx, benchChecks, many-benchChecks) }); err != nil {
		b.Fatal(err)
	}
	next := many
	b.ReportAllocs()
	for b.Loop() {
		if err := r.Update(func(tx *Tx) error { next++; return keep(tx, next, 1) }); err != nil {
			b.Fatal(err)
		}
	}
}
