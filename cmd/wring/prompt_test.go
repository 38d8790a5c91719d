package main

import (
	"bytes"
	"io"
	"path/filepath"
	"strings"
	"testing"
)

// A question waits at its prompt while others write: whoever asks holds no
// registry open.
func TestNoRegistryIsHeldOverAQuestion(t *testing.T) {
	dir, _ := faultShop(t, 0)
	path := filepath.Join(dir, "registry.wring")
	asked := make(chan struct{})
	keys, typing := io.Pipe()
	e, _, _ := deskForTest("")
	e.In, e.Err = keys, &watched{text: "reading 1 of 3:", seen: asked}
	ended := make(chan exitStatus)
	go func() {
		ended <- run([]string{"wring", "--registry", path, "check", "MIC-014", "--standard", "GB-1", "--standard", "TH-1", "--temperature", "20"}, e)
	}()
	if _, err := io.WriteString(typing, "0.000\n"); err != nil { // the zero
		t.Fatal(err)
	}
	<-asked
	if status, out, said := inside(path, "gauge", "amend", "MIC-014", "--place", "bench 2", "--reason", "moved"); status != exitDone {
		t.Errorf("another could not write: status %d\n%s%s", status, out, said)
	}
	if _, err := io.WriteString(typing, "q\n"); err != nil {
		t.Fatal(err)
	}
	if status := <-ended; status != exitRefused {
		t.Errorf("leaving gives status %d, want %d", status, exitRefused)
	}
}

// watched says once when a text was written to it.
type watched struct {
	bytes.Buffer
	text string
	seen chan struct{}
	told bool
}

func (w *watched) Write(p []byte) (int, error) {
	n, err := w.Buffer.Write(p)
	if !w.told && strings.Contains(w.String(), w.text) {
		w.told = true
		close(w.seen)
	}
	return n, err
}
