package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"example.org/wring/calib"
	"example.org/wring/registry"
	"example.org/wring/uncertainty/unit"
)

func newTrace(e env) *cli.Command {
	return &cli.Command{
		Name:        "trace",
		Usage:       "the chain from a result to the national institute, and back from a standard",
		ArgsUsage:   "GAUGE|CHECK|LOT|STANDARD",
		UsageText:   "wring trace MIC-014",
		Description: "Of a gauge, its last check is followed; of a check, the one with that entry's number: which standards it was made with, which certificate of each counted on that day, from which laboratory, with which uncertainty, by which route. Of a lot, or of a survey by its entry, the checks of the gauge it was measured with are followed. Of a standard, its certificates and every check that was made with each. A link that does not hold is named; the exit status is then 3.",
		Flags:       paperFlags(),
		Action:      reading(e, runTrace),
	}
}

// A traceAnswer is a chain as --json has it: down from a check, or both ways
// from a standard.
type traceAnswer struct {
	Subject  string        `json:"subject"`
	Unbroken bool          `json:"unbroken"`
	Check    *tracedCheck  `json:"check,omitempty"`
	Links    []traceLink   `json:"links"`
	MadeWith []tracedCheck `json:"made_with,omitempty"` // of a standard, oldest first
	Survey   *tracedSurvey `json:"survey,omitempty"`    // of a lot

	head  string
	house registry.Opening
}

// A tracedCheck is one result at the end of a chain.
type tracedCheck struct {
	Entry       uint64        `json:"entry"`
	AmendedBy   uint64        `json:"amended_by,omitempty"` // or withdrawn by
	Withdrawn   bool          `json:"withdrawn,omitempty"`
	Gauge       string        `json:"gauge"`
	Date        calib.Date    `json:"date"`
	Stage       calib.Stage   `json:"stage"`
	Verdict     calib.Verdict `json:"verdict"`
	Certificate string        `json:"certificate"`         // that this house issues for it
	By          string        `json:"by"`                  // who performed it
	Counted     uint64        `json:"counted,omitempty"`   // entry of the standard's certificate; only in made_with
	Program     string        `json:"program"`             // that worked it out
	LeastUM     float64       `json:"least_expanded_um"`   // smallest expanded uncertainty of a point, µm
	MostUM      float64       `json:"largest_expanded_um"` // largest expanded uncertainty of a point, µm
	Standards   []string      `json:"standards_named"`     // in the order named
}

// A traceLink is one standard with the certificate that counted.
type traceLink struct {
	Standard      string             `json:"standard"`
	Kind          calib.StandardKind `json:"kind"`
	Description   string             `json:"description,omitempty"`
	Serial        string             `json:"serial,omitempty"`
	Used          []string           `json:"used,omitempty"` // nominal values, where the check names them
	Entry         uint64             `json:"entry,omitempty"`
	Certificate   string             `json:"certificate,omitempty"`
	Date          calib.Date         `json:"date,omitzero"`
	Due           calib.Date         `json:"due,omitzero"`
	Laboratory    string             `json:"laboratory,omitempty"`
	Accreditation string             `json:"accreditation,omitempty"`
	Route         calib.Route        `json:"route,omitempty"`
	Values        int                `json:"values"`
	Uncertainty   *uncertaintyRange  `json:"standard_uncertainty"` // null where no row has one
	Files         []string           `json:"files,omitempty"`      // kept with the certificate
	Breaks        []calib.Break      `json:"breaks"`
	Notes         []string           `json:"notes,omitempty"`
}

// An uncertaintyRange is that of U/k over the rows of a certificate.
type uncertaintyRange struct {
	Least float64 `json:"least"` // in Unit
	Most  float64 `json:"most"`  // in Unit
	Unit  string  `json:"unit"`
	Rows  int     `json:"rows"`
}

func runTrace(d desk, c *cli.Context) error {
	w, err := words(c, "GAUGE|CHECK|LOT|STANDARD")
	if err != nil {
		return err
	}
	var a traceAnswer
	if err := d.view(func(tx *registry.Tx) (err error) { a, err = traceOf(tx, w[0], d.today()); return err }); err != nil {
		return err
	}
	a.Unbroken = a.breaks() == 0
	if c.String("pdf") != "" {
		err = d.setPaper(c, a.document(d.today()), "trace of "+a.Subject)
	} else {
		err = d.answer(a, a.write)
	}
	if err == nil && !a.Unbroken {
		return errNo
	}
	return err
}

