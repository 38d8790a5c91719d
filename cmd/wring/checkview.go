package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

// A checkAnswer is a check with its result as --json has it. Lengths of
// gauges are in millimetres, errors and uncertainties in micrometres.
type checkAnswer struct {
	Entry       uint64          `json:"entry,omitempty"` // 0 while it is not kept
	Gauge       string          `json:"gauge"`
	Plan        string          `json:"plan"`
	Revision    int             `json:"revision"`
	Stage       calib.Stage     `json:"stage"`
	Date        calib.Date      `json:"date"`
	Person      string          `json:"person"`
	Verdict     calib.Verdict   `json:"verdict"`
	Rule        string          `json:"rule"`
	LimitOrigin string          `json:"limit_origin"`
	Probability float64         `json:"probability"` // of coverage
	Temperature string          `json:"temperature,omitempty"`
	Standards   []string        `json:"standards"`
	Points      []pointAnswer   `json:"points"`
	Findings    []calib.Finding `json:"findings,omitempty"`
	Parts       []partAnswer    `json:"parts,omitempty"` // beside length

	basis  calib.Basis
	check  calib.Check
	plan   calib.Plan
	result calib.Result
	unit   unit.Unit
}

// A pointAnswer is one point of it.
type pointAnswer struct {
	NominalMM   float64       `json:"nominal_mm"`   // mm
	ReferenceMM float64       `json:"reference_mm"` // mm
	MeanMM      float64       `json:"mean_mm"`      // mm
	ErrorUM     float64       `json:"error_um"`     // µm
	UM          float64       `json:"u_um"`         // combined standard uncertainty, µm
	ExpandedUM  float64       `json:"expanded_um"`  // µm
	K           float64       `json:"k"`            // coverage factor
	DoF         *float64      `json:"dof"`          // effective degrees of freedom, null for infinite
	Method      string        `json:"method"`
	LimitUM     float64       `json:"limit_um"`    // µm
	Ratio       float64       `json:"ratio"`       // MPE/U, 0 where U is 0
	Conformance float64       `json:"conformance"` // probability, 0 to 1
	Verdict     calib.Verdict `json:"verdict"`

	// Shown is error and U as they stand on screen and certificate, in the
	// gauge's unit.
	Shown struct {
		Error    string `json:"error"`
		Expanded string `json:"expanded"`
		Unit     string `json:"unit"`
	} `json:"shown"`

	Blocks   []string     `json:"blocks"`
	Readings []string     `json:"readings"` // as typed
	Budget   []budgetLine `json:"budget"`
}

// A budgetLine is one line of one point's budget.
type budgetLine struct {
	Name           string   `json:"name"`
	Distribution   string   `json:"distribution"`
	Source         string   `json:"source"`
	U              float64  `json:"u"` // in Unit
	Unit           string   `json:"unit"`
	DoF            *float64 `json:"dof"`             // null for infinite
	Sensitivity    float64  `json:"sensitivity"`     // mm per Unit
	ContributionUM float64  `json:"contribution_um"` // |c|·u, µm
	Share          float64  `json:"share"`           // of u_c²
}

const micrometres = 1000 // in a millimetre

func shownCheck(job *checkJob, seq uint64) checkAnswer {
	c, p, r := job.check, job.basis.Plan, job.result
	a := checkAnswer{
		Entry: seq, Gauge: c.Gauge, Plan: p.Name, Revision: p.Revision, Stage: c.Stage, Date: c.Date, Person: c.Person,
		Verdict: r.Verdict, Rule: ruleText(p.Rule), LimitOrigin: p.Limit.Origin, Probability: p.Probability,
		Temperature: c.Conditions.Gauge.String(), Standards: c.Standards, Points: []pointAnswer{}, Findings: r.Findings,
		check: c, plan: p, result: r, basis: job.basis, unit: job.basis.Gauge.ReadIn(),
	}
	for i := range r.Points {
		a.Points = append(a.Points, a.point(i))
	}
	for _, part := range otherParts(r) {
		a.Parts = append(a.Parts, shownPart(part, *r.Part(part), job.basis))
	}
	return a
}

func (a checkAnswer) point(i int) pointAnswer {
	r, observed := a.result.Points[i], a.check.Points[i]
	out := pointAnswer{
		NominalMM: r.Nominal.Float(), ReferenceMM: r.Reference.Float(), MeanMM: r.Mean.Float(),
		ErrorUM: r.Error.Float() * micrometres, UM: r.Standard * micrometres, ExpandedUM: r.Expanded * micrometres,
		K: r.K, DoF: finite(r.DoF), Method: r.Method, LimitUM: r.Limit.Float() * micrometres,
		Ratio: r.Ratio, Conformance: r.Conformance, Verdict: r.Verdict, Budget: a.budget(i),
	}
	out.Shown.Error, out.Shown.Expanded, _ = a.shown(r)
	out.Shown.Unit = a.unit.Symbol()
	for _, b := range observed.Blocks {
		out.Blocks = append(out.Blocks, b.Standard+":"+b.Nominal.String())
	}
	for _, x := range observed.Readings {
		out.Readings = append(out.Readings, x.Indication.String())
	}
	return out
}

// finite turns the stored 0 for infinite degrees of freedom into null.
func finite(dof float64) *float64 {
	if dof == 0 {
		return nil
	}
	return &dof
}

