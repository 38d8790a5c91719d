package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"example.org/wring/calib"
	"example.org/wring/calib/survey"
	"example.org/wring/cmd/internal/screen"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/unit"
)

func asStop(err error, stop **calib.StopError) bool { return errors.As(err, stop) }

// A surveyAnswer is a survey with its result as --json has it. Lengths of the
// result are in millimetres; what was typed is as typed.
type surveyAnswer struct {
	Entry       uint64        `json:"entry,omitempty"` // 0 while it is not kept
	Lot         survey.Lot    `json:"lot"`
	Method      survey.Method `json:"method"`
	Rule        string        `json:"rule"`
	Probability float64       `json:"probability"` // of coverage
	Sizes       uint64        `json:"check_of_length"`
	Foot        uint64        `json:"check_of_foot,omitempty"`
	Survey      survey.Survey `json:"survey"`
	Result      survey.Result `json:"result"`
	Withdrawn   uint64        `json:"withdrawn_by,omitempty"` // entry; 0 where it stands

	unit  unit.Unit // of the gauge
	basis survey.Basis
}

func shownSurvey(job *surveyJob, seq uint64) surveyAnswer {
	return surveyAnswer{Entry: seq, Lot: job.basis.Lot, Method: job.basis.Method, Rule: ruleText(job.basis.Lot.Rule), Probability: survey.Coverage,
		Sizes: job.refs.Sizes, Foot: job.refs.Foot, Survey: job.survey, Result: job.result, unit: job.basis.Gauge.ReadIn(), basis: job.basis}
}

// surveyDigits is how many digits of U are shown (JCGM 100:2008, 7.2.6).
const surveyDigits = 2

// inFigure writes a thickness and its U in a unit, to the last place of U.
func inFigure(u unit.Unit, f calib.Figure) (value, expanded string) {
	r, err := uncertainty.Round(u.FromFloat(f.Expanded), surveyDigits)
	if err != nil {
		return "", ""
	}
	return r.Show(u.From(f.Value).Rat()), r.Text
}

// span writes an effect and its U in the gauge's unit.
func (a surveyAnswer) span(mm, expanded float64) string {
	value, text, err := uncertainty.FormatFloat(a.unit.FromFloat(mm), a.unit.FromFloat(expanded), surveyDigits)
	if err != nil {
		return ""
	}
	if mm > 0 {
		value = "+" + value
	}
	return value + " ± " + text + screen.NoBreak + a.unit.Symbol()
}

// at writes a length in the gauge's unit with a place more than it reads.
func (a surveyAnswer) at(mm float64) string {
	return unit.FromFloat(a.unit.FromFloat(mm)).Text(a.basis.Gauge.Resolution.Places() + 1)
}

func (a surveyAnswer) write(out io.Writer, budget string, colour bool) error {
	wanted, err := a.budgetOf(budget)
	if err != nil {
		return err
	}
	s := a.Survey
	room := ""
	if !s.Conditions.Gauge.IsZero() {
		room = ", at " + strings.ReplaceAll(s.Conditions.Gauge.String(), " ", screen.NoBreak)
	}
	head := fmt.Sprintf("%s, %s: thickness by %s revision %d with %s, %s by %s%s\n", s.Lot, a.Lot.Material, s.Method, s.Revision, s.Gauge, s.Date, s.Person, room)
	if err := first(screen.Paragraph(out, head, "  "), a.table().Write(out), line(out, ""), a.writeMap(out, colour), a.writeWhole(out), a.writeVerdict(out)); err != nil {
		return err
	}
	for _, i := range wanted {
		if err := first(line(out, ""), a.writeBudget(out, i)); err != nil {
			return err
		}
	}
	return nil
}

