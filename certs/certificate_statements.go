package certs

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/unit"
)

// statements are the texts that follow the tables, in reading order.
func (w *writing) statements() []Part {
	return append(w.amendment(),
		Statement{"Method", w.method()},
		Statement{"Uncertainty", w.uncertainty()},
		Statement{"Conformity", w.conformity()},
		List{"Deviations", w.marks()},
		Statement{"Scope", []string{
			"This certificate relates only to the item described in it, at the test points, under the conditions and on the date stated; " +
				"it says nothing about later drift.",
			noOpinion,
			"It is an internal verification by a toolroom: no accredited calibration, and no verification under legal metrology. " +
				"Limits quoted from published standards are a convenience; the edition in force, the drawing, the contract and local law govern."}},
		w.signatures(),
	)
}

// noOpinion says what a certificate leaves to others (ISO/IEC 17025:2017, 7.8.2.1 p,
// 7.8.2.2, 7.8.4.1 f, 7.8.4.3; clauses from memory).
const noOpinion = "No opinion or interpretation is given. No result comes from another house; what others supplied are the certificates of the standards, and limits where their origin says so. " +
	"No interval is recommended, and a due date stands here only where the owner agreed to it."

// amendment says what this certificate has other than the one it replaces.
func (w *writing) amendment() []Part {
	r := w.in.Replaces
	if r == nil {
		return nil
	}
	items := []string{fmt.Sprintf("This certificate replaces certificate %s. The readings are those that were taken then.", r.Number)}
	return []Part{List{"Amendment", append(items, r.Changes...)}}
}

func (w *writing) method() []string {
	p := w.in.Basis.Plan
	text := fmt.Sprintf("Plan %s, revision %d: %s.", p.Name, p.Revision, strings.TrimSuffix(p.Title, "."))
	if p.Method != "" {
		text += " " + capital(strings.TrimSuffix(p.Method, ".")) + "."
	}
	return []string{text}
}

func (w *writing) uncertainty() []string {
	p := w.in.Basis.Plan
	text := fmt.Sprintf("U is the expanded uncertainty of the error for a coverage probability of %s%s%%, with contributions combined by JCGM 100:2008; k is U divided by the combined standard uncertainty.",
		percent(p.Probability), noBreak)
	names := contributions(w.in.Kept.Result)
	if len(names) > 0 {
		text += " Contributions: " + strings.Join(names, ", ") + "."
	}
	if methods := coverage(w.in.Kept.Result); methods != "" {
		text += " Coverage interval: " + methods + "."
	}
	return []string{text + " No later drift of the item is included."}
}

// contributions names the lines of the budget, each once, in its order.
func contributions(r calib.Result) (names []string) {
	for _, row := range r.Budget {
		if !slices.Contains(names, row.Name) {
			names = append(names, row.Name)
		}
	}
	return names
}

// coverage puts the methods by which k was found into words.
func coverage(r calib.Result) string {
	var said []string
	for _, p := range r.Points {
		words := map[string]string{
			"exact":       "from the exact distribution of their sum, propagated as in JCGM 101:2008 and found by inversion, not by simulation",
			"t":           "from Student's t with the effective degrees of freedom",
			"monte carlo": "by Monte Carlo after JCGM 101:2008",
		}[p.Method]
		if words != "" && !slices.Contains(said, words) {
			said = append(said, words)
		}
	}
	return strings.Join(said, "; ")
}

func (w *writing) conformity() []string {
	p, rule := w.in.Basis.Plan, w.rule()
	lines := []string{
		"Limit: the maximum permissible error (MPE) in the table of results, from: " + p.Limit.Origin + ". " +
			"The statement covers every test point listed, and no other property; the whole is judged by its worst point.",
		fmt.Sprintf("Rule: %s (%s), fixed in revision %d of the plan before the check. %s", rule, source(rule), p.Revision, ruleWords(rule)),
	}
	return lines
}

