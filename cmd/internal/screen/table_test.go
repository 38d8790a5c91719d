package screen

import (
	"strings"
	"testing"
	"unicode/utf8"
)

func written(t *testing.T, table Table) string {
	t.Helper()
	var b strings.Builder
	if err := table.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestPointsStandUnderEachOtherAndUnitsUnderNames(t *testing.T) {
	table := Table{Columns: []Column{{Title: "point"}, {Title: "error\nmm", Align: Decimal}, {Title: "n", Align: Right}}}
	table.Add("a", "+0.001", "3")
	table.Add("b", "-12.5", "10")
	want := "point    error   n\n            mm\n─────  ───────  ──\na       +0.001   3\nb      -12.5    10\n"
	if got := written(t, table); got != want {
		t.Errorf("got\n%swant\n%s", got, want)
	}
}

func TestAColumnWithNothingInItIsLeftOut(t *testing.T) {
	table := Table{Columns: []Column{{Title: "a"}, {Title: "empty"}, {Title: "b"}}}
	table.Add("1", "", "2")
	table.Add("3")
	if got := written(t, table); strings.Contains(got, "empty") || got != "a  b\n─  ─\n1  2\n3\n" {
		t.Errorf("got\n%s", got)
	}
}

func TestATableWithoutRowsHasItsHeading(t *testing.T) {
	if got := written(t, Table{Columns: []Column{{Title: "a"}, {Title: "b"}}}); got != "a  b\n─  ─\n" {
		t.Errorf("got\n%s", got)
	}
}

func TestLongTextsWrapAndFiguresNeverDo(t *testing.T) {
	table := Table{Columns: []Column{{Title: "entry", Align: Right}, {Title: "what", Wrap: true}, {Title: "by", Wrap: true}, {Title: "figure", Align: Decimal}}}
	long := strings.Repeat("the gauge was moved with the lathe ", 8)
	table.Add("1", long, "a person of many names in a long row", "1234567.1234567")
	table.Add("2", "short", "EK", "1.5")
	got := written(t, table)
	for line := range strings.SplitSeq(got, "\n") {
		if n := utf8.RuneCountInString(line); n > Width {
			t.Errorf("%d characters: %s", n, line)
		}
	}
	if !strings.Contains(got, "1234567.1234567") || strings.Count(got, "lathe") != 8 || strings.Count(got, "person") != 1 {
		t.Errorf("a figure was broken or a word lost:\n%s", got)
	}
}

func TestAWordLongerThanTheLineStandsWhole(t *testing.T) {
	word := strings.Repeat("x", Width+20)
	if got := Wrap("a "+word+" b", Width); len(got) != 3 || got[1] != word {
		t.Errorf("got %q", got)
	}
}

func TestWrapKeepsEveryWordAndTheFirstBlanks(t *testing.T) {
	text := "  one two  three\nfour"
	if got := strings.Join(Wrap(text, 9), "|"); got != "  one two|three|four" {
		t.Errorf("got %q", got)
	}
}

func TestFactsLeaveOutWhatHasNoValue(t *testing.T) {
	var b strings.Builder
	if err := Facts(&b, [2]string{"gauge", "MIC-014"}, [2]string{"description", ""}, [2]string{"place", strings.Repeat("bench ", 20)}); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "description") || !strings.HasPrefix(b.String(), "gauge  MIC-014\nplace  bench bench") {
		t.Errorf("got\n%s", &b)
	}
}

func TestAColumnIsNoNarrowerThanItsTitle(t *testing.T) {
	long := strings.Repeat("word ", 10)
	table := Table{Columns: []Column{{Title: "a title of words", Wrap: true}, {Title: "b", Wrap: true}, {Title: "c", Wrap: true}}}
	for range 3 {
		table.Add("x", long, long)
	}
	var b strings.Builder
	if err := table.Write(&b); err != nil || !strings.HasPrefix(b.String(), "a title of words ") {
		t.Errorf("%v\n%s", err, b.String())
	}
}