func (a surveyAnswer) table() screen.Table {
	u, d := a.unit.Symbol(), screen.Decimal
	t := screen.Table{Columns: []screen.Column{{Title: "place"}, {Title: "across\nmm", Align: d}, {Title: "along\nmm", Align: d}, {Title: "reading\n" + u, Align: d},
		{Title: "error\n" + u, Align: d}, {Title: "thickness\n" + u, Align: d}, {Title: "U\n" + u, Align: d}, {Title: "k", Align: d}, {Title: "p to\nconform", Align: d}, {Title: "verdict", Wrap: true}}}
	for i, p := range a.Result.Places {
		value, expanded := inFigure(a.unit, p.Thickness)
		conform := ""
		if p.Thickness.Judged() {
			conform = probabilityText(p.Thickness.Conformance)
		}
		across, along := "", ""
		if q := a.Survey.Places[i]; a.Survey.Grid == nil {
			across, along = millimetres(q.Across), millimetres(q.Along)
		}
		reading := a.unit.From(p.Reading).Text(a.basis.Gauge.Resolution.Places())
		if len(a.Survey.Places[i].Readings) > 1 {
			reading = a.unit.From(p.Reading).Text(a.basis.Gauge.Resolution.Places() + 1)
		}
		t.Add(p.Name, across, along, reading, signedFigure(a.unit.FromFloat(p.Error), a.basis.Gauge.Resolution.Places()+1), value, expanded, fixed(p.Thickness.K, 2), conform, string(p.Thickness.Verdict))
	}
	return t
}

func millimetres(q unit.Quantity) string {
	if q.IsZero() {
		return ""
	}
	return q.Inner().Shortest()
}

func signedFigure(f float64, places int) string { return unit.FromFloat(f).Signed(places) }

// writeWhole says what the places are together.
func (a surveyAnswer) writeWhole(out io.Writer) error {
	r := a.Result
	var text []string
	say := func(format string, args ...any) { text = append(text, fmt.Sprintf(format, args...)) }
	value, expanded := inFigure(a.unit, r.Mean)
	say("Mean of the lot: %s ± %s %s (U, k = %s, coverage probability %s %%, %s coverage)%s.", value, expanded, a.unit.Symbol(), fixed(r.Mean.K, 2), percentText(a.Probability), r.Mean.Method, a.judged(r.Mean, a.Lot.Mean))
	if r.Reported == survey.ReportMedian {
		say("Median of the places, which the method reports: %s %s.", a.at(r.Median.Float()), a.unit.Symbol())
	}
	say("Places: s %s, range %s %s, least %s at %s, most %s at %s%s.", a.at(r.S), a.at(r.Range.Float()), a.unit.Symbol(),
		a.at(a.extreme(r.Least)), strings.Join(r.Least, ", "), a.at(a.extreme(r.Most)), strings.Join(r.Most, ", "), a.placesJudged())
	if b := r.Between; b != nil {
		say("Between places s %s, within one place s %s %s; F %s, p %s.", a.at(b.S), a.at(r.Within.S), a.unit.Symbol(), figure(b.F), probabilityText(b.P))
	}
	if i := r.Interval; i != nil {
		say("At least %s %% of the lot lies between %s and %s %s, with %s %% confidence (mean ± %s s, if places are normally distributed; the gauge's own error, common to all, is not in it).",
			percentText(i.Share), a.at(i.Low), a.at(i.High), a.unit.Symbol(), percentText(i.Confidence), fixed(i.K, 3))
	}
	for _, x := range r.Trends {
		text = append(text, a.trendText(x))
	}
	text = append(text, a.pressureText()...)
	if n := r.Needed; n != nil {
		text = append(text, a.neededText(*n))
	}
	return screen.Paragraph(out, "\n"+strings.Join(text, "\n"), "  ")
}

func (a surveyAnswer) extreme(names []string) float64 {
	i := slices.IndexFunc(a.Result.Places, func(p survey.PlaceResult) bool { return p.Name == names[0] })
	return a.Result.Places[i].Thickness.Value.Float()
}

func (a surveyAnswer) judged(f calib.Figure, b calib.Band) string {
	if !f.Judged() {
		return ""
	}
	return fmt.Sprintf("; tolerance %s: %s, p to conform %s", pressText(b), f.Verdict, probabilityText(f.Conformance))
}

