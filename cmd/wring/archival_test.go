package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// paperCommands write one of every sort of paper that is kept, of the invented
// workshop; FILE is where.
func paperCommands() []string {
	return []string{
		"certificate MIC-021 --out FILE", "certificate MIC-IN-2 --paper Letter --out FILE", "certificate THK-002 --out FILE", "certificate 80 --out FILE",
		"report due --pdf FILE", "report fleet --pdf FILE", "report gauge MIC-021 --pdf FILE", "report gauge THK-005 --paper Letter --pdf FILE", "report lot FELT-26-31 --pdf FILE",
		"trace MIC-021 --pdf FILE", "trace GB-1 --pdf FILE", "history MIC-021 --pdf FILE", "drift MIC-021 --pdf FILE", "study show 83 --pdf FILE",
		"survey FELT-26-31 --show 77 --pdf FILE", "validate --source 863 --out FILE",
	}
}

// Each paper says the same in the same bytes, is archival to the checker of PDF/A,
// and its objects are sound to the checker of structure; so are labels, of which
// each print is another entry. The bundle, which carries files, claims nothing.
func TestEveryPaperIsArchivalSoundAndTheSameAgain(t *testing.T) {
	dir := t.TempDir()
	must := func(args string) {
		t.Helper()
		e, _, errs := deskForTest("")
		words := append([]string{"wring", "--registry", filepath.Join(dir, "demo/workshop.wring"), "--as", "MH"}, strings.Fields(args)...)
		if code := run(words, e); code != exitDone {
			t.Fatalf("%s: status %d: %s", args, code, errs)
		}
	}
	must("demo " + filepath.Join(dir, "demo"))
	papers := filepath.Join(dir, "papers")
	if err := os.Mkdir(papers, 0o755); err != nil {
		t.Fatal(err)
	}
	at := func(name string) string { return filepath.Join(papers, name) }
	for i, c := range paperCommands() {
		name := fmt.Sprintf("%02d-%s", i, strings.ReplaceAll(strings.Join(strings.Fields(c)[:2], "-"), "--", ""))
		must(strings.Replace(c, "FILE", at(name+".pdf"), 1))
		must(strings.Replace(c, "FILE", filepath.Join(dir, name+".pdf"), 1))
		one, err1 := os.ReadFile(at(name + ".pdf"))
		two, err2 := os.ReadFile(filepath.Join(dir, name+".pdf"))
		if err1 != nil || err2 != nil || !bytes.Equal(one, two) {
			t.Errorf("%s: two papers of one state differ: %v %v", c, err1, err2)
		}
	}
	must("label CAL-003 GB-1 THK-005 --out " + at("labels-roll.pdf"))
	must("label CAL-003 GB-1 THK-005 --size 50x25 --sheet Letter --out " + at("labels-sheet.pdf"))
	must("label TH-1 --form code --out " + at("labels-code.pdf"))
	must("withdraw 72 --reason another")
	must("certificate 72 --out " + at("notice.pdf"))
	must("report bundle MIC-021 --pdf " + at("bundle.pdf"))
	list, err := filepath.Glob(at("*.pdf"))
	if err != nil || len(list) != len(paperCommands())+5 {
		t.Fatalf("%d papers, %v", len(list), err)
	}
	soundPapers(t, list)
	archivalPapers(t, papers, list, "bundle.pdf")
}

// soundPapers has the structure of each file checked.
func soundPapers(t *testing.T, list []string) {
	t.Helper()
	if _, err := exec.LookPath("qpdf"); err != nil {
		t.Log("no checker of structure; on Debian it is in qpdf")
		return
	}
	for _, file := range list {
		if out, err := exec.Command("qpdf", "--check", file).CombinedOutput(); err != nil || strings.Contains(strings.ToUpper(string(out)), "WARNING") {
			t.Errorf("%s: %v\n%s", filepath.Base(file), err, out)
		}
	}
}

// archivalPapers has every file of a folder judged in one start of the checker,
// Apache PDFBox's, from Debian; of all but those named it must say that they are
// PDF/A-1b, and of those that they are not.
func archivalPapers(t *testing.T, folder string, list []string, not ...string) {
	t.Helper()
	const shelf = "/usr/share/java/"
	if _, err := os.Stat(shelf + "preflight.jar"); err != nil {
		t.Skip("no checker of PDF/A; on Debian it is in libpdfbox2-java, with libjaxb-api-java and libactivation-java")
	}
	var jars []string
	for _, jar := range []string{"preflight", "pdfbox2", "fontbox2", "xmpbox", "commons-logging", "jaxb-api", "javax.activation"} {
		jars = append(jars, shelf+jar+".jar")
	}
	out, err := exec.Command("java", "-Xshare:auto", "-XX:TieredStopAtLevel=1", "-cp", strings.Join(jars, ":"), "org.apache.pdfbox.preflight.Validator_A1b", "xml", "batch", folder).CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, file := range list {
		said, err := os.ReadFile(file + ".preflight.xml")
		if err != nil {
			t.Fatal(err)
		}
		want := !slices.Contains(not, filepath.Base(file))
		if got := strings.Contains(string(said), `<isValid type="PDF/A1-b">true</isValid>`); got != want {
			t.Errorf("%s: archival %t, want %t\n%s", filepath.Base(file), got, want, said)
		}
	}
}
