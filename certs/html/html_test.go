package html

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/wring/certs"
	"example.org/wring/certs/plot"
)

func sample() certs.Document {
	limit := []plot.Vertex{{X: 0, Y: 4}, {X: 25, Y: 4}}
	return certs.Document{
		Title: "Verification certificate", Number: "VC-1", Subject: `MIC-014 <"&">`, House: certs.House{Name: "Bellows, invented", Address: []string{"Reed Lane 7", "Nowhere"}},
		Paper: certs.A4, Issued: "2026-03-02", Head: "head 1", Program: "wring 0", End: "End of certificate", Foot: []string{"In full only."},
		Parts: []certs.Part{
			certs.Outcome{Title: "Result", Word: "Pass", Lines: []string{"every point"}},
			certs.Facts{Title: "Item", Pairs: []certs.Fact{{Label: "Identity", Value: "MIC-014"}}},
			certs.Table{Title: "Results",
				Columns: []certs.Column{{Heading: "size", Unit: "mm", Align: certs.Right}, {Heading: "error", Unit: "µm", Align: certs.Point}, {Heading: "verdict"}},
				Rows: []certs.Row{{Cells: []string{"0", "−1.25", "pass"}}, {Cells: []string{"25", "+10", "fail"}, Remark: "beyond the limit"},
					{Cells: []string{"5", "+0.5", "pass"}}},
				Notes: []string{"note"}},
			certs.Figure{Title: "Errors", Caption: "Bars: U.", Plot: plot.Plot{X: plot.Axis{Quantity: "size", Unit: "mm"}, Y: plot.Axis{Quantity: "error", Unit: "µm", Signed: true},
				Lines: []plot.Line{{Label: "limit", Points: limit}}, Series: []plot.Series{{Label: "pass", Points: []plot.Point{{X: 5, Y: -1.25, Bar: 0.5}}}}}},
			certs.List{Title: "Marks", Items: []string{"one", "two"}},
			certs.Statement{Title: "Scope", Paragraphs: []string{"This relates only to the item."}},
			certs.Signatures{Title: "Signed", People: []certs.Signature{{Role: "Performed by", Name: "J. Inventor", Date: "2026-03-02", Note: "entry 4"}}},
		},
	}
}

func rendered(t *testing.T) []byte {
	t.Helper()
	page, err := Render(sample())
	if err != nil {
		t.Fatal(err)
	}
	return page
}

var update = flag.Bool("update", false, "write the golden page anew")

