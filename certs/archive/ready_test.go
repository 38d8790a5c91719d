package archive

import (
	"bytes"
	"compress/zlib"
	_ "embed"
	"io"
	"os"
	"path/filepath"
	"testing"

	"example.org/wring/certs/typeface"
)

// WRING_UPDATE=1 makes the typefaces ready anew.
func TestATypefaceThatLiesReadyIsTheOneThatWouldBeMade(t *testing.T) {
	for i, name := range []string{typeface.Regular: "regular", typeface.Bold: "bold", typeface.Mono: "mono"} {
		f, err := typeface.Load(typeface.Name(i))
		if err != nil {
			t.Fatal(err)
		}
		made := Embed(f.Program(typeface.Usual))
		if os.Getenv("WRING_UPDATE") != "" {
			if err := os.WriteFile(filepath.Join("ready", name), made.written(), 0o666); err != nil {
				t.Fatal(err)
			}
			continue
		}
		ready, err := Ready(typeface.Name(i))
		if err != nil {
			t.Fatal(err)
		}
		same := ready.name == made.name && ready.widths == made.widths && ready.measures == made.measures
		_, got := ready.fields()
		_, want := made.fields()
		for n := range got {
			same = same && bytes.Equal(unpacked(t, *got[n]), unpacked(t, *want[n]))
		}
		if !same {
			t.Errorf("ready/%s is not what is made of the typeface; want WRING_UPDATE=1 go test ./certs/archive", name)
		}
	}
}

//go:embed srgb.icc
var profile []byte

func TestTheColoursThatLieReadyAreThoseOfTheProfile(t *testing.T) {
	made := packed(zlib.NewWriter(nil), "/N 3 /Alternate /DeviceRGB", profile)
	if os.Getenv("WRING_UPDATE") != "" {
		if err := os.WriteFile(filepath.Join("ready", "colours"), made, 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !bytes.Equal(unpacked(t, readyColours), profile) || !bytes.HasPrefix(readyColours, []byte("<</N 3 /Alternate /DeviceRGB ")) {
		t.Error("ready/colours is not the profile; want WRING_UPDATE=1 go test ./certs/archive")
	}
}

// unpacked is what a stream holds: another release of Go may press the same
// into other bytes.
func unpacked(t *testing.T, object []byte) []byte {
	t.Helper()
	_, body, found := bytes.Cut(object, []byte(streamMark))
	z, err := zlib.NewReader(bytes.NewReader(body))
	if !found || err != nil {
		t.Fatalf("no stream that is packed: %v", err)
	}
	plain, err := io.ReadAll(z)
	if err != nil || len(plain) == 0 {
		t.Fatalf("%d bytes: %v", len(plain), err)
	}
	return plain
}

func TestATypefaceThatIsNotWholeIsRefused(t *testing.T) {
	var e Embedded
	for _, n := range []int{0, 1, 10, 1000, len(readyRegular) - 1} {
		if err := e.read(readyRegular[:n]); err == nil {
			t.Errorf("the first %d bytes were taken for a whole typeface", n)
		}
	}
	if err := e.read(append(bytes.Clone(readyRegular), 0)); err == nil {
		t.Error("a byte too many was taken for a whole typeface")
	}
}
