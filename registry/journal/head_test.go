package journal

import (
	"crypto/sha256"
	"strings"
	"testing"
)

func TestHeadPrintedAndReadIsTheSameHead(t *testing.T) {
	// SHA-256 of "abc": FIPS 180-4 example, memory.
	const abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
	h := Head{Seq: 17, Hash: sha256.Sum256([]byte("abc"))}
	if got := h.String(); got != "17-"+abc {
		t.Errorf("printed %s, want 17-%s", got, abc)
	}
	if got := h.Short(); got != "17-"+abc[:16] {
		t.Errorf("short form %s, want 17-%s", got, abc[:16])
	}
	for _, h := range []Head{{}, h, {Seq: 1<<64 - 1, Hash: h.Hash}} {
		if back, err := ParseHead(h.String()); err != nil || back != h {
			t.Errorf("%s reads back as %s (%v)", h, back, err)
		}
	}
}

func TestHeadWrittenInAnotherWayIsRefused(t *testing.T) {
	const want = "; want the entry's number, a hyphen and 64 hexadecimal digits, as printed on the certificate"
	hash := strings.Repeat("0a", 32)
	for _, c := range []struct{ in, want string }{
		{"", `head "": no hyphen` + want},
		{"17", `head "17": no hyphen` + want},
		{"x-" + hash, `head "x-` + hash + `": "x" before the hyphen` + want},
		{"18446744073709551616-" + hash, `head "18446744073709551616-` + hash + `": "18446744073709551616" before the hyphen` + want},
		{"17-0a0b", `head "17-0a0b": 4 characters after the hyphen` + want},
		{"17-" + strings.ToUpper(hash), `head "17-` + strings.ToUpper(hash) + `": written in another way` + want},
		{"017-" + hash, `head "017-` + hash + `": written in another way` + want},
		{"17-" + hash[:63] + "g", `head "17-` + hash[:63] + `g": written in another way` + want},
		{"0-" + hash, `head "0-` + hash + `": a hash without an entry; want zeros for an empty journal`},
		{strings.Repeat("-", 5000), `head "` + strings.Repeat("-", 100) + `": "" before the hyphen` + want},
	} {
		if h, err := ParseHead(c.in); err == nil || err.Error() != c.want || h != (Head{}) {
			t.Errorf("%.50q reads as %s with the message\n%v\nwant\n%s", c.in, h, err, c.want)
		}
	}
}

func FuzzParseHead(f *testing.F) {
	f.Add(Head{}.String())
	f.Add(Head{Seq: 9, Hash: [32]byte{1}}.String())
	f.Fuzz(func(t *testing.T, s string) {
		if h, err := ParseHead(s); err == nil && h.String() != s {
			t.Fatalf("%q is read as %s", s, h)
		}
	})
}