// ruleWords say what a rule accepts and at which risk. The risk of 50 % is that
// of an error on the limit itself (ILAC-G8:09/2019, 5; from memory), that of
// 2.5 % holds for a normal distribution with k = 2 (own computation: Φ(−2) is
// 2.3 %).
func ruleWords(r conformity.Rule) string {
	band := fmt.Sprintf("r%s=%s%v", noBreak, noBreak, r.Factor)
	switch r.Kind {
	case conformity.Simple:
		return "A point passes if |e|\u00a0≤\u00a0MPE. U is not taken off the limit: the risk of false acceptance of an error found on the limit is up to 50\u00a0%."
	case conformity.Guarded:
		text := "A point passes if |e|\u00a0≤\u00a0MPE\u00a0−\u00a0r\u00a0U with " + band + ", and cannot be decided where no error could pass."
		if r.Factor == 1 {
			text += " The risk of false acceptance is then at most 2.5\u00a0% for a normal distribution and k\u00a0=\u00a02."
		}
		return text
	case conformity.FourVerdicts:
		return "Pass: |e|\u00a0≤\u00a0MPE\u00a0−\u00a0r\u00a0U; conditional pass: beyond that, up to MPE; conditional fail: beyond MPE, up to MPE\u00a0+\u00a0r\u00a0U; fail: beyond that; with " + band + "."
	case conformity.ByRisk:
		return fmt.Sprintf("A point passes if the probability that its error lies beyond the limit, given what was measured, is at most %s\u00a0%%.", percent(r.Risk))
	}
	return ""
}

// marks lists what the gates found and what was remarked; an assessor must see
// that nothing was, too.
func (w *writing) marks() []string {
	var items []string
	for _, k := range w.stages {
		stage := ""
		if len(w.stages) > 1 {
			stage = capital(string(k.Check.Stage)) + ": "
		}
		for _, f := range k.Result.Findings {
			at := ""
			if f.Point > 0 {
				at = fmt.Sprintf("point %d, ", f.Point)
			}
			items = append(items, stage+capital(fmt.Sprintf("%s%s: %s.", at, f.Gate, strings.TrimSuffix(f.Text, "."))))
		}
		if k.Check.Remarks != "" {
			items = append(items, stage+"Remark: "+k.Check.Remarks)
		}
	}
	if len(items) == 0 {
		return []string{"None: the plan's gates marked nothing; no addition to the method or departure from it is recorded."}
	}
	return items
}

// traceability claims no more than each standard's link bears out: where one
// does not hold, that is what is said.
func (w *writing) traceability() []string {
	var breaks []string
	for _, s := range w.in.Basis.Standards {
		id := s.Standard.ID
		for _, b := range s.Breaks(w.in.Kept.Check.Date, w.used(id), w.in.Evidence[id]) {
			breaks = append(breaks, fmt.Sprintf("Traceability is not shown for %s: %s.", id, b.Text))
		}
	}
	lines := []string{"Traceability: the errors are traceable to the SI through the certificates of the standards listed, each counted from its date of calibration on."}
	if len(breaks) > 0 {
		lines = append(breaks, "The result is indicative only, as far as it rests on these.")
	}
	if !w.in.Kept.Check.Conditions.Gauge.IsZero() {
		lines = append(lines, "Temperatures are as indicated; no correction of the thermometer is applied, and the plan's contributions of temperature are to cover it.")
	}
	return lines
}

// used returns the nominal sizes of a standard's blocks that were wrung.
func (w *writing) used(id string) []unit.Quantity {
	var out []unit.Quantity
	for _, p := range w.in.Kept.Check.Points {
		for _, b := range p.Blocks {
			same := func(q unit.Quantity) bool { return q.Same(b.Nominal) }
			if b.Standard == id && !slices.ContainsFunc(out, same) {
				out = append(out, b.Nominal)
			}
		}
	}
	return out
}

func (w *writing) signatures() Signatures {
	s := Signatures{Title: "Signed"}
	for _, k := range w.stages {
		role := "Performed by"
		if w.in.Released == "" && !w.in.Unreleased {
			role = "Performed and issued by"
		}
		if len(w.stages) > 1 {
			role += ", " + string(k.Check.Stage)
		}
		s.People = append(s.People, Signature{Role: role, Name: k.Check.Person, Date: k.Check.Date.String(), Note: fmt.Sprintf("journal entry %d", k.Sequence)})
	}
	if w.in.Released != "" {
		s.People = append(s.People, Signature{Role: "Released by", Name: w.in.Released, Date: w.in.Issued.String()})
	}
	return s
}
