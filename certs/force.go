package certs

import (
	"fmt"
	"slices"

	"example.org/wring/calib"
	"example.org/wring/calib/presser"
	"example.org/wring/uncertainty"
	"example.org/wring/uncertainty/conformity"
	"example.org/wring/uncertainty/unit"
)

// Certificate writes the certificate of a kept check: [LengthCertificate] where
// it records a length alone, else one that states each of its parts.
func Certificate(in CertificateOf) (Document, error) {
	if slices.Equal(in.Kept.Check.Parts(), []calib.Part{calib.LengthPart}) {
		return LengthCertificate(in)
	}
	return forceCertificate(in)
}

// forceCertificate states parts by force, and a length beside them.
func forceCertificate(in CertificateOf) (Document, error) {
	if err := in.checkParts(); err != nil {
		return Document{}, err
	}
	w := writing{in: in, unit: in.Basis.Gauge.ReadIn(), stages: in.stages()}
	parts := []Part{w.partsOutcome(), w.item()}
	for _, k := range w.stages {
		stated, err := w.partsOf(k)
		if err != nil {
			return Document{}, fmt.Errorf("certificate %q: %w", in.Number, err)
		}
		parts = append(parts, stated...)
	}
	parts = append(parts, w.partsCircumstances())
	for _, k := range w.stages {
		parts = append(parts, w.partReadings(k)...)
	}
	parts = append(parts, w.standards())
	parts = append(parts, w.partsStatements()...)
	return Document{
		Title: "Verification certificate", Number: in.Number, Subject: w.subject(in.Basis.Gauge), House: in.House, Paper: in.Paper,
		Issued: in.Issued.String(), Head: in.Head, Program: in.Program, End: "End of certificate", Parts: parts,
		Foot: []string{"This certificate relates only to the item named in it. It may be reproduced in full only, unless the house agrees in writing."},
	}, nil
}

// checkParts holds the pieces to each other.
func (in CertificateOf) checkParts() error {
	refuse := func(found, want string) error { return &MismatchError{in.Number, found, want} }
	g := in.Basis.Gauge
	if g.ReadIn().IsZero() {
		return refuse(fmt.Sprintf("gauge %s is read in %q", g.ID, g.Unit), "a unit of its kind")
	}
	for _, k := range in.stages() {
		c := k.Check
		if err := in.belongs(c); err != nil {
			return err
		}
		if !slices.Equal(c.Parts(), k.Result.Parts()) || len(c.Points) != len(k.Result.Points) {
			return refuse(fmt.Sprintf("the check records %v and has results of %v", c.Parts(), k.Result.Parts()), "one result for each part")
		}
		for _, part := range c.Parts() {
			if _, ok := in.Basis.Plan.TermsOf(part); !ok || !conformity.Verdict(k.Result.VerdictOf(part)).Known() {
				return refuse(fmt.Sprintf("the verdict on the part %s is %q", part, k.Result.VerdictOf(part)), "a part of the plan, with a verdict that a rule gives")
			}
		}
	}
	return nil
}

// partsOf states the results of every part of a check, each with its picture.
func (w *writing) partsOf(k KeptCheck) ([]Part, error) {
	var out []Part
	for _, part := range k.Result.Parts() {
		if part == calib.LengthPart {
			results, err := w.results(k)
			if err != nil {
				return nil, err
			}
			figure, err := w.errorFigure(k)
			if err != nil {
				return nil, err
			}
			out = append(out, results, figure)
			continue
		}
		table, err := w.figures(k, part)
		if err != nil {
			return nil, err
		}
		out = append(out, table)
		for _, picture := range w.partFigures(k, part) {
			out = append(out, picture)
		}
	}
	return out, nil
}

// shown rounds a figure at the last place of its U, in the unit it is shown in.
func (w *writing) shown(part calib.Part, f calib.Figure) (value func(unit.Exact) string, expanded string, u unit.Unit, err error) {
	u = presser.ShownIn(part, f, w.in.Basis)
	r, err := uncertainty.Round(u.FromFloat(f.Expanded), w.in.Basis.Plan.Digits)
	return func(e unit.Exact) string { return minus(r.Show(u.From(e).Rat())) }, r.Text, u, err
}

