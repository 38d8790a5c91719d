package pdf_test

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
	"example.org/wring/certs/text"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func render(t *testing.T, d certs.Document) []byte {
	t.Helper()
	r, err := pdf.New()
	if err != nil {
		t.Fatal(err)
	}
	file, err := r.Render(d)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// golden compares with a file under testdata, or rewrites it.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; look at both, and rewrite with -update if the change is meant\ngot\n%s", path, got)
	}
}

func TestTheSampleReadsAsBefore(t *testing.T) {
	got, err := text.Render(sample(certs.A4), 100)
	if err != nil {
		t.Fatal(err)
	}
	golden(t, "sample.txt", got)
}

// The bytes hang on the document, this package, gofpdf and the compressor of
// the Go release named in go.mod.
func TestAReprintIsTheSameBytes(t *testing.T) {
	var sums strings.Builder
	for _, paper := range []certs.Paper{certs.A4, certs.Letter} {
		first := render(t, sample(paper))
		for range 3 {
			if !bytes.Equal(first, render(t, sample(paper))) {
				t.Fatalf("two renderings on %s differ", paper)
			}
		}
		fmt.Fprintf(&sums, "%x  sample on %s\n", sha256.Sum256(first), paper)
	}
	golden(t, "sample.sha256", sums.String())
}

func TestOneRendererServesManyAtOnce(t *testing.T) {
	r, err := pdf.New()
	if err != nil {
		t.Fatal(err)
	}
	want := render(t, sample(certs.A4))
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			if got, err := r.Render(sample(certs.A4)); err != nil || !bytes.Equal(got, want) {
				t.Errorf("a rendering beside others differs: %v", err)
			}
		})
	}
	group.Wait()
}

// tool writes the file to a temporary place and runs a program on it.
func tool(t *testing.T, file []byte, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		t.Skipf("%s is not installed; on Debian it is in poppler-utils or qpdf", name)
	}
	path := filepath.Join(t.TempDir(), "certificate.pdf")
	if err := os.WriteFile(path, file, 0o644); err != nil {
		t.Fatal(err)
	}
	for i, a := range args {
		args[i] = strings.ReplaceAll(a, "FILE", path)
	}
	out, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, out)
	}
	return string(out)
}

// squeezed takes out all white space: where lines are broken is not compared.
func squeezed(s string) string { return strings.Join(strings.Fields(s), "") }

func TestEveryTextOfTheDocumentCanBeCopiedFromTheFile(t *testing.T) {
	for _, paper := range []certs.Paper{certs.A4, certs.Letter} {
		d := sample(paper)
		d.Parts = append(d.Parts, certs.Statement{Title: "Symbols", Paragraphs: []string{"µ μ ± ° ≤ ≥ ν ² ³ Δ α σ √ × · − – é Ł Ж", "17.3\u00a0°C"}})
		raw := tool(t, render(t, d), "pdftotext", "-raw", "FILE", "-")
		if !strings.Contains(raw, "17.3 °C") || strings.Contains(raw, "\u00a0") {
			t.Error("a space that must not break is copied as another character, which no search finds")
		}
		copied := squeezed(raw)
		found := 0
		_, err := d.MapText(func(place, s string) (string, error) {
			for _, word := range strings.Fields(s) {
				found++
				if !strings.Contains(copied, word) {
					t.Errorf("%s: %s: %q of %q cannot be copied", paper, place, word, s)
				}
			}
			return s, nil
		})
		if err != nil || found < 400 {
			t.Errorf("%d words compared, %v; want the whole sample", found, err)
		}
	}
}

func TestEveryPageOfTheFileSaysWhichItIs(t *testing.T) {
	pages := strings.Split(strings.TrimSuffix(tool(t, render(t, sample(certs.A4)), "pdftotext", "-layout", "FILE", "-"), "\f"), "\f")
	for i, p := range pages {
		if !strings.Contains(p, fmt.Sprintf("page %d of %d", i+1, len(pages))) || !strings.Contains(p, "VC-2026-0031") {
			t.Errorf("page %d lacks its number or the certificate's:\n%s", i+1, p)
		}
	}
	if n := strings.Count(strings.Join(pages, ""), "End of certificate VC-2026-0031"); n != 1 || !strings.Contains(pages[len(pages)-1], "End of certificate") {
		t.Errorf("the end mark stands %d times; want once, on the last page", n)
	}
}

func TestTheFileIsSoundAndSaysWhatItIs(t *testing.T) {
	file := render(t, sample(certs.Letter))
	if out := tool(t, file, "qpdf", "--check", "FILE"); strings.Contains(strings.ToUpper(out), "WARNING") {
		t.Error(out)
	}
	info := tool(t, file, "pdfinfo", "-isodates", "FILE")
	for _, want := range []string{"Verification certificate VC-2026-0031", "Harmen & Zoon Bellows, invented", "wring 0.1.0", "2026-03-03T00:00:00Z", "612 x 792"} {
		if !strings.Contains(info, want) {
			t.Errorf("the file's own account lacks %q:\n%s", want, info)
		}
	}
	fonts := tool(t, file, "pdffonts", "FILE")
	for _, l := range strings.Split(strings.TrimSpace(fonts), "\n")[2:] {
		if !strings.Contains(l, "yes yes yes") {
			t.Errorf("a typeface is not in the file, not cut, or cannot be copied from: %s", l)
		}
	}
}

