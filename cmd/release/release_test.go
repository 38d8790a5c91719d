package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// inRoot puts the test where the program runs: at the root of the module.
func inRoot(t *testing.T) { t.Helper(); t.Chdir("../..") }

// The file of licences is what the module cache says, for every system.
func TestTheLicencesAreThoseOfTheModules(t *testing.T) {
	inRoot(t)
	b := &builder{environ: os.Environ()}
	want, err := b.licences()
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(licencesFile)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Error(licencesFile + " is not current; go run ./cmd/release -licences writes it anew")
	}
	for _, module := range []string{"go.etcd.io/bbolt", "github.com/urfave/cli/v2", "The Go standard library"} {
		if !strings.Contains(string(got), module) {
			t.Errorf("%s is not in it", module)
		}
	}
}

func sample() []file {
	return []file{{"wring", 0o755, []byte("\x7fELF no program")}, {"LICENSE", 0o644, []byte("MIT\n")}, {"a/b.txt", 0o644, bytes.Repeat([]byte("x"), 3001)}}
}

// Whatever order files come in, an archive has the same bytes, fixed dates, and
// holds what went in.
func TestAnArchiveHasTheSameBytes(t *testing.T) {
	turned := []file{sample()[2], sample()[0], sample()[1]}
	for name, pack := range map[string]func(string, []file) ([]byte, error){"tar.gz": tarball, "zip": zipped} {
		one, err := pack("wring-1", sample())
		two, err2 := pack("wring-1", turned)
		if err := errors.Join(err, err2); err != nil || !bytes.Equal(one, two) {
			t.Errorf("%s: the same files in another order are another archive (%v)", name, err)
		}
	}
	data, _ := tarball("wring-1", sample())
	g, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	r, found := tar.NewReader(g), map[string]string{}
	for h, err := r.Next(); err == nil; h, err = r.Next() {
		text, _ := io.ReadAll(r)
		found[h.Name] = string(text)
		if !h.ModTime.Equal(epoch()) || h.Uid != 0 || h.Uname != "root" {
			t.Errorf("%s: of %s, by %d %s; want a fixed date and root", h.Name, h.ModTime, h.Uid, h.Uname)
		}
	}
	data, _ = zipped("wring-1", sample())
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range sample() {
		if found["wring-1/"+f.name] != string(f.data) {
			t.Errorf("the tar archive lost %s", f.name)
		}
		in, err := z.Open("wring-1/" + f.name)
		if err != nil {
			t.Fatal(err)
		}
		if text, _ := io.ReadAll(in); !bytes.Equal(text, f.data) {
			t.Errorf("the zip archive lost %s", f.name)
		}
	}
}

// The Debian package has the same bytes twice, and Debian's own program reads
// it.
func TestTheDebianPackageIsOne(t *testing.T) {
	inRoot(t)
	b := &builder{version: "1.2.3", manual: []file{{"usr/share/man/man1/wring.1.gz", 0o644, []byte("page")}}}
	one, err := b.debian(target{"linux", "arm64"}, sample())
	two, err2 := b.debian(target{"linux", "arm64"}, sample())
	if err := errors.Join(err, err2); err != nil || !bytes.Equal(one, two) {
		t.Fatalf("the same files are another package (%v)", err)
	}
	if _, err := exec.LookPath("dpkg-deb"); err != nil {
		t.Skip("dpkg-deb is not installed")
	}
	path := filepath.Join(t.TempDir(), "wring.deb")
	if err := os.WriteFile(path, one, 0o666); err != nil {
		t.Fatal(err)
	}
	info, err := exec.Command("dpkg-deb", "--info", path).CombinedOutput()
	list, err2 := exec.Command("dpkg-deb", "--contents", path).CombinedOutput()
	if err := errors.Join(err, err2); err != nil {
		t.Fatalf("%v\n%s\n%s", err, info, list)
	}
	for _, want := range []string{"Package: wring", "Version: 1.2.3", "Architecture: arm64"} {
		if !strings.Contains(string(info), want) {
			t.Errorf("dpkg-deb does not find %q:\n%s", want, info)
		}
	}
	for _, want := range []string{"-rwxr-xr-x root/root", "./usr/bin/wring", "./usr/share/doc/wring/copyright", "./usr/share/man/man1/wring.1.gz", "2020-01-01"} {
		if !strings.Contains(string(list), want) {
			t.Errorf("dpkg-deb does not list %q:\n%s", want, list)
		}
	}
	to := t.TempDir()
	if out, err := exec.Command("dpkg-deb", "--extract", path, to).CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if got, err := os.ReadFile(filepath.Join(to, "usr/bin/wring")); err != nil || !bytes.Equal(got, sample()[0].data) {
		t.Errorf("the program came out as %q (%v)", got, err)
	}
}

func TestAReleaseIsRefused(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "no folder; want go run ./cmd/release DIR [SYSTEM/PROCESSOR...], from the root of the module"},
		{[]string{"dist", "plan9/mips"}, `"plan9/mips": no system that is built for; want one of [linux/amd64 linux/arm64 darwin/amd64 darwin/arm64 windows/amd64 windows/arm64]`},
		{[]string{"dist"}, "open cmd/wring/env.go: no such file or directory"},
	} {
		t.Run(strings.Join(c.args, " "), func(t *testing.T) {
			t.Chdir(t.TempDir())
			if err := run(c.args, io.Discard, os.Environ()); err == nil || err.Error() != c.want {
				t.Errorf("it says %v; want %s", err, c.want)
			}
			if list, _ := os.ReadDir("."); len(list) > 0 {
				t.Errorf("it refused, and made %v", list)
			}
		})
	}
}
