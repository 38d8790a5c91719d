package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"

	"example.org/wring/calib"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/uncertainty/unit"
)

// budgetPoints finds the point that is named in the gauge's unit.
func (a checkAnswer) budgetPoints(which string) ([]int, error) {
	var all []int
	for i := range a.Points {
		all = append(all, i)
	}
	switch which {
	case "":
		return nil, nil
	case "all":
		return all, nil
	case wordOf(calib.LengthPart):
		return all, nil
	}
	if _, ok := partOf(which); ok {
		return nil, nil
	}
	q, err := unit.Parse(which, unit.Length, a.unit)
	if err != nil {
		return nil, &usageError{"--budget: " + err.Error()}
	}
	i := slices.IndexFunc(a.check.Points, func(p calib.Point) bool { return p.Nominal.Same(q) })
	if i < 0 {
		return nil, usagef("--budget %s: no point of this check; want one of its points, or all", q)
	}
	return []int{i}, nil
}

// writeBudget sets one point's budget, in the small unit of the gauge's own:
// µm, or µin for a gauge that is read in inches. --json has all digits.
func (a checkAnswer) writeBudget(out io.Writer, i int) error {
	p, small := a.Points[i], smallUnit(a.unit)
	t := screen.Table{Columns: []screen.Column{{Title: "contribution", Wrap: true}, {Title: "distribution"}, {Title: "u", Align: screen.Right},
		{Title: "ν", Align: screen.Right}, {Title: "c", Align: screen.Right}, {Title: "|c|·u\n" + small.Symbol(), Align: screen.Decimal}, {Title: "share\n%", Align: screen.Decimal}}}
	in := func(um float64) string { return fixed(small.FromFloat(um/micrometres), places(small)) }
	sources := ""
	for _, l := range p.Budget {
		t.Add(l.Name, l.Distribution, spread(l.U, l.Unit, small), dofText(l.DoF), slope(l.Sensitivity, l.Unit, small), in(l.ContributionUM), fixed(l.Share*100, 1))
		sources += fmt.Sprintf("\n%s: %s.", l.Name, l.Source)
	}
	t.Add("combined", "", "", dofText(p.DoF), "", in(p.UM), "")
	t.Add("expanded", "", "", "", "k = "+fixed(p.K, 3), in(p.ExpandedUM), "")
	return first(line(out, "Budget at %s, %s coverage\n", a.check.Points[i].Nominal, p.Method), t.Write(out),
		screen.Paragraph(out, "\nWhere the figures come from:"+sources, "  "))
}

// smallUnit is the unit in which the uncertainties of a gauge read well.
func smallUnit(of unit.Unit) unit.Unit {
	symbol := "µm"
	if slices.Contains([]string{"in", "thou", "µin"}, of.Symbol()) {
		symbol = "µin"
	}
	u, _ := unit.Lookup(symbol, unit.Length)
	return u
}

// places are the decimals at which a contribution of a nanometre is seen.
func places(small unit.Unit) int {
	if small.Symbol() == "µin" {
		return 2
	}
	return 4
}

const budgetDigits = 3 // significant digits of u and c on screen (house rule)

func figure(f float64) string {
	if f == 0 {
		return "0" // and not -0
	}
	return strconv.FormatFloat(f, 'g', budgetDigits, 64)
}

// spread writes an input's u in a unit that reads well.
func spread(u float64, symbol string, small unit.Unit) string {
	switch symbol {
	case "mm":
		return figure(small.FromFloat(u)) + " " + small.Symbol()
	case "1/°C":
		return figure(u*1e6) + " ppm/°C"
	}
	return figure(u) + " " + symbol
}

// slope writes a sensitivity for an input in the unit that spread writes it in.
func slope(c float64, symbol string, small unit.Unit) string {
	switch symbol {
	case "mm":
		return figure(c)
	case "1/°C":
		return figure(small.FromFloat(c)*1e-6) + " " + small.Symbol() + "/(ppm/°C)"
	}
	return figure(small.FromFloat(c)) + " " + small.Symbol() + "/" + symbol
}

func dofText(dof *float64) string {
	if dof == nil {
		return "∞"
	}
	if *dof >= 100 {
		return fixed(math.Floor(*dof), 0)
	}
	return figure(*dof)
}
