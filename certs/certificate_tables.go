package certs

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/unit"
)

// results states every point in the gauge's own unit, rounded at the last
// place of its U (ILAC-P14:09/2020; clause from memory).
func (w *writing) results(k KeptCheck) (Table, error) {
	u := w.unit.Symbol()
	t := Table{Title: "Results, " + string(k.Check.Stage),
		Columns: []Column{{"Nominal size", u, Point}, {"Reference value", u, Point}, {"Mean indication", u, Point}, {"Error e", u, Point},
			{"U", u, Point}, {"k", "", Point}, {"Limit", u, Point}, {"MPE/U", "", Point}, {"P(conf.)", "%", Point}, {"Verdict", "", Left}},
		Notes: []string{"e: mean indication less reference value, computed from unrounded values. Limit: maximum permissible error (MPE). " +
			"P(conf.): probability that the error lies within the limit."}}
	var why []string
	for i, p := range k.Result.Points {
		shown, err := uncertainty.Round(w.unit.FromFloat(p.Expanded), w.in.Basis.Plan.Digits)
		if err != nil {
			return Table{}, fmt.Errorf("%s, point %d: %w", k.Check.Stage, i+1, err)
		}
		in := func(e unit.Exact) string { return minus(shown.Show(w.unit.From(e).Rat())) }
		// One place more, so that their difference is seen to be the error.
		finer := func(e unit.Exact) string { return minus(w.unit.From(e).Text(shown.Places + 1)) }
		nominal := k.Check.Points[i].Nominal
		row := Row{Cells: []string{w.typed(nominal), finer(p.Reference), finer(p.Mean), signed(in(p.Error)),
			shown.Text, fmt.Sprintf("%.2f", p.K), "±" + w.limit(p.Limit), ratio(p.Ratio), probability(p.Conformance), string(p.Verdict)}}
		row.Remark = pointMarks(k.Result.Findings, i+1)
		t.Rows, why = append(t.Rows, row), append(why, w.pointRemark(row.Cells, p.Verdict))
	}
	t.explain(why, "Rows in bold do not pass: e is held against the limit"+w.lessRule()+", with U as the row states it.")
	return t, nil
}

// signed puts a plus before what is above zero, as errors are written.
func signed(number string) string {
	if strings.HasPrefix(number, "\u2212") || strings.Trim(number, "0.") == "" {
		return number
	}
	return "+" + number
}

// typed writes a quantity's digits as typed if they are in the gauge's unit,
// else with the unit they were typed in.
func (w *writing) typed(q unit.Quantity) string {
	if q.Unit().Symbol() == w.unit.Symbol() {
		return q.Number()
	}
	return amount(q)
}

// limit writes a limit exactly where it has a short decimal in the gauge's
// unit, else to two places more than it needs to be told from zero, and says
// so.
func (w *writing) limit(e unit.Exact) string {
	const most = 7 // places; no limit of the trade is stated finer, in any unit
	own := w.unit.From(e)
	if places, finite := own.Rat().FloatPrec(); finite && places <= most {
		return own.Text(places)
	}
	return "\u2248" + own.Text(most)
}

func ratio(r float64) string {
	if !(r > 0) {
		return "–"
	}
	return strconv.FormatFloat(r, 'f', 1, 64)
}

// probability writes a probability in per cent; what rounding would turn into
// certainty is written as a bound.
func probability(p float64) string {
	switch {
	case !(p >= 0.0005):
		return "< 0.1"
	case p > 0.9995:
		return "> 99.9"
	}
	return strconv.FormatFloat(100*p, 'f', 1, 64)
}

// mostExplained is how many rows of a table have their verdict put into words
// under them; a table of more says once what they have in common, or a gauge
// that fails throughout would fill a sheet more with the same words (house rule).
const mostExplained = 8

// explain says why rows are lifted out: under each, or once for many.
func (t *Table) explain(why []string, once string) {
	lifted := 0
	for _, text := range why {
		if text != "" {
			lifted++
		}
	}
	for i, text := range why {
		r := &t.Rows[i]
		switch {
		case text == "":
		case lifted > mostExplained:
			r.Lifted = true
		case r.Remark == "":
			r.Remark = text
		default:
			r.Remark = text + "; " + r.Remark
		}
	}
	if lifted > mostExplained {
		t.Notes = append([]string{once}, t.Notes...)
	}
}

// pointRemark puts a verdict other than pass into words, with the figures it
// rests on.
func (w *writing) pointRemark(cells []string, verdict calib.Verdict) string {
	if conformity.Verdict(verdict) == conformity.Pass {
		return ""
	}
	u := noBreak + w.unit.Symbol()
	return fmt.Sprintf("%s: error %s%s, limit %s%s%s, U%s=%s%s%s", verdictWord(verdict), cells[3], u, cells[6], u, w.lessRule(), noBreak, noBreak, cells[4], u)
}

