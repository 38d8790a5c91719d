package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

// A retold is one report worked out again from the tables that are exported,
// with nothing of the program but those files: text, calendar and sums.
type retold struct {
	t    *testing.T
	dir  string
	day  time.Time
	kind map[string]string // of gauges
}

func (w retold) table(name string) (rows []map[string]string) {
	w.t.Helper()
	f, err := os.Open(filepath.Join(w.dir, "tables", name+".csv"))
	if err != nil {
		w.t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil || len(all) < 2 {
		w.t.Fatalf("%s: %d lines, %v", name, len(all), err)
	}
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, heading := range all[0] {
			row[heading] = strings.TrimPrefix(line[i], "'")
		}
		rows = append(rows, row)
	}
	return rows
}

// cells reads the rows of the table under a heading of a page.
func (w retold) cells(page, heading string) (rows [][]string) {
	w.t.Helper()
	_, after, ok := strings.Cut(page, heading+"</h2>")
	if !ok {
		w.t.Fatalf("no heading %q", heading)
	}
	after, _, _ = strings.Cut(after, "</table>")
	tags := regexp.MustCompile(`<[^>]*>`)
	for row := range strings.SplitSeq(after, "<tr>") {
		if !strings.HasPrefix(row, `<th scope="row"`) {
			continue
		}
		var cells []string
		for _, cell := range regexp.MustCompile(`</t[hd]>`).Split(row, -1) {
			cells = append(cells, strings.Trim(tags.ReplaceAllString(cell, ""), "\u2007\u2008\n"))
		}
		rows = append(rows, cells[:len(cells)-1])
	}
	return rows
}

func (w retold) date(s string) time.Time {
	w.t.Helper()
	d, err := time.Parse(time.DateOnly, s)
	if err != nil {
		w.t.Fatal(err)
	}
	return d
}

// number reads a cell as a spreadsheet would, to which a fraction is a text.
func (w retold) number(s string) float64 {
	w.t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		w.t.Fatalf("%q is no number", s)
	}
	return v
}

// due is, for each gauge and standard, the first day on which anything of it is
// due; "failed" and "never" are days of their own.
func (w retold) due() map[string]string {
	months := map[string]int{}
	for _, p := range w.table("plans") {
		months[p["plan"]], _ = strconv.Atoi(p["interval"])
	}
	planOf := map[string]string{}
	for _, c := range w.table("checks") {
		planOf[c["check"]] = c["plan"]
	}
	last, days := map[string]map[string]string{}, map[string]string{} // by gauge and part
	for _, r := range w.table("results") {
		at := r["gauge"] + " " + r["part"]
		if last[at] == nil || r["date"] >= last[at]["date"] {
			last[at] = r
		}
	}
	verdicts := map[string]string{}
	for _, g := range w.table("gauges") {
		days[g["gauge"]] = "never"
		verdicts[g["gauge"]] = g["last_verdict"]
	}
	for _, r := range last {
		id, next := r["gauge"], w.date(r["date"]).AddDate(0, months[planOf[r["check"]]], 0).Format(time.DateOnly)
		switch {
		case verdicts[id] != "pass":
			days[id] = "failed"
		case days[id] == "never" || next < days[id]:
			days[id] = next
		}
	}
	for _, c := range w.table("certificates") { // each certificate's rows in order of date
		days[c["standard"]] = c["due"]
	}
	return days
}

// within counts, by kind, the checks of length as found, and those of which no
// error is beyond its limit.
func (w retold) within() (checks, good map[string]int) {
	checks, good = map[string]int{}, map[string]int{}
	beyond := map[string]bool{}
	gauge := map[string]string{}
	for _, r := range w.table("results") {
		if r["part"] != "length" || r["stage"] != "as found" {
			continue
		}
		gauge[r["check"]] = r["gauge"]
		beyond[r["check"]] = beyond[r["check"]] || math.Abs(w.number(r["value"])) > w.number(r["limit_high"])
	}
	for check, id := range gauge {
		checks[w.kind[id]]++
		if !beyond[check] {
			good[w.kind[id]]++
		}
	}
	return checks, good
}

// tail is the probability of k or more good of n where each is good with p.
func tail(n, k int, p float64) (sum float64) {
	for i := k; i <= n; i++ {
		c := 1.0
		for j := range i {
			c *= float64(n-j) / float64(j+1)
		}
		sum += c * math.Pow(p, float64(i)) * math.Pow(1-p, float64(n-i))
	}
	return sum
}

// ends is the interval of Clopper and Pearson by halving, in per cent.
func ends(n, k int) (low, high string) {
	solve := func(beyond func(p float64) bool) string {
		a, b := 0.0, 1.0
		for range 60 {
			if p := (a + b) / 2; beyond(p) {
				b = p
			} else {
				a = p
			}
		}
		return fmt.Sprintf("%.1f", 100*a)
	}
	return solve(func(p float64) bool { return tail(n, k, p) > 0.025 }), solve(func(p float64) bool { return 1-tail(n, k+1, p) < 0.025 })
}

