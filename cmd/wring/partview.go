package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/presser"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// A partAnswer is one part beside length as --json has it.
type partAnswer struct {
	Part    calib.Part     `json:"part"`
	Verdict calib.Verdict  `json:"verdict"`
	Rule    string         `json:"rule"`
	Origin  string         `json:"limit_origin"`
	Gravity *calib.Environ `json:"gravity,omitempty"`     // m/s²
	Air     *calib.Environ `json:"air,omitempty"`         // density, kg/m³
	Heavy   float64        `json:"heaviest_kg,omitempty"` // largest mass handled for one reading, kg
	Notes   []string       `json:"notes,omitempty"`
	Figures []partFigure   `json:"figures"`
}

// A partFigure is one figure of it; its values are in Unit.
type partFigure struct {
	Name        string        `json:"name"`
	At          string        `json:"at,omitempty"` // opening or load as typed
	Unit        string        `json:"unit"`
	Value       float64       `json:"value"`               // in Unit
	Applied     *float64      `json:"applied,omitempty"`   // true value of the load, in Unit
	Indicated   *float64      `json:"indicated,omitempty"` // mean, in Unit
	Low         *float64      `json:"low"`                 // limit in Unit, null where open
	High        *float64      `json:"high"`                // limit in Unit, null where open
	U           float64       `json:"u"`                   // combined standard uncertainty, in Unit
	Expanded    float64       `json:"expanded"`            // in Unit
	K           float64       `json:"k"`                   // coverage factor
	DoF         *float64      `json:"dof"`                 // effective degrees of freedom, null for infinite
	Method      string        `json:"method"`
	Ratio       float64       `json:"ratio"`       // half the band, or the limit, over U; 0 where there is none
	Conformance float64       `json:"conformance"` // probability, 0 to 1; 0 where nothing is judged
	Verdict     calib.Verdict `json:"verdict,omitempty"`

	// Shown is value and U as they stand on screen and certificate.
	Shown struct {
		Value    string `json:"value"`
		Expanded string `json:"expanded"`
		Unit     string `json:"unit"`
	} `json:"shown"`

	Budget []partLine `json:"budget"`
}

// A partLine is one line of one figure's budget.
type partLine struct {
	Name         string   `json:"name"`
	Distribution string   `json:"distribution"`
	Source       string   `json:"source"`
	U            float64  `json:"u"` // in Unit
	Unit         string   `json:"unit"`
	DoF          *float64 `json:"dof"`          // null for infinite
	Sensitivity  float64  `json:"sensitivity"`  // figure's unit per Unit
	Contribution float64  `json:"contribution"` // |c|·u, in the figure's unit
	Share        float64  `json:"share"`        // of u_c²
}

// otherParts are the parts beside length of a result.
func otherParts(r calib.Result) []calib.Part {
	var out []calib.Part
	for _, part := range r.Parts() {
		if part != calib.LengthPart {
			out = append(out, part)
		}
	}
	return out
}

func shownPart(part calib.Part, r calib.PartResult, b calib.Basis) partAnswer {
	terms, _ := b.Plan.TermsOf(part)
	a := partAnswer{Part: part, Verdict: r.Verdict, Rule: ruleText(terms.Rule), Origin: b.Plan.OriginOf(part), Gravity: r.Gravity, Air: r.Air, Heavy: r.Heaviest, Notes: r.Notes}
	for i := range r.Figures {
		a.Figures = append(a.Figures, shownFigure(part, r, i, b))
	}
	return a
}

func shownFigure(part calib.Part, r calib.PartResult, i int, b calib.Basis) partFigure {
	f := r.Figures[i]
	a := partFigure{Name: f.Name, At: f.At.String(), Unit: f.Unit, Value: f.Value.Float(), Low: float(f.Low), High: float(f.High),
		U: f.Standard, Expanded: f.Expanded, K: f.K, DoF: finite(f.DoF), Method: f.Method, Ratio: f.Ratio, Conformance: f.Conformance, Verdict: f.Verdict}
	if !f.Applied.IsZero() {
		a.Applied, a.Indicated = float(&f.Applied), float(&f.Indicated)
	}
	value, expanded, u := figureText(part, f, b)
	a.Shown.Value, a.Shown.Expanded, a.Shown.Unit = value, expanded, u.Symbol()
	variance := f.Standard * f.Standard
	for _, row := range r.Budget {
		u, c, dof := row.At(i)
		if c == 0 {
			continue // a line of other figures
		}
		l := partLine{Name: row.Name, Distribution: row.Distribution, Source: row.Source, U: u, Unit: row.Unit, DoF: finite(dof), Sensitivity: c, Contribution: math.Abs(c) * u}
		if variance > 0 {
			l.Share = l.Contribution * l.Contribution / variance
		}
		a.Budget = append(a.Budget, l)
	}
	return a
}

func float(e *unit.Exact) *float64 {
	if e == nil {
		return nil
	}
	f := e.Float()
	return &f
}

// figureText writes a figure and its U to the last place of U, in the unit in
// which it is shown. An error has its sign.
func figureText(part calib.Part, f calib.Figure, b calib.Basis) (value, expanded string, u unit.Unit) {
	u = presser.ShownIn(part, f, b)
	rounded, err := uncertainty.Round(u.FromFloat(f.Expanded), b.Plan.Digits)
	if err != nil {
		return "", "", u
	}
	value = rounded.Show(u.From(f.Value).Rat())
	if !f.Applied.IsZero() && f.Value.Sign() > 0 && value != rounded.Show(unit.Exact{}.Rat()) {
		value = "+" + value
	}
	return value, rounded.Text, u
}