func TestThePageIsTheOneThatWasLookedAt(t *testing.T) {
	got := rendered(t)
	const golden = "testdata/sample.html"
	if *update {
		if err := os.WriteFile(golden, got, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Error(d)
	}
	if again := rendered(t); !bytes.Equal(got, again) {
		t.Error("two renderings differ")
	}
}

// An element with what the tests ask of it.
type element struct {
	name  string
	attr  map[string]string
	above []string // names of the elements it stands in, outermost first
	text  string   // of itself and all in it
}

// elements reads the page as XML, strictly: what is not well-formed fails.
func elements(t *testing.T, page []byte) (list []*element) {
	t.Helper()
	dec := xml.NewDecoder(bytes.NewReader(page))
	var open []*element
	for {
		tok, err := dec.Token()
		if errors.Is(err, io.EOF) {
			if len(open) > 0 || len(list) < 20 {
				t.Fatalf("%d elements, %d left open", len(list), len(open))
			}
			return list
		}
		if err != nil {
			t.Fatal(err)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			e := &element{name: tok.Name.Local, attr: map[string]string{}}
			for _, a := range tok.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			for _, o := range open {
				e.above = append(e.above, o.name)
			}
			open, list = append(open, e), append(list, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			for _, o := range open {
				o.text += string(tok)
			}
		}
	}
}

func named(list []*element, name string) (out []*element) {
	for _, e := range list {
		if e.name == name {
			out = append(out, e)
		}
	}
	return out
}

// Own, after WCAG 2.1, 1.3.1, 2.4.2, 2.4.6, 3.1.1 and 4.1.2 (clauses from memory).
func TestAReaderWhoHearsThePageFindsTheWay(t *testing.T) {
	list := elements(t, rendered(t))
	if lang := named(list, "html")[0].attr["lang"]; lang != "en-GB" {
		t.Errorf("the language is %q", lang)
	}
	if title := named(list, "title")[0].text; title != "Verification certificate VC-1" {
		t.Errorf("the title is %q", title)
	}
	level, heads := 0, 0
	ids := map[string]bool{}
	var drawings []string
	for _, e := range list {
		if id := e.attr["id"]; id != "" {
			if ids[id] {
				t.Errorf("two elements are %q", id)
			}
			ids[id] = true
		}
		if len(e.name) == 2 && e.name[0] == 'h' && e.name[1] >= '1' && e.name[1] <= '6' {
			now, _ := strconv.Atoi(e.name[1:])
			if now > level+1 || now == 1 && heads > 0 {
				t.Errorf("heading %q of level %d after one of level %d", e.text, now, level)
			}
			level = now
			heads++
		}
		if e.name == "svg" {
			drawings = append(drawings, e.attr["role"])
		} else if e.attr["role"] != "" && e.attr["aria-label"] == "" {
			t.Errorf("%s with role %q has no name", e.name, e.attr["role"])
		}
		if slices.Contains(e.above, "svg") && (e.name == "title" || e.name == "desc") {
			drawings = append(drawings, e.text)
		}
	}
	if heads != 1+len(sample().Parts) {
		t.Errorf("%d headings; want one of the page and one of each part", heads)
	}
	says := []string{"img", "Errors", "error in µm over size in mm: 1 pass; lines: limit."}
	if d := cmp.Diff(slices.Concat(says, says), drawings); d != "" {
		t.Error(d)
	}
	for _, th := range named(list, "th") {
		want := "row"
		if slices.Contains(th.above, "thead") {
			want = "col"
		}
		if th.attr["scope"] != want {
			t.Errorf("heading cell %q has scope %q; want %q", th.text, th.attr["scope"], want)
		}
	}
	if tables, captions := len(named(list, "table")), len(named(list, "caption")); tables != captions || tables != 2 {
		t.Errorf("%d tables, %d captions; want two of each", tables, captions)
	}
	links := named(list, "a")
	for _, a := range links {
		if !ids[strings.TrimPrefix(a.attr["href"], "#")] {
			t.Errorf("the link %q leads nowhere", a.attr["href"])
		}
	}
	if len(links) != len(sample().Parts) {
		t.Errorf("%d links; want one to each part", len(links))
	}
}

func TestThePageCarriesAllItNeedsAndRunsNothing(t *testing.T) {
	page := rendered(t)
	for _, e := range elements(t, page) {
		if slices.Contains([]string{"script", "link", "img", "iframe", "object", "base", "form"}, e.name) {
			t.Errorf("there is a %s", e.name)
		}
		for name := range e.attr {
			if strings.HasPrefix(name, "on") || name == "src" {
				t.Errorf("%s has %s", e.name, name)
			}
		}
	}
	rest := bytes.ReplaceAll(page, []byte(`xmlns="http://www.w3.org/2000/svg"`), nil)
	for _, far := range []string{"://", "@import", "url("} {
		if bytes.Contains(rest, []byte(far)) {
			t.Errorf("the page holds %q", far)
		}
	}
}

func TestWhatWasTypedIsShownAsTyped(t *testing.T) {
	d := sample()
	const typed = `</style><script>alert(1)</script>&amp;"'`
	d, err := d.MapText(func(string, string) (string, error) { return typed, nil })
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Render(d); err == nil || !strings.Contains(err.Error(), "date of issue") {
		t.Fatalf("%v; want the date refused", err)
	}
	d.Issued = "2026-03-02"
	page, err := Render(d)
	if err != nil {
		t.Fatal(err)
	}
	list := elements(t, page)
	if len(named(list, "script")) > 0 {
		t.Error("a text became an element")
	}
	if got := named(list, "h1")[0].text; got != typed {
		t.Errorf("shown as %q", got)
	}
}

// Marks stand under marks: behind each number of a column as many figures'
// widths.
func TestDecimalsAreAligned(t *testing.T) {
	var got []string
	for _, td := range named(elements(t, rendered(t)), "td") {
		if td.attr["class"] == "number" && !slices.Contains(td.above, "details") {
			got = append(got, td.text)
		}
	}
	if d := cmp.Diff([]string{"−1.25", "+10\u2008\u2007\u2007", "+0.5\u2007"}, got); d != "" {
		t.Error(d)
	}
}

// luminance is the relative luminance of a colour (WCAG 2.1, definitions; the
// formula from memory).
func luminance(t *testing.T, hex string) float64 {
	t.Helper()
	n, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 24)
	if err != nil || len(hex) != 7 {
		t.Fatalf("%q is no colour", hex)
	}
	part := func(shift uint) float64 {
		c := float64(n>>shift&255) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	return 0.2126*part(16) + 0.7152*part(8) + 0.0722*part(0)
}

func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func TestEveryInkStandsOnEveryGround(t *testing.T) {
	if c := contrast(t, "#777777", "#ffffff"); math.Abs(c-4.48) > 0.005 { // known to be just too little; memory
		t.Fatalf("the computation gives %.3f for #777777 on white", c)
	}
	page := string(rendered(t))
	for name, p := range map[string]palette{"light": light, "dark": dark} {
		for _, ground := range []string{p.ground, p.raised} {
			for _, ink := range []string{p.ink, p.quiet, p.heading} {
				if c := contrast(t, ink, ground); !(c >= 4.5) {
					t.Errorf("%s: %s on %s has a contrast of %.2f; want 4.5", name, ink, ground, c)
				}
			}
		}
		if !strings.Contains(page, "--quiet:"+p.quiet+";") {
			t.Errorf("%s: the page has another palette", name)
		}
	}
	// No colour is set but by the palettes.
	for _, line := range strings.Split(embeddedSheet, "\n") {
		if strings.Contains(line, "#") {
			t.Errorf("a colour beside the palettes: %s", line)
		}
	}
}

// On a printed page the foot says what was printed: half of it on a sheet of its
// own says nothing.
func TestAPrintedPageDoesNotDivideWhatIsReadAsOne(t *testing.T) {
	_, printed, _ := strings.Cut(embeddedSheet, "@media print{")
	var whole []string
	for rule := range strings.SplitSeq(printed, "}") {
		if names, what, _ := strings.Cut(rule, "{"); strings.Contains(what, "break-inside:avoid") {
			whole = append(whole, strings.Split(names, ",")...)
		}
	}
	for _, name := range []string{"tr", "figure", ".outcome", "footer"} {
		if !slices.Contains(whole, name) {
			t.Errorf("%s may be divided; only %q may not", name, whole)
		}
	}
}

func TestADocumentThatNoPaperCouldHoldIsRefused(t *testing.T) {
	d := sample()
	d.Parts = append(d.Parts, certs.Figure{Title: "none"})
	if _, err := Render(d); err == nil {
		t.Error("a plot of nothing was drawn")
	}
}
