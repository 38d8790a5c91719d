package certs

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/wring/calib"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/unit"
)

// noBreak stands between a number and its unit, which a line must not part.
const noBreak = "\u00a0"

// amount writes a quantity as typed, its number and unit held together.
func amount(q unit.Quantity) string { return strings.ReplaceAll(q.String(), " ", noBreak) }

// held binds a number in a text to the unit after it, as amount does.
func held(text string) string {
	runes := []rune(text)
	for i := 1; i+1 < len(runes); i++ {
		if runes[i] == ' ' && unicode.IsDigit(runes[i-1]) && !unicode.IsDigit(runes[i+1]) && runes[i+1] != '=' {
			runes[i] = '\u00a0'
		}
	}
	return string(runes)
}

// minus sets a computed number with the typographic minus.
func minus(number string) string { return strings.Replace(number, "-", "\u2212", 1) }

// capital writes the first letter large.
func capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(first)) + s[size:]
}

// known drops the facts that have no value: an empty line says nothing.
func known(pairs []Fact) []Fact {
	return slices.DeleteFunc(pairs, func(f Fact) bool { return f.Value == "" })
}

// outcome is the verdict in words, large, with what it rests on in short.
func (w *writing) outcome() Outcome {
	k := w.in.Kept
	o := Outcome{Title: "Result, " + string(k.Check.Stage), Word: verdictWord(k.Result.Verdict)}
	if first := w.in.AsFound; first != nil {
		o.Lines = append(o.Lines, "As found, before the adjustment: "+strings.ToLower(verdictWord(first.Result.Verdict))+".")
	}
	o.Lines = append(o.Lines,
		fmt.Sprintf("%s: %s.", count(len(k.Result.Points), "test point"), tally(k.Result)),
		fmt.Sprintf("Limit of error (MPE): %s. Rule: %s (%s).", w.limits(k.Result), w.rule(), source(w.rule())))
	if w.in.Unreleased {
		o.Lines = append(o.Lines, "NOT RELEASED: a second person has yet to release this result.")
	}
	if r := w.in.Replaces; r != nil {
		o.Lines = append(o.Lines, fmt.Sprintf("Amended: replaces certificate %s, which no longer holds.", r.Number))
	}
	n := 0
	for _, k := range w.stages {
		n += len(k.Result.Findings)
	}
	if n > 0 {
		o.Lines = append(o.Lines, fmt.Sprintf("With %s, listed under Deviations.", count(n, "mark")))
	}
	return o
}

// source names a rule's clause as one piece, which a line must not part.
func source(r conformity.Rule) string { return strings.ReplaceAll(r.Source(), " ", noBreak) }

// limits says which limits the points were held to, from the narrowest to the
// widest.
func (w *writing) limits(r calib.Result) string {
	low, high := r.Points[0].Limit, r.Points[0].Limit
	for _, p := range r.Points {
		if p.Limit.Cmp(low) < 0 {
			low = p.Limit
		}
		if p.Limit.Cmp(high) > 0 {
			high = p.Limit
		}
	}
	text := "±" + w.limit(high) + noBreak + w.unit.Symbol()
	if low.Cmp(high) == 0 {
		return text
	}
	return "±" + w.limit(low) + " to " + text + ", by size"
}

func verdictWord(v calib.Verdict) string {
	if conformity.Verdict(v) == conformity.CannotDecide {
		return "Cannot be decided with this uncertainty"
	}
	return capital(string(v))
}

// tally counts the verdicts in the order in which they first come.
func tally(r calib.Result) string {
	var order []calib.Verdict
	counts := map[calib.Verdict]int{}
	for _, p := range r.Points {
		if counts[p.Verdict] == 0 {
			order = append(order, p.Verdict)
		}
		counts[p.Verdict]++
	}
	if len(order) == 1 && len(r.Points) > 1 {
		return "all " + string(order[0])
	}
	said := make([]string, len(order))
	for i, v := range order {
		said[i] = fmt.Sprintf("%d %s", counts[v], v)
	}
	return strings.Join(said, ", ")
}

func count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// timesU writes a guard band in units of U.
func timesU(factor float64) string {
	if factor == 1 {
		return "U"
	}
	return fmt.Sprintf("%v%sU", factor, noBreak)
}

func (w *writing) rule() conformity.Rule {
	r := w.in.Basis.Plan.Rule
	return conformity.Rule{Kind: conformity.Kind(r.Name), Factor: r.Factor, Risk: r.Risk}
}

