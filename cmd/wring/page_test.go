package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Names of sixty characters, as the longest on a page.
const (
	longName  = "Werkplaats voor balgen van accordeons en harmoniums (verzonnen)"
	longWord  = "Goods-in-behind-the-partition-of-the-old-harmonium-hall-no-3"
	longGauge = "MIC-IN-THE-DRAWER-UNDER-THE-LONG-BENCH-3"
)

// writePages writes every kind of page: of the demonstration, of a registry
// with nothing in it, and of one where everything is at its largest.
func writePages(t *testing.T) (files []string) {
	t.Helper()
	dir := t.TempDir()
	demo, empty, full := filepath.Join(dir, "workshop.wring"), filepath.Join(dir, "empty.wring"), filepath.Join(dir, "full.wring")
	wring := func(registry string, want exitStatus, args ...string) {
		t.Helper()
		e, _, errs := deskForTest("")
		if code := run(append([]string{"wring", "--registry", registry}, args...), e); code != want {
			t.Fatalf("%v: status %d, want %d: %s", args, code, want, errs)
		}
	}
	report := func(registry, name string, args ...string) {
		t.Helper()
		files = append(files, filepath.Join(dir, name+".html"))
		wring(registry, exitDone, append(append([]string{"report"}, args...), "--html", files[len(files)-1])...)
	}
	wring(demo, exitDone, "demo", dir)
	report(demo, "due", "due", "--within", "12m")
	report(demo, "fleet", "fleet")
	report(demo, "gauge-drifting", "gauge", "MIC-021")
	report(demo, "gauge-failed", "gauge", "THK-005")
	report(demo, "lot", "lot", "FELT-26-31")
	picture := &bytes.Buffer{}
	if err := png.Encode(picture, image.NewGray(image.Rect(0, 0, 2000, 300))); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "foot.png"), picture.Bytes(), 0o666); err != nil {
		t.Fatal(err)
	}
	wring(demo, exitDone, "attachment", "add", "THK-005", filepath.Join(dir, "foot.png"), "--note", "the foot, broader than any page")
	report(demo, "bundle-inch", "bundle", "THK-005")
	wring(empty, exitDone, "init", "--organisation", "X")
	report(empty, "due-of-nothing", "due")
	report(empty, "fleet-of-nothing", "fleet")
	fillShop(t, dir, func(want exitStatus, args ...string) { t.Helper(); wring(full, want, args...) })
	report(full, "due-of-400", "due")
	report(full, "fleet-of-400", "fleet")
	report(full, "bundle-100-points-all-failing", "bundle", longGauge)
	report(full, "bundle-100-points-none-failing", "bundle", "MIC-GOOD")
	return files
}