// The independent checker is Apache PDFBox's, from Debian.
func TestEveryPaperIsArchival(t *testing.T) {
	const shelf = "/usr/share/java/"
	if _, err := os.Stat(shelf + "preflight.jar"); err != nil {
		t.Skip("no checker of PDF/A; on Debian it is in libpdfbox2-java, with libjaxb-api-java and libactivation-java")
	}
	var jars []string
	for _, jar := range []string{"preflight", "pdfbox2", "fontbox2", "xmpbox", "commons-logging", "jaxb-api", "javax.activation"} {
		jars = append(jars, shelf+jar+".jar")
	}
	unusual := sample(certs.Letter)
	unusual.House.Name, unusual.Number = "Łódź & Жук (<invented>)", `VC-1 \(a) é`
	unusual.Subject = strings.Repeat("Wiiide ", 60)
	papers := map[string]certs.Document{"usual": sample(certs.A4), "unusual": unusual, "bare": {Title: "T", Number: "1", House: certs.House{Name: "H"}, Paper: certs.A4, Issued: "2026-03-02", End: "End"}}
	dir := t.TempDir()
	for name, d := range papers {
		if err := os.WriteFile(filepath.Join(dir, name+".pdf"), render(t, d), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	// And it can say no: without its part of the standard a file is not archival, and
	// one that carries another does not say that it is.
	damaged := bytes.Replace(render(t, papers["bare"]), []byte("<pdfaid:part>1<"), []byte("<pdfaid:part>7<"), 1)
	carrying := papers["bare"]
	carrying.Files = []certs.File{{Name: "ä (1).txt", Media: "text/plain", About: "a (note", Data: []byte("endstream\nendobj\n")}}
	carried := render(t, carrying)
	if bytes.Contains(carried, []byte("pdfaid:part")) {
		t.Error("a file that carries another calls itself PDF/A")
	}
	for name, file := range map[string][]byte{"damaged": damaged, "carrying": carried} {
		if err := os.WriteFile(filepath.Join(dir, name+".pdf"), file, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if out, err := exec.Command("java", "-Xshare:auto", "-XX:TieredStopAtLevel=1", "-cp", strings.Join(jars, ":"), "org.apache.pdfbox.preflight.Validator_A1b", "xml", "batch", dir).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, name := range []string{"usual", "unusual", "bare", "damaged", "carrying"} {
		said, err := os.ReadFile(filepath.Join(dir, name+".pdf.preflight.xml"))
		if err != nil {
			t.Fatal(err)
		}
		_, want := papers[name]
		if got := strings.Contains(string(said), ">true</isValid>"); got != want {
			t.Errorf("%s: archival %t; want %t\n%s", name, got, want, said)
		}
	}
}

func BenchmarkNew(b *testing.B) {
	for b.Loop() {
		if _, err := pdf.New(); err != nil {
			b.Fatal(err)
		}
	}
}

// One certificate of three pages; the aim is 10 ms.
func BenchmarkRender(b *testing.B) {
	r, err := pdf.New()
	if err != nil {
		b.Fatal(err)
	}
	d := sample(certs.A4)
	for b.Loop() {
		if _, err := r.Render(d); err != nil {
			b.Fatal(err)
		}
	}
}

// Whatever is written in a record, the answer is a file or a refusal with a
// place, and never a fault of the library underneath.
func FuzzAnyTextIsSetOrRefused(f *testing.F) {
	for _, s := range []string{"", "MIC-014", "ø 12 µm ± 1 °C", "𝑈", "量", "\x00", "\xff", "e\u0301\u0323", "\u202e", strings.Repeat("x", 5000), "((\\)", "\ufeff"} {
		f.Add(s)
	}
	r, err := pdf.New()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, s string) {
		d := sample(certs.A4)
		d.Number, d.Subject, d.Head = "VC "+s, s, s
		d.Parts = []certs.Part{certs.Statement{Title: s, Paragraphs: []string{s}}, certs.Outcome{Title: s, Word: s},
			certs.Table{Title: s, Columns: []certs.Column{{Heading: s, Unit: s, Align: certs.Left}}, Rows: []certs.Row{{Cells: []string{s}, Remark: s}}}}
		file, err := r.Render(d)
		if err == nil && !bytes.HasPrefix(file, []byte("%PDF-")) {
			t.Errorf("%q: neither a file nor a refusal", s)
		}
		if err != nil && (strings.Contains(err.Error(), "gofpdf") || strings.Contains(err.Error(), "\n")) {
			t.Errorf("%q: %v", s, err)
		}
	})
}