func (a surveyAnswer) placesJudged() string {
	if a.Result.PlacesVerdict == "" {
		return ""
	}
	counts := map[calib.Verdict]int{}
	for _, p := range a.Result.Places {
		counts[p.Thickness.Verdict]++
	}
	var out []string
	for _, v := range []calib.Verdict{"pass", "conditional pass", "cannot be decided", "conditional fail", "fail"} {
		if n := counts[v]; n > 0 {
			out = append(out, fmt.Sprintf("%d %s", n, v))
		}
	}
	return fmt.Sprintf("; tolerance %s: %s", pressText(a.Lot.Place), strings.Join(out, ", "))
}

// trendText tells a trend, whether it matters, and how sure that is.
func (a surveyAnswer) trendText(x survey.Trend) string {
	ends := x.Ends[0].Where + " to " + x.Ends[1].Where
	if x.Name == "centre to edge" {
		ends = x.Name
	} else {
		ends = x.Name + ", " + ends
	}
	if !x.Seen {
		return fmt.Sprintf("Trend %s: none seen, %s (p %s).", ends, a.span(x.Effect, x.Expanded), probabilityText(x.P))
	}
	text := fmt.Sprintf("Trend %s: %s (p %s)", ends, a.span(x.Effect, x.Expanded), probabilityText(x.P))
	end := a.farEnd(x)
	value, expanded := inFigure(a.unit, end.Thickness)
	text += fmt.Sprintf("; fitted at the %s %s ± %s %s", end.Where, value, expanded, a.unit.Symbol())
	if x.Share > 0 {
		text += fmt.Sprintf("; it takes %.0f %% (%.0f to %.0f %%) of half the tolerance of a place", 100*x.Share, 100*x.Low, 100*x.High)
	}
	switch x.Matters {
	case survey.Matters:
		text += ": it matters"
		if v := end.Thickness.Verdict; v != "" && !v.Passed() {
			text += fmt.Sprintf(", the fitted thickness there does not pass (%s)", v)
		}
	case survey.IsBorne:
		text += ": the tolerance bears it"
	}
	if x.Unsure {
		text += ", which is not sure: from 50 % on a trend matters"
	}
	return text + "."
}

// farEnd is the end of a trend that a reader must know of: that which conforms
// less, else that farther from the mean.
func (a surveyAnswer) farEnd(x survey.Trend) survey.End {
	off := func(e survey.End) float64 {
		return math.Abs(e.Thickness.Value.Sub(a.Result.Mean.Value).Float())
	}
	p, q := x.Ends[0], x.Ends[1]
	if p.Thickness.Conformance < q.Thickness.Conformance || p.Thickness.Conformance == q.Thickness.Conformance && off(p) > off(q) {
		return p
	}
	return q
}

func (a surveyAnswer) pressureText() []string {
	e := a.Result.Pressure
	if e == nil {
		return nil
	}
	var out []string
	if e.Points > 0 {
		out = append(out, fmt.Sprintf("Compression: T = (%s %s %s·ln p/%s) %s, u(b) %s %s; %s.", a.at(e.A), yes(e.B < 0, "-", "+"), unit.FromFloat(a.unit.FromFloat(math.Abs(e.B))).Text(a.basis.Gauge.Resolution.Places()+2), e.Unit, a.unit.Symbol(),
			figure(a.unit.FromFloat(e.Standard)), a.unit.Symbol(), e.Source))
	}
	return append(out, fmt.Sprintf("Pressure: verified %s, method %s %s: %s %s added to every thickness.", fixed(e.Verified, 3), fixed(e.Nominal, 3), e.Unit,
		signedFigure(a.unit.FromFloat(e.Correction), a.basis.Gauge.Resolution.Places()+2), a.unit.Symbol()))
}

func (a surveyAnswer) neededText(n survey.Needed) string {
	wanted := figure(a.unit.FromFloat(n.Wanted)) + screen.NoBreak + a.unit.Symbol()
	if n.Places == 0 {
		return fmt.Sprintf("Wanted: U %s of the mean. No number of places reaches it: %s is what all places share, the gauge above all.", wanted, figure(a.unit.FromFloat(n.Expanded)))
	}
	return fmt.Sprintf("Wanted: U %s of the mean. That takes %s that scatter as these do.", wanted, plural(n.Places, "place"))
}