// traceOf follows what a word names: an entry's number, a gauge or a standard.
func traceOf(tx *registry.Tx, word string, today calib.Date) (traceAnswer, error) {
	head, err := tx.Head()
	if err != nil {
		return traceAnswer{}, err
	}
	a := traceAnswer{Subject: word, Links: []traceLink{}, head: head.String()}
	if a.house, err = tx.House(); err != nil {
		return a, err
	}
	var missing *registry.NotFoundError
	if _, err := tx.Standard(word); err == nil {
		return a, a.fromStandard(tx, word, today)
	} else if !errors.As(err, &missing) {
		return a, err
	}
	if k, ok, err := surveyNamed(tx, word); err != nil || ok {
		return a, first(err, a.fromSurvey(tx, k))
	}
	seq, err := checkNamed(tx, word)
	if err != nil {
		return a, noSubject(tx, "gauge, lot or standard", word, err)
	}
	return a, a.fromCheck(tx, seq)
}

// noSubject names what is nearest among gauges and standards.
func noSubject(tx *registry.Tx, what, word string, err error) error {
	var gauge, standard *registry.NotFoundError
	if !errors.As(err, &gauge) || gauge.What != "gauge" {
		return err
	}
	_, other := tx.Standard(word)
	errors.As(other, &standard)
	both := &registry.NotFoundError{What: what, ID: word, Nearest: gauge.Nearest}
	if standard != nil {
		both.Nearest = append(both.Nearest, standard.Nearest...)
	}
	return both
}

func (a *traceAnswer) fromCheck(tx *registry.Tx, seq uint64) error {
	k, err := tx.Check(seq)
	if err != nil {
		return err
	}
	fate, err := tx.FateOf(k)
	if err != nil {
		return err
	}
	t := traced(k, fate)
	a.Check = &t
	basis, err := tx.Resolve(k.Check.Basis)
	if err != nil {
		return err
	}
	return a.follow(tx, k, basis)
}

// follow adds the links of what a check was made with. A gauge of the house
// among them is followed through its own check.
func (a *traceAnswer) follow(tx *registry.Tx, k registry.Kept, basis calib.Basis) error {
	for i, ref := range k.Check.Basis.Standards {
		cert, files, err := tx.CertificateUsed(ref)
		if err != nil {
			return err
		}
		used := usedOf(k.Check.Check, ref.ID)
		link := linkOf(basis.Standards[i].Standard, cert, files, used, k.Check.Check.Date)
		if cert.Certificate.Route != calib.ByHouse {
			link.replaced(registry.Fate{By: cert.AmendedBy, Withdrawn: cert.Withdrawn})
			if err := link.recordNow(tx, ref.Standard, basis.Standards[i].Standard); err != nil {
				return err
			}
			a.Links = append(a.Links, link)
			continue
		}
		own, err := tx.Check(ref.Certificate)
		if err != nil {
			return err
		}
		fate, err := tx.FateOf(own)
		if err != nil {
			return err
		}
		link.replaced(fate)
		a.Links = append(a.Links, link)
		under, err := tx.Resolve(own.Check.Basis)
		if err != nil {
			return err
		}
		if err := a.follow(tx, own, under); err != nil {
			return err
		}
	}
	return nil
}

// fromStandard shows every certificate, the newest first held to today, and
// what was made with each.
func (a *traceAnswer) fromStandard(tx *registry.Tx, id string, today calib.Date) error {
	s, err := tx.Standard(id)
	if err != nil {
		return err
	}
	certs, err := tx.Certificates(id)
	if err != nil {
		return err
	}
	slices.Reverse(certs)
	counts := 0
	for _, k := range certs {
		day := k.Certificate.Date
		if k.AmendedBy == 0 {
			if counts == 0 && !today.Before(day) {
				day = today
			}
			counts++
		}
		kept, files, err := tx.CertificateUsed(registry.StandardRef{ID: id, Certificate: k.Entry})
		if err != nil {
			return err
		}
		link := linkOf(s.Standard, kept, files, nil, day)
		if k.AmendedBy > 0 { // no chain rests on it but of checks, which say so
			link.Breaks, link.Notes = []calib.Break{}, append(link.Notes, certificateFate(k)+"; it counts no more")
		}
		a.Links = append(a.Links, link)
	}
	if counts == 0 {
		a.Links = append(a.Links, linkOf(s.Standard, registry.KeptCertificate{}, nil, nil, today))
	}
	a.MadeWith = []tracedCheck{}
	return tx.MadeWith(id, func(k registry.Kept, fate registry.Fate) error {
		t := traced(k, fate)
		for _, r := range k.Check.Basis.Standards {
			if r.ID == id {
				t.Counted = r.Certificate
			}
		}
		a.MadeWith = append(a.MadeWith, t)
		return nil
	})
}

