package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"example.org/wring/cmd/internal/screen"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/budgetfile"
)

func newBudget(e env) *cli.Command {
	return &cli.Command{
		Name:      "budget",
		Usage:     "evaluate any uncertainty budget from a file",
		ArgsUsage: "FILE",
		UsageText: "wring budget flow.toml --largest-first",
		Description: "The file is TOML: quantity, unit, probability (0.95 if left out), perhaps model\n" +
			"(an expression over the inputs' names), and an [[input]] table for each input:\n" +
			"name, value, distribution (normal, t, rectangular, triangular, trapezoidal,\n" +
			"arcsine, curvilinear) with half_width, u, or expanded and k; or readings; or\n" +
			"pooled_s with n; dof or unreliability; sensitivity (1 if left out). Pairs that\n" +
			"hang together stand in [[correlation]] tables: between = [\"a\", \"b\"], r = 0.9.",
		Flags: []cli.Flag{
			text("method", "METHOD", "of coverage: exact, t or monte-carlo; else exact where it can be had, then monte carlo"),
			text("seed", "N", "of the draws (1); the same seed gives the same figures"),
			switchOn("largest-first", "list the largest contribution first"),
		},
		Action: func(c *cli.Context) error { return runBudget(deskOf(e, c), c) },
	}
}

// A budgetAnswer is the result of one budget in the form that other tools
// read. Figures are in the budget's own unit.
type budgetAnswer struct {
	Quantity    string             `json:"quantity,omitempty"`
	Unit        string             `json:"unit,omitempty"`
	Estimate    float64            `json:"estimate"`    // in Unit
	U           float64            `json:"u"`           // combined standard uncertainty, in Unit
	DoF         *float64           `json:"dof"`         // effective degrees of freedom, null for infinite
	K           float64            `json:"k"`           // coverage factor, without unit
	Expanded    float64            `json:"expanded"`    // expanded uncertainty, in Unit
	Interval    [2]float64         `json:"interval"`    // coverage interval, in Unit
	Probability float64            `json:"probability"` // of coverage
	Method      uncertainty.Method `json:"method"`
	Drawing     *drawingAnswer     `json:"drawing,omitempty"`
	Inputs      []inputAnswer      `json:"inputs"`
	Other       []otherAnswer      `json:"other"`
}

// A drawingAnswer says how a Monte Carlo result came about.
type drawingAnswer struct {
	Seed      uint64     `json:"seed"`
	Trials    int        `json:"trials"`
	Tolerance float64    `json:"tolerance"` // numerical, in the budget's unit
	Stable    bool       `json:"stable"`
	Shortest  [2]float64 `json:"shortest"` // shortest coverage interval, in the budget's unit
}

// An inputAnswer is one line of the budget.
type inputAnswer struct {
	Name         string   `json:"name"`
	Estimate     float64  `json:"estimate"` // in the input's unit
	Distribution string   `json:"distribution"`
	U            float64  `json:"u"`            // standard uncertainty, in the input's unit
	DoF          *float64 `json:"dof"`          // null for infinite
	Sensitivity  float64  `json:"sensitivity"`  // budget's unit per input's unit
	Contribution float64  `json:"contribution"` // |sensitivity|·u, in the budget's unit
	Share        float64  `json:"share"`        // of u², without unit
}

// An otherAnswer is what a method that was not chosen gives, or why it gives
// nothing.
type otherAnswer struct {
	Method   uncertainty.Method `json:"method"`
	U        *float64           `json:"u,omitempty"`        // in the budget's unit
	K        *float64           `json:"k,omitempty"`        // without unit
	Expanded *float64           `json:"expanded,omitempty"` // in the budget's unit
	Interval *[2]float64        `json:"interval,omitempty"` // in the budget's unit
	Drawing  *drawingAnswer     `json:"drawing,omitempty"`
	Reason   string             `json:"reason,omitempty"`
}

