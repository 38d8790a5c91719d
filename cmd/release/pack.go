package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// A file is what goes into an archive, under a slash path.
type file struct {
	name string
	mode int64
	data []byte
}

// epoch stands in every archive for the date of every file: the date of a
// build would make each one another (house rule).
func epoch() time.Time { return time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC) }

func inOrder(files []file) []file {
	files = slices.Clone(files)
	slices.SortFunc(files, func(a, b file) int { return strings.Compare(a.name, b.name) })
	return files
}

// tarball packs files under one folder.
func tarball(stem string, files []file) ([]byte, error) {
	var under []file
	for _, f := range files {
		under = append(under, file{stem + "/" + f.name, f.mode, f.data})
	}
	data, err := tarred(under, "")
	if err != nil {
		return nil, err
	}
	return gzipped(data)
}

// tarred writes files, and the folders they are in before them, all owned by
// root.
func tarred(files []file, prefix string) ([]byte, error) {
	var out bytes.Buffer
	w := tar.NewWriter(&out)
	folders := map[string]bool{}
	add := func(h tar.Header, data []byte) error {
		h.Name, h.ModTime, h.Format, h.Size = prefix+h.Name, epoch(), tar.FormatUSTAR, int64(len(data))
		h.Uname, h.Gname = "root", "root"
		if err := w.WriteHeader(&h); err != nil {
			return err
		}
		_, err := w.Write(data)
		return err
	}
	if prefix != "" {
		if err := add(tar.Header{Typeflag: tar.TypeDir, Mode: 0o755}, nil); err != nil {
			return nil, err
		}
	}
	for _, f := range inOrder(files) {
		parts := strings.Split(f.name, "/")
		for i := 1; i < len(parts); i++ {
			folder := strings.Join(parts[:i], "/") + "/"
			if folders[folder] {
				continue
			}
			folders[folder] = true
			if err := add(tar.Header{Typeflag: tar.TypeDir, Name: folder, Mode: 0o755}, nil); err != nil {
				return nil, err
			}
		}
		if err := add(tar.Header{Typeflag: tar.TypeReg, Name: f.name, Mode: f.mode}, f.data); err != nil {
			return nil, err
		}
	}
	err := w.Close() // before the bytes are looked at
	return out.Bytes(), err
}

// gzipped packs without name and date.
func gzipped(data []byte) ([]byte, error) {
	var out bytes.Buffer
	w, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := w.Write(data); err != nil {
		return nil, err
	}
	err = w.Close()
	return out.Bytes(), err
}

// zipped packs files under one folder.
func zipped(stem string, files []file) ([]byte, error) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range inOrder(files) {
		h := &zip.FileHeader{Name: stem + "/" + f.name, Method: zip.Deflate, Modified: epoch()}
		h.SetMode(os.FileMode(f.mode))
		to, err := w.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := to.Write(f.data); err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return out.Bytes(), err
}

// write puts one file of the release down and says its size.
func (b *builder) write(name string, data []byte) error {
	b.made = append(b.made, name)
	fmt.Fprintf(b.out, "%s: %d bytes\n", filepath.Join(b.dir, name), len(data))
	return os.WriteFile(filepath.Join(b.dir, name), data, 0o666)
}

// checksums writes the SHA-256 of every file, as sha256sum reads it.
func (b *builder) checksums() error {
	var text strings.Builder
	slices.Sort(b.made)
	for _, name := range b.made {
		data, err := os.ReadFile(filepath.Join(b.dir, name))
		if err != nil {
			return err
		}
		fmt.Fprintf(&text, "%x  %s\n", sha256.Sum256(data), name)
	}
	return b.write("SHA256SUMS", []byte(text.String()))
}