func (a checkAnswer) budget(i int) []budgetLine {
	var out []budgetLine
	variance := a.result.Points[i].Standard * a.result.Points[i].Standard
	for _, row := range a.result.Budget {
		u, c, dof := row.At(i)
		part := math.Abs(c) * u
		l := budgetLine{Name: row.Name, Distribution: row.Distribution, Source: row.Source, U: u, Unit: row.Unit,
			DoF: finite(dof), Sensitivity: c, ContributionUM: part * micrometres}
		if variance > 0 {
			l.Share = part * part / variance
		}
		out = append(out, l)
	}
	return out
}

func (a checkAnswer) shown(r calib.PointResult) (e, expanded string, places int) {
	return inUnit(a.unit, r, a.plan.Digits)
}

// inUnit writes error and U in a gauge's unit to the last place of U, and says
// which place that is. Where U is 0 all digits of the error are shown.
func inUnit(u unit.Unit, r calib.PointResult, digits int) (e, expanded string, places int) {
	rounded, err := uncertainty.Round(u.FromFloat(r.Expanded), digits)
	if err != nil {
		return "", "", 0
	}
	value := u.From(r.Error)
	text := rounded.Show(value.Rat())
	if value.Sign() > 0 && text != rounded.Show(unit.Whole(0).Rat()) {
		text = "+" + text
	}
	return text, rounded.Text, rounded.Places
}

// writeCheck sets the result for a person, with the budget of one point, or of
// "all", where it is asked for.
func writeCheck(out io.Writer, a checkAnswer, budget string) error {
	wanted, err := a.budgetPoints(budget)
	if err != nil {
		return err
	}
	if err := a.writeHead(out); err != nil {
		return err
	}
	if len(a.Points) > 0 {
		if err := first(a.table().Write(out), a.writeFoot(out)); err != nil {
			return err
		}
	}
	if err := first(a.writeParts(out), a.writeVerdict(out)); err != nil {
		return err
	}
	for _, i := range wanted {
		if err := first(line(out, ""), a.writeBudget(out, i)); err != nil {
			return err
		}
	}
	for _, p := range a.Parts {
		if budget == "all" || budget == wordOf(p.Part) {
			if err := a.writePartBudgets(out, p); err != nil {
				return err
			}
		}
	}
	return nil
}

func (a checkAnswer) writeHead(out io.Writer) error {
	at := ""
	if a.Temperature != "" {
		at = ", at " + strings.ReplaceAll(a.Temperature, " ", screen.NoBreak)
	}
	return screen.Paragraph(out, fmt.Sprintf("%s, %s %s by %s, plan %s revision %d%s\n", a.Gauge, a.Stage, a.Date, a.Person, a.Plan, a.Revision, at), "  ")
}

func (a checkAnswer) table() screen.Table {
	u := a.unit.Symbol()
	d := screen.Decimal
	t := screen.Table{Columns: []screen.Column{
		{Title: "nominal\n" + u, Align: d}, {Title: "ref.\n" + u, Align: d}, {Title: "mean\n" + u, Align: d},
		{Title: "error\n" + u, Align: d}, {Title: "U\n" + u, Align: d}, {Title: "k", Align: d}, {Title: "limit\n± " + u, Align: d},
		{Title: "MPE/U", Align: d}, {Title: "p to\nconform", Align: d}, {Title: "verdict", Wrap: true}}}
	for i, r := range a.result.Points {
		e, expanded, places := a.shown(r)
		t.Add(a.nominal(i), a.unit.From(r.Reference).Text(places+1), a.unit.From(r.Mean).Text(places+1),
			e, expanded, fixed(r.K, 2), a.unit.From(r.Limit).Shortest(), fixed(r.Ratio, 1), probabilityText(r.Conformance), string(r.Verdict))
	}
	return t
}

// nominal is a point's size as the plan writes it, in the gauge's unit.
func (a checkAnswer) nominal(i int) string {
	q := a.check.Points[i].Nominal
	if q.Unit().Symbol() == a.unit.Symbol() {
		return q.Number()
	}
	return q.In(a.unit).Shortest()
}

// probabilityText never rounds up to certainty.
func probabilityText(p float64) string {
	switch {
	case p > 0.9999:
		return ">0.9999"
	case p < 0.0001:
		return "<0.0001"
	}
	return fixed(p, 4)
}

func fixed(f float64, places int) string { return strconv.FormatFloat(f, 'f', places, 64) }

// writeFoot says how to read the table of a length.
func (a checkAnswer) writeFoot(out io.Writer) error {
	text := fmt.Sprintf("\nref.: what the gauge ought to indicate, the length of the blocks corrected for temperature. U: expanded uncertainty, coverage probability %s %%, %s coverage. MPE is the limit; p to conform: probability that the error lies within it.\nLimit: %s.\nRule: %s.",
		percentText(a.Probability), a.result.Points[0].Method, a.LimitOrigin, a.Rule)
	if len(a.Parts) > 0 {
		text += fmt.Sprintf("\nVerdict on %s: %s.", calib.LengthPart, a.result.VerdictOf(calib.LengthPart))
	}
	return screen.Paragraph(out, text, "  ")
}

// percentText writes a probability in per cent.
func percentText(p float64) string { return strconv.FormatFloat(p*100, 'g', 6, 64) }

// writeVerdict says what was marked, and the verdict on the whole.
func (a checkAnswer) writeVerdict(out io.Writer) error {
	text := ""
	for _, f := range a.Findings {
		text += "Marked: " + findingText(f) + ".\n"
	}
	return screen.Paragraph(out, text+"Verdict: "+string(a.Verdict)+".", "  ")
}

func findingText(f calib.Finding) string {
	text := string(f.Gate) + ": " + f.Text
	if f.Point > 0 {
		text = fmt.Sprintf("point %d: %s", f.Point, text)
	}
	return text
}