func runBudget(d desk, c *cli.Context) error {
	w, err := words(c, "FILE")
	if err != nil {
		return err
	}
	method, err := choice(c, "method", []uncertainty.Method{uncertainty.Exact, uncertainty.T, uncertainty.MonteCarlo})
	if err != nil {
		return err
	}
	seed := uint64(1)
	if s := c.String("seed"); s != "" {
		if seed, err = strconv.ParseUint(s, 10, 64); err != nil {
			return usagef("--seed %q: want a whole number from 0", s)
		}
	}
	name, data, err := d.readInput(w[0])
	if err != nil {
		return err
	}
	file, err := budgetfile.Read(data)
	if err != nil {
		return inFile(name, err)
	}
	tries := tryAll(file, seed)
	chosen, err := choose(tries, method)
	if err != nil {
		return inFile(name, err)
	}
	a := budgetOf(file, tries, chosen)
	if c.Bool("largest-first") {
		slices.SortStableFunc(a.Inputs, func(x, y inputAnswer) int { return cmp.Compare(y.Contribution, x.Contribution) })
	}
	return d.answer(a, func(out io.Writer) error { return writeBudgetFile(out, a) })
}

// inFile puts the file's name before each of several lines.
func inFile(name string, err error) error {
	lines := strings.Split(err.Error(), "\n")
	for i, l := range lines {
		lines[i] = name + ": " + l
	}
	return errors.New(strings.Join(lines, "\n"))
}

// A try is one method on the budget.
type try struct {
	method    uncertainty.Method
	statement uncertainty.Statement
	err       error
}

// tryAll evaluates the budget by every method, in the order in which they are
// preferred.
func tryAll(f budgetfile.File, seed uint64) []try {
	out := []try{{method: uncertainty.Exact}, {method: uncertainty.MonteCarlo}, {method: uncertainty.T}}
	for i := range out {
		t := &out[i]
		if t.method == uncertainty.MonteCarlo {
			t.statement, t.err = f.Budget.Simulate(f.Probability, uncertainty.Drawing{Seed: seed})
		} else {
			t.statement, t.err = f.Budget.Evaluate(f.Probability, t.method)
		}
	}
	return out
}

// choose returns the try that was asked for, or the first that gave something.
func choose(tries []try, asked uncertainty.Method) (int, error) {
	for i, t := range tries {
		if t.method == asked || (asked == "" && t.err == nil) {
			return i, t.err
		}
	}
	return 0, tries[0].err
}

func budgetOf(f budgetfile.File, tries []try, chosen int) budgetAnswer {
	s := tries[chosen].statement
	a := budgetAnswer{Quantity: f.Quantity, Unit: f.Unit, Estimate: s.Estimate, U: s.Standard, DoF: noInfinity(s.DoF), K: s.K,
		Expanded: s.Expanded, Interval: [2]float64{s.Low, s.High}, Probability: s.Probability, Method: s.Method, Drawing: drawing(s.Simulation)}
	for _, l := range s.Lines {
		a.Inputs = append(a.Inputs, inputAnswer{Name: l.Name, Estimate: l.Estimate, Distribution: l.Distribution, U: l.U,
			DoF: noInfinity(l.DoF), Sensitivity: l.Sensitivity, Contribution: l.Contribution, Share: l.Share})
	}
	for i, t := range tries {
		if i == chosen {
			continue
		}
		o := otherAnswer{Method: t.method}
		if t.err != nil {
			o.Reason = t.err.Error()
		} else {
			x := t.statement
			o.U, o.K, o.Expanded, o.Interval, o.Drawing = &x.Standard, &x.K, &x.Expanded, &[2]float64{x.Low, x.High}, drawing(x.Simulation)
		}
		a.Other = append(a.Other, o)
	}
	return a
}

func drawing(s *uncertainty.Simulation) *drawingAnswer {
	if s == nil {
		return nil
	}
	return &drawingAnswer{Seed: s.Seed, Trials: s.Trials, Tolerance: s.Tolerance, Stable: s.Stable, Shortest: [2]float64{s.ShortestLow, s.ShortestHigh}}
}

