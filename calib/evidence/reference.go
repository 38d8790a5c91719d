package evidence

import (
	"embed"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/wring/uncertainty/stat"
)

// The columns of a file of printed figures.
const (
	inputsColumn = iota + 1
	printedColumn
	toleranceColumn
	documentColumn
	clauseColumn
	markColumn
	columns
)

//go:embed published/*.csv
var publishedFiles embed.FS

// rows reads a built-in file less its heading.
func rows(name string) ([][]string, error) {
	text, err := publishedFiles.ReadFile("published/" + name)
	if err != nil {
		return nil, err
	}
	all, err := csv.NewReader(strings.NewReader(string(text))).ReadAll()
	if err != nil || len(all) < 2 {
		return nil, fmt.Errorf("built-in file %s: %d rows, %v; want a heading and rows", name, len(all), err)
	}
	return all[1:], nil
}

func numbers(all [][]string, column int) ([]float64, error) {
	out := make([]float64, len(all))
	for i, r := range all {
		v, err := strconv.ParseFloat(r[column], 64)
		if err != nil {
			return nil, err
		}
		out[i] = v
	}
	return out, nil
}

// misprint is the one cell of table G.2 that its own rule does not give: 1.70
// is printed, 1.689572 is right.
const (
	factorTable = "table G.2"
	misprint    = "35 90"
)

// factorExamples are the cells of JCGM 100:2008, table G.2, one example for
// each ν.
func factorExamples() ([]example, error) {
	all, err := rows("t_factors.csv")
	if err != nil {
		return nil, err
	}
	var out []example
	for _, r := range all {
		if len(r) != columns {
			return nil, fmt.Errorf("built-in table G.2: row %q; want %d columns", r, columns)
		}
		nu, p, _ := strings.Cut(r[inputsColumn], " ")
		title := "t-factors, ν = " + strings.ReplaceAll(nu, "inf", "∞")
		if len(out) == 0 || out[len(out)-1].title != title {
			out = append(out, example{document: gum, clause: factorTable, title: title, work: func(w *workings) { factorsOf(w, nu) }})
		}
		if r[inputsColumn] == misprint {
			continue
		}
		last := &out[len(out)-1]
		last.figures = append(last.figures, printed{quantity: "t at " + p + " %", text: r[printedColumn], mark: Mark(r[markColumn])})
	}
	return out, nil
}

// factorsOf works out one row of table G.2. Three of its probabilities stand
// for one, two and three standard deviations of a normal distribution.
func factorsOf(w *workings, dof string) {
	nu, err := strconv.ParseFloat(dof, 64)
	w.note(err)
	for _, c := range []struct {
		name string
		p    float64
	}{
		{"t at 68.27 %", math.Erf(1 / math.Sqrt2)}, {"t at 90 %", 0.90}, {"t at 95 %", 0.95},
		{"t at 95.45 %", math.Erf(math.Sqrt2)}, {"t at 99 %", 0.99}, {"t at 99.73 %", math.Erf(3 / math.Sqrt2)},
	} {
		w.got(c.name)(stat.TQuantile((1+c.p)/2, nu))
	}
}

// certifiedExamples are the NIST reference data: certified to 15 digits, of
// which a float64 can give fewer where the data agree in many leading ones.
func certifiedExamples() ([]example, error) {
	all, err := rows("strd_certified.csv")
	if err != nil {
		return nil, err
	}
	var out []example
	for _, r := range all {
		if len(r) != columns {
			return nil, fmt.Errorf("built-in reference data: row %q; want %d columns", r, columns)
		}
		set := r[0]
		tolerance, err := strconv.ParseFloat(r[toleranceColumn], 64)
		if err != nil {
			return nil, fmt.Errorf("built-in reference data: row %q; want a tolerance", r)
		}
		if len(out) == 0 || out[len(out)-1].clause != setNames[set] {
			out = append(out, example{document: strd, clause: setNames[set], title: r[clauseColumn], work: func(w *workings) { certified(w, set) }})
		}
		last := &out[len(out)-1]
		last.figures = append(last.figures, printed{r[1], "", r[printedColumn], Mark(r[markColumn]),
			criterion{digits: int(math.Round(-math.Log10(tolerance))), reason: certifiedReason}})
	}
	return out, nil
}

// certified works one set of reference data out.
func certified(w *workings, set string) {
	data, err := rows("strd_" + set + ".csv")
	if err != nil {
		w.note(err)
		return
	}
	if set == "sirstv" || set == "smls01" {
		w.oneWay(data)
		return
	}
	y, err := numbers(data, 0)
	w.note(err)
	switch set {
	case "norris", "noint1":
		x, err := numbers(data, 1)
		w.note(err)
		w.regress(set, x, y)
	default:
		w.got("mean")(stat.Mean(y))
		w.got("s")(stat.StdDev(y))
	}
}

func (w *workings) regress(set string, x, y []float64) {
	if set == "noint1" {
		b, u, s, err := stat.FitProportional(x, y)
		w.note(err)
		w.put("slope", b)
		w.put("u(slope)", u)
		w.put("s", s)
		return
	}
	l, err := stat.FitLine(x, y, nil, 0)
	w.note(err)
	w.put("intercept", l.Intercept)
	w.put("u(intercept)", l.UIntercept)
	w.put("slope", l.Slope)
	w.put("u(slope)", l.USlope)
	w.put("s", l.S)
}

func (w *workings) oneWay(data [][]string) {
	y, err := numbers(data, 1)
	if err != nil {
		w.note(err)
		return
	}
	var order []string
	var groups [][]float64
	for i, r := range data {
		at := slices.Index(order, r[0])
		if at < 0 {
			at, order, groups = len(order), append(order, r[0]), append(groups, nil)
		}
		groups[at] = append(groups[at], y[i])
	}
	a, err := stat.OneWay(groups)
	w.note(err)
	w.put("between", a.Between)
	w.put("within", a.Within)
	w.put("F", a.F)
	w.put("s", a.SWithin())
}