func TestReportsSayWhatTheTablesSay(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "workshop.wring")
	page := func(args ...string) string {
		t.Helper()
		e, out, errs := deskForTest("")
		if code := run(append([]string{"wring", "--registry", file}, args...), e); code != exitDone {
			t.Fatalf("%v: status %d: %s", args, code, errs)
		}
		return out.String()
	}
	page("demo", dir)
	page("table", "export", "all", filepath.Join(dir, "tables"))
	w := retold{t: t, dir: dir, day: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC), kind: map[string]string{}}
	all := map[string]int{}
	for _, g := range w.table("gauges") {
		w.kind[g["gauge"]] = g["kind"]
		all[g["kind"]]++
	}
	fleet := page("report", "fleet", "--html", "-")
	days := w.due()
	count := func(kind string, in func(day string) bool) (n int) {
		for id, day := range days {
			if w.kind[id] == kind && in(day) {
				n++
			}
		}
		return n
	}
	today := w.day.Format(time.DateOnly)
	kinds := w.cells(fleet, "Gauges by kind")
	if len(kinds) != len(all) {
		t.Errorf("%d kinds; want %d", len(kinds), len(all))
	}
	for _, row := range kinds {
		k := row[0]
		late := count(k, func(day string) bool { return day[0] == '2' && day < today })
		want := []string{k, strconv.Itoa(all[k]), strconv.Itoa(all[k]), strconv.Itoa(late), fmt.Sprintf("%.1f", 100*float64(late)/float64(all[k])),
			strconv.Itoa(count(k, func(day string) bool { return day == "never" })), strconv.Itoa(count(k, func(day string) bool { return day == "failed" }))}
		if d := cmp.Diff(want, row[:len(want)]); d != "" {
			t.Errorf("state: %s", d)
		}
	}
	checks, good := w.within()
	var want [][]string
	for _, row := range kinds {
		n, k := checks[row[0]], good[row[0]]
		low, high := ends(n, k)
		want = append(want, []string{row[0], strconv.Itoa(n), strconv.Itoa(k), fmt.Sprintf("%.1f", 100*float64(k)/float64(n)), low, high})
	}
	if d := cmp.Diff(want, w.cells(fleet, "Reliability by kind")); d != "" {
		t.Errorf("reliability: %s", d)
	}
	w.checkLoad(fleet, days, today)
	w.checkSeries(page("report", "gauge", "MIC-021", "--html", "-"), "MIC-021")
}

// checkLoad compares what falls due in each month, in the table and as drawn.
func (w retold) checkLoad(page string, days map[string]string, today string) {
	var rows, drawn [][]string
	waiting := 0
	for _, day := range days {
		if day == "never" || day == "failed" || day != "" && day < today {
			waiting++
		}
	}
	drawn = append(drawn, []string{"\u22121", strconv.Itoa(waiting)})
	for i := range 12 {
		month := w.day.AddDate(0, i, 1-w.day.Day()).Format("2006-01")
		var names []string
		for id, day := range days {
			if day >= today && strings.HasPrefix(day, month) {
				names = append(names, id)
			}
		}
		slices.Sort(names)
		rows = append(rows, []string{month, strconv.Itoa(len(names)), strings.Join(names, ", ")})
		if len(names) > 0 {
			drawn = append(drawn, []string{strconv.Itoa(i), strconv.Itoa(len(names))})
		}
	}
	if d := cmp.Diff(rows, w.cells(page, "Load by month")); d != "" {
		w.t.Errorf("load: %s", d)
	}
	if d := cmp.Diff(drawn, w.cells(page, "Load of the coming months")); d != "" {
		w.t.Errorf("load as drawn: %s", d)
	}
}

// checkSeries compares the series that is drawn, point by point, with the
// results at the size that its axis names.
func (w retold) checkSeries(page, gauge string) {
	at := regexp.MustCompile(`error at ([0-9.]+) mm`).FindStringSubmatch(page)
	if at == nil {
		w.t.Fatal("no size is named")
	}
	var want [][]string
	for _, r := range w.table("results") {
		if r["gauge"] == gauge && r["part"] == "length" && r["at"] == at[1] {
			want = append(want, []string{r["stage"], r["date"], r["value"], r["expanded"]})
		}
	}
	got := w.cells(page, "Errors in time")
	if len(want) < 4 || len(got) != len(want)+1 { // and the forecast
		w.t.Fatalf("%d points; want %d and the forecast", len(got), len(want))
	}
	for i := range want {
		if d := cmp.Diff(want[i][:2], got[i][:2]); d != "" {
			w.t.Errorf("series: %s", d)
		}
		for j := 2; j < 4; j++ { // drawn in µm to a hundredth, from series in whole nanometres
			shown := w.number(strings.Replace(got[i][j], "\u2212", "-", 1))
			if off := shown - 1000*w.number(want[i][j]); !(math.Abs(off) < 0.0056) {
				w.t.Errorf("series, %s: %s drawn for %s mm", got[i][1], got[i][j], want[i][j])
			}
		}
	}
}