// limitsText writes what a figure is held to, empty where nothing is.
func limitsText(f calib.Figure, u unit.Unit) string {
	text := func(e *unit.Exact) string { return shortest(u.From(*e)) }
	switch {
	case f.Low != nil && f.High != nil && f.Low.Neg().Cmp(*f.High) == 0:
		return "± " + text(f.High)
	case f.Low != nil && f.High != nil:
		return text(f.Low) + " to " + text(f.High)
	case f.High != nil:
		return "≤ " + text(f.High)
	case f.Low != nil:
		return "≥ " + text(f.Low)
	}
	return ""
}

// shortest writes a limit in full where it has a short decimal, else to five
// significant digits.
func shortest(e unit.Exact) string {
	const most = 6 // places; no limit of the trade is stated finer
	if places, finite := e.Rat().FloatPrec(); finite && places <= most {
		return e.Text(places)
	}
	return "≈" + fmt.Sprintf("%.5g", e.Float())
}

// writeParts sets every part beside length.
func (a checkAnswer) writeParts(out io.Writer) error {
	for i, p := range a.Parts {
		if i > 0 || len(a.Points) > 0 {
			if err := line(out, ""); err != nil {
				return err
			}
		}
		r := a.result.Part(p.Part)
		if err := first(line(out, "%s\n", strings.ToUpper(string(p.Part[:1]))+string(p.Part[1:])), a.partTable(p.Part, *r).Write(out), a.writePartFoot(out, p, *r)); err != nil {
			return err
		}
	}
	return nil
}

func (a checkAnswer) partTable(part calib.Part, r calib.PartResult) screen.Table {
	d := screen.Decimal
	t := screen.Table{Columns: []screen.Column{{Title: "figure", Wrap: true}, {Title: "at", Align: screen.Right}, {Title: "applied", Align: d}, {Title: "value", Align: d}, {Title: "U", Align: d},
		{Title: "unit"}, {Title: "k", Align: d}, {Title: "limits"}, {Title: "p to\nconform", Align: d}, {Title: "verdict", Wrap: true}}}
	for _, f := range r.Figures {
		value, expanded, u := figureText(part, f, a.basis)
		applied, p := "", ""
		if !f.Applied.IsZero() {
			rounded, err := uncertainty.Round(u.FromFloat(f.Expanded), a.plan.Digits)
			if err == nil {
				applied = rounded.Show(u.From(f.Applied).Rat())
			}
		}
		if f.Judged() {
			p = probabilityText(f.Conformance)
		}
		t.Add(f.Name, f.At.String(), applied, value, expanded, u.Symbol(), fixed(f.K, 2), limitsText(f, u), p, string(f.Verdict))
	}
	return t
}

// writePartFoot says how to read a part's table, in which gravity and air it
// was worked out, and its verdict.
func (a checkAnswer) writePartFoot(out io.Writer, p partAnswer, r calib.PartResult) error {
	text := fmt.Sprintf("\nU: expanded uncertainty, coverage probability %s %%, %s coverage.", percentText(a.Probability), r.Figures[0].Method)
	if r.Gravity != nil {
		text += fmt.Sprintf("\nGravity: %s m/s², %s.", gravityText(*r.Gravity), r.Gravity.Source)
	}
	if r.Air != nil {
		text += fmt.Sprintf("\nAir: %.3f kg/m³, u %.2g kg/m³; %s.", r.Air.Value, r.Air.Standard, r.Air.Source)
	}
	text += fmt.Sprintf("\nLimits: %s.\nRule: %s.", p.Origin, p.Rule)
	for _, n := range r.Notes {
		text += "\nNote: " + n + "."
	}
	if len(a.Parts) > 1 || len(a.Points) > 0 {
		text += fmt.Sprintf("\nVerdict on %s: %s.", p.Part, r.Verdict)
	}
	return screen.Paragraph(out, text, "  ")
}

func gravityText(g calib.Environ) string {
	value, u, err := uncertainty.FormatFloat(g.Value, g.Standard, 2)
	if err != nil {
		return fixed(g.Value, 5)
	}
	return value + " (u " + u + ")"
}

// writePartBudgets sets the budgets of a part's judged figures.
func (a checkAnswer) writePartBudgets(out io.Writer, p partAnswer) error {
	for _, f := range p.Figures {
		if f.Verdict == "" {
			continue
		}
		at := f.Name
		if f.At != "" {
			at += " at " + f.At
		}
		t := screen.Table{Columns: []screen.Column{{Title: "contribution", Wrap: true}, {Title: "distribution"}, {Title: "u", Align: screen.Right},
			{Title: "ν", Align: screen.Right}, {Title: "c", Align: screen.Right}, {Title: "|c|·u\n" + f.Unit, Align: screen.Right}, {Title: "share\n%", Align: screen.Decimal}}}
		sources := ""
		for _, l := range f.Budget {
			t.Add(l.Name, l.Distribution, figure(l.U)+" "+l.Unit, dofText(l.DoF), figure(l.Sensitivity), figure(l.Contribution), fixed(l.Share*100, 1))
			sources += fmt.Sprintf("\n%s: %s.", l.Name, l.Source)
		}
		t.Add("combined", "", "", dofText(f.DoF), "", figure(f.U), "")
		t.Add("expanded", "", "", "", "k = "+fixed(f.K, 3), figure(f.Expanded), "")
		if err := first(line(out, "\nBudget of %s, %s coverage\n", at, f.Method), t.Write(out), screen.Paragraph(out, "\nWhere the figures come from:"+sources, "  ")); err != nil {
			return err
		}
	}
	return nil
}
