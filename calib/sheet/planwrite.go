package sheet

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/unit"
)

// WritePlan writes a plan so that [ReadPlan] reads it back, digits and units
// as they were typed. The revision stands in a comment only.
func WritePlan(p calib.Plan) []byte {
	w := &writer{unit: p.Unit}
	if p.Revision > 0 {
		fmt.Fprintf(w, "# revision %d\n", p.Revision)
	}
	w.bare("format", "1")
	w.text("name", p.Name)
	w.text("title", p.Title)
	w.text("kind", string(p.Kind))
	w.text("method", p.Method)
	w.text("note", p.Note)
	w.text("unit", p.Unit)
	if len(p.Points) > 0 {
		w.points("points", p.Points)
		w.bare("readings", strconv.Itoa(p.Readings))
		w.bare("minimum", strconv.Itoa(p.Minimum))
		w.text("zero", string(p.Zero))
	}
	w.bare("probability", decimal(p.Probability))
	w.bare("digits", strconv.Itoa(p.Digits))
	if p.IntervalMonths > 0 {
		w.bare("interval_months", strconv.Itoa(p.IntervalMonths))
	}
	if p.IntermediateMonths > 0 {
		w.bare("intermediate_months", strconv.Itoa(p.IntermediateMonths))
	}
	w.quantity("believable", p.Believable)
	if len(p.Points) > 0 {
		w.limit(p.Limit)
	}
	w.rule("[rule]", p.Rule)
	w.environment(p.Environment)
	w.gates(p.Gates)
	for _, c := range p.Contributions {
		w.contribution("[[contribution]]", c)
	}
	w.parts(p)
	return w.Bytes()
}

// A writer writes keys in order and leaves out what is not given.
type writer struct {
	bytes.Buffer
	unit string // symbol of the plan's unit, which need not be repeated at its points
}

func (w *writer) bare(key, value string) { fmt.Fprintf(w, "%s = %s\n", key, value) }

func (w *writer) text(key, value string) {
	if value != "" {
		w.bare(key, quoted(value))
	}
}

func (w *writer) quantity(key string, q unit.Quantity) { w.text(key, q.String()) }

// float leaves out 0, which stands for "not given" in every field it serves.
func (w *writer) float(key string, f float64) {
	if f != 0 {
		w.bare(key, decimal(f))
	}
}

func (w *writer) table(header string) { fmt.Fprintf(w, "\n%s\n", header) }

func (w *writer) points(key string, list []unit.Quantity) {
	const perLine = 10 // as many as stay readable
	w.WriteString(key + " = [")
	for i, q := range list {
		if i > 0 {
			w.WriteString(",")
		}
		switch {
		case len(list) > perLine && i%perLine == 0:
			w.WriteString("\n  ")
		case i > 0:
			w.WriteString(" ")
		}
		text := q.String()
		if q.Unit().Symbol() == w.unit {
			text = q.Number()
		}
		w.WriteString(quoted(text))
	}
	if len(list) > perLine {
		w.WriteString(",\n")
	}
	w.WriteString("]\n")
}

func (w *writer) limit(l calib.Limit) {
	w.table("[limit]")
	w.quantity("value", l.Value)
	w.quantity("per_length", l.PerLength)
	w.quantity("at_least", l.AtLeast)
	w.text("origin", l.Origin)
	for _, r := range l.Rows {
		w.table("[[limit.row]]")
		w.quantity("up_to", r.UpTo)
		w.quantity("value", r.Value)
	}
}

func (w *writer) rule(header string, r calib.Rule) {
	w.table(header)
	w.text("name", r.Name)
	if r.Name == guardedAcceptance || r.Name == fourVerdicts {
		w.bare("factor", decimal(r.Factor)) // 0 is a factor too
	}
	w.float("risk", r.Risk)
}

func (w *writer) environment(e calib.Environment) {
	if e.IsZero() {
		return
	}
	w.table("[environment]")
	w.quantity("low", e.Low)
	w.quantity("high", e.High)
	w.quantity("difference", e.Difference)
}

func (w *writer) gates(g map[calib.Gate]calib.Action) {
	if len(g) == 0 {
		return
	}
	w.table("[gates]")
	for _, gate := range calib.Gates() {
		if action, ok := g[gate]; ok {
			w.bare(quoted(string(gate)), quoted(string(action)))
		}
	}
}

func (w *writer) contribution(header string, c calib.Contribution) {
	w.table(header)
	w.text("kind", string(c.Kind))
	w.text("name", c.Name)
	w.text("shape", c.Shape)
	w.quantity("half_width", c.HalfWidth)
	w.quantity("standard", c.Standard)
	w.quantity("expanded", c.Expanded)
	w.float("k", c.K)
	w.quantity("per_length", c.PerLength)
	w.quantity("pooled_s", c.PooledS)
	w.float("pooled_dof", c.PooledDoF)
	w.text("pooled_over", c.PooledOver)
	w.float("dof", c.DoF)
	w.text("source", c.Source)
}

// decimal writes a float with as many digits as tell it from its neighbours,
// never with an exponent.
func decimal(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }

// quoted writes a basic string of TOML 1.0.
func quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteRune('\\')
			b.WriteRune(r)
		case r < 0x20 || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