// lessRule says what the rule takes off the limit.
func (w *writing) lessRule() string {
	if r := w.rule(); r.Factor > 0 {
		return " less " + timesU(r.Factor)
	}
	return ""
}

// pointMarks is what the gates marked at a point.
func pointMarks(findings []calib.Finding, point int) string {
	var said []string
	for _, f := range findings {
		if f.Point == point {
			said = append(said, fmt.Sprintf("%s: %s", capital(string(f.Gate)), f.Text))
		}
	}
	return strings.Join(said, "; ")
}

// widestRow is the number of readings up to which each has a column.
const widestRow = 6

// readings repeats what was typed, to the character.
func (w *writing) readings(k KeptCheck) Table {
	most := len(k.Check.Zero)
	for _, p := range k.Check.Points {
		most = max(most, len(p.Readings))
	}
	u := w.unit.Symbol()
	t := Table{Title: "Readings as typed, " + string(k.Check.Stage), Columns: []Column{{"Nominal size", u, Point}, {"Gauge blocks", "", Left}}}
	if most > widestRow {
		t.Columns = append(t.Columns, Column{"Indications", u, Left})
	} else {
		for i := range most {
			t.Columns = append(t.Columns, Column{strconv.Itoa(i + 1), u, Point})
		}
	}
	add := func(nominal, blocks string, readings []calib.Reading) {
		t.Rows = append(t.Rows, Row{Cells: append([]string{nominal, blocks}, w.indications(readings, most)...)})
		t.Notes = append(t.Notes, commented(nominal, readings)...)
	}
	if len(k.Check.Zero) > 0 {
		add("zero", "–", k.Check.Zero)
	}
	for _, p := range k.Check.Points {
		add(w.typed(p.Nominal), w.blocks(p.Blocks), p.Readings)
	}
	return t
}

// indications fills the columns of one row, or the one column of them all.
func (w *writing) indications(readings []calib.Reading, most int) []string {
	var cells []string
	for _, r := range readings {
		cells = append(cells, w.typed(r.Indication))
	}
	if most > widestRow {
		return []string{strings.Join(cells, "  ")}
	}
	for len(cells) < most {
		cells = append(cells, "–")
	}
	return cells
}

// blocks writes a stack, with the set before its first block and wherever it
// changes.
func (w *writing) blocks(uses []calib.BlockUse) string {
	var b strings.Builder
	last := ""
	for i, u := range uses {
		if i > 0 {
			b.WriteString(" + ")
		}
		if u.Standard != last {
			b.WriteString(u.Standard + ": ")
			last = u.Standard
		}
		b.WriteString(w.typed(u.Nominal))
	}
	return b.String()
}

// standards states by which certificate each standard is tied to the SI.
func (w *writing) standards() Table {
	t := Table{Title: "Standards used", Columns: []Column{{Heading: "Standard"}, {Heading: "Description"},
		{Heading: "Certificate"}, {Heading: "Laboratory"}, {Heading: "Calibrated"}, {Heading: "Due"}}}
	for _, s := range w.in.Basis.Standards {
		c := s.Certificate
		row := Row{Cells: []string{s.Standard.ID, describe(s.Standard), c.Number, laboratory(c), c.Date.String(), c.Due.String()}}
		if c.Number == "" {
			row.Cells = []string{s.Standard.ID, describe(s.Standard), "–", "–", "–", "–"}
			row.Remark = "No certificate counts on the day of the check."
		} else if c.Due.IsZero() {
			row.Cells[5] = "none stated"
		}
		if c.Number != "" && !w.covered(c) {
			row.Remark = "The certificate does not cover the day of the check."
		}
		t.Rows = append(t.Rows, row)
	}
	t.Notes = w.traceability()
	return t
}

// covered reports whether a certificate counts on the day of every stage.
func (w *writing) covered(c calib.Certificate) bool {
	for _, k := range w.stages {
		if c.Number == "" || !c.Covers(k.Check.Date) {
			return false
		}
	}
	return true
}

func describe(s calib.Standard) string {
	text := string(s.Kind)
	if s.Description != "" {
		text += ", " + s.Description
	}
	if s.Grade != "" {
		text += ", grade" + noBreak + s.Grade
	}
	if s.Serial != "" {
		text += ", no." + noBreak + s.Serial
	}
	return text
}

func laboratory(c calib.Certificate) string {
	text := c.Laboratory + ", " + string(c.Route)
	if c.Accreditation != "" {
		text += ", " + c.Accreditation
	}
	return text
}