func noInfinity(f float64) *float64 {
	if math.IsInf(f, 0) {
		return nil
	}
	return &f
}

func writeBudgetFile(out io.Writer, a budgetAnswer) error {
	if a.Quantity != "" {
		if err := screen.Paragraph(out, a.Quantity+"\n", "  "); err != nil {
			return err
		}
	}
	d := screen.Decimal
	t := screen.Table{Columns: []screen.Column{{Title: "quantity", Wrap: true}, {Title: "estimate", Align: screen.Right}, {Title: "distribution"}, {Title: "u", Align: screen.Right},
		{Title: "ν", Align: screen.Right}, {Title: "c", Align: screen.Right}, {Title: strings.TrimSpace("|c|·u\n" + a.Unit), Align: screen.Right}, {Title: "share\n%", Align: d}}}
	for _, in := range a.Inputs {
		t.Add(in.Name, short(in.Estimate), in.Distribution, short(in.U), dofText(in.DoF), short(in.Sensitivity), short(in.Contribution), fixed(in.Share*100, 1))
	}
	t.Add("combined", "", "", "", dofText(a.DoF), "", short(a.U), "")
	if err := first(t.Write(out), line(out, "")); err != nil {
		return err
	}
	if err := first(writeStatement(out, a), line(out, "")); err != nil {
		return err
	}
	return methodsTable(a).Write(out)
}

// writeStatement says the result as a certificate would: rounded at U's last
// place.
func writeStatement(out io.Writer, a budgetAnswer) error {
	value, expanded, err := uncertainty.FormatFloat(a.Estimate, a.Expanded, 2)
	if err != nil {
		return err
	}
	text := fmt.Sprintf("%s ± %s %s, k = %s, coverage probability %s %%, %s.", value, expanded, a.Unit, fixed(a.K, 2),
		strconv.FormatFloat(a.Probability*100, 'g', 6, 64), methodText(a.Method, a.Drawing))
	return screen.Paragraph(out, strings.ReplaceAll(text, " ,", ","), "  ")
}

func methodText(m uncertainty.Method, d *drawingAnswer) string {
	switch {
	case d == nil && m == uncertainty.T:
		return "t of the effective degrees of freedom"
	case d == nil:
		return "exact coverage"
	case !d.Stable:
		return fmt.Sprintf("Monte Carlo, %d trials of seed %d, not stable within its tolerance of %s", d.Trials, d.Seed, short(d.Tolerance))
	default:
		return fmt.Sprintf("Monte Carlo, %d trials of seed %d", d.Trials, d.Seed)
	}
}

// methodsTable sets all methods side by side, the chosen one first.
func methodsTable(a budgetAnswer) screen.Table {
	t := screen.Table{Columns: []screen.Column{{Title: "method"}, {Title: "u", Align: screen.Right}, {Title: "k", Align: screen.Decimal}, {Title: "U", Align: screen.Right}, {Title: "from", Align: screen.Right}, {Title: "to", Align: screen.Right}, {Title: "remark", Wrap: true}}}
	t.Add(string(a.Method), short(a.U), fixed(a.K, 3), short(a.Expanded), long(a.Interval[0]), long(a.Interval[1]), "chosen")
	for _, o := range a.Other {
		if o.Reason != "" {
			t.Add(string(o.Method), "", "", "", "", "", o.Reason)
			continue
		}
		remark := ""
		if o.Drawing != nil && !o.Drawing.Stable {
			remark = "not stable"
		}
		t.Add(string(o.Method), short(*o.U), fixed(*o.K, 3), short(*o.Expanded), long(o.Interval[0]), long(o.Interval[1]), remark)
	}
	return t
}

func short(f float64) string { return strconv.FormatFloat(f, 'g', 5, 64) }

// long keeps enough digits to tell the ends of a narrow interval apart.
func long(f float64) string { return strconv.FormatFloat(f, 'g', 9, 64) }
