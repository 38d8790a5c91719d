package main

import (
	"encoding/binary"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"example.org/wring/registry"
)

// A registry of which a good part are scans, three times as large as the memory
// that a process may take of its own, is asked everything within that memory:
// pages of the file are the system's, and it takes them back.
func TestARegistryLargerThanTheMemoryOfItsProcess(t *testing.T) {
	// Of what is allowed a hundred megabytes are addresses that the runtime of
	// Go reserves for its books and never fills.
	const allowed, scan = 150 << 10, 8 << 20 // kilobytes, bytes
	dir := t.TempDir()
	f := &fleet{gauges: 100, checks: 2, seed: 1, now: time.Now}
	if err := f.build(dir); err != nil {
		t.Fatal(err)
	}
	for i := range 58 {
		f.attach(t, i, scan)
	}
	if sizeOf(f.path) < 3*allowed<<10 {
		t.Fatalf("the registry has %d bytes; want more", sizeOf(f.path))
	}
	wring := filepath.Join(dir, "wring")
	// The race detector, where the tests run with it, takes more than the limit.
	if out, err := exec.Command("go", "build", "-race=false", "-o", wring, "example.org/wring/cmd/wring").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	within := func(kilobytes int, words string) (string, error) {
		c := exec.Command("sh", "-c", fmt.Sprintf("ulimit -d %d; exec %s --registry %s --as EK %s", kilobytes, wring, f.path, words))
		c.Env = append(os.Environ(), "GOMAXPROCS=2") // each processor takes some memory
		out, err := c.CombinedOutput()
		if c.ProcessState != nil && c.ProcessState.ExitCode() == 3 { // an answer too
			err = nil
		}
		return string(out), err
	}
	if out, err := within(allowed/3, "due"); err == nil {
		t.Errorf("the limit does not hold; due says\n%s", out)
	}
	for words, more := range map[string]int{"due": 0, "history MIC-000001": 0, "trace MIC-000001": 0, "drift": 0, "gauge list": 0,
		"certificate MIC-000001 --out " + dir + "/c.pdf": 0, "verify": 140 << 10} { // which holds a scan or several at a time
		if out, err := within(allowed+more, words); err != nil {
			t.Errorf("%s: %v\n%.500s", words, err, out)
		}
	}
}

// attach keeps a file with a gauge.
func (f *fleet) attach(t *testing.T, n, size int) {
	t.Helper()
	data := binary.BigEndian.AppendUint64(make([]byte, 0, size), uint64(n))
	data = data[:size]
	r, err := f.open()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if err := r.Update(func(tx *registry.Tx) error {
		_, err := tx.Attach(registry.Attachment{Subject: gaugeID(1), Name: fmt.Sprintf("scan-%d.bin", n)}, data)
		return err
	}); err != nil {
		t.Fatal(err)
	}
}
