package pdf_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/wring/certs"
	"example.org/wring/certs/pdf"
)

func labelRun(w, h float64, labels ...certs.Label) certs.LabelRun {
	return certs.LabelRun{Title: "Labels", Issued: "2026-11-25", House: "Harmen & Zoon (invented)", Maker: "wring 0.1.0", Width: w, Height: h, Labels: labels}
}

func sampleLabels() []certs.Label {
	return []certs.Label{
		{Identity: "MIC-014", Lines: []string{"checked\u00a02026-11-16", "due 2027-11-16"}, Foot: "entry 71 1f2e3d4c5b6a", Code: "MIC-014 71 1f2e3d4c5b6a"},
		{Identity: "MIC-031", Lines: []string{"checked\u00a02026-11-16", "limits: only 0 to 10 mm, outer spindle worn"}, Foot: "entry 1171 1f2e3d4c5b6a", Code: "MIC-031 1171 1f2e3d4c5b6a"},
		{Word: "FAILED", Identity: "THK-005", Lines: []string{"do not use", "since 2026-11-16"}, Foot: "entry 72 99aabbccddee", Code: "THK-005 72 99aabbccddee"},
		{Word: "QUARANTINED", Identity: "THK-006", Lines: []string{"do not use", "since 2026-11-16"}, Foot: "entry 73 99aabbccddee", Code: "THK-006 73 99aabbccddee"},
		{Word: "INDICATION ONLY", Identity: "CAL-2", Lines: []string{"not for acceptance, no standard", "since 2026-11-16"}, Foot: "entry 74 99aabbccddee", Code: "CAL-2 74 99aabbccddee"},
		{Identity: "GB-1", Lines: []string{"calibrated\u00a02026-02-03", "due\u00a02028-02-03", "certificate GB-1-2026"}, Foot: "entry 4 c48ab93c34fc", Code: "GB-1 4 c48ab93c34fc"},
	}
}