// replaced breaks a link whose certificate was amended or withdrawn since.
func (l *traceLink) replaced(f registry.Fate) {
	if f.By == 0 {
		return
	}
	l.Breaks = append(l.Breaks, calib.Break{Kind: calib.BreakReplaced, Text: fmt.Sprintf("certificate %s was %s by entry %d; want the check amended with --standard %s=%s, or made again",
		l.Certificate, yes(f.Withdrawn, "withdrawn", "amended"), f.By, l.Standard, l.Standard)})
}

// recordNow notes that the standard's record is another one now in what counts
// in a budget. It is no break: the certificate that the chain goes by stands.
func (l *traceLink) recordNow(tx *registry.Tx, entry uint64, then calib.Standard) error {
	now, err := tx.Standard(l.Standard)
	if err != nil || now.Entry == entry {
		return err
	}
	was, err1 := json.Marshal(inBudgets(then))
	is, err2 := json.Marshal(inBudgets(now.Standard))
	if err := first(err1, err2); err != nil || bytes.Equal(was, is) {
		return err
	}
	l.Notes = append(l.Notes, fmt.Sprintf("its record was amended since, last by entry %d, and the check rests on that of entry %d; want the check amended with --standard %s=%s", now.Entry, entry, l.Standard, l.Standard))
	return nil
}

// inBudgets is a standard's record without what counts in no budget.
func inBudgets(s calib.Standard) calib.Standard {
	s.Description, s.Maker, s.Serial, s.Owner, s.Place, s.IntervalMonths = "", "", "", "", "", 0
	return s
}

func traced(k registry.Kept, fate registry.Fate) tracedCheck {
	c := k.Check.Check
	t := tracedCheck{Entry: k.Head.Seq, AmendedBy: fate.By, Withdrawn: fate.Withdrawn, Gauge: c.Gauge, Date: c.Date, Stage: c.Stage, Verdict: k.Check.Result.Verdict,
		Certificate: k.CertificateNumber(), By: c.Person, Program: k.Entry.Program, Standards: c.Standards}
	for i, p := range k.Check.Result.Points {
		u := p.Expanded * micrometres
		if i == 0 || u < t.LeastUM {
			t.LeastUM = u
		}
		t.MostUM = max(t.MostUM, u)
	}
	return t
}

// usedOf lists the nominal values of a standard that a check took, each once.
func usedOf(c calib.Check, standard string) (out []unit.Quantity) {
	take := func(by string, nominal unit.Quantity) {
		if by == standard && !slices.ContainsFunc(out, nominal.Same) {
			out = append(out, nominal)
		}
	}
	for _, p := range c.Points {
		for _, b := range p.Blocks {
			take(b.Standard, b.Nominal)
		}
	}
	if c.Load != nil {
		for _, p := range c.Load.Points {
			for _, w := range p.Weights {
				take(w.Standard, w.Nominal)
			}
		}
	}
	slices.SortFunc(out, func(x, y unit.Quantity) int { return x.Inner().Cmp(y.Inner()) })
	return out
}

func linkOf(s calib.Standard, k registry.KeptCertificate, files []registry.KeptAttachment, used []unit.Quantity, day calib.Date) traceLink {
	c := k.Certificate
	l := traceLink{Standard: s.ID, Kind: s.Kind, Description: s.Description, Serial: s.Serial, Entry: k.Entry, Certificate: c.Number,
		Date: c.Date, Due: c.Due, Laboratory: c.Laboratory, Accreditation: c.Accreditation, Route: c.Route, Values: len(c.Values)}
	for _, q := range used {
		l.Used = append(l.Used, q.String())
	}
	for _, f := range files {
		l.Files = append(l.Files, fmt.Sprintf("%s (entry %d)", f.Attachment.Name, f.Entry))
	}
	l.Breaks = append([]calib.Break{}, calib.StandardOnDay{Standard: s, Certificate: c}.Breaks(day, used, len(files))...)
	if least, most, n := c.StandardUncertainties(); n > 0 {
		u := shownUnit(s.Kind)
		l.Uncertainty = &uncertaintyRange{u.From(least).Float(), u.From(most).Float(), u.Symbol(), n}
	} else if c.Number != "" && len(used) == 0 {
		l.Notes = append(l.Notes, "its certificate is entered without an uncertainty; see the paper")
	}
	return l
}

// shownUnit is the one in which a certificate's uncertainty is easiest to read.
func shownUnit(k calib.StandardKind) unit.Unit {
	symbol := map[unit.Dimension]string{unit.Length: "µm", unit.Temperature: "°C", unit.Mass: "kg", unit.Force: "N"}[k.Dimension()]
	u, _ := unit.Lookup(symbol, k.Dimension())
	return u
}