// figures is the table of a part's results.
func (w *writing) figures(k KeptCheck, part calib.Part) (Table, error) {
	r := k.Result.Part(part)
	loads := part == calib.LoadPart
	t := Table{Title: fmt.Sprintf("%s, %s", capital(string(part)), k.Check.Stage), Columns: []Column{{Heading: "Figure"}, {Heading: atWord(part), Align: Right}}}
	if loads {
		t.Columns = append(t.Columns, Column{Heading: "Applied", Align: Point}, Column{Heading: "Indicated", Align: Point})
	}
	t.Columns = append(t.Columns, Column{"Value", "", Point}, Column{"U", "", Point}, Column{"Unit", "", Left}, Column{"k", "", Point},
		Column{"Limits", "", Left}, Column{"P(conf.)", "%", Point}, Column{"Verdict", "", Left})
	var why []string
	for _, f := range r.Figures {
		value, expanded, u, err := w.shown(part, f)
		if err != nil {
			return t, fmt.Errorf("%s, %s: %w", part, f.Name, err)
		}
		cells := []string{f.Name, orDash(amount(f.At))}
		number := value(f.Value)
		if loads {
			applied, indicated := "–", "–"
			if !f.Applied.IsZero() {
				applied, indicated, number = value(f.Applied), value(f.Indicated), signed(number)
			}
			cells = append(cells, applied, indicated)
		}
		judged, p := "–", "–"
		if f.Judged() {
			judged, p = string(f.Verdict), probability(f.Conformance)
		}
		cells = append(cells, number, expanded, u.Symbol(), fmt.Sprintf("%.2f", f.K), orDash(bounds(f, u)), p, judged)
		text := ""
		if f.Judged() && conformity.Verdict(f.Verdict) != conformity.Pass {
			text = fmt.Sprintf("%s: %s%s%s, limits %s%s, U%s=%s%s%s%s", verdictWord(f.Verdict), number, noBreak, u.Symbol(), bounds(f, u), w.lessGuard(part), noBreak, noBreak, expanded, noBreak, u.Symbol())
		}
		t.Rows, why = append(t.Rows, Row{Cells: cells}), append(why, text)
	}
	t.Notes = []string{"P(conf.): probability that the value lies within the limits. A figure without limits is reported and not judged."}
	for _, n := range r.Notes {
		t.Notes = append(t.Notes, capital(n)+".")
	}
	t.explain(why, "Rows in bold do not pass: the value is held against the limits"+w.lessGuard(part)+", with U as the row states it.")
	return t, nil
}

// lessGuard says what a part's rule takes off its limits.
func (w *writing) lessGuard(part calib.Part) string {
	terms, _ := w.in.Basis.Plan.TermsOf(part)
	if f := terms.Rule.Factor; f > 0 {
		return " less " + timesU(f)
	}
	return ""
}

func atWord(part calib.Part) string {
	if part == calib.LoadPart {
		return "Load"
	}
	return "Opening"
}

func orDash(s string) string {
	if s == "" {
		return "–"
	}
	return s
}

// bounds writes what a figure is held to.
func bounds(f calib.Figure, u unit.Unit) string {
	text := func(e *unit.Exact) string {
		own := u.From(*e)
		const most = 5 // places; no limit of the trade is stated finer
		if places, finite := own.Rat().FloatPrec(); finite && places <= most {
			return minus(own.Text(places))
		}
		return "≈" + minus(own.Text(most))
	}
	switch {
	case f.Low != nil && f.High != nil && f.Low.Neg().Cmp(*f.High) == 0:
		return "±" + text(f.High)
	case f.Low != nil && f.High != nil:
		return text(f.Low) + " to " + text(f.High)
	case f.High != nil:
		return "at most " + text(f.High)
	case f.Low != nil:
		return "at least " + text(f.Low)
	}
	return ""
}
