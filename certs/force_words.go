package certs

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/unit"
)

// partsOutcome is the verdict on the whole, with that on each part.
func (w *writing) partsOutcome() Outcome {
	k := w.in.Kept
	o := Outcome{Title: "Result, " + string(k.Check.Stage), Word: verdictWord(k.Result.Verdict)}
	if first := w.in.AsFound; first != nil {
		o.Lines = append(o.Lines, "As found, before the adjustment: "+strings.ToLower(verdictWord(first.Result.Verdict))+".")
	}
	for _, part := range k.Result.Parts() {
		terms, _ := w.in.Basis.Plan.TermsOf(part)
		rule := ruleIn(terms.Rule)
		o.Lines = append(o.Lines, fmt.Sprintf("%s: %s. Rule: %s (%s).", capital(string(part)), strings.ToLower(verdictWord(k.Result.VerdictOf(part))), rule, source(rule)))
	}
	if w.in.Unreleased {
		o.Lines = append(o.Lines, "NOT RELEASED: a second person has yet to release this result.")
	}
	if r := w.in.Replaces; r != nil {
		o.Lines = append(o.Lines, fmt.Sprintf("Amended: replaces certificate %s, which no longer holds.", r.Number))
	}
	return o
}

func ruleIn(r calib.Rule) conformity.Rule {
	return conformity.Rule{Kind: conformity.Kind(r.Name), Factor: r.Factor, Risk: r.Risk}
}

// partsCircumstances say when, where and in which surroundings: gravity and air
// with where their figures come from.
func (w *writing) partsCircumstances() Facts {
	p, k := w.in.Basis.Plan, w.in.Kept
	due := ""
	if w.in.Basis.Gauge.DueAgreed {
		due = w.in.Due.String()
	}
	pairs := []Fact{
		{"Received", w.in.Received.String()}, {"Performed", w.performed()}, {"Issued", w.in.Issued.String()}, {"Next due", due}, {"Place", w.place()},
		{"Plan", fmt.Sprintf("%s, revision %d", p.Name, p.Revision)}, {"Stage", w.stage()},
		{"Readings", planned(p, k.Result.Parts())}, {"Temperature", w.byStage(temperature)}, {"Planned", environment(p.Environment)},
		{"Air pressure", w.byStage(func(c calib.Conditions) string { return amount(c.Pressure) })},
		{"Humidity", w.byStage(func(c calib.Conditions) string { return amount(c.Humidity) })},
	}
	for _, part := range k.Result.Parts() {
		r := k.Result.Part(part)
		if r == nil || r.Gravity == nil && r.Air == nil {
			continue
		}
		if r.Gravity != nil {
			pairs = append(pairs, Fact{"Gravity", environ(*r.Gravity, "m/s²")})
		}
		if r.Air != nil {
			pairs = append(pairs, Fact{"Density of the air", environ(*r.Air, "kg/m³")})
		}
		break // the surroundings of one check are the same for all parts
	}
	pairs = append(pairs, Fact{"Journal entry", fmt.Sprintf("%d, %s", k.Sequence, k.Recorded.UTC().Format("2006-01-02 15:04 UTC"))})
	return Facts{Title: "Check", Pairs: known(pairs)}
}

// planned says how many places each part is read at, and how often.
func planned(p calib.Plan, parts []calib.Part) string {
	var said []string
	for _, part := range parts {
		terms, _ := p.TermsOf(part)
		places := ""
		switch {
		case part == calib.FootPart && p.Foot != nil:
			places = count(len(p.Foot.Openings), "opening") + ", both ways"
		case part == calib.ForcePart && p.Force != nil:
			places = count(len(p.Force.Points), "place") + ways(p.Force.Return)
		case part == calib.LoadPart && p.Load != nil:
			places = count(len(p.Load.Loads), "load") + ways(p.Load.Down)
		default:
			places = count(len(p.Points), "point")
		}
		said = append(said, fmt.Sprintf("%s: %d at each of %s", part, terms.Readings, places))
	}
	return "planned, " + strings.Join(said, "; ")
}

func ways(both bool) string {
	if both {
		return ", both ways"
	}
	return ""
}

// environ writes a quantity of the surroundings with its standard uncertainty
// and its source.
func environ(e calib.Environ, symbol string) string {
	value, u, err := uncertainty.FormatFloat(e.Value, e.Standard, 2)
	if err != nil {
		value, u = fmt.Sprintf("%.6g", e.Value), "–"
	}
	return fmt.Sprintf("%s%s%s, u%s=%s%s; %s", value, noBreak, symbol, noBreak, noBreak, u, held(e.Source))
}

// partReadings repeats what was typed in every part, to the character.
func (w *writing) partReadings(k KeptCheck) []Part {
	var out []Part
	c := k.Check
	if len(c.Points) > 0 {
		out = append(out, w.readings(k))
	}
	title := func(part calib.Part) string {
		return fmt.Sprintf("Readings as typed, %s, %s", part, c.Stage)
	}
	if c.Foot != nil {
		t := pressReadings(title(calib.FootPart), c.Foot.Points, "lowering", "lifting", c.Foot.Instrument)
		if len(c.Foot.Diameter) > 0 {
			t.Notes = append(t.Notes, fmt.Sprintf("Diameter of the foot, read with %s: %s.", c.Foot.DiameterBy, list(c.Foot.Diameter)))
			t.Notes = append(t.Notes, commented("diameter", c.Foot.Diameter)...)
		}
		out = append(out, t)
	}
	if c.Force != nil {
		out = append(out, pressReadings(title(calib.ForcePart), c.Force.Points, "in", "out", c.Force.Instrument))
	}
	if c.Load != nil {
		out = append(out, loadReadings(title(calib.LoadPart), *c.Load))
	}
	return out
}

