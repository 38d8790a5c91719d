package certs

import (
	"fmt"
	"slices"
	"strings"

	"example.org/wring/calib"
)

// statements are the texts that follow the tables, in reading order.
func (w *writing) statements() []Part {
	return append(w.amendment(),
		Statement{Title: "Method", Paragraphs: w.method()},
		Statement{Title: "Uncertainty", Paragraphs: w.uncertainty()},
		Statement{Title: "Conformity", Paragraphs: w.conformity()},
		List{"Deviations", w.marks()},
		Statement{Title: "Scope", Paragraphs: []string{
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
		fmt.Sprintf("Rule: %s (%s), fixed in revision %d of the plan before the check. %s", rule, source(rule), p.Revision, onErrors().say(rule)),
	}
	return lines
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
