package pdf_test

import (
	"os"
	"testing"

	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
)

func TestLook(t *testing.T) {
	r, err := pdf.New()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []certs.Paper{certs.A4, certs.Letter} {
		b, err := r.Render(sample(p))
		if err != nil {
			t.Fatal(err)
		}
		os.WriteFile("/tmp/look-"+string(p)+".pdf", b, 0o644)
	}
}

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

func BenchmarkNew(b *testing.B) {
	for b.Loop() {
		if _, err := pdf.New(); err != nil {
			b.Fatal(err)
		}
	}
}