// fillShop makes a registry of four hundred gauges, long names, and two checks
// of a hundred points, of which one fails everywhere.
func fillShop(t *testing.T, dir string, wring func(exitStatus, ...string)) {
	t.Helper()
	at := func(name string) string { return filepath.Join(dir, name) }
	put := func(name, text string) {
		if err := os.WriteFile(at(name), []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	var sizes []string
	for whole := 2; whole <= 12; whole++ {
		for tenth := 1; tenth <= 9; tenth++ {
			sizes = append(sizes, fmt.Sprintf("%d.%d", whole, tenth))
		}
	}
	sizes = append(sizes, "25")
	plan := strings.Replace(shortPlan, `points = ["2.5", "25"]`, `points = ["`+strings.Join(sizes, `", "`)+`"]`, 1)
	plan = strings.Replace(strings.Replace(plan, `"short"`, `"hundred"`, 1), `name = "simple acceptance"`, "name = \"guarded acceptance\"\nfactor = 1", 1)
	put("hundred.toml", plan)
	sheet := func(gauge string, off string) string {
		text := "format = 1\ngauge = \"" + gauge + "\"\ndate = 2026-11-16\nperson = \"" + strings.Repeat("E", 40) + "\"\nstandards = [\"GB-1\"]\n"
		for _, s := range sizes {
			r := s + "0" + off
			if s == "25" {
				r = "25.00" + off
			}
			text += fmt.Sprintf("[[point]]\nat = %q\nreadings = [%q, %q, %q]\n", s, r, r, r)
		}
		return text
	}
	put("bad.toml", sheet(longGauge, "9"))
	put("good.toml", sheet("MIC-GOOD", "0"))
	fleet := "gauge,kind,range,resolution,place,owner,interval,last check\n"
	for i := range 400 {
		fleet += fmt.Sprintf("CAL-%03d,%s,0 to 150,0.01,%s,%s,12,2025-%02d-%02d\n", i, []string{"caliper", "outside micrometer", "dial gauge"}[i%3], []string{"bench 1", longWord}[i%2], []string{"", longName}[i/7%2], 1+i%12, 1+i%28)
	}
	put("fleet.csv", fleet)
	values, err := filepath.Abs("demo/gb-1.csv")
	if err != nil {
		t.Fatal(err)
	}
	wring(exitDone, "init", "--organisation", longName, "--address", longName+", "+longWord)
	wring(exitDone, "plan", "add", at("hundred.toml"))
	wring(exitDone, "standard", "add", "GB-1", "--kind", "gauge block set", "--grade", "1", "--material", "steel", "--interval", "24")
	wring(exitDone, "standard", "certificate", "GB-1", "--number", longWord, "--laboratory", longName, "--route", "national institute", "--date", "2026-02-03", "--values", values)
	for _, g := range []string{longGauge, "MIC-GOOD"} {
		wring(exitDone, "gauge", "add", g, "--kind", "outside micrometer", "--range", "0..25", "--resolution", "0.001", "--plan", "hundred", "--material", "steel",
			"--place", longWord, "--owner", longName, "--maker", longName, "--serial", longWord, "--description", longName+" "+longWord[:55], "--interval", "12")
	}
	wring(exitNo, "check", longGauge, "--sheet", at("bad.toml"))
	wring(exitDone, "check", "MIC-GOOD", "--sheet", at("good.toml"))
	wring(exitDone, "table", "import", "gauges", at("fleet.csv"))
}

// TestPages looks at every kind of page with programs that others wrote.
func TestPages(t *testing.T) {
	t.Parallel()
	files := writePages(t)
	drawing := filepath.Join(filepath.Dir(files[0]), "drift.svg")
	e, _, errs := deskForTest("")
	if code := run([]string{"wring", "--registry", filepath.Join(filepath.Dir(files[0]), "workshop.wring"), "drift", "MIC-021", "--svg", drawing}, e); code != exitDone {
		t.Fatalf("status %d: %s", code, errs)
	}
	t.Run("are what the standard of HTML asks for", func(t *testing.T) { checkValid(t, append(slices.Clone(files), drawing)) })
	t.Run("are read at every width, in light and dark, by keyboard and on paper", func(t *testing.T) { checkInBrowser(t, files) })
}

// validator is the Nu HTML Checker, which .ci/run puts there.
const validator = "/usr/local/share/java/vnu.jar"

func validate(t *testing.T, files ...string) []string {
	t.Helper()
	if _, err := os.Stat(validator); err != nil {
		t.Skip(validator + " is not there; want it to hold the pages to the standard")
	}
	if _, err := exec.LookPath("java"); err != nil {
		t.Skip("java is not installed; want it to hold the pages to the standard")
	}
	// Warnings too. The pages are well-formed XML besides, in which a void
	// element ends with a slash: in HTML that has no effect.
	out, _ := exec.Command("java", append([]string{"-XX:TieredStopAtLevel=1", "-Xss2m", "-jar", validator, "--format", "json", "--stdout", "--exit-zero-always", "--also-check-svg", "--filterpattern", "Trailing slash on void elements.*"}, files...)...).Output()
	var answer struct {
		Messages []struct{ URL, Message, Extract string }
	}
	if err := json.Unmarshal(out, &answer); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	var found []string
	for _, m := range answer.Messages {
		found = append(found, filepath.Base(m.URL)+": "+m.Message+" "+m.Extract)
	}
	return found
}

func checkValid(t *testing.T, files []string) {
	const fault = `<p id="twice"></p><p id="twice"></p><table><tr><td colspan="2">x</table>`
	bad := spoilt(t, files[0], "</main>", fault+"</main>")
	found := validate(t, append(slices.Clone(files), bad)...)
	caught := slices.DeleteFunc(slices.Clone(found), func(f string) bool { return !strings.HasPrefix(f, filepath.Base(bad)) })
	if len(caught) < 2 {
		t.Errorf("of the faults in a page made bad it found %q", caught)
	}
	for _, f := range found {
		if !slices.Contains(caught, f) {
			t.Error(f)
		}
	}
}

// spoilt is a page with the last of one thing in it replaced.
func spoilt(t *testing.T, file, old, now string) string {
	t.Helper()
	page, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	n := strings.LastIndex(string(page), old)
	if n < 0 {
		t.Fatalf("%s: no %q in it", file, old)
	}
	out := filepath.Join(t.TempDir(), "spoilt.html")
	if err := os.WriteFile(out, slices.Concat(page[:n], []byte(now), page[n+len(old):]), 0o666); err != nil {
		t.Fatal(err)
	}
	return out
}

// Widths of windows, px: a telephone, a desk; and what A4 and Letter leave
// between the margins, of which the narrower (180 mm) is looked at.
const (
	telephone = 360
	desk1440  = 1440
	paper     = 680
)

// An inspector measures pages in a browser.
type inspector struct {
	*browser
	script string
}

func checkInBrowser(t *testing.T, files []string) {
	script, err := os.ReadFile("../../testdata/browser/measure.js")
	if err != nil {
		t.Fatal(err)
	}
	i := inspector{startBrowser(t), string(script)}
	i.spoil(files[slices.IndexFunc(files, func(f string) bool { return filepath.Base(f) == "gauge-drifting.html" })])
	for _, file := range files {
		name := strings.TrimSuffix(filepath.Base(file), ".html")
		for _, width := range []int{telephone, desk1440} {
			i.open(file, width, "light")
			for _, scheme := range []string{"light", "dark"} {
				at := fmt.Sprintf("%s-%d-%s", name, width, scheme)
				i.media("", scheme)
				i.keepPicture(at + ".png")
				for _, f := range i.faults(file) {
					t.Errorf("%s: %s", at, f)
				}
			}
			if width == telephone {
				for _, f := range i.tabbed() {
					t.Errorf("%s: %s", name, f)
				}
			}
		}
		for _, f := range i.printed(file) {
			t.Errorf("%s, printed: %s", name, f)
		}
		i.keepPicture(name + ".pdf")
	}
}

// faults measures the page that is open, all of it unfolded, and looks at what
// it asked for.
func (i inspector) faults(file string) (found []string) {
	i.t.Helper()
	i.run("(document.querySelectorAll('details').forEach(d => d.open = true), {})", &struct{}{})
	i.run(i.script, &found)
	if asked := i.requests(); len(asked) != 1 || !strings.HasSuffix(asked[0], filepath.Base(file)) {
		found = append(found, fmt.Sprintf("request: the page asked for %q", asked))
	}
	return found
}

// tabbed presses the tabulator until all was visited, and compares with the
// order in which a reader meets what can be visited.
func (i inspector) tabbed() (found []string) {
	i.t.Helper()
	var want, got []string
	i.run(`(() => {
		window.went = [];
		addEventListener("focusin", e => {
			const s = getComputedStyle(e.target);
			went.push(s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2 ? e.target.dataset.n || "" : "nothing that is seen to be there");
		});
		return [...document.querySelectorAll("a[href],summary,[tabindex],button,input")].filter(e => e.checkVisibility()).map((e, n) => e.dataset.n = n + " " + e.tagName);
	})()`, &want)
	const most = 30 // stops that are looked at
	for range min(len(want), most) {
		i.press("Tab", 9)
	}
	i.run("went", &got)
	if want = want[:min(len(want), most)]; !slices.Equal(want, got) {
		found = append(found, fmt.Sprintf("keyboard: Tab leads to %q, want %q", got, want))
	}
	var tree struct {
		Nodes []struct {
			Ignored    bool
			Role, Name struct{ Value any }
			Properties []struct {
				Name  string
				Value struct{ Value any }
			}
		}
	}
	i.ask(&tree, "Accessibility.getFullAXTree", nil)
	for _, n := range tree.Nodes {
		named := n.Name.Value != nil && n.Name.Value != ""
		if role := fmt.Sprint(n.Role.Value); !n.Ignored && !named && slices.Contains([]string{"image", "table", "region", "link", "heading", "navigation", "graphics-document"}, role) {
			found = append(found, "hearing: a "+role+" without a name")
		}
	}
	return found
}

// printed measures a page as it goes to paper.
func (i inspector) printed(file string) (found []string) {
	i.t.Helper()
	i.open(file, paper, "dark")
	i.media("print", "dark")
	i.run(`(() => {
		const found = [], room = document.documentElement.clientWidth;
		for (const e of document.querySelectorAll("body *")) if (e.checkVisibility() && e.getClientRects().length) {
			const b = e.getBoundingClientRect();
			if (b.right > room + 1) found.push("width: " + Math.round(b.right) + " of " + room + " px: " + e.tagName + " " + e.textContent.slice(0, 40));
		}
		for (const e of [document.body, document.querySelector("svg")]) {
			if (e && !/rgba\(0, 0, 0, 0\)|rgb\(255, 255, 255\)/.test(getComputedStyle(e).backgroundColor)) found.push("ink: printed on " + getComputedStyle(e).backgroundColor);
		}
		return found;
	})()`, &found)
	return found
}

// spoil makes a page bad in one way after the other, and wants each found: a
// measure that finds nothing would pass everything.
func (i inspector) spoil(file string) {
	i.t.Helper()
	for _, c := range []struct{ rule, old, now string }{
		{"width", "<main>", `<main><div style="width:2000px">wide</div>`},
		{"width", "<main>", `<main><div style="width:9rem;overflow:hidden;white-space:nowrap">cut off at the end of its box</div>`},
		{"size", "<main>", `<main><p style="font-size:11px">small</p>`},
		{"contrast", "<main>", `<main><p style="color:#8a8a8a">pale</p>`},
		{"contrast", "<main>", `<main><p style="opacity:.5">pale</p>`},
		{"contrast", "</svg>", `<text x="30" y="40" class="x" style="fill:#c0c0c0">pale</text></svg>`},
		{"contrast", "</svg>", `<polyline points="20,20 60,60" style="stroke:#c8c8c8"/></svg>`},
		{"clipped", "</svg>", `<text x="-3" y="40">out</text></svg>`},
		{"overlap", "</svg>", `<text x="30" y="40">one word</text><text x="31" y="40">over another</text></svg>`},
		{"size", "</svg>", `<text x="30" y="40" font-size="2">small</text></svg>`},
		{"keyboard: rolls", "<main>", `<main><div style="width:9rem;overflow-x:auto"><div style="width:30rem">out of reach</div></div>`},
		{"keyboard: Tab", "</main>", `<p tabindex="3">out of order</p></main>`},
		{"keyboard: Tab", "<main>", `<main><p><a href="#part-1" style="outline:none">not seen to be there</a></p>`},
		{"hearing", "<main>", `<main><div role="img">no name</div>`},
		{"structure: heading", "<main>", `<main><h4>too deep</h4>`},
		{"structure: a table", "<main>", `<main><table><tbody><tr><td>no caption</td></tr></tbody></table>`},
		{"structure: heading cell", `scope="col"`, ``},
		{"structure: a drawing", "<desc>", "<desc></desc><desc>"},
		{"structure: no language", `lang="en-GB"`, ``},
		{"structure: a link", "<main>", `<main><p><a href="#nowhere">nowhere</a></p>`},
		{"request", "<main>", `<main><img alt="far" src="far.png"/>`},
	} {
		page := spoilt(i.t, file, c.old, c.now)
		i.open(page, telephone, "light")
		found := append(i.faults(page), i.tabbed()...)
		if !slices.ContainsFunc(found, func(f string) bool { return strings.HasPrefix(f, c.rule) }) {
			i.t.Errorf("with %s in the page it found %q; want %s", c.now, found, c.rule)
		}
	}
}