func list(readings []calib.Reading) string {
	var out []string
	for _, r := range readings {
		out = append(out, amount(r.Indication))
	}
	return strings.Join(out, ", ")
}

// commented says what was written beside readings, each with its number in its
// row.
func commented(row string, readings []calib.Reading) []string {
	var out []string
	for i, r := range readings {
		if r.Comment != "" {
			out = append(out, fmt.Sprintf("%s, reading %d: %s", row, i+1, r.Comment))
		}
	}
	return out
}

func pressReadings(title string, points []calib.PressPoint, forward, back, instrument string) Table {
	t := Table{Title: title, Columns: []Column{{Heading: "Opening", Align: Right}, {Heading: "Direction"}, {Heading: "Indications of " + instrument}}}
	for _, p := range points {
		for _, way := range []struct {
			name     string
			readings []calib.Reading
		}{{forward, p.Forward}, {back, p.Back}} {
			if len(way.readings) > 0 {
				t.Rows = append(t.Rows, Row{Cells: []string{amount(p.At), way.name, list(way.readings)}})
				t.Notes = append(t.Notes, commented(amount(p.At)+" "+way.name, way.readings)...)
			}
		}
	}
	return t
}

func loadReadings(title string, c calib.LoadCheck) Table {
	t := Table{Title: title, Columns: []Column{{Heading: "Load", Align: Right}, {Heading: "Weights"}, {Heading: "Direction"}, {Heading: "Indications"}}}
	add := func(load, weights, way string, readings []calib.Reading) {
		if len(readings) > 0 {
			t.Rows = append(t.Rows, Row{Cells: []string{load, weights, way, list(readings)}})
			t.Notes = append(t.Notes, commented(load+" "+way, readings)...)
		}
	}
	add("zero", "–", "before", c.Zero)
	for _, p := range c.Points {
		var weights []string
		for _, u := range p.Weights {
			weights = append(weights, u.Standard+":"+noBreak+amount(u.Nominal)+u.Mark)
		}
		text := strings.Join(weights, " + ")
		add(amount(p.Load), text, "up", p.Up)
		add(amount(p.Load), text, "down", p.Down)
	}
	add("zero", "–", "after", c.Return)
	if c.Tester != "" {
		t.Notes = append(t.Notes, "The weights pressed through the piston of "+c.Tester+".")
	}
	return t
}

// partsStatements are the texts that follow the tables of a certificate of
// parts, in reading order.
func (w *writing) partsStatements() []Part {
	p, r := w.in.Basis.Plan, w.in.Kept.Result
	out := append(w.amendment(), Statement{Title: "Method", Paragraphs: w.method()})
	if len(r.Points) > 0 {
		out = append(out, Statement{Title: "Uncertainty of the length", Paragraphs: w.uncertainty()}, Statement{Title: "Conformity of the length", Paragraphs: w.conformity()})
	}
	text := fmt.Sprintf("U is the expanded uncertainty of each figure for a coverage probability of %s%s%%, with contributions combined by JCGM 100:2008; k is U divided by the combined standard uncertainty.",
		percent(p.Probability), noBreak)
	var names []string
	for _, part := range r.Parts() {
		if one := r.Part(part); one != nil {
			for _, row := range one.Budget {
				name, _, _ := strings.Cut(row.Name, ", ") // the same at each opening and in each direction
				if !slices.Contains(names, name) {
					names = append(names, name)
				}
			}
		}
	}
	text += " Contributions: " + strings.Join(names, ", ") + ". No later drift of the item is included."
	lines := []string{}
	for _, part := range r.Parts() {
		if r.Part(part) != nil {
			terms, _ := p.TermsOf(part)
			lines = append(lines, fmt.Sprintf("%s: limits from %s. Rule: %s (%s), fixed in revision %d of the plan before the check. %s",
				capital(string(part)), p.OriginOf(part), ruleIn(terms.Rule), source(ruleIn(terms.Rule)), p.Revision, onFigures().say(ruleIn(terms.Rule))))
		}
	}
	return append(out, Statement{Title: "Uncertainty", Paragraphs: []string{text}}, Statement{Title: "Conformity", Paragraphs: lines}, List{"Deviations", w.marks()},
		Statement{Title: "Scope", Paragraphs: w.partsScope()}, w.signatures())
}

// partsScope says what the certificate is not.
func (w *writing) partsScope() []string {
	text := "It is an internal verification by a toolroom: no accredited calibration, and no verification under legal metrology. "
	switch w.in.Basis.Gauge.Kind.Dimension() {
	case unit.Mass:
		text += "The scale is not verified for weighing in trade. "
	case unit.Pressure:
		text += "It certifies no pressure equipment and no safety device. "
	case unit.Force:
		text += "It certifies no lifting gear and no testing machine. "
	}
	return []string{"This certificate relates only to the item described in it, at the openings and loads, under the conditions and on the date stated; it says nothing about later drift, nor about parts of the plan that it does not list.",
		noOpinion,
		text + "Limits quoted from published standards are a convenience; the edition in force, the drawing, the contract and local law govern."}
}
