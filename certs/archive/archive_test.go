package archive

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"
)

// bare is a file as gofpdf writes them, with one empty page.
func bare() string {
	var b strings.Builder
	at := map[int]int{}
	b.WriteString("%PDF-1.3\n")
	for _, o := range []struct {
		number int
		body   string
	}{
		{3, "<</Type /Page\n/Parent 1 0 R\n/Resources 2 0 R\n/Contents 4 0 R>>"}, {4, "<</Length 3>>\nstream\nq Q\nendstream"},
		{1, "<</Type /Pages\n/Kids [3 0 R ]\n/Count 1\n/MediaBox [0 0 100 100]\n>>"}, {2, "<<\n/Font <<\n>>\n>>"}, {5, "<<\n>>"}, {6, "<<\n>>"},
	} {
		at[o.number] = b.Len()
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", o.number, o.body)
	}
	b.WriteString("xref\n0 7\n0000000000 65535 f \n")
	for n := range 6 {
		fmt.Fprintf(&b, "%010d 00000 n \n", at[n+1])
	}
	return b.String() + "trailer\n<<\n>>\nstartxref\n0\n%%EOF\n"
}

func TestAFileIsWrittenAnewAroundItsPages(t *testing.T) {
	about := About{Title: `a (b) \ é`, Author: "H & Z", Program: "wring", Language: "en-GB", Date: time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)}
	w := New()
	file, err := w.Write([]byte(bare()), about, nil)
	if err != nil {
		t.Fatal(err)
	}
	again, err := w.Write([]byte(bare()), about, nil)
	if err != nil || !bytes.Equal(file, again) {
		t.Errorf("two files of one input differ: %v", err)
	}
	for _, want := range []string{"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n", "<pdfaid:part>1</pdfaid:part>", "H &amp; Z", "(D:20260302000000Z)", "2026-03-02T00:00:00Z", "<FEFF006100200028", "/S /GTS_PDFA1", "/Lang (en-GB)", "/ID [<"} {
		if !strings.Contains(string(file), want) {
			t.Errorf("%q is not in the file", want)
		}
	}
}

func TestAFileThatIsNotAsTheLibraryWritesItIsRefused(t *testing.T) {
	for _, c := range []struct{ name, old, new, want string }{
		{"no table", "\nxref\n", "\nxref", "no table of objects"},
		{"an object elsewhere", "0000000009 00000", "0000000010 00000", "object 3 does not begin or end"},
		{"beyond the end", "0000000009 00000", "0000009999 00000", "object 3 at"},
		{"no number", "0000000009 00000", "x", "object 3 at"},
	} {
		_, err := New().Write([]byte(strings.Replace(bare(), c.old, c.new, 1)), About{}, nil)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v; want %q", c.name, err, c.want)
		}
	}
}

// Whatever is handed in, the answer is a file or a refusal.
func FuzzAnyFileIsWrittenOrRefused(f *testing.F) {
	for _, s := range []string{"", bare(), "\nxref\n0 1\n\nn n \n", strings.Replace(bare(), "/Length 3", "/Length 999999999999999999999", 1)} {
		f.Add([]byte(s))
	}
	w := New()
	f.Fuzz(func(t *testing.T, file []byte) {
		out, err := w.Write(file, About{Title: "T"}, nil)
		if err == nil && !bytes.HasPrefix(out, []byte("%PDF-1.4")) {
			t.Error("neither a file nor a refusal")
		}
	})
}
