package main

import (
	"bufio"
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"example.org/wring/registry"
)

// pageBytes is the length of a page of the registry.
const pageBytes = 16 << 10

// A ground is a file to write pages to, at places all over it.
type ground struct {
	file   *os.File
	places int64
}

// newGround makes one of a registry's size, a gigabyte at most.
func newGround(dir string, size int64) (*ground, error) {
	f, err := os.OpenFile(filepath.Join(dir, "scattered"), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	size = min(size, 1<<30)
	return &ground{f, size / pageBytes}, fillFile(f, size)
}

// write writes as many pages as a commit does, and waits for the disk twice, as
// a commit must: before and after the page that makes it count.
func (g *ground) write(pages, commits int) error {
	page := bytes.Repeat([]byte{7}, pageBytes)
	at := int64(1)
	for range commits {
		for range pages - 1 {
			at = (at*31 + 17) % g.places
			if _, err := g.file.WriteAt(page, at*pageBytes); err != nil {
				return err
			}
		}
		if err := flush(g.file); err != nil {
			return err
		}
		if _, err := g.file.WriteAt(page, 0); err != nil {
			return err
		}
		if err := flush(g.file); err != nil {
			return err
		}
	}
	return nil
}

// fillFile writes a file full, unless it is, since a hole is written to faster
// or slower than a page.
func fillFile(f *os.File, size int64) error {
	info, err := f.Stat()
	if err != nil || info.Size() >= size {
		return err
	}
	block := bytes.Repeat([]byte{1}, 1<<20)
	for at := int64(0); at < size; at += int64(len(block)) {
		if _, err := f.WriteAt(block, at); err != nil {
			return err
		}
	}
	return f.Sync()
}

// bytesWritten is how many bytes this process has written, 0 where the system
// does not tell.
func bytesWritten() float64 {
	text, _ := os.ReadFile("/proc/self/io")
	for line := range strings.Lines(string(text)) {
		if n, ok := strings.CutPrefix(line, "wchar: "); ok {
			v, _ := strconv.ParseFloat(strings.TrimSpace(n), 64)
			return v
		}
	}
	return 0
}

// writePayload writes the journal's entries one after the other into a file,
// unless it is there.
func (f *fleet) writePayload(path string) error {
	if f.payloadAt == path {
		return nil
	}
	file, err := os.Create(path)
	if err != nil {
		return err
	}
	defer file.Close()
	w := bufio.NewWriter(file)
	if err := f.eachEntry(func(payload []byte) error { _, err := w.Write(payload); return err }); err != nil {
		return err
	}
	f.payloadAt = path
	return w.Flush()
}

// eachEntry calls fn with the payload of every entry.
func (f *fleet) eachEntry(fn func([]byte) error) error {
	r, err := registry.OpenReading(f.path)
	if err != nil {
		return err
	}
	defer r.Close()
	return r.View(func(tx *registry.Tx) error {
		head, err := tx.Head()
		if err != nil {
			return err
		}
		for seq := uint64(1); seq <= head.Seq; seq++ {
			e, _, err := tx.Entry(seq)
			if err != nil {
				return err
			}
			if err := fn(e.Payload); err != nil {
				return err
			}
		}
		return nil
	})
}

// bytes returns how many bytes the pieces of the checks take with their keys
// and elements, and how many their payload has.
func (f *fleet) bytes() (used, payload float64, err error) {
	const element, key, piece = 16, 12, 1000
	err = f.eachEntry(func(p []byte) error {
		if len(p) < piece {
			return nil
		}
		envelope := 33.0 + 150 // hash and form, and the members around the payload
		n := float64(len(p)) + envelope
		payload += float64(len(p))
		used += n + (element+key)*(float64(int(n)/piece)+1)
		return nil
	})
	return used, payload, err
}