// item describes the gauge so that no other can be meant. A record that names no
// owner is of a gauge of the house.
func (w *writing) item() Facts {
	g, c := w.in.Basis.Gauge, w.stages[0].Check
	condition := c.Condition
	if condition == "" {
		condition = "nothing recorded"
	}
	status := ""
	if w.in.Basis.Status != calib.InService {
		status = string(w.in.Basis.Status)
	}
	return Facts{Title: "Item", Pairs: known([]Fact{
		{"Identity", g.ID}, {"Kind", string(g.Kind)}, {"Description", g.Description},
		{"Maker", g.Maker}, {"Type", g.Type}, {"Serial number", g.Serial}, {"Software", g.Software}, {"Seal", g.Seal},
		{"Range", amount(g.Low) + " to " + amount(g.High)}, {"Resolution", amount(g.Resolution)},
		{"Foot", cmp.Or(amount(g.FootDiameter), amount(g.FootArea))}, {"Owner", cmp.Or(g.Owner, w.in.House.Name)}, {"For", w.in.Customer},
		{"Status", status}, {"Condition", condition},
	})}
}

// circumstances say when, where, how and in which surroundings.
func (w *writing) circumstances() Facts {
	p, k := w.in.Basis.Plan, w.in.Kept
	due := ""
	if w.in.Basis.Gauge.DueAgreed {
		due = w.in.Due.String()
	}
	return Facts{Title: "Check", Pairs: known([]Fact{
		{"Received", w.in.Received.String()}, {"Performed", w.performed()}, {"Issued", w.in.Issued.String()},
		{"Next due", due}, {"Place", w.place()},
		{"Plan", fmt.Sprintf("%s, revision %d", p.Name, p.Revision)},
		{"Stage", w.stage()}, {"Readings", fmt.Sprintf("planned: %d at each of %s", p.Readings, count(len(p.Points), "point"))},
		{"Zero", zeroWords(p.Zero)}, {"Temperature", w.byStage(temperature)}, {"Planned", environment(p.Environment)},
		{"Humidity", w.byStage(func(c calib.Conditions) string { return amount(c.Humidity) })},
		{"Journal entry", fmt.Sprintf("%d, %s", k.Sequence, k.Recorded.UTC().Format("2006-01-02 15:04 UTC"))},
	})}
}

// place is where the work was done: of each stage its own, else the house's.
func (w *writing) place() string {
	of := func(k KeptCheck) string { return cmp.Or(k.Check.Site, w.in.Site, "at the house's address") }
	last := of(w.in.Kept)
	if w.in.AsFound == nil || of(*w.in.AsFound) == last {
		return last
	}
	return "as found " + of(*w.in.AsFound) + "; as left " + last
}

func (w *writing) performed() string {
	last := w.in.Kept.Check.Date.String()
	if w.in.AsFound == nil || w.in.AsFound.Check.Date == w.in.Kept.Check.Date {
		return last
	}
	return w.in.AsFound.Check.Date.String() + " as found, " + last + " as left"
}

func (w *writing) stage() string {
	if w.in.AsFound != nil {
		return "as found, then adjusted, as left"
	}
	if w.in.Kept.Check.Stage == calib.AsFound {
		return "as found; no adjustment"
	}
	return "as left, after adjustment; no result as found"
}

// byStage writes a condition once if it was the same at every stage.
func (w *writing) byStage(say func(calib.Conditions) string) string {
	last := say(w.in.Kept.Check.Conditions)
	if w.in.AsFound == nil || say(w.in.AsFound.Check.Conditions) == last {
		return last
	}
	return "as found " + say(w.in.AsFound.Check.Conditions) + "; as left " + last
}

func zeroWords(z calib.ZeroUse) string {
	switch z {
	case calib.ZeroRecorded:
		return "read first; errors as indicated"
	case calib.ZeroSubtracted:
		return "read first and subtracted from every indication"
	}
	return ""
}

func temperature(c calib.Conditions) string {
	switch {
	case c.Gauge.IsZero():
		return "not recorded"
	case c.Blocks.IsZero():
		return amount(c.Gauge)
	}
	return "gauge " + amount(c.Gauge) + ", blocks " + amount(c.Blocks)
}

func environment(e calib.Environment) string {
	var said []string
	switch {
	case !e.Low.IsZero() && !e.High.IsZero():
		said = append(said, amount(e.Low)+" to "+amount(e.High))
	case !e.Low.IsZero():
		said = append(said, "at least "+amount(e.Low))
	case !e.High.IsZero():
		said = append(said, "at most "+amount(e.High))
	}
	if !e.Difference.IsZero() {
		said = append(said, "gauge and blocks within "+amount(e.Difference))
	}
	return strings.Join(said, ", ")
}

// percent writes a probability as a percentage without a sign for a number
// that is not there.
func percent(p float64) string { return strconv.FormatFloat(100*p, 'g', 6, 64) }
