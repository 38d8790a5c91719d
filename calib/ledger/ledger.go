package ledger

import (
	"math"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
)

// A Line is one input of the budget of one result.
type Line struct {
	Kind   calib.ContributionKind
	Name   string
	Source string
	Unit   string  // of the input
	C      float64 // sensitivity, in the result's unit per Unit
	What   uncertainty.Distribution
}

// Budget makes the lines a budget.
func Budget(lines []Line) uncertainty.Budget {
	var b uncertainty.Budget
	for _, l := range lines {
		b.Inputs = append(b.Inputs, uncertainty.Input{Name: l.Name, Knowledge: l.What, Sensitivity: l.C, Source: l.Source})
	}
	return b
}

// A Ledger gathers the lines of several results into rows.
type Ledger struct {
	results int
	at      map[string]int
	list    []calib.BudgetRow
}

// New makes a ledger for a number of results.
func New(results int) *Ledger { return &Ledger{results: results, at: map[string]int{}} }

// Enter adds the lines of result i. A line that a result lacks stays 0 there.
func (g *Ledger) Enter(i int, lines []Line) {
	for _, l := range lines {
		key := l.Name + "\x00" + l.What.Shape().String() + "\x00" + l.Source
		n, ok := g.at[key]
		if !ok {
			n = len(g.list)
			g.at[key] = n
			g.list = append(g.list, calib.BudgetRow{Kind: l.Kind, Name: l.Name, Distribution: l.What.Shape().String(),
				Source: l.Source, Unit: l.Unit,
				U: make([]float64, g.results), C: make([]float64, g.results), DoF: make([]float64, g.results)})
		}
		row := g.list[n]
		row.U[i], row.C[i] = l.What.Standard(), l.C
		if nu := l.What.DoF(); !math.IsInf(nu, 1) {
			row.DoF[i] = nu
		}
	}
}

// Rows writes a figure that is the same for all results once.
func (g *Ledger) Rows() []calib.BudgetRow {
	for i := range g.list {
		r := &g.list[i]
		r.U, r.C, r.DoF = once(r.U), once(r.C), once(r.DoF)
		if len(r.DoF) == 1 && r.DoF[0] == 0 {
			r.DoF = nil
		}
	}
	return g.list
}

func once(list []float64) []float64 {
	for _, v := range list {
		if v != list[0] {
			return list
		}
	}
	return list[:1]
}
