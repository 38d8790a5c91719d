package main

import (
	"testing"
	"time"

	"example.org/wring/calib"
	"example.org/wring/calib/assess"
	"example.org/wring/registry"
)

// BenchmarkKeeping keeps a thousand checks in one transaction, every view with
// them: what the import of a table does.
func BenchmarkKeeping(b *testing.B) {
	f := &fleet{gauges: 1000, checks: 2, seed: 1, now: time.Now}
	if err := f.build(b.TempDir()); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		next, err := f.more(1000)
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		if err := f.keepAll(next); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000, "µs/check")
}

// BenchmarkWorkingOut works out one check of ten points on one core.
func BenchmarkWorkingOut(b *testing.B) {
	f := &fleet{gauges: 100, checks: 2, seed: 1, now: time.Now}
	if err := f.build(b.TempDir()); err != nil {
		b.Fatal(err)
	}
	r, err := registry.OpenReading(f.path)
	if err != nil {
		b.Fatal(err)
	}
	defer r.Close()
	c := f.check(1, 2)
	var basis calib.Basis
	if err := r.View(func(tx *registry.Tx) (err error) { basis, _, err = tx.Basis(c); return err }); err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := assess.Check(c, basis); err != nil {
			b.Fatal(err)
		}
	}
}
