package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/wring/calib"
	"example.org/wring/certs"
	rendered "example.org/wring/certs/text"
	"example.org/wring/registry"
)

// What was marked, and the verdict that is no pass, stand on the certificate as
// they stand on the screen.
func TestTheCertificateSaysWhatTheScreenSays(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "shop.wring")
	provide(t, dir)
	sheetFile := filepath.Join(dir, "check.toml")
	if err := os.WriteFile(sheetFile, []byte(markedSheet), 0o666); err != nil {
		t.Fatal(err)
	}
	plan := strings.Replace(shortPlan, "[[contribution]]", "[gates]\n\"points of the plan missing\" = \"mark\"\n\n[[contribution]]", 1)
	if err := os.WriteFile(filepath.Join(dir, "short.toml"), []byte(plan), 0o666); err != nil {
		t.Fatal(err)
	}
	var screen string
	for _, c := range []struct {
		args []string
		want exitStatus
	}{
		{[]string{"init", "--organisation", "Harmen & Zoon (invented)"}, exitDone},
		{[]string{"plan", "add", filepath.Join(dir, "short.toml")}, exitDone},
		{[]string{"standard", "add", "GB-1", "--kind", "gauge block set", "--grade", "1", "--material", "steel"}, exitDone},
		{[]string{"standard", "certificate", "GB-1", "--number", "1", "--laboratory", "X", "--route", "national institute", "--date", "2026-02-03", "--values", filepath.Join(dir, "gb-1.csv")}, exitDone},
		{[]string{"gauge", "add", "MIC-014", "--kind", "outside micrometer", "--range", "0..25", "--resolution", "0.001", "--plan", "short", "--material", "steel"}, exitDone},
		{[]string{"check", "MIC-014", "--sheet", sheetFile}, exitNo},
	} {
		e, out, errs := deskForTest("")
		if code := run(append([]string{"wring", "--registry", file}, c.args...), e); code != c.want {
			t.Fatalf("%v: status %d, want %d: %s", c.args, code, c.want, errs)
		}
		screen = out.String()
	}
	paper := paperText(t, file, "MIC-014")
	for _, want := range []string{"points of the plan missing", "25 mm was not taken", "+0.0084", "Harmen & Zoon", "MIC-014", "GB-1"} {
		if !strings.Contains(oneLine(paper), strings.ToLower(want)) {
			t.Errorf("the certificate does not say %q:\n%s", want, paper)
		}
	}
	for _, want := range []string{"points of the plan missing", "+0.0084", "Verdict: fail."} {
		if !strings.Contains(oneLine(screen), strings.ToLower(want)) {
			t.Errorf("the screen does not say %q:\n%s", want, screen)
		}
	}
}

// paperText sets the certificate of a gauge's last check as text.
func paperText(t *testing.T, file, gauge string) string {
	t.Helper()
	r, err := registry.OpenReading(file)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	var in certs.CertificateOf
	if err := r.View(func(tx *registry.Tx) (err error) { in, _, err = certificateParts(tx, gauge); return err }); err != nil {
		t.Fatal(err)
	}
	in.Paper = certs.A4
	doc, err := certs.LengthCertificate(in)
	if err != nil {
		t.Fatal(err)
	}
	out, err := rendered.Render(doc, 100)
	if err != nil {
		t.Fatal(err)
	}
	if in.Issued != calib.MustDate("2026-11-25") {
		t.Errorf("issued on %s", in.Issued)
	}
	return out
}

// oneLine undoes the breaks of lines, and the capitals that begin a sentence.
func oneLine(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

const markedSheet = `format = 1
gauge = "MIC-014"
date = 2026-11-16
person = "EK"
standards = ["GB-1"]
[[point]]
at = "2.5"
readings = ["2.508", "2.508", "2.509"]
`
