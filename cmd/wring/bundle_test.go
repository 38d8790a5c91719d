package main

import (
	"bytes"
	"encoding/base64"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// An auditor who has the bundle has everything in it: the certificate as it is
// printed, and each file byte for byte.
func TestTheBundleHoldsTheFilesItSpeaksOf(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	read := func(name string) []byte {
		t.Helper()
		data, err := os.ReadFile(at(name))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	scan := []byte("\x89PNG\r\n\x1a\nnot a picture for long (endstream) \x00\xff\nendobj\n")
	if err := os.WriteFile(at("ä scan (1).png"), scan, 0o666); err != nil {
		t.Fatal(err)
	}
	registry := []string{"wring", "--registry", at("demo/workshop.wring"), "--as", "MH"}
	for _, args := range [][]string{
		{"wring", "demo", at("demo")},
		append(registry, "attachment", "add", "MIC-021", at("ä scan (1).png"), "--note", "of the paper"),
		append(registry, "certificate", "MIC-021", "--out", at("c.pdf")),
		append(registry, "report", "bundle", "MIC-021", "--pdf", at("b.pdf"), "--html", at("b.html")),
	} {
		e, _, errs := deskForTest("")
		if code := run(args, e); code != exitDone {
			t.Fatalf("%v: status %d: %s", args, code, errs)
		}
	}
	paper, page, certificate := read("b.pdf"), string(read("b.html")), read("c.pdf")
	for name, file := range map[string][]byte{"certificate": certificate, "scan": scan} {
		if !bytes.Contains(paper, file) {
			t.Errorf("the paper does not hold the %s", name)
		}
		if !strings.Contains(page, base64.StdEncoding.EncodeToString(file)) {
			t.Errorf("the page does not hold the %s", name)
		}
	}
	if bytes.Count(paper, []byte("<pdfaid:part>1")) != 1 {
		t.Error("a paper that carries files calls itself PDF/A-1, beside the certificate in it")
	}
	if _, err := exec.LookPath("pdfdetach"); err != nil {
		t.Skip("pdfdetach is not installed; on Debian it is in poppler-utils")
	}
	if out, err := exec.Command("pdfdetach", "-saveall", "-o", dir, at("b.pdf")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if got := read("V-000065.pdf"); !bytes.Equal(got, certificate) {
		t.Error("the certificate comes out changed")
	}
	if got := read("85-ä scan (1).png"); !bytes.Equal(got, scan) {
		t.Error("the scan comes out changed")
	}
	if out, err := exec.Command("qpdf", "--check", at("b.pdf")).CombinedOutput(); err != nil && !strings.Contains(err.Error(), "not found") {
		t.Errorf("%v: %s", err, out)
	}
}