func setLabels(t *testing.T, run certs.LabelRun) []byte {
	t.Helper()
	r, err := pdf.New()
	if err != nil {
		t.Fatal(err)
	}
	file, err := r.Labels(run)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// scanned reads the codes of a file back, page after page.
func scanned(t *testing.T, file []byte, look ...string) string {
	t.Helper()
	for _, name := range []string{"pdftoppm", "zbarimg"} {
		if _, err := exec.LookPath(name); err != nil {
			t.Skipf("%s is not installed; on Debian it is in poppler-utils or zbar-tools", name)
		}
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "l.pdf")
	if err := os.WriteFile(path, file, 0o644); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("pdftoppm", append(look, "-gray", "-png", path, filepath.Join(dir, "p"))...).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	pages, _ := filepath.Glob(filepath.Join(dir, "p*.png"))
	out, err := exec.Command("zbarimg", append([]string{"--quiet", "--raw"}, pages...)...).Output()
	if err != nil {
		t.Errorf("zbarimg: %v", err)
	}
	return string(out)
}

func TestCodesAreReadBackFromPrint(t *testing.T) {
	long := certs.Label{Identity: "A-name.of_forty-characters-0123456789-ABC", Lines: []string{"checked\u00a02026-11-16"}, Foot: "entry 123456 1f2e3d4c5b6a", Code: "A-name.of_forty-characters-0123456789-AB 123456 1f2e3d4c5b6a"}
	sheet := labelRun(38, 19, sampleLabels()...)
	sheet.Stock = certs.Stock{Paper: certs.A4, Start: 4}
	letter := labelRun(50, 25, append(sampleLabels(), long)...)
	letter.Stock = certs.Stock{Paper: certs.Letter, Left: 5, Top: 9, Across: 52, Down: 26}
	small := sampleLabels()[:2]
	small[0].CodeOnly, small[1].CodeOnly = true, true
	for name, run := range map[string]certs.LabelRun{
		"roll 38 × 19": labelRun(38, 19, sampleLabels()...), "roll 50 × 25": labelRun(50, 25, append(sampleLabels(), long)...),
		"sheet": sheet, "Letter": letter, "code only": labelRun(10, 12, small...), "own": labelRun(30, 30, sampleLabels()...),
	} {
		file, got := setLabels(t, run), []string{}
		if run.Stock.Paper == "" { // 203 dots an inch, as label printers have
			got = strings.Fields(scanned(t, file, "-r", "203"))
		}
		for i := range run.Labels { // of a sheet one after the other, as a hand would
			if st := run.Stock; st.Paper != "" {
				const dots = 300.0 / 25.4
				n := i + max(st.Start, 1) - 1
				columns, left, top, across, down := 5, (210-5*38.0)/2, (297-15*19.0)/2, 38.0, 19.0
				if st.Left > 0 {
					columns, left, top, across, down = 4, st.Left, st.Top, st.Across, st.Down
				}
				px := func(mm float64) string { return fmt.Sprint(int(mm * dots)) }
				got = append(got, strings.Fields(scanned(t, file, "-r", "300", "-x", px(left+float64(n%columns)*across), "-y", px(top+float64(n/columns)*down), "-W", px(run.Width), "-H", px(run.Height)))...)
			}
		}
		for _, l := range run.Labels {
			if !strings.Contains(strings.Join(got, " "), l.Code) {
				t.Errorf("%s: %q is not read back; got %q", name, l.Code, got)
			}
		}
		if len(got) != 3*len(run.Labels) {
			t.Errorf("%s: %d words read; want %d", name, len(got), 3*len(run.Labels))
		}
	}
}

func TestTheSameLabelsAreTheSameBytes(t *testing.T) {
	run := labelRun(38, 19, sampleLabels()...)
	run.Stock = certs.Stock{Paper: certs.A4, Start: 3}
	first := setLabels(t, run)
	for range 3 {
		if !bytes.Equal(first, setLabels(t, run)) {
			t.Fatal("two settings of one run differ")
		}
	}
}

func TestNothingOnALabelIsClipped(t *testing.T) {
	for _, size := range [][2]float64{{38, 19}, {50, 25}} {
		run := labelRun(size[0], size[1], sampleLabels()...)
		text := tool(t, setLabels(t, run), "pdftotext", "-raw", "FILE", "-")
		for _, l := range run.Labels {
			for _, want := range append(l.Lines, l.Word, l.Identity, l.Foot) {
				if !strings.Contains(squeezed(text), squeezed(want)) {
					t.Errorf("%v mm: %q is not on the label:\n%s", size, want, text)
				}
			}
		}
	}
}

func TestALabelHasRoomOnlyWhereItIsReadAtArmsLength(t *testing.T) {
	r, err := pdf.New()
	if err != nil {
		t.Fatal(err)
	}
	tag := sampleLabels()[2]
	for _, c := range []struct {
		more          string
		width, height float64
		want          bool
	}{
		{"fell", 38, 19, true}, {"fell", 20, 12, false}, {"fell, 量", 50, 25, false},
		{strings.Repeat("fell from the bench onto the anvil ", 4), 38, 19, false}, {strings.Repeat("fell from the bench onto the anvil ", 4), 80, 50, true},
	} {
		l := tag
		l.Lines = append(slices.Clone(tag.Lines), c.more)
		if got := r.HasRoom(l, c.width, c.height); got != c.want {
			t.Errorf("%q on %g × %g mm: room %t; want %t", c.more, c.width, c.height, got, c.want)
		}
	}
}

func TestALabelThatCannotBeSetIsRefused(t *testing.T) {
	r, err := pdf.New()
	if err != nil {
		t.Fatal(err)
	}
	far := labelRun(38, 19, sampleLabels()...)
	far.Stock = certs.Stock{Paper: certs.A4, Start: 76}
	for _, c := range []struct {
		run  certs.LabelRun
		want string
	}{
		{labelRun(38, 19), "labels: none; want one at least"},
		{labelRun(7, 19, sampleLabels()...), "labels: a side of 7 mm; want 8 to 120 mm"},
		{labelRun(10, 10, sampleLabels()...), "label of MIC-014: its texts and code have no room on 10 × 10 mm; want a larger label, or the form of a code alone"},
		{labelRun(8, 8, certs.Label{Identity: "X", Code: "MIC-014 71 1f2e3d4c5b6a", CodeOnly: true}), "label of X: its code of 25 modules has no room on 8 × 8 mm; want 8.2 mm at least"},
		{labelRun(38, 19, certs.Label{Identity: "X", Code: "µ"}), `label of X: code "µ": holds 'µ'; want ASCII, which every scanner reads alike`},
		{labelRun(38, 19, certs.Label{Identity: "X", Lines: []string{"量"}, Code: "X"}), `label of X, line 1: "量" holds '量' (U+91CF), which the built-in typefaces cannot show; write it in other characters`},
		{far, "labels: start at place 76; want 1 to 75, for a sheet holds 5 × 15"},
	} {
		if _, err := r.Labels(c.run); err == nil || err.Error() != c.want {
			t.Errorf("%v; want %s", err, c.want)
		}
	}
}