// writeVerdict says what was marked, and the verdict on the whole.
func (a surveyAnswer) writeVerdict(out io.Writer) error {
	text := fmt.Sprintf("Error of the gauge: check %d", a.Sizes)
	if a.Foot > 0 {
		text += fmt.Sprintf("; its foot: check %d", a.Foot)
	}
	text += ".\nMethod: " + a.Method.Source + " (" + string(a.Method.Mark) + ").\n"
	for _, n := range a.Result.Notes {
		text += "Note: " + n + ".\n"
	}
	for _, f := range a.Result.Findings {
		text += "Marked: " + findingText(f) + ".\n"
	}
	if a.Result.Override != "" {
		text += "USED ALL THE SAME: " + a.Result.Override + "\n"
	}
	if a.Withdrawn > 0 {
		text += withdrawnText(a.Withdrawn) + "\n"
	}
	if a.Result.Verdict == "" {
		return screen.Paragraph(out, text+"Not judged: the lot has no tolerance.", "  ")
	}
	return screen.Paragraph(out, text+"Rule: "+a.Rule+".\nVerdict: "+string(a.Result.Verdict)+".", "  ")
}

// budgetOf finds the result whose budget is wanted: 0 is the mean.
func (a surveyAnswer) budgetOf(which string) ([]int, error) {
	switch which {
	case "":
		return nil, nil
	case "mean":
		return []int{0}, nil
	case "all":
		all := make([]int, len(a.Result.Places)+1)
		for i := range all {
			all[i] = i
		}
		return all, nil
	}
	i := slices.IndexFunc(a.Result.Places, func(p survey.PlaceResult) bool { return strings.EqualFold(p.Name, which) })
	if i < 0 {
		return nil, usagef("--budget %q: no place of this survey; want one of its places, mean, or all", which)
	}
	return []int{i + 1}, nil
}

func (a surveyAnswer) writeBudget(out io.Writer, i int) error {
	f, name := a.Result.Mean, "the mean"
	if i > 0 {
		f, name = a.Result.Places[i-1].Thickness, "place "+a.Result.Places[i-1].Name
	}
	small := smallUnit(a.unit)
	t := screen.Table{Columns: []screen.Column{{Title: "contribution", Wrap: true}, {Title: "distribution"}, {Title: "u", Align: screen.Right},
		{Title: "ν", Align: screen.Right}, {Title: "c", Align: screen.Right}, {Title: "|c|·u\n" + small.Symbol(), Align: screen.Decimal}, {Title: "share\n%", Align: screen.Decimal}}}
	in := func(mm float64) string { return fixed(small.FromFloat(mm), 2) }
	sources := ""
	for _, row := range a.Result.Budget {
		u, c, dof := row.At(i)
		if c == 0 {
			continue
		}
		share := 0.0
		if f.Standard > 0 {
			share = 100 * c * c * u * u / (f.Standard * f.Standard)
		}
		t.Add(row.Name, row.Distribution, spread(u, row.Unit, small), dofText(finite(dof)), slope(c, row.Unit, small), in(math.Abs(c)*u), fixed(share, 1))
		sources += fmt.Sprintf("\n%s: %s.", row.Name, row.Source)
	}
	t.Add("combined", "", "", dofText(finite(f.DoF)), "", in(f.Standard), "")
	t.Add("expanded", "", "", "", "k = "+fixed(f.K, 3), in(f.Expanded), "")
	return first(line(out, "Budget of %s, %s coverage\n", name, f.Method), t.Write(out),
		screen.Paragraph(out, "\nWhere the figures come from:"+sources, "  "))
}

// withdrawnText says of a survey, a study or a comparison that it counts no
// more.
func withdrawnText(by uint64) string {
	return fmt.Sprintf("WITHDRAWN by entry %d: it counts no more.", by)
}
